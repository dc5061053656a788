"""One value for each frame, held until the next."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

import bpy
import numpy as np

from .canvas import own

FIRST = 1


class Keys:
    """The frames of the stills, and the one action that holds what changes from frame to frame.

    Attributes
    ----------
    count : how many frames there are
    """

    def __init__(self, count: int) -> None:
        self.count = count
        self._action: bpy.types.Action | None = None
        self._slots: dict[Hashable, Any] = {}

    def hold(self, thing: Any, values: dict[str, Sequence[float]], alike: Hashable = None) -> None:
        """Key properties of a datablock, one value a frame.

        Parameters
        ----------
        values : by property path, as many values as there are frames
        alike : things that share it share their keys: the first one's values go for all
        """
        if not self.count:
            return
        data = thing.animation_data_create()
        if self._action is None:
            self._action = bpy.data.actions.new("Heatcore stills")
            own(self._action)
        data.action = self._action
        if alike is not None and alike in self._slots:
            data.action_slot = self._slots[alike]
            return
        slot = self._action.slots.new(thing.id_type, f"{thing.name}"[:50])
        data.action_slot = slot
        if alike is not None:
            self._slots[alike] = slot
        for path, series in values.items():
            curve = self._action.fcurve_ensure_for_datablock(thing, path)
            curve.keyframe_points.add(self.count)
            frames = np.arange(FIRST, FIRST + self.count, dtype=np.float32)
            points = np.column_stack([frames, np.asarray(series, dtype=np.float32)])
            curve.keyframe_points.foreach_set("co", points.ravel())
            for key in curve.keyframe_points:
                key.interpolation = "CONSTANT"
            curve.update()
