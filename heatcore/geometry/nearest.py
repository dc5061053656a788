"""Which triangles may be the nearest, and which come nearer than is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from heatcore.geometry.closest import feet
from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.tree import spans
from heatcore.geometry.view import ROUNDING, Boxed, Mask, Regions, View, gaps, meet

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
    regions, heap = hunt.regions, view.soup.heap
    found = [hunt.nothing]
    which, boxes = regions.meshes()
    lower = hunt.learn(which, boxes)
    for some, mesh in hunt.waves(which, boxes.owner, boxes.owner, lower):
        seen, node = regions.down(some, mesh, hunt.promising)
        lower, _ = hunt.bounds(seen, view.boxed(search.frame[seen], node))
        for last, leaf in hunt.waves(seen, node, heap.of_node[node], lower):
            found.append(hunt.triangles(last, leaf))
    which, corners, owner, lower = (np.concatenate(c) for c in zip(*found, strict=True))
    chosen = hunt.worth(which, owner, lower)
    return which[chosen], corners[chosen], owner[chosen]


class _Hunt:
    """What is known, while searches go down, of how near each mesh comes."""

    def __init__(self, view: View, search: Search) -> None:
        self.view, self.search = view, search
        low, high = search.low - ROUNDING, search.high + ROUNDING
        self.regions = Regions(view, search.frame, low, high)
        self.bodies = None if search.body is None else view.in_world(search.frame, *search.body)
        # The most that the nearest triangle of each mesh can be away.
        self.least = np.full((len(search.frame), len(view.soup.meshes)), np.inf)
        none: Ints = np.zeros(0, dtype=np.int64)
        self.nothing = (none, np.zeros((0, 3, 3)), none, np.zeros(0))

    def waves(
        self, which: Ints, what: Ints, owner: Ints, lower: Floats
    ) -> Iterator[tuple[Ints, Ints]]:
        """Of each search first what may be nearest, then what is worth it when that is known."""
        order = np.lexsort((lower, which))
        which, what, owner, lower = which[order], what[order], owner[order], lower[order]
        before = np.arange(len(which)) - np.searchsorted(which, which) < FIRST
        if before.any():
            yield which[before], what[before]
        after = ~before
        after[after] = self.worth(which[after], owner[after], lower[after])
        if after.any():
            yield which[after], what[after]

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

    def learn(self, which: Ints, boxes: Boxed) -> Floats:
        """Take note of how far the nearest thing in boxes can be at most; their lower bounds."""
        lower, upper = self.bounds(which, boxes)
        np.minimum.at(self.least, (which, boxes.owner), upper)
        return lower

    def promising(self, which: Ints, boxes: Boxed) -> Mask:
        return self.worth(which, boxes.owner, self.learn(which, boxes))

    def triangles(self, which: Ints, node: Ints) -> tuple[Ints, Floats, Ints, Floats]:
        """The triangles in boxes that may be wanted; which, corners, owner, and lower bounds."""
        search, heap = self.search, self.view.soup.heap
        which, index = heap.within(which, node)
        corners, owner = self.view.corners(search.frame[which], index), heap.owner[index]
        boxes = Boxed(*spans(corners), *spans(heap.corners[index]), owner)
        lower, _ = self.bounds(which, boxes)
        low, high = self.regions.low[which], self.regions.high[which]
        met = meet(boxes.lowest, boxes.highest, low, high)
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
