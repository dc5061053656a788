"""Whether surfaces stand in boxes, and how near they come to them: many boxes at once.

Nothing is said here of what encloses a box without reaching into it: `Soup.holders` tells.
"""

from __future__ import annotations

import numpy as np

from heatcore.geometry.clip import clip_to_box
from heatcore.geometry.closest import triangle_box
from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.soup import Mask, Search, View


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

    def open_question(which: Ints, middle: Floats, half: Floats, _: Ints) -> Mask:
        bottom, top = low[which], high[which]
        lowest, highest = middle - half, middle + half
        # What lies wholly in a box has a triangle that does.
        hit[which[((lowest >= bottom) & (highest <= top)).all(axis=1)]] = True
        out: Mask = ((lowest <= top) & (highest >= bottom)).all(axis=1) & ~hit[which]
        return out

    which, corners, _ = view.descend(frame, open_question)
    some = np.flatnonzero(~hit[which])
    which, corners = which[some], corners[some]
    inside = (corners >= low[which, None]) & (corners <= high[which, None])
    hit[which[inside.all(axis=2).any(axis=1)]] = True
    some = np.flatnonzero(~hit[which])
    which = which[some]
    _, index = clip_to_box(corners[some], low[which], high[which])
    hit[which[index]] = True
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
    which, triangles, _ = view.nearest(around(low, high, 0.0, np.inf))
    distance, _, _ = triangle_box(triangles, low[which], high[which])
    out = np.full(len(low), np.inf)
    np.minimum.at(out, which, distance)
    return out


def around(low: Floats, high: Floats, asked: float, reach: float) -> Search:
    """Look round boxes (q, 3), each in a frame of its own, up to a reach from them."""

    def bounds(which: Ints, lowest: Floats, highest: Floats) -> tuple[Floats, Floats]:
        bottom, top = low[which], high[which]
        gap = np.maximum(np.maximum(bottom - highest, lowest - top), 0.0)
        far = np.maximum(np.maximum(bottom - lowest, highest - top), 0.0)
        lower: Floats = np.sqrt((gap * gap).sum(axis=-1))
        upper: Floats = np.sqrt((far * far).sum(axis=-1))
        return lower, upper

    count = len(low)
    return Search(np.arange(count), low - reach, high + reach, np.full(count, asked), bounds)
