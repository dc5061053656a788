"""Convex polygons cut by planes, many at a time."""

from __future__ import annotations

from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Ints


def clip(polygons: Floats, normal: Any, offset: float) -> tuple[Floats, Ints]:
    """Cut convex polygons to a half-space (Sutherland and Hodgman, Comm. ACM 17(1), 1974).

    Parameters
    ----------
    polygons : (n, k, 3) corners in order; a polygon with fewer repeats some of them
    normal, offset : what satisfies ``normal . p <= offset`` stays

    Returns
    -------
    polygons : (m, j, 3) what is left, those of which nothing is left dropped
    index : (m,) which of the given polygons each was
    """
    height = polygons @ np.asarray(normal, dtype=np.float64) - offset
    some = np.flatnonzero((height <= 0.0).any(axis=1))
    polygons, height = polygons[some], height[some]
    inside = height <= 0.0
    if inside.all():
        return polygons, some
    following = np.roll(polygons, -1, axis=1)
    next_height = np.roll(height, -1, axis=1)
    crosses = inside != np.roll(inside, -1, axis=1)
    share = np.divide(height, height - next_height, out=np.zeros_like(height), where=crosses)
    crossing = polygons + share[..., None] * (following - polygons)

    count, size = height.shape
    corners = np.stack([polygons, crossing], axis=2).reshape(count, 2 * size, 3)
    stays = np.stack([inside, crosses], axis=2).reshape(count, 2 * size)
    kept = stays.sum(axis=1)
    order = np.argsort(~stays, axis=1, kind="stable")[:, : kept.max()]
    # Polygons of fewer corners than the largest repeat their last one.
    order = np.where(
        np.arange(order.shape[1]) < kept[:, None],
        order,
        order[np.arange(count), kept - 1][:, None],
    )
    return np.take_along_axis(corners, order[..., None], axis=1), some


def clip_to_box(polygons: Floats, low: Any, high: Any) -> tuple[Floats, Ints]:
    """Cut convex polygons to an axis-aligned box, any side of which may be infinite.

    Parameters
    ----------
    polygons : (n, k, 3) corners in order
    low, high : (3,) lowest and highest corner of the closed box

    Returns
    -------
    polygons : (m, j, 3) what is left
    index : (m,) which of the given polygons each was
    """
    index = np.arange(len(polygons))
    for axis in range(3):
        for sign, bound in ((1.0, high[axis]), (-1.0, -low[axis])):
            if not np.isfinite(bound) or not len(polygons):
                continue
            normal = np.zeros(3)
            normal[axis] = sign
            polygons, some = clip(polygons, normal, float(bound))
            index = index[some]
    return polygons, index
