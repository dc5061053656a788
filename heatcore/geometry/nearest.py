"""Which triangles may be the nearest, and which come nearer than is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from heatcore.geometry.closest import feet
from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.tree import spans
from heatcore.geometry.view import ROUNDING, Boxed, Mask, View, gaps, meet

FIRST = 4  # boxes of triangles that each search looks into before it judges the others


@dataclass(frozen=True, eq=False)
class Search:
    """Boxes in the frames of a view, in each of which the nearest triangles are looked for.

    Attributes
    ----------
    frame : (q,) in which of the frames each is
    low, high : (q, 3) their lowest and highest corners [m]; either may be infinite
    middle : (q, 3) where the nearest place is most likely [m]
    asked : (q,) what comes nearer than this is wanted, whatever else is near [m]
    bounds : from the numbers of searches and lowest and highest corners of boxes in their frames,
        the least distance that anything in each can have, and the most that the nearest thing in
        it can have; of a point, twice its distance. Infinite, where the box may hold nothing that
        counts
    body : (q, 3) lowest and highest corners of the boxes that plain distances are taken from [m];
        None where distances are others
    """

    frame: Ints
    low: Floats
    high: Floats
    middle: Floats
    asked: Floats
    bounds: Callable[[Ints, Floats, Floats], tuple[Floats, Floats]]
    body: tuple[Floats, Floats] | None = None


def nearest(view: View, search: Search) -> tuple[Ints, Floats, Ints]:
    """Triangles that may be their mesh's nearest where that is near, or the nearest of all.

    Returns
    -------
    which : (k,) in which of the searches each was found
    corners : (k, 3, 3) in its frame [m]
    owner : (k,) which mesh each belongs to
    """
    hunt = _Hunt(view, search)
    which, node = view.descend(search.frame, hunt.low, hunt.high, hunt.promising)
    lower, _ = hunt.bounds(which, view.boxed(search.frame[which], node))
    # Those before which little else can come tell best what need not be looked at.
    order = np.lexsort((lower, which))
    which, node, lower = which[order], node[order], lower[order]
    before = np.arange(len(which)) - np.searchsorted(which, which) < FIRST
    found = [hunt.triangles(which[before], node[before])]
    which, node, lower = which[~before], node[~before], lower[~before]
    after = hunt.worth(which, view.soup.heap.of_node[node], lower)
    found.append(hunt.triangles(which[after], node[after]))
    which, corners, owner, lower = (np.concatenate(c) for c in zip(*found, strict=True))
    chosen = hunt.worth(which, owner, lower)
    return which[chosen], corners[chosen], owner[chosen]


class _Hunt:
    """What is known, while searches go down, of how near each mesh comes."""

    def __init__(self, view: View, search: Search) -> None:
        self.view, self.search = view, search
        self.low, self.high = search.low - ROUNDING, search.high + ROUNDING
        self.bodies = None if search.body is None else view.in_world(search.frame, *search.body)
        # The most that the nearest triangle of each mesh can be away.
        self.least = np.full((len(search.frame), len(view.soup.meshes)), np.inf)

    def bounds(self, which: Ints, boxes: Boxed) -> tuple[Floats, Floats]:
        lower, upper = self.search.bounds(which, boxes.lowest, boxes.highest)
        if self.bodies is not None:
            # Along the world's axes what is long and level lies in a box that fits it.
            low, high = self.bodies
            lower = np.maximum(lower, gaps(low[which], high[which], boxes.bottom, boxes.top))
        return lower, upper

    def worth(self, which: Ints, owner: Ints, lower: Floats) -> Mask:
        """Whether what is no nearer than this may still be wanted."""
        best = self.least.min(axis=1, initial=np.inf)[which]
        wanted = (lower < self.search.asked[which]) | (lower <= best + ROUNDING)
        out: Mask = wanted & (lower <= self.least[which, owner] + ROUNDING)
        return out

    def promising(self, which: Ints, boxes: Boxed) -> Mask:
        lower, upper = self.bounds(which, boxes)
        np.minimum.at(self.least, (which, boxes.owner), upper)
        return self.worth(which, boxes.owner, lower)

    def triangles(self, which: Ints, node: Ints) -> tuple[Ints, Floats, Ints, Floats]:
        """The triangles in boxes that may be wanted; which, corners, owner, and lower bounds."""
        search, heap = self.search, self.view.soup.heap
        which, index = heap.within(which, node)
        corners, owner = self.view.corners(search.frame[which], index), heap.owner[index]
        boxes = Boxed(*spans(corners), *spans(heap.corners[index]), owner)
        lower, _ = self.bounds(which, boxes)
        met = meet(boxes.lowest, boxes.highest, self.low[which], self.high[which])
        some = np.flatnonzero(met & self.worth(which, owner, lower))
        which, corners, owner, lower = which[some], corners[some], owner[some], lower[some]
        places = np.concatenate([corners, feet(corners, search.middle[which])], axis=1)
        _, upper = search.bounds(which[:, None], places, places)
        np.minimum.at(self.least, (which, owner), upper.min(axis=1, initial=np.inf))
        return which, corners, owner, lower


def reaches(asked: float, sight: float) -> Iterable[float]:
    """How far to look, farther and farther until something is found [m]."""
    reach = max(asked, 0.1)
    while reach < sight:
        yield reach
        reach *= 3.0
    yield max(asked, sight)
