"""Convex polygons cut by planes, many at a time."""

from __future__ import annotations

from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Ints


def clip(polygons: Floats, height: Floats) -> tuple[Floats, Ints]:
    """Cut off what rises above a plane (Sutherland and Hodgman, Comm. ACM 17(1), 1974).

    Parameters
    ----------
    polygons : (n, k, 3) corners in order; a polygon with fewer repeats its last
    height : (n, k) of each corner above the plane that cuts its polygon; what lies in it stays

    Returns
    -------
    polygons : (m, j, 3) what is left, those of which nothing is left dropped
    index : (m,) which of the given polygons each was
    """
    some = np.flatnonzero((height <= 0.0).any(axis=1))
    if len(some) < len(polygons):
        polygons, height = polygons[some], height[some]
    inside = height <= 0.0
    if inside.all():
        return polygons, some
    count, size = height.shape
    after = np.arange(1, size + 1) % size
    crosses = inside != inside[:, after]
    drop = height - height[:, after]
    share = np.divide(height, drop, out=np.zeros_like(height), where=crosses)
    crossing = polygons + share[..., None] * (polygons[:, after] - polygons)

    corners = np.stack([polygons, crossing], axis=2).reshape(count, 2 * size, 3)
    stays = np.stack([inside, crosses], axis=2).reshape(count, 2 * size)
    kept = stays.sum(axis=1)
    width = int(kept.max())
    order = np.argsort(~stays, axis=1, kind="stable")[:, :width]
    last = np.minimum(np.arange(width), kept[:, None] - 1)
    rows = np.arange(count)[:, None]
    return corners[rows, order[rows, last]], some


def clip_to_box(polygons: Floats, low: Any, high: Any) -> tuple[Floats, Ints]:
    """Cut convex polygons to axis-aligned boxes, any side of which may be infinite.

    Parameters
    ----------
    polygons : (n, k, 3) corners in order
    low, high : (3,) or (n, 3) lowest and highest corner of the closed box of all, or of each

    Returns
    -------
    polygons : (m, j, 3) what is left
    index : (m,) which of the given polygons each was
    """
    low = np.broadcast_to(np.asarray(low, dtype=np.float64), (len(polygons), 3))
    high = np.broadcast_to(np.asarray(high, dtype=np.float64), (len(polygons), 3))
    index = np.arange(len(polygons))
    for axis in range(3):
        for bound, sign in ((high, 1.0), (low, -1.0)):
            if not len(index):
                return polygons, index
            height = sign * (polygons[..., axis] - bound[index, axis, None])
            polygons, some = clip(polygons, height)
            index = index[some]
    return polygons, index
