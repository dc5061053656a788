"""Which things of a scene can matter to which: what stands in, hangs from or goes up to what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Model, Part
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater, Scene
from heatcore.scene.space import Beam, Door, Fitting, Post, Rafters, Roof, Wall, Window
from heatcore.tolerance.dimension import FLOOR, Dimension, drawn_things
from heatcore.tolerance.variants import BESIDE, CARRYING, apart, asked_by, boxes_of, way_of

# What goes up to a roof or a beam meets it, give or take what the drawing may be off.
_MEETS = 0.3  # m
# A large roof that is turned a little is moved where it is far off, and not near the heater.
TURNS_ABOUT = 3.0  # m


class Ties:
    """What depends on what in a scene as drawn.

    Parameters
    ----------
    scene, model : as drawn
    dimensions : all that may be off
    """

    def __init__(self, scene: Scene, model: Model, dimensions: Iterable[Dimension]) -> None:
        self._scene, self._model = scene, model
        self._things = {
            FLOOR if kind == FLOOR else thing.name: thing for kind, thing in drawn_things(scene)
        }
        self._dimensions: dict[str, list[Dimension]] = {}
        for dimension in dimensions:
            self._dimensions.setdefault(dimension.thing, []).append(dimension)
        self._boxes = {
            owner: boxes_of([part for part in model.parts if part.owner == owner])
            for owner in {part.owner for part in model.parts}
        }

    def dimensions_of(self, things: Iterable[str], *, tops: bool = True) -> list[Dimension]:
        """The dimensions of things, by their names, and of all that they depend on.

        Parameters
        ----------
        tops : whether what they go up to counts too
        """
        names = self._with_holders(things, tops=tops)
        return [d for name in names for d in self._dimensions.get(name, [])]

    def carrying(self, mount: Mount) -> list[str]:
        """Names of the things that can change where a heater hangs, itself included."""
        heater = mount.heater
        names = [mount.name, *self._landmarks(heater)]
        if heater.mounted_on is not None:
            names.append(heater.mounted_on)
        low, high = way_of(mount)
        parts = [part for part in self._model.parts if part.kind in CARRYING and not part.swept]
        off = apart(boxes_of(parts), low, high)
        feet = {arm.surface for arm in mount.arms}
        asked = asked_by(mount)
        for part, away in zip(parts, off.tolist(), strict=True):
            if part.name in feet or away < asked + BESIDE + self.may_move(part.owner):
                names.append(part.owner)
        return list(dict.fromkeys(names))

    def may_move(self, thing: str) -> float:
        """About how far a thing may move, all its tolerances added up [m].

        Only what is farther off than this is left out from the first; what is looked at then tells
        whether that was enough.
        """
        boxes = self._boxes.get(thing)
        reach = 0.0
        if boxes is not None and len(boxes):
            size = boxes[:, 1].max(axis=0) - boxes[:, 0].min(axis=0)
            reach = min(float(np.linalg.norm(size)) / 2.0, TURNS_ABOUT)
        # What it goes up to only makes it higher or lower.
        return sum(
            dimension.tolerance * (1.0 if dimension.unit == "m" else reach)
            for dimension in self.dimensions_of([thing], tops=False)
        )

    def _with_holders(self, things: Iterable[str], *, tops: bool) -> list[str]:
        """Things and all that they depend on, each once."""
        waiting, found = list(things), dict[str, None]()
        while waiting:
            name = waiting.pop(0)
            if name in self._things and name not in found:
                found[name] = None
                thing = self._things[name]
                waiting += self._holders(thing) + (self._tops(name, thing) if tops else [])
        return list(found)

    def _holders(self, thing: Any) -> list[str]:
        if isinstance(thing, Door | Window):
            return [thing.wall]
        if isinstance(thing, Rafters):
            return [thing.roof]
        return [FLOOR] if isinstance(thing, Roof) and thing.outline is None else []

    def _tops(self, name: str, thing: Any) -> list[str]:
        reaches_up = (
            (isinstance(thing, Post) and thing.top is None)
            or (isinstance(thing, Wall) and thing.height is None)
            or (isinstance(thing, Fitting) and thing.hung)
        )
        return self._over(name) if reaches_up else []

    def _over(self, thing: str) -> list[str]:
        """Roofs and beams that a thing goes up to."""
        own = self._boxes.get(thing)
        if own is None:
            return []
        low, high = own[:, 0].min(axis=0), own[:, 1].max(axis=0)
        above: tuple[Roof | Beam, ...] = (*self._scene.roof, *self._scene.beam)
        boxes = ((other.name, self._boxes.get(other.name)) for other in above)
        return [n for n, box in boxes if box is not None and (apart(box, low, high) < _MEETS).any()]

    def _landmarks(self, heater: Heater) -> list[str]:
        if heater.offset is None:
            return []
        owners: Mapping[str, str] = {place.name: place.owner for place in self._model.places}
        name = heater.offset.from_
        return [name if name in self._things else owners.get(name, name)]


def near(parts: Iterable[Part], low: Floats, high: Floats, reach: float) -> tuple[Part, ...]:
    """Those of some parts whose boxes come within reach of a box [m]."""
    listed = tuple(parts)
    off = apart(boxes_of(listed), low, high)
    return tuple(part for part, away in zip(listed, off.tolist(), strict=True) if away <= reach)
