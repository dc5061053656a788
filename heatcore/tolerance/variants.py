"""The scene with some of its dimensions moved: made solid, hung and measured, each only once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import fields, replace
from functools import cached_property

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.build import build
from heatcore.geometry.frames import Floats
from heatcore.geometry.kept import file_stamp
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.mounting import hang
from heatcore.mounting.landmarks import plan_place
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene
from heatcore.tolerance.alike import alike_within
from heatcore.tolerance.consistent import consistent
from heatcore.tolerance.dimension import Dimension, dimensions, moved
from heatcore.tolerance.recent import Recent

# Where dimensions stand, by the dimension; those that are not in it stand as drawn.
Corner = frozenset[tuple[Dimension, float]]
AS_DRAWN: Corner = frozenset()

CARRYING = (Kind.ROOF, Kind.RAFTER, Kind.BEAM, Kind.WALL)
# Twice as far as any arm is adjusted: what a heater may come past when it is hung anew.
BESIDE = 0.1  # m
_OF_HEATERS = ("heater", "circuit", "heater_types", "bracket_types", "option")


# Of the sites that were judged last, whatever hung there: heaters are moved about more often. And
# of the heaters, which hang where they hang whatever hangs beside them.
_MODELS: Recent[dict[Corner, Model | None]] = Recent(4)
_MOUNTS: Recent[dict[Corner, Mount | None]] = Recent(64)


MANY = 50_000  # triangles; a thing out of a mesh file that has more is heavy
_FROM_FILES = ("solid", "furniture")


class Variants:
    """A scene at any corner of its tolerances.

    Parameters
    ----------
    scene, model, mounts : as drawn; the mounts are what is ordered from the drawing

    Attributes
    ----------
    site : everything that heaters hang from or beside, to compare by
    """

    def __init__(self, scene: Scene, model: Model, mounts: Sequence[Mount]) -> None:
        self.ordered: Mapping[str, Mount] = {mount.name: mount for mount in mounts}
        # People sit where they sit: what stands in for them in pictures is not built again.
        self.scene = replace(
            consistent(scene, self.ordered),
            furniture=tuple(replace(f, occupied=False) for f in scene.furniture),
        )
        self.occupied = {place.name: place.occupied for place in model.places}
        self.model = model
        self.site = _site_of(self.scene)
        self._models = _MODELS.of(self.site, dict)
        self._carrying: dict[Model, Model] = {}
        self._heaters = {heater.name: heater for heater in self.scene.heater}
        self._mounts = {
            name: _MOUNTS.of((self.site, self.hung_as(name)), dict) for name in self.ordered
        }

    @cached_property
    def all_dimensions(self) -> tuple[Dimension, ...]:
        """All that may be off."""
        return dimensions(self.scene)

    @cached_property
    def heavy(self) -> frozenset[str]:
        """Names of the things out of mesh files that are not made anew at each corner."""
        count = Counter[str]()
        for part in self.model.parts:
            if part.kind is not Kind.PERSON:
                count[part.owner] += len(part.mesh.triangles)
        from_files = {d.thing for d in self.all_dimensions if d.kind in _FROM_FILES}
        return frozenset(n for n, many in count.items() if many > MANY and n in from_files)

    @cached_property
    def dimensions(self) -> tuple[Dimension, ...]:
        """All that may be off, but of heavy things."""
        return tuple(d for d in self.all_dimensions if d.thing not in self.heavy)

    def hung_as(self, heater: str) -> Hashable:
        """All that is said of a heater, and where and on what it hangs, to compare by."""
        mount = self.ordered[heater]
        arms = tuple((a.extensions, a.fine, a.foot.tobytes(), a.surface) for a in mount.arms)
        frame = mount.frame.origin.tobytes(), mount.frame.axes.tobytes()
        return self._heaters[heater], mount.type, mount.bracket, arms, frame

    def scene_at(self, corner: Corner) -> Scene:
        """The scene with its dimensions moved."""
        return moved(self.scene, dict(corner))

    def model_at(self, corner: Corner) -> Model | None:
        """The scene made solid; None where it cannot be."""
        # Heaters are not made solid here.
        corner = frozenset(c for c in corner if c[0].kind != "heater")
        if corner not in self._models:
            self._models[corner] = self._built(corner)
        return self._models[corner]

    def _built(self, corner: Corner) -> Model | None:
        try:
            made = build(self.scene_at(corner))
        except InputError:
            return None
        places = tuple(
            replace(place, occupied=self.occupied.get(place.name, place.occupied))
            for place in made.places
        )
        parts = tuple(
            part
            for part in made.parts
            if part.kind is not Kind.PERSON
            and (part.owner not in self.heavy or part.kind in CARRYING)
        )
        return Model(parts, places, made.floor_outline)

    def mount_at(self, heater: str, corner: Corner) -> Mount | None:
        """A heater on the brackets that were ordered; None where it cannot be hung.

        Parameters
        ----------
        heater : its name
        corner : of those dimensions alone that can move it
        """
        known = self._mounts[heater]
        if corner not in known:
            known[corner] = self._hung(heater, corner)
        return known[corner]

    def _hung(self, heater: str, corner: Corner) -> Mount | None:
        model = self.model_at(corner)
        if model is None:
            return None
        if corner and self._hangs_as_drawn(heater, corner, model):
            return self.mount_at(heater, AS_DRAWN)
        scene = self.scene_at(corner)
        own = tuple(h for h in scene.heater if h.name == heater)
        try:
            (mount,) = hang(replace(scene, heater=own), self.carrying(model), self.ordered)
        except InputError:
            return None
        return mount

    def _hangs_as_drawn(self, heater: str, corner: Corner, model: Model) -> bool:
        """Whether all that decides where a heater hangs is as drawn, whatever else is moved."""
        drawn, mount = self.model_at(AS_DRAWN), self.mount_at(heater, AS_DRAWN)
        if drawn is None or mount is None or any(d.kind == "heater" for d, _ in corner):
            return False
        own = self._heaters[heater]
        if own.offset is not None:
            before_at = plan_place(own, self.scene, drawn)
            if not np.array_equal(before_at, plan_place(own, self.scene_at(corner), model)):
                return False
        low, high = way_of(mount)
        room = asked_by(mount) + BESIDE
        before, after = self.carrying(drawn).by_name, self.carrying(model).by_name
        return all(
            name in before
            and name in after
            and alike_within(before[name].mesh, after[name].mesh, low - room, high + room)
            for name in before.keys() | after.keys()
            if before.get(name) is not after.get(name)
        )

    def carrying(self, model: Model) -> Model:
        """What of a model heaters may hang from: what else they stand in, clearances find."""
        if model not in self._carrying:
            self._carrying[model] = Model(
                tuple(model.of(*CARRYING)), model.places, model.floor_outline
            )
        return self._carrying[model]


def _site_of(scene: Scene) -> Hashable:
    """All of a scene but its heaters, and the state of its mesh files."""
    said = (getattr(scene, f.name) for f in fields(scene) if f.name not in _OF_HEATERS)
    values = (tuple(value.items()) if isinstance(value, Mapping) else value for value in said)
    files = (*(solid.mesh for solid in scene.solid), *(f.mesh for f in scene.furniture))
    return (*values, *(file_stamp(scene.folder, file) for file in files))


def way_of(mount: Mount) -> tuple[Floats, Floats]:
    """The box that a heater's body passes between its surface and where its arms can let it [m]."""
    travel = np.array([arm.foot - arm.pivot for arm in mount.arms])
    fine = mount.bracket.fine * travel / np.linalg.norm(travel, axis=1, keepdims=True)
    shifted = [mount.body + way for way in (*travel, *-fine)]
    points = np.concatenate([mount.body, *shifted])
    return points.min(axis=0), points.max(axis=0)


def asked_by(mount: Mount) -> float:
    """The farthest that a heater's type asks for over and beside its body [m]."""
    needs = (mount.type.combustible, mount.type.noncombustible)
    return max(max(need.above, need.sides, need.ends) for need in needs)


def boxes_of(parts: Sequence[Part]) -> Floats:
    """(n, 2, 3) the boxes round parts [m]."""
    return np.array([part.mesh.bounds for part in parts]).reshape(-1, 2, 3)


def apart(boxes: Floats, low: Floats, high: Floats) -> Floats:
    """(n,) how far boxes (n, 2, 3) lie from another one [m]; 0 where they meet."""
    gap = np.maximum(np.maximum(low - boxes[:, 1], boxes[:, 0] - high), 0.0)
    out: Floats = np.sqrt((gap * gap).sum(axis=1))
    return out
