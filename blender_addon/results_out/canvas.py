"""Where a result is put: its collections, its scale, and when each of its objects shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import bpy
import mathutils
import numpy as np

from heatcore.geometry.frames import Floats, Frame
from heatcore.views.view import FloorShows, Layer, View

from ..declarations import FLOOR, OWN, ROOT


@dataclass(frozen=True)
class Shown:
    """When an object shows in the stills.

    Attributes
    ----------
    layer : the layer that must be on; None where it shows always
    view : the one view that it belongs to; '' for all
    part : name of the part that it stands for; a view may do without it
    heater : name of the heater that it speaks of; a view may be about others
    outdoors : whether it belongs to the surroundings, which drawings do without
    drawn : True where it is for drawings alone, False for pictures alone
    floor : what the floor must show; None where it does not matter
    """

    layer: Layer | None
    view: str = ""
    part: str = ""
    heater: str = ""
    outdoors: bool = False
    drawn: bool | None = None
    floor: FloorShows | None = None

    def in_view(self, view: View) -> bool:
        """Whether it shows in a view."""
        return (
            (self.layer is None or self.layer in view.layers)
            and self.view in ("", view.name)
            and self.part not in view.hidden
            and (not self.heater or not view.heaters or self.heater in view.heaters)
            and not (self.outdoors and is_drawing(view))
            and self.drawn in (None, is_drawing(view))
        )


def is_drawing(view: View) -> bool:
    """Whether a view is a drawing on pale ground (a plan, an elevation) and no picture."""
    return view.lens == 0.0


class Canvas:
    """A scene of Blender that a result is written into.

    Attributes
    ----------
    scene : the scene
    per_metre : Blender units to the metre, by the scene's unit scale
    objects : what was put there, and when it shows
    """

    def __init__(self, scene: bpy.types.Scene) -> None:
        self.scene = scene
        self.per_metre = 1.0 / scene.unit_settings.scale_length
        self.objects: list[tuple[bpy.types.Object, Shown]] = []
        self.root = bpy.data.collections.new(ROOT)
        own(self.root)
        scene.collection.children.link(self.root)
        self._collections = {layer: self.collection(layer.value) for layer in Layer}
        self._floors: dict[tuple[Layer, FloorShows], bpy.types.Collection] = {}

    def collection(
        self,
        name: str,
        parent: bpy.types.Collection | None = None,
        floor: FloorShows | None = None,
    ) -> bpy.types.Collection:
        """Make a collection inside another, or inside the root; of one kind of floor, or of all."""
        made = bpy.data.collections.new(name)
        own(made)
        if floor is not None:
            made[FLOOR] = floor.value
        (parent or self.root).children.link(made)
        return made

    def layer(self, layer: Layer) -> bpy.types.Collection:
        """Return the collection that is a layer's switch."""
        return self._collections[layer]

    def home(self, shown: Shown) -> bpy.types.Collection:
        """Return where an object goes: its layer, or what that holds for one kind of floor."""
        layer, floor = shown.layer, shown.floor
        assert layer is not None
        if floor is None:
            return self.layer(layer)
        if (layer, floor) not in self._floors:
            name = f"{layer.value} {floor.value}"
            self._floors[layer, floor] = self.collection(name, self.layer(layer), floor)
        return self._floors[layer, floor]

    def put(
        self,
        name: str,
        data: Any,
        shown: Shown,
        collection: bpy.types.Collection | None = None,
    ) -> bpy.types.Object:
        """Make an object of the data and put it into a collection; left out, its own (`home`)."""
        made = bpy.data.objects.new(name, data)
        own(made)
        if data is not None:
            own(data)
        (collection or self.home(shown)).objects.link(made)
        self.objects.append((made, shown))
        return made

    def units(self, points: Any) -> Floats:
        """World points or lengths [m] in Blender units."""
        out: Floats = np.asarray(points, dtype=np.float64) * self.per_metre
        return out

    @staticmethod
    def on_level(ring: Floats, height: float) -> Floats:
        """Points (n, 2) in plan as points (n, 3) at a height [m]."""
        out: Floats = np.column_stack([ring, np.full(len(ring), height)])
        return out

    def place(self, thing: bpy.types.Object, frame: Frame) -> None:
        """Put an object into a frame, its own axes along the frame's."""
        thing.matrix_world = self.matrix(frame)

    def matrix(self, frame: Frame) -> mathutils.Matrix:
        """Return a frame as Blender's matrix."""
        matrix = np.eye(4)
        matrix[:3, :3] = frame.axes.T
        matrix[:3, 3] = self.units(frame.origin)
        return mathutils.Matrix(matrix.tolist())


def own(datablock: Any) -> None:
    """Mark a datablock as the add-on's own, which the next result may replace."""
    datablock[OWN] = True


def is_own(datablock: Any) -> bool:
    """Whether the add-on wrote a datablock."""
    return datablock is not None and bool(datablock.get(OWN))
