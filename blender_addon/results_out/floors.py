"""What the floor shows: the irradiance or the beams' landings, one of the two at a time.

What belongs to one of them lies in collections that carry its name. The scene keeps the choice
under a key of its own, so that a file keeps it, undo takes it back and a new result follows it.
"""

from __future__ import annotations

import bpy

from heatcore.views.view import FloorShows

from ..declarations import FLOOR
from .canvas import is_own


def floor_of(scene: bpy.types.Scene) -> FloorShows:
    """Return what the floor of a scene shows."""
    return FloorShows(scene.get(FLOOR, FloorShows.IRRADIANCE))


def show_floor(scene: bpy.types.Scene, shows: FloorShows) -> None:
    """Let the floor show one of the two, in the window and in stills."""
    scene[FLOOR] = shows.value
    for collection in scene.collection.children_recursive:
        about = collection.get(FLOOR)
        if is_own(collection) and about is not None:
            collection.hide_viewport = collection.hide_render = about != shows.value
