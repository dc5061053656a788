"""What the add-on adds to Blender, in the order in which it is added."""

import bpy
from bpy.types import AddonPreferences, Menu, Operator, Panel, PropertyGroup, UIList

from . import properties
from .operators import Evaluate, OpenScene, RenderStills
from .panels import FindingsList, SceneTab, SeatsList

CLASSES: tuple[type[AddonPreferences | Menu | Operator | Panel | PropertyGroup | UIList], ...] = (
    properties.HeatcoreFinding,
    properties.HeatcoreSeat,
    properties.HeatcoreSettings,
    OpenScene,
    Evaluate,
    RenderStills,
    FindingsList,
    SeatsList,
    SceneTab,
)
"""A class stands after those it refers to: a property group before the group that holds it."""


def register() -> None:
    """Add the add-on's classes to Blender, then the settings that scenes keep.

    Raises
    ------
    ValueError, RuntimeError
        From Blender, when a class is registered already or is not well formed.
    """
    for cls in CLASSES:
        bpy.utils.register_class(cls)
    properties.attach()


def unregister() -> None:
    """Take all of it out of Blender, in reverse.

    Raises
    ------
    RuntimeError
        From Blender, when a class is not registered.
    """
    properties.detach()
    for cls in reversed(CLASSES):
        bpy.utils.unregister_class(cls)
