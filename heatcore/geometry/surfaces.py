"""Whether surfaces stand in boxes, and how near they come to them: many boxes at once.

Nothing is said here of what encloses a box without reaching into it: `Soup.holders` tells.
"""

from __future__ import annotations

import numpy as np

from heatcore.geometry.closest import meets_box, triangle_box
from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.nearest import Search, nearest
from heatcore.geometry.view import ROUNDING, Boxed, Mask, Regions, View, gaps


def stands_in(view: View, frame: Ints, low: Floats, high: Floats) -> Mask:
    """Whether any triangle reaches into closed boxes.

    Parameters
    ----------
    view : the triangles, and the frames of the boxes
    frame : (q,) in which of the frames each box is
    low, high : (q, 3) lowest and highest corners [m]

    Returns
    -------
    (q,) bool
    """
    hit = np.zeros(len(frame), dtype=bool)

    def open_question(which: Ints, boxes: Boxed) -> Mask:
        # What lies wholly in a box has a triangle that does.
        within = (boxes.lowest >= low[which]) & (boxes.highest <= high[which])
        hit[which[within.all(axis=1)]] = True
        out: Mask = ~hit[which]
        return out

    regions = Regions(view, frame, low - ROUNDING, high + ROUNDING)
    which, boxes = regions.meshes()
    some = np.flatnonzero(open_question(which, boxes))
    which, node = regions.down(which[some], boxes.owner[some], open_question)
    some = np.flatnonzero(~hit[which])
    which, index = view.soup.heap.within(which[some], node[some])
    corners = view.corners(frame[which], index)
    some = np.flatnonzero(~hit[which])
    which, corners = which[some], corners[some]
    inside = (corners >= low[which, None]) & (corners <= high[which, None])
    hit[which[inside.all(axis=2).any(axis=1)]] = True
    some = np.flatnonzero(~hit[which])
    which = which[some]
    hit[which[meets_box(corners[some], low[which], high[which])]] = True
    return hit


def surface_distances(view: View, low: Floats, high: Floats) -> Floats:
    """Plain shortest distances from boxes to the nearest triangle.

    Parameters
    ----------
    view : the triangles, and the frame of each box
    low, high : (q, 3) lowest and highest corners, each in its own frame [m]

    Returns
    -------
    (q,) [m]; where a triangle reaches into the box, minus the depth of its deepest point under the
    box's faces; infinite where there are no triangles
    """
    which, triangles, _ = nearest(view, around(low, high, 0.0, np.inf))
    distance, _, _ = triangle_box(triangles, low[which], high[which])
    out = np.full(len(low), np.inf)
    np.minimum.at(out, which, distance)
    return out


def around(low: Floats, high: Floats, asked: float, reach: float) -> Search:
    """Look round boxes (q, 3), each in a frame of its own, up to a reach from them."""

    def bounds(which: Ints, lowest: Floats, highest: Floats) -> tuple[Floats, Floats]:
        bottom, top = low[which], high[which]
        far = np.maximum(np.maximum(bottom - lowest, highest - top), 0.0)
        upper: Floats = np.sqrt(np.einsum("...i,...i->...", far, far))
        return gaps(bottom, top, lowest, highest), upper

    count = len(low)
    middle = (low + high) / 2
    wanted = np.full(count, asked)
    return Search(np.arange(count), low - reach, high + reach, middle, wanted, bounds, (low, high))
