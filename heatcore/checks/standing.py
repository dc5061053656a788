"""What people stand on about a heater: the floor, and what is raised above it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from heatcore.geometry.frames import Floats
from heatcore.geometry.overhead import SLIP
from heatcore.geometry.parts import Kind, Mesh, Model
from heatcore.geometry.reading import NOISE
from heatcore.geometry.shadow import shadow

# Common practice, no source: whoever stands on an edge reaches so far beyond it with head and
# shoulders [m].
LEANS = 0.3


@dataclass(frozen=True, eq=False)
class Ground:
    """Something that people stand on.

    Attributes
    ----------
    name : of the part
    height : of its upper face above the floor [m]
    plan : where it lies; the floor goes on as the ground around it, so it has none
    """

    name: str
    height: float
    plan: shapely.Geometry | None = None

    def under(self, point: Floats) -> Floats:
        """(3,) the place on it that lies nearest in plan to a point (3,) [m]."""
        at = shapely.Point(point[:2])
        if self.plan is not None:
            at = shapely.shortest_line(self.plan, at).interpolate(0.0)
        return np.array([at.x, at.y, self.height])


@lru_cache(maxsize=2)  # a model never changes, and a heater may be dragged through it
def grounds(model: Model) -> tuple[Ground, ...]:
    """The floor, and every platform."""
    floor = next((part.name for part in model.of(Kind.FLOOR)), "")
    return (
        Ground(floor, 0.0),
        *(
            Ground(
                part.name,
                float(part.mesh.bounds[1, 2]),
                _seen_from_above(part.mesh),
            )
            for part in model.of(Kind.PLATFORM)
        ),
    )


def stood_on(model: Model, plan: shapely.Polygon, within: float) -> tuple[Ground, ...]:
    """The floor, and the platforms within so far of a plan [m], the highest first."""
    near = (
        ground
        for ground in grounds(model)
        if ground.plan is None or ground.plan.distance(plan) <= within + NOISE
    )
    return tuple(sorted(near, key=lambda ground: -ground.height))


def wholly_over(model: Model, plan: shapely.Polygon) -> Ground:
    """The lowest of what lies under a plan: the floor, unless platforms cover all of it."""
    floor, *platforms = grounds(model)
    if not platforms:
        return floor
    under = [ground for ground in platforms if plan.intersects(ground.plan)]
    covers = shapely.union_all([ground.plan for ground in under]).buffer(SLIP).covers(plan)
    return min(under, key=lambda ground: ground.height) if under and covers else floor


def off_the_floor(model: Model, plan: shapely.Polygon) -> bool:
    """Whether part of a plan lies beyond the floor's edge."""
    return not _floor(model).covers(plan)


@lru_cache(maxsize=2)
def _floor(model: Model) -> shapely.Geometry:
    floor = shapely.Polygon(model.floor_outline).buffer(SLIP, join_style="mitre")
    shapely.prepare(floor)
    return floor


def _seen_from_above(mesh: Mesh) -> shapely.Geometry:
    return shadow(mesh.corners[mesh.normals[:, 2] > NOISE])
