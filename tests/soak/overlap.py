"""What stands how near to a box: FCL on bare triangles, and none of the tool's own geometry.

Everything is in the box's own frame, so far-away coordinates cost no accuracy.
"""

from __future__ import annotations

from math import inf
from typing import Any

import fcl
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_CORNERS = np.array([(x, y, z) for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
_SIDES = np.array(
    [
        (0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1),
        (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4), (1, 5, 7), (1, 7, 3),
    ]
)  # fmt: skip


def box_triangles(low: Floats, high: Floats) -> Floats:
    """(12, 3, 3) the surface of a box."""
    return (low + _CORNERS * (high - low))[_SIDES]


def near(triangles: Floats, low: Floats, high: Floats) -> Floats:
    """The triangles whose own boxes meet a box."""
    met = (triangles.min(axis=1) <= high).all(axis=1) & (triangles.max(axis=1) >= low).all(axis=1)
    return triangles[met]


def distance(triangles: Floats, low: Floats, high: Floats, reach: float = inf) -> float:
    """Shortest distance from a box's surface to triangles; infinite beyond a reach [m]."""
    some = near(triangles, low - reach, high + reach)
    if not len(some):
        return inf
    found = fcl.distance(
        _object(box_triangles(low, high)),
        _object(some),
        fcl.DistanceRequest(),
        fcl.DistanceResult(),
    )
    return max(float(found), 0.0)


def stands_in(triangles: Floats, low: Floats, high: Floats) -> bool:
    """Whether a closed surface, or what it encloses, has anything in common with a box."""
    if (high <= low).any():
        return False
    some = near(triangles, low, high)
    if len(some):
        corners = some.reshape(-1, 3)
        if ((corners > low) & (corners < high)).all(axis=1).any():
            return True
        box = _object(box_triangles(low, high))
        if fcl.collide(box, _object(some), fcl.CollisionRequest(), fcl.CollisionResult()):
            return True
    return holds((low + high) / 2, triangles)


def holds(point: Floats, triangles: Floats) -> bool:
    """Whether a closed surface goes round a point: its winding number, by solid angles.

    Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30(2), 1983, from memory.
    """
    corners = triangles.reshape(-1, 3)
    if (point < corners.min(axis=0)).any() or (point > corners.max(axis=0)).any():
        return False
    a, b, c = np.moveaxis(triangles - point, 1, 0)
    la, lb, lc = (np.linalg.norm(v, axis=1) for v in (a, b, c))
    triple = (a * np.cross(b, c)).sum(axis=1)
    lower = la * lb * lc
    lower += (a * b).sum(axis=1) * lc + (b * c).sum(axis=1) * la + (c * a).sum(axis=1) * lb
    turns = np.arctan2(triple, lower).sum() / (2.0 * np.pi)
    return bool(abs(turns) > 0.5)


def to_triangles(points: Floats, triangles: Floats) -> Floats:
    """(n,) distance of each point (n, 3) from the nearest of the triangles (m, 3, 3) [m].

    To the plane where the foot lies inside the triangle, else to the nearest edge.
    """
    a, b, c = np.moveaxis(triangles, 1, 0)
    normal = np.cross(b - a, c - a)
    area = (normal * normal).sum(axis=1)
    best = np.full(len(points), inf)
    for start, end in ((a, b), (b, c), (c, a)):
        edge = end - start
        away = points[:, None] - start
        along = (away * edge).sum(axis=2) / np.maximum((edge * edge).sum(axis=1), 1e-300)
        off = away - np.clip(along, 0.0, 1.0)[..., None] * edge
        best = np.minimum(best, np.linalg.norm(off, axis=2).min(axis=1))
    solid = area > 0.0
    a, b, c, normal, area = (v[solid] for v in (a, b, c, normal, area))
    inside = np.ones((len(points), len(a)), dtype=bool)
    for start, end in ((a, b), (b, c), (c, a)):
        turned = np.cross(np.broadcast_to(end - start, (*inside.shape, 3)), points[:, None] - start)
        inside &= (turned * normal).sum(axis=2) >= 0.0
    height = np.abs(((points[:, None] - a) * normal).sum(axis=2)) / np.sqrt(area)
    return np.minimum(best, np.where(inside, height, inf).min(axis=1, initial=inf))


def _object(triangles: Floats) -> Any:
    model = fcl.BVHModel()
    model.beginModel(3 * len(triangles), len(triangles))
    numbers = np.arange(3 * len(triangles)).reshape(-1, 3)
    model.addSubModel(np.ascontiguousarray(triangles.reshape(-1, 3)), numbers)
    model.endModel()
    return fcl.CollisionObject(model, fcl.Transform())
