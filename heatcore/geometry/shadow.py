"""What many faces cover in plan, as one shape: found by its edges, not by joining every face."""

from __future__ import annotations

import numpy as np
import shapely

from heatcore.geometry.frames import Floats

_SAME = 9  # decimals of a metre: corners nearer to each other than this are one
_AT_ONCE = 2_000_000  # pairs of a point and an edge, to bound the memory


def shadow(faces: Floats) -> shapely.Geometry:
    """Return what convex faces that all look up, or all look down, cover in plan.

    As a sum of directed edges the inner ones cancel. Of the pieces into which the rest divide the
    plan, those count about which they wind: every face winds the same way, so none hides another.

    Parameters
    ----------
    faces : (n, k, 3) corners in order [m]; a face with fewer corners repeats its last
    """
    starts, ends, turns = _outer_edges(np.round(faces[..., :2], _SAME) + 0.0)
    if not len(starts):
        return shapely.Polygon()
    lines = shapely.union_all(shapely.linestrings(np.stack([starts, ends], axis=1)))
    pieces = shapely.get_parts(shapely.polygonize([lines]))
    inner = shapely.get_coordinates(shapely.point_on_surface(pieces))
    return shapely.union_all(pieces[_windings(inner, starts, ends, turns) != 0])


def _outer_edges(plans: Floats) -> tuple[Floats, Floats, Floats]:
    """(m, 2) starts, (m, 2) ends and (m,) how often, of the edges that do not cancel."""
    # As complex numbers, which numpy sorts far faster than pairs.
    places, number = np.unique(plans[..., 0] + 1j * plans[..., 1], return_inverse=True)
    points = np.column_stack([places.real, places.imag])
    corner = number.reshape(plans.shape[:2])
    after = np.roll(corner, -1, axis=1)
    low, high = np.minimum(corner, after).ravel(), np.maximum(corner, after).ravel()
    sense = np.sign(after - corner).ravel()
    edges, which = np.unique(low * len(points) + high, return_inverse=True)
    turns = np.bincount(which.ravel(), weights=sense, minlength=len(edges))
    left = turns != 0.0
    return points[edges[left] // len(points)], points[edges[left] % len(points)], turns[left]


def _windings(points: Floats, starts: Floats, ends: Floats, turns: Floats) -> Floats:
    """(n,) how often directed edges, each so many times, go round points (n, 2)."""
    found = np.zeros(len(points))
    step = max(1, _AT_ONCE // len(starts))
    for at in range(0, len(points), step):
        x, y = points[at : at + step, :1], points[at : at + step, 1:]
        # Along a ray toward +X: an edge that crosses it upward counts once, downward once less.
        rises = (starts[:, 1] <= y) & (ends[:, 1] > y)
        falls = (starts[:, 1] > y) & (ends[:, 1] <= y)
        run, rise = ends[:, 0] - starts[:, 0], ends[:, 1] - starts[:, 1]
        left: Floats = run * (y - starts[:, 1]) - (x - starts[:, 0]) * rise
        crosses: Floats = (rises & (left > 0.0)).astype(float) - (falls & (left < 0.0))
        found[at : at + step] = crosses @ turns
    return found
