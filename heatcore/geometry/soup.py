"""Many meshes as one heap of triangles, culled fast to what lies near a heater.

This is the only place that decides which triangles are looked at; what is said about them is
decided elsewhere and does not depend on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from heatcore.errors import MeshError
from heatcore.geometry.frames import Floats, Frame, Ints, locked
from heatcore.geometry.heap import Heap
from heatcore.geometry.parts import Mesh
from heatcore.geometry.tree import spans

_THREE = ((0.2113, 0.3771, 0.9017), (-0.7369, 0.1931, 0.6479), (0.5237, -0.8117, 0.2591))
RAYS = (*_THREE, *((-x, -y, -z) for x, y, z in _THREE))  # along no edge that anybody draws
OPENING = 0.02  # share of all directions that may be left open round what is still inside
ROUNDING = 1e-9  # m; by how much boxes are taken larger than they are

Mask = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Soup:
    """The triangles of several meshes.

    Attributes
    ----------
    meshes : as they are numbered
    boxes : (n, 2, 3) lowest and highest corner of each mesh [m], read-only
    """

    meshes: tuple[Mesh, ...]
    boxes: Floats

    @classmethod
    def of(cls, meshes: Sequence[Mesh]) -> Soup:
        """Heap up meshes; one without triangles keeps its number and is never met.

        Raises
        ------
        MeshError
            Where a coordinate is not a finite number.
        """
        full = np.array([len(mesh.triangles) > 0 for mesh in meshes], dtype=bool)
        boxes = np.tile([[np.inf] * 3, [-np.inf] * 3], (len(full), 1, 1))
        if full.any():
            boxes[full] = [mesh.bounds for mesh in meshes if len(mesh.triangles)]
        if not np.isfinite(boxes[full]).all():
            raise MeshError(
                "",
                "a mesh has a coordinate that is not a finite number",
                "repair the mesh, or export it again",
            )
        return cls(tuple(meshes), locked(boxes))

    @cached_property
    def heap(self) -> Heap:
        """The triangles of those meshes that something came near to."""
        return Heap(self.meshes)

    @cached_property
    def parts(self) -> tuple[Ints, Floats, Floats]:
        """The meshes that have triangles, and middles and half sizes of their boxes [m]."""
        full = np.flatnonzero(self.boxes[:, 0, 0] <= self.boxes[:, 1, 0])
        low, high = self.boxes[full, 0], self.boxes[full, 1]
        rounding = 4.0 * np.spacing(np.maximum(np.abs(low), np.abs(high)))
        return full, locked((low + high) / 2), locked((high - low) / 2 + rounding)

    def seen_from(self, *frames: Frame) -> View:
        """The same triangles in the coordinates of one frame, or of several."""
        origins = np.array([frame.origin for frame in frames])
        return View(self, origins, np.array([frame.axes for frame in frames]))

    def holders(self, point: Any) -> Ints:
        """Which of the meshes have a point inside them, whichever way round they are.

        A ray that leaves a closed mesh as often as it enters clears it, unless it grazes an edge.
        Of those that no ray clears, the generalized winding number decides (Jacobson, Kavan and
        Sorkine-Hornung, ACM Trans. Graphics 32(4), 2013): a whole number other than 0 inside a
        closed mesh, and nearly so inside one that gapes a little.

        Parameters
        ----------
        point : (3,) [m]
        """
        point = np.asarray(point, dtype=np.float64)
        held = ((self.boxes[:, 0] <= point) & (point <= self.boxes[:, 1])).all(axis=1)
        for ray in RAYS:
            if not held.any():
                break
            owner, sense, grazed = self._crossings(point, np.array(ray), held)
            cleared = np.bincount(owner, weights=sense, minlength=len(held)) == 0.0
            cleared[grazed] = False
            held &= ~cleared
        found = []
        for who in np.flatnonzero(held).tolist():
            turns = abs(self._winding(point, who))
            if round(turns) > 0 and abs(turns - round(turns)) < OPENING:
                found.append(who)
        return np.array(found, dtype=np.int64)

    def _winding(self, point: Floats, who: int) -> float:
        """Share of the full solid angle that a mesh takes at a point, with its sense."""
        a, b, c = (self.heap.triangles_of(who)[:, i] - point for i in range(3))
        la, lb, lc = (np.sqrt(_dot(v, v)) for v in (a, b, c))
        # Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30(2), 1983
        under = la * lb * lc + _dot(a, b) * lc + _dot(b, c) * la + _dot(c, a) * lb
        return float(np.arctan2(_dot(a, np.cross(b, c)), under).sum() / (2.0 * np.pi))

    def _crossings(self, point: Floats, ray: Floats, wanted: Mask) -> tuple[Ints, Floats, Ints]:
        """Owners and senses of the wanted triangles a ray crosses, and owners that it grazes."""
        heap = self.heap

        def crossed(_: Ints, node: Ints) -> Mask:
            # The slabs of Kay and Kajiya (SIGGRAPH 1986); the ray has no zero component.
            away, half = heap.middle[node] - point, heap.half[node]
            near, far = (away - half) / ray, (away + half) / ray
            enters = np.minimum(near, far).max(axis=1)
            leaves: Floats = np.maximum(near, far).min(axis=1)
            out: Mask = (enters <= leaves + ROUNDING) & (leaves >= 0.0)
            return out

        parts = np.flatnonzero(wanted)
        _, index = heap.descend(np.zeros_like(parts), parts, crossed)
        a, b, c = (heap.corners[index, i] for i in range(3))
        # Moeller and Trumbore, J. Graphics Tools 2(1), 1997
        edge_b, edge_c, to_point = b - a, c - a, point - a
        p = np.cross(ray, edge_c)
        q = np.cross(to_point, edge_b)
        volume = _dot(edge_b, p)
        faces = np.abs(volume) > 1e-14
        with np.errstate(divide="ignore", invalid="ignore"):
            u = _dot(to_point, p) / volume
            v = (q @ ray) / volume
            t = _dot(edge_c, q) / volume
            least = np.minimum(np.minimum(u, v), 1.0 - u - v)
        ahead = faces & (t > 0.0)
        hit = ahead & (least >= 0.0)
        grazed = ahead & (np.abs(least) < 1e-9)
        owner = heap.owner[index]
        return owner[hit], np.sign(volume[hit]), owner[grazed]


@dataclass(frozen=True, eq=False)
class Search:
    """Boxes in the frames of a view, in each of which the nearest triangles are looked for.

    Attributes
    ----------
    frame : (q,) in which of the frames each is
    low, high : (q, 3) their lowest and highest corners [m]; either may be infinite
    asked : (q,) what comes nearer than this is wanted, whatever else is near [m]
    bounds : from the numbers of searches and lowest and highest corners of boxes in their frames,
        the least distance that anything in each can have, and the most that the nearest thing in
        it can have; of a point, twice its distance. Infinite, where the box may hold nothing that
        counts
    """

    frame: Ints
    low: Floats
    high: Floats
    asked: Floats
    bounds: Callable[[Ints, Floats, Floats], tuple[Floats, Floats]]


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
        """Triangles whose own box along the axes of the one frame meets a box.

        Parameters
        ----------
        low, high : (3,) of the box in the frame's coordinates [m]; either may be infinite

        Returns
        -------
        corners : (k, 3, 3) in the frame's coordinates [m]
        owner : (k,) which mesh each belongs to
        """
        low, high = np.asarray(low) - ROUNDING, np.asarray(high) + ROUNDING

        def meets(_which: Ints, middle: Floats, half: Floats, _owner: Ints) -> Mask:
            return _meet(middle - half, middle + half, low, high)

        _, corners, owner = self.descend(np.zeros(1, dtype=np.int64), meets)
        met = _meet(*spans(corners), low, high)
        return corners[met], owner[met]

    def nearest(self, search: Search) -> tuple[Ints, Floats, Ints]:
        """Triangles that may be their mesh's nearest where that is near, or the nearest of all.

        Returns
        -------
        which : (k,) in which of the searches each was found
        corners : (k, 3, 3) in its frame [m]
        owner : (k,) which mesh each belongs to
        """
        frame, asked = search.frame, search.asked
        low, high = search.low - ROUNDING, search.high + ROUNDING
        meshes = len(self.soup.meshes)
        # The most that the nearest triangle of each mesh can be away, as far as is known.
        least = np.full((len(frame), meshes), np.inf)

        def worth(which: Ints, owner: Ints, lower: Floats, upper: Floats) -> Mask:
            key = which * meshes + owner
            np.minimum.at(least.reshape(-1), key, upper)
            best = least.min(axis=1, initial=np.inf)[which]
            wanted = (lower < asked[which]) | (lower <= best + ROUNDING)
            out: Mask = wanted & (lower <= least.reshape(-1)[key] + ROUNDING)
            return out

        def promising(which: Ints, middle: Floats, half: Floats, owner: Ints) -> Mask:
            lowest, highest = middle - half, middle + half
            met = _meet(lowest, highest, low[which], high[which])
            some = np.flatnonzero(met)
            which, owner = which[some], owner[some]
            met[some] = worth(which, owner, *search.bounds(which, lowest[some], highest[some]))
            return met

        which, corners, owner = self.descend(frame, promising, again=True)
        lowest, highest = spans(corners)
        met = _meet(lowest, highest, low[which], high[which])
        which, corners, owner = which[met], corners[met], owner[met]
        lower, _ = search.bounds(which, lowest[met], highest[met])
        _, upper = search.bounds(which[:, None], corners, corners)
        chosen = worth(which, owner, lower, upper.min(axis=1, initial=np.inf))
        return which[chosen], corners[chosen], owner[chosen]

    def descend(
        self,
        frame: Ints,
        test: Callable[[Ints, Floats, Floats, Ints], Mask],
        again: bool = False,
    ) -> tuple[Ints, Floats, Ints]:
        """Follow searches from the meshes down to the triangles, through boxes that pass a test.

        Parameters
        ----------
        frame : (q,) in which of the frames each search is
        test : from numbers of searches, middles and half sizes (k, 3) of boxes in their frames [m]
            and numbers of the meshes that these belong to, which are looked into
        again : whether the last boxes are tested once more when all are known

        Returns
        -------
        which : (k,) which of the searches came to each triangle
        corners : (k, 3, 3) in its frame [m]
        owner : (k,) which mesh each belongs to
        """
        parts, middle, half = self.soup.parts
        heap = self.soup.heap

        def passes(which: Ints, node: Ints) -> Mask:
            seen = frame[which]
            middle, half = heap.middle[node], heap.half[node]
            turned = self._turned(seen, middle - self.origins[seen])
            return test(which, turned, self._turned(seen, half, size=True), heap.of_node[node])

        which = np.repeat(np.arange(len(frame)), len(parts))
        number = np.tile(np.arange(len(parts)), len(frame))
        seen = frame[which]
        turned = self._turned(seen, middle[number] - self.origins[seen])
        some = test(which, turned, self._turned(seen, half[number], size=True), parts[number])
        which, index = heap.descend(which[some], parts[number[some]], passes, again)
        return which, self._corners(frame[which], index), heap.owner[index]

    def _corners(self, frame: Ints, index: Ints) -> Floats:
        """(k, 3, 3) the corners of triangles in the given frames."""
        points = self.soup.heap.corners[index] - self.origins[frame][:, None]
        turned = self._turned(np.repeat(frame, 3), points.reshape(-1, 3))
        return turned.reshape(-1, 3, 3)

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
        _, middle, half = self.soup.parts
        away = np.abs(middle[None] - self.origins[:, None]) + half
        return float(np.sqrt((away * away).sum(axis=2)).max(initial=0.0))


def _dot(a: Floats, b: Floats) -> Floats:
    out: Floats = (a * b).sum(axis=-1)
    return out


def _meet(lows: Floats, highs: Floats, low: Floats, high: Floats) -> Mask:
    """Which of many boxes (k, 3) meet one (3,), or each its own (k, 3)."""
    apart = (lows > high) | (highs < low)
    out: Mask = ~(apart[:, 0] | apart[:, 1] | apart[:, 2])
    return out


def reaches(asked: float, sight: float) -> Iterable[float]:
    """How far to look, farther and farther until something is found [m]."""
    reach = max(asked, 0.1)
    while reach < sight:
        yield reach
        reach *= 3.0
    yield max(asked, sight)
