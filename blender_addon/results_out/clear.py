"""Take out what the add-on wrote, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import bpy

from ..declarations import BEFORE
from .canvas import is_own


def clear() -> None:
    """Remove every datablock that an earlier result left in the file.

    What somebody else put into the add-on's collections moves up into the scene; what somebody else
    uses of the add-on's materials and other data stays.
    """
    data = bpy.data
    for scene in data.scenes:
        for marker in list(scene.timeline_markers):
            if is_own(marker.camera):
                scene.timeline_markers.remove(marker)
    keep_guests()
    data.batch_remove(owned(data.objects))
    data.batch_remove(owned(data.collections))
    for scene in data.scenes:
        if is_own(scene.world):
            scene.world = scene.world.get(BEFORE)
    # In the order in which one uses the next.
    for kind in (
        data.meshes,
        data.curves,
        data.cameras,
        data.lights,
        data.worlds,
        data.materials,
        data.actions,
    ):
        data.batch_remove([block for block in owned(kind) if block.users == 0])


def keep_guests() -> None:
    """Move what is not the add-on's out of its collections, into the scene's own."""
    for collection in owned(bpy.data.collections):
        scenes = [
            scene for scene in bpy.data.scenes if collection in scene.collection.children_recursive
        ]
        for scene in scenes:
            for kind in ("objects", "children"):
                home = getattr(scene.collection, kind)
                for guest in getattr(collection, kind):
                    if not is_own(guest) and guest.name not in home:
                        home.link(guest)


def owned(blocks: Iterable[Any]) -> list[Any]:
    """Those of some datablocks that the add-on wrote."""
    return [block for block in blocks if is_own(block)]
