"""How near triangles come to an axis-aligned box, and how deep they stand in it: exactly."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.clip import clip, clip_to_box
from heatcore.geometry.frames import Floats


def triangle_box(triangles: Floats, low: Any, high: Any) -> tuple[Floats, Floats, Floats]:
    """Signed shortest distance between triangles and a solid box, the same one or each its own.

    Apart, it is the least over corner to box, box corner to triangle and edge to edge (C. Ericson,
    Real-Time Collision Detection, 2005, ch. 5). In touch, it is minus the depth of the triangle's
    deepest point under the box's faces. Neither depends on how a surface is cut into triangles.

    Parameters
    ----------
    triangles : (k, 3, 3) in the box's coordinates [m]
    low, high : (3,) or (k, 3) lowest and highest corner of the box of all, or of each [m]

    Returns
    -------
    distance : (k,) [m]
    point : (k, 3) where it is measured on the triangle [m]
    box_point : (k, 3) and on the box [m]
    """
    low, high = (np.broadcast_to(np.asarray(b), (len(triangles), 3)) for b in (low, high))
    distance = np.empty(len(triangles))
    point = np.empty((len(triangles), 3))
    box_point = np.empty((len(triangles), 3))
    touching = np.flatnonzero(meets_box(triangles, low, high))
    # What rounding lets touch and yet leaves nothing of within the box is as near as can be.
    _, some = clip_to_box(triangles[touching], low[touching], high[touching])
    touching = touching[some]
    apart = np.setdiff1d(np.arange(len(triangles)), touching, assume_unique=True)
    for chosen, measure in ((touching, _depth), (apart, _gap)):
        if len(chosen):
            found = measure(triangles[chosen], low[chosen], high[chosen])
            distance[chosen], point[chosen], box_point[chosen] = found
    return distance, point, box_point


def nearest_point(triangles: Floats, point: Floats) -> Floats:
    """(3,) the point of triangles (k, 3, 3) that lies nearest to a given one (3,) [m]."""
    candidates = feet(triangles, np.broadcast_to(point, (len(triangles), 3))).reshape(-1, 3)
    away = candidates - point
    out: Floats = candidates[_dot(away, away).argmin()]
    return out


def meets_box(triangles: Floats, low: Floats, high: Floats) -> NDArray[np.bool_]:
    """Whether triangles (k, 3, 3) reach into closed boxes (k, 3), each its own.

    They do unless one of thirteen axes keeps the two apart (T. Akenine-Moeller, J. Graphics Tools
    6(1), 2001). All corners are held to each axis, so one that a needle leaves undefined does no
    harm.
    """
    half = (high - low) / 2
    corners = triangles - ((low + high) / 2)[:, None]
    lowest, highest = corners.min(axis=1), corners.max(axis=1)
    met: NDArray[np.bool_] = ((lowest <= half) & (highest >= -half)).all(axis=1)
    some = np.flatnonzero(met)
    corners, half = corners[some], half[some]
    edges = np.roll(corners, -1, axis=1) - corners
    normal = np.cross(edges[:, 0], edges[:, 1])
    along = np.einsum("nij,nj->ni", corners, normal)
    reach = np.einsum("ni,ni->n", np.abs(normal), half)
    apart = (along.min(axis=1) > reach) | (along.max(axis=1) < -reach)
    for axis in range(3):
        i, j = (axis + 1) % 3, (axis + 2) % 3
        # (n, edge, corner) along the cross product of the edge and the box's axis.
        along = edges[:, :, None, j] * corners[:, None, :, i]
        along -= edges[:, :, None, i] * corners[:, None, :, j]
        size = np.abs(edges)
        widest = size[:, :, j] * half[:, None, i] + size[:, :, i] * half[:, None, j]
        apart |= ((along.min(axis=2) > widest) | (along.max(axis=2) < -widest)).any(axis=1)
    met[some] = ~apart
    return met


def feet(triangles: Floats, points: Floats) -> Floats:
    """(k, 4, 3) places on triangles (k, 3, 3), the one nearest to a point (k, 3) among them."""
    edges = np.roll(triangles, -1, axis=1) - triangles
    share = _ratio(_dot(points[:, None] - triangles, edges), _dot(edges, edges))
    on_edges = triangles + share[..., None] * edges
    return np.concatenate([_on_triangle(triangles, points[:, None]), on_edges], axis=1)


def _depth(triangles: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats, Floats]:
    """Minus the depth under the box's faces of each triangle's deepest point inside it."""
    best = np.full(len(triangles), -1.0)
    point = np.zeros((len(triangles), 3))
    box_point = np.zeros((len(triangles), 3))
    inside, index = clip_to_box(triangles, low, high)
    for axis, top in product(range(3), (True, False)):
        # Where this face is the nearest one the depth is linear, so the deepest is a corner.
        near, some = inside, index
        for other in range(6):
            under = _under(near, low[some], high[some])
            near, kept = clip(near, under[..., 2 * axis + top] - under[..., other])
            some = some[kept]
        depth = _under(near, low[some], high[some])[..., 2 * axis + top]
        rows, deepest = np.arange(len(near)), depth.argmax(axis=1)
        deep = depth[rows, deepest]
        more = deep > best[some]
        chosen = some[more]
        best[chosen] = deep[more]
        point[chosen] = box_point[chosen] = near[rows, deepest][more]
        box_point[chosen, axis] = (high if top else low)[chosen, axis]
    return -np.maximum(best, 0.0), point, box_point


def _under(points: Floats, low: Floats, high: Floats) -> Floats:
    """(n, k, 6) depth of points (n, k, 3) under each face of their boxes, axis by axis."""
    both: Floats = np.stack([points - low[:, None], high[:, None] - points], axis=-1)
    return both.reshape(*points.shape[:-1], 6)


def _gap(triangles: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats, Floats]:
    """Distance of triangles that do not touch the box."""
    edges = np.roll(triangles, -1, axis=1) - triangles
    corners = np.where(_CORNERS, high[:, None], low[:, None])
    held = np.clip(triangles, low[:, None], high[:, None])
    box_starts = corners[:, _EDGES[:, 0]]
    box_edges = corners[:, _EDGES[:, 1]] - box_starts
    candidates = [
        (triangles, held),
        (_on_triangle(triangles, corners), corners),
        _edge_to_edge(triangles, edges, box_starts, box_edges),
    ]
    point = np.concatenate([p for p, _ in candidates], axis=1)
    box_point = np.concatenate([q for _, q in candidates], axis=1)
    distance = np.linalg.norm(point - box_point, axis=2)
    rows, nearest = np.arange(len(triangles)), distance.argmin(axis=1)
    return distance[rows, nearest], point[rows, nearest], box_point[rows, nearest]


# Whether each corner of a box lies at its higher end along each axis, and the pairs of corners
# that its edges join.
_CORNERS = np.array(list(product((False, True), repeat=3)))
_EDGES = np.array(
    [(i, j) for i in range(8) for j in range(i) if (_CORNERS[i] != _CORNERS[j]).sum() == 1]
)


def _dot(a: Floats, b: Floats) -> Floats:
    out: Floats = np.einsum("...i,...i->...", a, b)
    return out


def _ratio(over: Floats, under: Floats) -> Floats:
    """`over` / `under` held to 0 .. 1, and 0 where there is nothing to divide by."""
    out: Floats = np.divide(over, under, out=np.zeros_like(over), where=under > 0.0)
    return np.clip(out, 0.0, 1.0)


def _edge_to_edge(
    starts: Floats, edges: Floats, box_starts: Floats, box_edges: Floats
) -> tuple[Floats, Floats]:
    """(k, 36, 3) the nearest points of each triangle edge and each box edge, on either."""
    p, d = starts[:, :, None, :], edges[:, :, None, :]
    box_starts, box_edges = box_starts[:, None], box_edges[:, None]
    r = p - box_starts
    a, e = np.broadcast_arrays(_dot(d, d), _dot(box_edges, box_edges))
    b, c, f = _dot(d, box_edges), _dot(d, r), _dot(box_edges, r)
    s = _ratio(b * f - c * e, np.maximum(a * e - b * b, 0.0))
    t = _ratio(b * s + f, e)
    s = _ratio(b * t - c, a)
    count = len(starts)
    return (
        (p + s[..., None] * d).reshape(count, -1, 3),
        (box_starts + t[..., None] * box_edges).reshape(count, -1, 3),
    )


def _on_triangle(triangles: Floats, points: Floats) -> Floats:
    """(k, j, 3) the feet of perpendiculars from points (1 or k, j, 3) on each triangle's plane.

    Where a foot falls outside, the edges decide: a corner of the triangle or a pair of edges is
    then at least as near, so the triangle's first corner stands in.
    """
    a = triangles[:, None, 0]
    u, v = triangles[:, None, 1] - a, triangles[:, None, 2] - a
    w = points - a
    uu, uv, vv, wu, wv = _dot(u, u), _dot(u, v), _dot(v, v), _dot(w, u), _dot(w, v)
    area = uu * vv - uv * uv
    flat = area > 0.0
    s = np.divide(vv * wu - uv * wv, area, out=np.full_like(wu, -1.0), where=flat)
    t = np.divide(uu * wv - uv * wu, area, out=np.full_like(wu, -1.0), where=flat)
    within: NDArray[np.bool_] = (s >= 0.0) & (t >= 0.0) & (s + t <= 1.0)
    s, t = np.where(within, s, 0.0), np.where(within, t, 0.0)
    return a + s[..., None] * u + t[..., None] * v
