"""Triangles as heaters see them: which come near, and which may be the nearest."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.tree import spans

if TYPE_CHECKING:
    from heatcore.geometry.soup import Soup

ROUNDING = 1e-9  # m; by how much boxes are taken larger than they are

Mask = NDArray[np.bool_]


class Boxed(NamedTuple):
    """Boxes that searches came to.

    Attributes
    ----------
    lowest, highest : (k, 3) their corners in the frame of the search [m]
    bottom, top : (k, 3) their corners in the world [m]
    owner : (k,) the mesh that each belongs to
    """

    lowest: Floats
    highest: Floats
    bottom: Floats
    top: Floats
    owner: Ints

    def some(self, index: Ints) -> Boxed:
        """Only those of the given numbers."""
        low, high, bottom, top, owner = self
        return Boxed(low[index], high[index], bottom[index], top[index], owner[index])


@dataclass(frozen=True, eq=False)
class View:
    """A soup as heaters see it.

    Attributes
    ----------
    soup : the triangles
    origins : (f, 3) of the heaters' frames [m]
    axes : (f, 3, 3) their X, Y and Z as rows
    """

    soup: Soup
    origins: Floats
    axes: Floats

    def to_world(self, points: Any) -> Floats:
        """Points (..., 3) in the one frame [m], in world coordinates."""
        out: Floats = np.asarray(points, dtype=np.float64) @ self.axes[0] + self.origins[0]
        return out

    def near(self, low: Any, high: Any) -> tuple[Floats, Ints]:
        """All triangles that meet a box in the one frame, and some more that nearly do.

        Parameters
        ----------
        low, high : (3,) of the box in the frame's coordinates [m]; either may be infinite

        Returns
        -------
        corners : (k, 3, 3) in the frame's coordinates [m]
        owner : (k,) which mesh each belongs to
        """
        low, high = (np.reshape(np.asarray(b, dtype=np.float64), (1, 3)) for b in (low, high))
        regions = Regions(self, np.zeros(1, dtype=np.int64), low - ROUNDING, high + ROUNDING)
        which, boxes = regions.meshes()
        which, node = regions.down(which, boxes.owner, lambda which, _: np.ones_like(which, bool))
        _, index = self.soup.heap.within(which, node)
        corners = self.corners(np.zeros_like(index), index)
        met = meet(*spans(corners), regions.low, regions.high)
        return corners[met], self.soup.heap.owner[index[met]]

    def corners(self, frame: Ints, index: Ints) -> Floats:
        """(k, 3, 3) the corners of triangles, each in a frame (k,) [m]."""
        points = self.soup.heap.corners[index] - self.origins[frame][:, None]
        turned = self._turned(np.repeat(frame, 3), points.reshape(-1, 3))
        return turned.reshape(-1, 3, 3)

    def boxed(self, frame: Ints, node: Ints) -> Boxed:
        """Boxes of the heap, each in a frame (k,)."""
        heap = self.soup.heap
        return self.turned_boxes(frame, heap.bottom[node], heap.top[node], heap.of_node[node])

    def turned_boxes(self, frame: Ints, bottom: Floats, top: Floats, owner: Ints) -> Boxed:
        """Boxes of the world, boxed anew along the axes of frames."""
        middle = self._turned(frame, (bottom + top) / 2 - self.origins[frame])
        half = self._turned(frame, (top - bottom) / 2, size=True)
        return Boxed(middle - half, middle + half, bottom, top, owner)

    def in_world(self, frame: Ints, low: Floats, high: Floats) -> tuple[Floats, Floats]:
        """(q, 3) lowest and highest corners along the world's axes of boxes in frames."""
        axes = self.axes[frame]
        with np.errstate(invalid="ignore"):  # an endless box has no middle
            middle = np.einsum("nij,ni->nj", axes, (low + high) / 2) + self.origins[frame]
            half = np.einsum("nij,ni->nj", np.abs(axes), (high - low) / 2) + ROUNDING
            lowest, highest = middle - half, middle + half
        return (
            np.where(np.isnan(lowest), -np.inf, lowest),
            np.where(np.isnan(highest), np.inf, highest),
        )

    def _turned(self, frame: Ints, vectors: Floats, size: bool = False) -> Floats:
        """Vectors (n, 3) along the axes of their frames, or half sizes of boxes along them."""
        axes = np.abs(self.axes) if size else self.axes
        if len(axes) == 1:
            out: Floats = vectors @ axes[0].T
            return out
        turned: Floats = np.einsum("nij,nj->ni", axes[frame], vectors)
        return turned

    @cached_property
    def farthest(self) -> float:
        """No triangle lies farther than this from a frame's origin [m]."""
        _, bottom, top = self.soup.parts
        origins = self.origins[:, None]
        away = np.maximum(np.abs(bottom - origins), np.abs(top - origins))
        return float(np.sqrt((away * away).sum(axis=2)).max(initial=0.0))


@dataclass(frozen=True, eq=False)
class Regions:
    """Boxes in the frames of a view, followed from the meshes down into what they meet.

    Attributes
    ----------
    view : the triangles, and the frames
    frame : (q,) in which of the frames each box is
    low, high : (q, 3) their lowest and highest corners [m]; either may be infinite
    """

    view: View
    frame: Ints
    low: Floats
    high: Floats

    @cached_property
    def world(self) -> tuple[Floats, Floats]:
        """(q, 3) lowest and highest corners along the world's axes [m]."""
        return self.view.in_world(self.frame, self.low, self.high)

    def meshes(self) -> tuple[Ints, Boxed]:
        """Numbers of regions, and the boxes of the meshes that each of them meets."""
        parts, bottoms, tops = self.view.soup.parts
        low, high = self.world
        apart = (bottoms > high[:, None]) | (tops < low[:, None])
        which, number = np.nonzero(~apart.any(axis=2))
        return self._met(which, bottoms[number], tops[number], parts[number])[1:]

    def down(
        self, which: Ints, mesh: Ints, test: Callable[[Ints, Boxed], Mask]
    ) -> tuple[Ints, Ints]:
        """Follow regions from meshes down to the last boxes, through those that they meet.

        Parameters
        ----------
        which, mesh : (n,) numbers of regions, and of meshes that each meets
        test : from numbers of regions and boxes that they meet, which of these are looked into

        Returns
        -------
        which, node : (k,) numbers of regions, and of boxes of triangles that each came to
        """
        heap = self.view.soup.heap
        low, high = self.world

        def look(which: Ints, node: Ints) -> Mask:
            bottom, top = heap.bottom[node], heap.top[node]
            met = meet(bottom, top, low[which], high[which])
            some = np.flatnonzero(met)
            met[some] = False
            node = node[some]
            index, which, boxes = self._met(
                which[some], bottom[some], top[some], heap.of_node[node]
            )
            met[some[index]] = test(which, boxes)
            return met

        return heap.descend(which, mesh, look)

    def _met(
        self, which: Ints, bottom: Floats, top: Floats, owner: Ints
    ) -> tuple[Ints, Ints, Boxed]:
        """Of boxes of the world those that really meet their regions; which ones, and of whom."""
        boxes = self.view.turned_boxes(self.frame[which], bottom, top, owner)
        some = np.flatnonzero(meet(boxes.lowest, boxes.highest, self.low[which], self.high[which]))
        return some, which[some], boxes.some(some)


def gaps(low: Floats, high: Floats, lowest: Floats, highest: Floats) -> Floats:
    """Shortest distances between axis-aligned boxes (..., 3), each and its own [m]."""
    gap = np.maximum(np.maximum(low - highest, lowest - high), 0.0)
    out: Floats = np.sqrt(np.einsum("...i,...i->...", gap, gap))
    return out


def meet(lows: Floats, highs: Floats, low: Floats, high: Floats) -> Mask:
    """Which of many boxes (k, 3) meet one (1, 3), or each its own (k, 3)."""
    apart = (lows > high) | (highs < low)
    out: Mask = ~(apart[:, 0] | apart[:, 1] | apart[:, 2])
    return out
