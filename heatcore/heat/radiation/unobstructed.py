"""Irradiance of a point by a rectangle with nothing in the way, per watt and steradian of its peak.

Everything here is in the emitter's frame: the rectangle lies in the plane z = 0, centred on the
origin, and emits toward -Z. Divided by the peak intensity the power drops out, so that dimming a
heater changes a factor and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints
from heatcore.heat.radiation.pattern import Singles, gauss_legendre, over_tangents, panels
from heatcore.scene.types import Pattern

AT_ONCE = 1 << 17  # nodes at once: what stays in the cache, and bounds the memory
ORDERS = np.array([2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64])
ACCURACY = 1e-5  # of the quadrature, where the integrand is smooth
# Least size of the ellipse of `_rules` for each order: the sum of its half axes' r + 1 / r.
AXES = np.array([ACCURACY ** (-1 / (2 * n)) + ACCURACY ** (1 / (2 * n)) for n in ORDERS])
# Of these ranges a rule is one number; a table has at most 1000 angles, and as many mirrored.
RULES = (100, 2001, 100, 2001)
KINKED = 7  # number of the least order where the receiver's own plane cuts the rectangle


def unobstructed(
    pattern: Pattern, length: float, width: float, points: Floats, normals: Floats
) -> Floats:
    """Irradiance of points by the rectangle, divided by its peak intensity.

    Uniform radiance exactly (see `view_factor`); other patterns by Gauss-Legendre quadrature over
    the rectangle, of an order that follows from how near a point lies, to 1e-4 where the pattern
    is smooth.

    Parameters
    ----------
    pattern : of the emitter
    length, width : of the rectangle, along X and Y [m]
    points : (n, 3) in the emitter's frame [m]
    normals : (n, 3) unit vectors of the receiving surfaces, in the emitter's frame

    Returns
    -------
    (n,) [1/m2 sr]; 0 behind the rectangle's plane, in it, and where the receiver faces away
    """
    if pattern.kind == "uniform":
        return pi / (length * width) * view_factor(length, width, points, normals)
    out = np.zeros(len(points))
    ahead = np.flatnonzero(points[:, 2] < 0.0)
    rules = _rules(pattern, length, width, points[ahead], normals[ahead])
    for rule in np.unique(rules).tolist():
        along, breaks_along, across, breaks_across = np.unravel_index(rule, RULES)
        chosen = ahead[rules == rule]
        size = along * (breaks_along + 1) * across * (breaks_across + 1)
        for part in _parts(chosen, size):
            some = points[part]
            x = _nodes(
                length / 2, along, some[:, 0], some[:, 2], pattern.angles_along, breaks_along
            )
            y = _nodes(
                width / 2, across, some[:, 1], some[:, 2], pattern.angles_across, breaks_across
            )
            out[part] = _quadrature(pattern, x, y, some, normals[part])
    return out


def view_factor(length: float, width: float, points: Floats, normals: Floats) -> Floats:
    """View factor from surface elements to the rectangle's emitting side.

    Lambert's sum over the edges of a polygon (J. H. Lambert, Photometria, 1760; Hottel and
    Sarofim, Radiative Transfer, 1967), exact for any attitude: the rectangle is clipped by the
    element's own plane first, and is dark from behind.

    Parameters
    ----------
    length, width : of the rectangle, along X and Y [m]
    points : (n, 3) in its frame [m]
    normals : (n, 3) unit vectors, in its frame

    Returns
    -------
    (n,) from 0 to 1
    """
    out = np.zeros(len(points))
    x, y = length / 2, width / 2
    # Clockwise seen from the side that it emits to, so that the sum comes out positive.
    corners = np.array([(-x, -y, 0.0), (x, -y, 0.0), (x, y, 0.0), (-x, y, 0.0)])
    ahead = np.flatnonzero(points[:, 2] < 0.0)
    for part in _parts(ahead, 32):
        normal = normals[part].T
        to = corners.T[:, :, None] - points[part].T[:, None]
        height = np.einsum("ian,in->an", to, normal)
        whole = height.min(axis=0) >= 0.0
        cut = ~whole & (height.max(axis=0) > 0.0)
        found = np.zeros(len(part))
        found[whole] = _edges(to[..., whole], np.roll(to[..., whole], -1, axis=1), normal[:, whole])
        if cut.any():
            found[cut] = _clipped(to[..., cut], height[:, cut], normal[:, cut])
        out[part] = found
    return np.clip(out, 0.0, 1.0)


def _edges(start: Floats, end: Floats, normals: Floats) -> Floats:
    """Lambert's sum (n,) over edges (3, e, n) that run round what is seen; normals (3, n)."""
    (ax, ay, az), (bx, by, bz), (nx, ny, nz) = start, end, normals
    cx, cy, cz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    size = np.sqrt(cx * cx + cy * cy + cz * cz)
    turn = np.arctan2(size, ax * bx + ay * by + az * bz)
    toward = cx * nx + cy * ny + cz * nz
    each = np.divide(turn * toward, size, out=np.zeros_like(size), where=size > 0.0)
    return np.asarray(each.sum(axis=0) / (2 * pi))


def _clipped(to: Floats, height: Floats, normals: Floats) -> Floats:
    """The sum for rectangles that the element's own plane cuts.

    What is left of a convex polygon is convex: each edge keeps its part above the plane, and one
    more runs along the plane from where the boundary dips below to where it comes up again.
    """
    after, height_after = np.roll(to, -1, axis=1), np.roll(height, -1, axis=0)
    drop = height - height_after
    share = np.divide(height, drop, out=np.zeros_like(drop), where=drop != 0.0)
    crossing = to + share * (after - to)
    above, above_after = height > 0.0, height_after > 0.0
    start = np.where(above, to, np.where(above_after, crossing, 0.0))
    end = np.where(above_after, after, np.where(above, crossing, 0.0))
    down = np.where(above & ~above_after, crossing, 0.0).sum(axis=1, keepdims=True)
    up = np.where(~above & above_after, crossing, 0.0).sum(axis=1, keepdims=True)
    return _edges(np.concatenate([start, down], axis=1), np.concatenate([end, up], axis=1), normals)


def _quadrature(
    pattern: Pattern,
    along: tuple[Floats, Floats],
    across: tuple[Floats, Floats],
    points: Floats,
    normals: Floats,
) -> Floats:
    """Irradiance per peak intensity (n,): the mean over the rectangle of I cos / d**2.

    Nodes and weights along and across are the same for all points, (k, 1), or each point's own,
    (k, n). Points come last in every array: they are many, and the nodes few.
    """
    (x, wx), (y, wy) = along, across
    right, ahead, depth = points[:, 0] - x, points[:, 1] - y, -points[:, 2]
    d2 = (right * right)[:, None] + (ahead * ahead + depth * depth)
    # Height over the receiver's plane, d cos.
    height = (normals[:, 2] * depth - normals[:, 1] * ahead) - (normals[:, 0] * right)[:, None]
    each = np.maximum(height, 0.0) / (d2 * np.sqrt(d2))
    each *= over_tangents(pattern, (right / depth)[:, None], ahead / depth)
    each *= wx[:, None] * wy
    return np.asarray(each.sum(axis=(0, 1)))


def _nodes(
    half: float, order: int, at: Floats, z: Floats, angles: tuple[float, ...], breaks: int
) -> tuple[Floats, Floats]:
    """Nodes and weights, as shares of the whole, along one side of a rectangle.

    Parameters
    ----------
    half : half of the side [m]
    order : of the Gauss rule in each panel
    at, z : (n,) where the points are, along the side and before it
    angles : of a table
    breaks : how many of them each of the points sees within the side; the rule is split there

    Returns
    -------
    (order, 1) each where there are no breaks, else (order (breaks + 1), n)
    """
    node, weight = gauss_legendre(order)
    if not breaks:
        return half * node[:, None], weight[:, None] / 2
    where = _entries(angles, at, z)
    first = np.count_nonzero(where <= -half, axis=1)
    ends = np.empty((len(at), breaks + 2))
    ends[:, 0], ends[:, -1] = -half, half
    ends[:, 1:-1] = np.take_along_axis(where, first[:, None] + np.arange(breaks), axis=1)
    nodes, weights = panels(ends, node, weight)
    return nodes.T, weights.T / (2 * half)


def _entries(angles: tuple[float, ...], at: Floats, z: Floats) -> Floats:
    """Where along a side points (n,) see a table's entries, (n, entries), ascending [m]."""
    both = [-angle for angle in angles] if angles[0] >= 0.0 else []
    turns = np.unique([*angles, *both])[::-1]
    turns = turns[np.abs(turns) < pi / 2 - 1e-6]
    return np.asarray(at[:, None] + z[:, None] * np.tan(turns))


def _rules(pattern: Pattern, length: float, width: float, points: Floats, normals: Floats) -> Ints:
    """Order and breaks of the quadrature along, then across, as one number (n,) (see `RULES`).

    A Gauss rule of order n errs like r**(-2 n), with r the size of the largest ellipse about the
    interval (as in Bernstein's bound) in which the integrand is smooth in the complex plane. It is
    not at x +- i z, where the distance and the tangents of the pattern's angles vanish, nor at a
    table's entries, where the rule is split.
    """
    depth = -points[:, 2]
    flat = _is_cut(length, width, points, normals)
    columns = []
    for half, at, power, angles in (
        (length / 2, points[:, 0], pattern.along, pattern.angles_along),
        (width / 2, points[:, 1], pattern.across, pattern.angles_across),
    ):
        scale = 1.0 / sqrt(1.0 + power / 4.0) if pattern.kind == "cosine" else 1.0
        off, far = np.abs(at), (depth * scale) ** 2
        axes = np.sqrt((off - half) ** 2 + far) + np.sqrt((off + half) ** 2 + far)
        breaks = np.zeros(len(at), dtype=np.int64)
        if pattern.kind == "table":
            where = _entries(angles, at, points[:, 2])
            breaks = np.count_nonzero((where > -half) & (where < half), axis=1)
            axes = axes * (breaks + 1)  # a panel is so much shorter
        number = len(ORDERS) - np.searchsorted(AXES[::-1], axes / half, side="right")
        number = np.where(flat, np.maximum(number, KINKED), number)
        columns += [ORDERS[np.minimum(number, len(ORDERS) - 1)], breaks]
    return np.asarray(np.ravel_multi_index(tuple(columns), RULES))


def _is_cut(length: float, width: float, points: Floats, normals: Floats) -> NDArray[np.bool_]:
    """Whether the receiver's own plane cuts the rectangle."""
    middle = -np.einsum("ni,ni->n", points, normals)
    spread = np.abs(normals[:, 0]) * length / 2 + np.abs(normals[:, 1]) * width / 2
    return np.asarray(np.abs(middle) < spread)


def _parts(index: Ints, size: int) -> Iterator[Ints]:
    """Split indices so that each part, times `size`, is at most `AT_ONCE`."""
    step = max(1, AT_ONCE // size)
    return (index[at : at + step] for at in range(0, len(index), step))


def kernel(pattern: Pattern, x: Singles, y: Singles, local: Singles, facing: Singles) -> Singles:
    """What places of a rectangle bring to points, per watt and steradian of its whole peak.

    Relative intensity x cos / d**2: its mean over the rectangle is what `unobstructed` finds.

    Parameters
    ----------
    pattern : of the emitter
    x, y : (p, 1), or (p, k) where each point has its own places, in the emitter's frame [m]
    local : (k, 3) points, in its frame [m]
    facing : (k, 3) unit normals of the receiving surfaces, in its frame

    Returns
    -------
    (p, k) [1/m2 sr]
    """
    right, ahead = local[:, 0] - x, local[:, 1] - y
    depth = np.maximum(-local[:, 2], np.float32(1e-9))
    d2 = right * right + ahead * ahead + depth * depth
    height = facing[:, 2] * depth - facing[:, 0] * right - facing[:, 1] * ahead
    share = over_tangents(pattern, right / depth, ahead / depth)
    return np.asarray(share * np.maximum(height, np.float32(0.0)) / (d2 * np.sqrt(d2)))
