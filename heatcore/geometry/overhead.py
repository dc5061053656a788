"""What is over a place in plan, and columns that reach up to it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from shapely import LineString, Polygon

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Part
from heatcore.geometry.roofs import RoofShape
from heatcore.geometry.solids import Solid, prism

# A millimetre's slip of the drawing does not open the roof.
SLIP = 0.001  # m
_AT_ONCE = 500_000  # pairs of a point and a face, to bound the memory
_INSIDE = 1e-9  # share of a triangle by which a point on its edge still counts as inside


@dataclass(frozen=True, eq=False)
class Overhead:
    """The undersides over the floor.

    Attributes
    ----------
    roofs : the roofs
    beams : each beam in plan, and the height of its underside [m]
    """

    roofs: tuple[RoofShape, ...]
    beams: tuple[tuple[Polygon, float], ...] = ()

    def column(self, plan: Polygon, bottom: float) -> Solid | None:
        """Return the prism over a plan from `bottom` up to what is above it; None in the open.

        It ends level under a beam, and follows the underside of a roof. Whatever starts below
        `bottom` is not above it.
        """
        middle = np.array(plan.centroid.coords[0])
        levels = [
            z for over, z in self.beams if z > bottom and over.intersection(plan).area > SLIP**2
        ]
        roofs = [
            shape
            for shape in self.roofs
            if shape.underside(middle) > bottom and shape.outline.distance(plan) <= SLIP
        ]
        if not levels and not roofs:
            return None
        corners = np.asarray(plan.exterior.coords)
        solid = prism(plan, bottom, min(levels + [shape.highest(corners) + 1.0 for shape in roofs]))
        for shape in roofs:
            solid = shape.below(solid)
        return solid

    def stretches(self, line: LineString) -> list[tuple[RoofShape, float, float]]:
        """Return which roofs cover a line in plan, each with the distances along it [m]."""
        found = []
        for shape in self.roofs:
            covered = line.intersection(shape.outline.buffer(SLIP, join_style="mitre"))
            for piece in getattr(covered, "geoms", [covered]):
                if piece.length > SLIP:
                    ends = [line.project(end) for end in piece.boundary.geoms]
                    found.append((shape, min(ends), max(ends)))
        return found


def ceiling_height(parts: Iterable[Part], points: Floats, above: float | Floats = 0.0) -> Floats:
    """Heights of the lowest underside above plan points, from the solids themselves.

    Parameters
    ----------
    parts : where to look: of a model's parts the roofs, or all the solid ones
    points : (..., 2) [m]
    above : what lies at this height or lower does not count; one, or (...,) [m]

    Returns
    -------
    (...,) heights [m]; infinite in the open. Over an edge of a face the face counts.
    """
    points = np.asarray(points, dtype=np.float64)
    flat = points.reshape(-1, 2)
    floor = np.broadcast_to(np.asarray(above, dtype=np.float64), points.shape[:-1]).reshape(-1)
    faces = [part.mesh.corners[part.mesh.normals[:, 2] < -1e-9] for part in parts]
    lowest = np.full(len(flat), np.inf)
    corners = np.concatenate([np.empty((0, 3, 3)), *faces])
    a, ab, ac = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    stride = max(1, _AT_ONCE // max(1, len(corners)))
    for start in range(0, len(flat), stride):
        here = slice(start, start + stride)
        x, y = (flat[here, None, i] - a[:, i] for i in (0, 1))
        s = (x * ac[:, 1] - y * ac[:, 0]) / area
        t = (ab[:, 0] * y - ab[:, 1] * x) / area
        z = a[:, 2] + s * ab[:, 2] + t * ac[:, 2]
        hit = (s >= -_INSIDE) & (t >= -_INSIDE) & (s + t <= 1 + _INSIDE) & (z > floor[here, None])
        lowest[here] = np.where(hit, z, np.inf).min(axis=1, initial=np.inf)
    return lowest.reshape(points.shape[:-1])
