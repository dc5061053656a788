"""One value for each frame, held until the next."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

import bpy
import numpy as np

from .canvas import own

FIRST = 1


class Keys:
    """The frames of the stills, and the actions that hold what changes from frame to frame.

    Attributes
    ----------
    count : how many frames there are
    """

    def __init__(self, count: int) -> None:
        self.count = count
        self._actions: dict[Hashable, bpy.types.Action] = {}

    def hold(self, thing: Any, values: dict[str, Sequence[float]], alike: Hashable = None) -> None:
        """Key properties of a datablock, one value a frame.

        Parameters
        ----------
        values : by property path, as many values as there are frames
        alike : things that share it share their keys: the first one's values go for all
        """
        if not self.count:
            return
        data: Any = thing.animation_data_create()
        known = self._actions.get(alike) if alike is not None else None
        action: Any = known or bpy.data.actions.new(f"Heatcore {thing.name}"[:60])
        data.action = action
        if hasattr(action, "slots"):  # not before Blender 4.4
            data.action_slot = action.slots[0] if known else action.slots.new(thing.id_type, "keys")
        if known:
            return
        own(action)
        self._actions[alike] = action
        for path, series in values.items():
            self._fill(curve_of(action, thing, path), series)

    def _fill(self, curve: Any, series: Sequence[float]) -> None:
        frames = np.arange(FIRST, FIRST + self.count, dtype=np.float32)
        points = np.column_stack([frames, np.asarray(series, dtype=np.float32)])
        curve.keyframe_points.add(self.count)
        curve.keyframe_points.foreach_set("co", points.ravel())
        for key in curve.keyframe_points:
            key.interpolation = "CONSTANT"
        curve.update()


def curve_of(action: Any, thing: Any, path: str) -> Any:
    """Return the new curve of a property in an action."""
    if hasattr(action, "fcurve_ensure_for_datablock"):  # not before Blender 4.4
        return action.fcurve_ensure_for_datablock(thing, path)
    return action.fcurves.new(path)
