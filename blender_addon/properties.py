"""What the add-on keeps in a file of Blender: values only.

The scene's text itself is a Text datablock, so that saving the .blend keeps it and Blender's own
text editor edits it.
"""

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import (
    CollectionProperty,
    EnumProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)

from heatcore.views.view import FloorShows

from .declarations import ID
from .results_out import floor_of, show_floor


class HeatcoreFinding(bpy.types.PropertyGroup):
    """One line of the findings."""

    if TYPE_CHECKING:
        verdict: str
        text: str
    else:
        verdict: StringProperty(name="Verdict")
        text: StringProperty(name="Finding")


class HeatcoreSeat(bpy.types.PropertyGroup):
    """How one person fares, a line of the list of seats."""

    if TYPE_CHECKING:
        comfort: str
        text: str
        reason: str
    else:
        comfort: StringProperty(name="Verdict")
        text: StringProperty(name="Seat")
        reason: StringProperty(name="Why it is not warm")


def floor_index(settings: bpy.types.PropertyGroup) -> int:
    """Return which of the two the floor shows."""
    return list(FloorShows).index(floor_of(scene_of(settings)))


def set_floor_index(settings: bpy.types.PropertyGroup, index: int) -> None:
    """Let the floor show one of the two."""
    show_floor(scene_of(settings), list(FloorShows)[index])


def scene_of(settings: bpy.types.PropertyGroup) -> bpy.types.Scene:
    """Return the scene that settings belong to."""
    scene = settings.id_data
    assert isinstance(scene, bpy.types.Scene)
    return scene


class HeatcoreSettings(bpy.types.PropertyGroup):
    """What is described, where it came from, and what it came to."""

    if TYPE_CHECKING:
        text: bpy.types.Text | None
        folder: str
        option: str
        out: str
        engine: str
        evaluated: str
        findings: bpy.types.bpy_prop_collection_idprop[HeatcoreFinding]
        finding: int
        seats: bpy.types.bpy_prop_collection_idprop[HeatcoreSeat]
        seat: int
        floor: str
    else:
        text: PointerProperty(
            name="Scene",
            description="The scene's description, as in a scene file",
            type=bpy.types.Text,
        )
        folder: StringProperty(
            name="Folder",
            description="Where the files that the scene names are",
            subtype="DIR_PATH",
        )
        option: StringProperty(
            name="Option",
            description="The option to evaluate; empty for the scene as drawn",
        )
        out: StringProperty(
            name="Stills",
            description="The folder for the stills",
            default="//stills",
            subtype="DIR_PATH",
        )
        engine: EnumProperty(
            name="Engine",
            items=(
                ("cycles", "Photographic", "As a client gets them"),
                ("fast", "Quick look", "Rough, in a fraction of the time"),
            ),
        )
        evaluated: StringProperty(
            name="Evaluated",
            description="Fingerprint of the description that the results belong to",
        )
        findings: CollectionProperty(type=HeatcoreFinding)
        finding: IntProperty(name="Selected finding")
        seats: CollectionProperty(type=HeatcoreSeat)
        seat: IntProperty(name="Selected seat")
        floor: EnumProperty(
            name="What the floor shows",
            description="In the window and in the stills, whose legend follows",
            items=(
                ("irradiance", "Irradiance", "How much arrives on the floor, in W/m2"),
                ("landing", "Beam Landing", "Which beams land where"),
            ),
            get=floor_index,
            set=set_floor_index,
        )


def attach() -> None:
    """Give every scene its settings."""
    props: Any = bpy.props  # of which one version's stubs say that it returns nothing
    setattr(bpy.types.Scene, ID, props.PointerProperty(type=HeatcoreSettings))


def detach() -> None:
    """Take the settings away again."""
    delattr(bpy.types.Scene, ID)


def settings_of(scene: bpy.types.Scene) -> HeatcoreSettings:
    """Return a scene's settings."""
    found: HeatcoreSettings = getattr(scene, ID)
    return found
