"""Where a piece of furniture or a person can go: on the floor, and into nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Model, Part, Place

HEADROOM = 1.9  # m; what begins higher is in nobody's way
BODY = 0.25  # m; half of what somebody takes up who is not drawn
TOUCHES = 1e-4  # m2
SOLID = (
    Kind.FURNITURE, Kind.WALL, Kind.POST, Kind.DOOR, Kind.WINDOW, Kind.FITTING, Kind.PERSON,
    Kind.PLATFORM, Kind.SOLID,
)  # fmt: skip


class Room:
    """Where a thing and the people on it can be moved to.

    A door's whole swing is in the way too. What the thing overlaps where it stands, as a chair does
    its table, it may overlap by as much elsewhere.
    """

    def __init__(self, model: Model, owner: str, places: Sequence[Place]) -> None:
        names = {owner, *(place.name for place in places)}
        mine = [part for part in model.parts if part.owner in names]
        self.points = np.array([place.point[:2] for place in places])
        self.shape = shapely.union_all(
            [*_plans(mine), *(shapely.Point(p).buffer(BODY) for p in self.points)]
        )
        others = [
            part
            for part in model.parts
            if part.kind in SOLID and part.owner not in names and part.mesh.bounds[0, 2] < HEADROOM
        ]
        self.obstacles = _plans(others)
        self.tree = shapely.STRtree(self.obstacles)
        self.overlaps = shapely.area(shapely.intersection(self.obstacles, self.shape))
        self.walls = shapely.union_all(_plans(p for p in others if p.kind is Kind.WALL))
        self.floor = shapely.Polygon(model.floor_outline)
        self.on_floor = self._on_floor(np.zeros(2))

    def free(self, offsets: Floats) -> NDArray[np.bool_]:
        """Whether the thing can stand moved by each of the offsets (n, 2) [m]."""
        return np.array([self._free(offset) for offset in offsets], dtype=bool)

    def _free(self, offset: Floats) -> bool:
        if not (self._on_floor(offset) >= self.on_floor).all() or self._through_walls(offset):
            return False
        moved = shapely.transform(self.shape, lambda points: points + offset)
        met = self.tree.query(moved, predicate="intersects")
        overlaps = shapely.area(shapely.intersection(self.obstacles[met], moved))
        return bool((overlaps <= self.overlaps[met] + TOUCHES).all())

    def _on_floor(self, offset: Floats) -> NDArray[np.bool_]:
        moved = self.points + offset
        return np.asarray(shapely.intersects_xy(self.floor, moved[:, 0], moved[:, 1]))

    def _through_walls(self, offset: Floats) -> bool:
        ways = shapely.linestrings(np.stack([self.points, self.points + offset], axis=1))
        return bool(shapely.intersects(ways, self.walls).any())


def _plans(parts: Iterable[Part]) -> NDArray[np.object_]:
    """What parts cover in plan: convex, as furniture is walked around."""
    plans = [shapely.convex_hull(shapely.MultiPoint(part.mesh.vertices[:, :2])) for part in parts]
    return np.array(plans, dtype=object)
