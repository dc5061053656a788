"""What moving leaves sweep: never smaller than the truth, and at most a millimetre larger."""

from __future__ import annotations

from functools import lru_cache
from math import acos, atan2, ceil, cos, hypot, pi, sin

import numpy as np
import shapely
from shapely import Polygon

from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.solids import around_arc

# How far a curved edge of a swept volume may lie outside the true one; half of the 1 mm allowed.
EXCESS = 0.0005  # m
# The same in two parts where a leaf turns and slides at once.
_BETWEEN = 0.0004  # m; between two of its positions
_THINNING = 0.0002  # m; by which the outline is grown, and then may lose by leaving corners out
_QUARTER = 8  # chords of a quarter of a rounded corner


def circle_sides(radius: float) -> int:
    """Return how many sides, in fours, a polygon round a circle needs to stay within `EXCESS`."""
    return max(8, 4 * ceil(pi / acos(radius / (radius + EXCESS)) / 4))


def hinged_sweep(width: float, thickness: float, angle: float) -> Floats:
    """Return what a leaf sweeps about its hinge, as a polygon (n, 2) square to its axis [m].

    Closed, the leaf covers 0 <= x <= width, -thickness <= y <= 0; it turns counter-clockwise about
    the origin. The points of the leaf at distance r from the hinge lie on one arc about it, so they
    sweep one arc. For r <= width it ends at the open leaf's face; beyond, where only the leaf's
    outer corner reaches (r <= hypot(width, thickness)), at the open leaf's edge. So the swept area
    is bounded by the closed leaf, by one arc of its outer corner and by the open leaf: all of it
    exact but the arc, which the polygon runs round outside, by `EXCESS` at most.

    Parameters
    ----------
    width, thickness : of the leaf [m]
    angle : by which it turns, 0 to 250 degrees [rad]
    """
    lag = atan2(thickness, width)
    arc = around_arc(hypot(width, thickness), -lag, angle - lag, EXCESS)
    open_edge = (width * cos(angle), width * sin(angle))
    return locked(np.array([(0.0, 0.0), (0.0, -thickness), *arc, open_edge]))


def folding_leaf(panel: float, thickness: float, angles: Floats) -> Floats:
    """Return where the second leaf of a folding door is, (..., 4, 2), while the first turns [m].

    Closed, the leaves cover 0 <= x <= panel and panel <= x <= 2 panel, -thickness <= y <= 0. The
    pins lie on alternating faces, as they must for the leaves to fold face to face: the first
    leaf's, at the jamb, in the origin; the one between the leaves on their inner face, closed at
    (panel, -thickness); and the far one, closed at (2 panel, 0), runs along y = 0. The two arms
    between the pins are equally long, so the second leaf is the first one's mirror image in the
    upright through the middle pin. Folded by 90 degrees they stand side by side, 2 thickness wide.

    While it opens, the far edge runs ahead of its closed place by up to
    2 (hypot(panel, thickness) - panel), some thickness^2 / panel, which a real frame has to spare.

    Parameters
    ----------
    panel, thickness : width and thickness of a leaf [m]
    angles : (...,) by which the first leaf has turned, counter-clockwise, 0 to pi / 2 [rad]
    """
    c, s = np.cos(angles)[..., None], np.sin(angles)[..., None]
    along, out = np.array([0.0, 0.0, panel, panel]), np.array([0.0, -thickness, -thickness, 0.0])
    middle = panel * c + thickness * s
    corners: Floats = np.stack([2 * middle - (along * c - out * s), along * s + out * c], axis=-1)
    return corners


@lru_cache(maxsize=64)
def folding_sweep(panel: float, thickness: float, angle: float) -> Polygon:
    """Return what the two leaves of a folding door sweep in plan, placed as `folding_leaf` says.

    The first sweeps as a hinged leaf does. The second turns and slides at once, and is taken
    between positions a step d apart. With D = hypot(panel, thickness), a point of it is
    accelerated by 3 D at most for a unit of angle, so halfway it is within
    d'' = 3 D d^2 / 8 of the straight line between its two places: the hull of both positions, grown
    by d'', holds all in between. No point of that hull is farther from the leaf at some angle in
    between than D d / 4 + d'', for a point of the hull mixes two points q and q' of the leaf, one
    from each position, in shares w and 1 - w; at the angle of that mix the mixed point of the leaf
    is off by w (1 - w) d |q' - q|, and second-order terms. Leaving out corners of the outline,
    grown beforehand by what that can lose, adds twice as much at most. In all the sweep reaches
    0.9 mm beyond the true one at most, and is nowhere inside it.

    Parameters
    ----------
    panel, thickness : width and thickness of a leaf [m]
    angle : by which the first leaf turns, 0 to pi / 2 [rad]
    """
    reach = hypot(panel, thickness)
    steps = max(1, ceil(angle * reach / (4 * _BETWEEN)))
    places = folding_leaf(panel, thickness, np.linspace(0.0, angle, steps + 1))
    between = np.concatenate([places[:-1], places[1:]], axis=1)
    second = shapely.union_all(shapely.convex_hull(shapely.multipoints(between)))
    bend = 3 * reach * (angle / steps) ** 2 / 8
    # The library's round corners lie inside their circles: drawn out by as much, they do not.
    grown = second.buffer((_THINNING + bend) / cos(pi / 4 / _QUARTER), quad_segs=_QUARTER)
    first = Polygon(hinged_sweep(panel, thickness, angle))
    return first.union(grown.simplify(_THINNING))
