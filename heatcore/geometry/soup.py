"""Many meshes as one heap of triangles, culled fast to what lies near a heater.

This is the only place that decides which triangles are looked at; what is said about them is
decided elsewhere and does not depend on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from heatcore.errors import MeshError
from heatcore.geometry.frames import Floats, Frame, Ints, locked
from heatcore.geometry.parts import Mesh

BLOCK = 64  # triangles that are culled together
_THREE = ((0.2113, 0.3771, 0.9017), (-0.7369, 0.1931, 0.6479), (0.5237, -0.8117, 0.2591))
RAYS = (*_THREE, *((-x, -y, -z) for x, y, z in _THREE))  # along no edge that anybody draws
OPENING = 0.02  # share of all directions that may be left open round what is still inside


@dataclass(frozen=True, eq=False)
class Soup:
    """The triangles of several meshes, neighbours together.

    Attributes
    ----------
    corners : (m, 3, 3) of each triangle [m], read-only
    owner : (m,) which mesh each belongs to, read-only
    boxes : (n, 2, 3) lowest and highest corner of each mesh [m], read-only
    """

    corners: Floats
    owner: Ints
    boxes: Floats

    @classmethod
    def of(cls, meshes: Sequence[Mesh]) -> Soup:
        """Heap up meshes; one without triangles keeps its number and is never met.

        Raises
        ------
        MeshError
            Where a coordinate is not a finite number.
        """
        full = [mesh for mesh in meshes if len(mesh.triangles)]
        counts = [len(mesh.triangles) for mesh in meshes]
        boxes = np.tile([[np.inf] * 3, [-np.inf] * 3], (len(counts), 1, 1))
        boxes[np.flatnonzero(counts)] = np.reshape([m.bounds for m in full], (-1, 2, 3))
        corners = np.concatenate([np.zeros((0, 3, 3)), *(mesh.corners for mesh in full)])
        low, high = spans(corners)
        if not (np.isfinite(low).all() and np.isfinite(high).all()):
            raise MeshError(
                "",
                "a mesh has a coordinate that is not a finite number",
                "repair the mesh, or export it again",
            )
        order = _neighbours_together(low, high)
        owner = np.repeat(np.arange(len(counts)), counts)
        soup = cls(corners[order], owner[order], boxes)
        for array in (soup.corners, soup.owner, soup.boxes):
            array.flags.writeable = False
        return soup

    @cached_property
    def blocks(self) -> tuple[Floats, Floats]:
        """(b, 3) middles and (b, 3) half sizes of the boxes round each block of triangles [m]."""
        starts = np.arange(0, len(self.corners), BLOCK)
        if not len(starts):
            return locked(np.zeros((0, 3))), locked(np.zeros((0, 3)))
        low, high = spans(self.corners)
        low, high = np.minimum.reduceat(low, starts), np.maximum.reduceat(high, starts)
        return locked((low + high) / 2), locked((high - low) / 2)

    def seen_from(self, frame: Frame) -> View:
        """The same triangles in a frame's coordinates, worked out as they are asked for."""
        middle, half = self.blocks
        return View(self, frame, frame.to_local(middle), half @ np.abs(frame.axes).T)

    def of_blocks(self, blocks: Any) -> Ints:
        """Indices of the triangles in the given blocks."""
        index = (np.asarray(blocks, dtype=np.int64)[:, None] * BLOCK + np.arange(BLOCK)).ravel()
        return index[index < len(self.corners)]

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
        a, b, c = (self.corners[self.owner == who, i] - point for i in range(3))
        la, lb, lc = (np.sqrt(_dot(v, v)) for v in (a, b, c))
        # Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30(2), 1983
        under = la * lb * lc + _dot(a, b) * lc + _dot(b, c) * la + _dot(c, a) * lb
        return float(np.arctan2(_dot(a, np.cross(b, c)), under).sum() / (2.0 * np.pi))

    def _crossings(self, point: Floats, ray: Floats, wanted: Any) -> tuple[Ints, Floats, Ints]:
        """Owners and senses of the wanted triangles a ray crosses, and owners that it grazes."""
        middle, half = self.blocks
        # The slabs of Kay and Kajiya (SIGGRAPH 1986); the ray has no zero component.
        near, far = (middle - half - point) / ray, (middle + half - point) / ray
        enters, leaves = np.minimum(near, far).max(axis=1), np.maximum(near, far).min(axis=1)
        index = self.of_blocks(np.flatnonzero((enters <= leaves + 1e-9) & (leaves >= 0.0)))
        index = index[wanted[self.owner[index]]]
        a, b, c = (self.corners[index, i] for i in range(3))
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
        return self.owner[index[hit]], np.sign(volume[hit]), self.owner[index[grazed]]


@dataclass(frozen=True, eq=False)
class View:
    """A soup as a heater sees it.

    Attributes
    ----------
    soup : the triangles
    frame : the heater's frame
    middle, half : (b, 3) of the soup's blocks, boxed anew along the frame's axes [m]
    """

    soup: Soup
    frame: Frame
    middle: Floats
    half: Floats

    def near(self, low: Any, high: Any) -> tuple[Floats, Ints]:
        """Triangles whose own box along the frame's axes meets a box.

        Parameters
        ----------
        low, high : (3,) of the box in the frame's coordinates [m]; either may be infinite

        Returns
        -------
        corners : (k, 3, 3) in the frame's coordinates [m]
        owner : (k,) which mesh each belongs to
        """
        low, high = np.asarray(low) - 1e-9, np.asarray(high) + 1e-9
        met = _meet(self.middle - self.half, self.middle + self.half, low, high)
        index = self.soup.of_blocks(np.flatnonzero(met))
        # One tall matrix: numpy multiplies a stack of small ones far more slowly.
        points = self.soup.corners[index].reshape(-1, 3)
        corners = self.frame.to_local(points).reshape(-1, 3, 3)
        met = _meet(*spans(corners), low, high)
        return corners[met], self.soup.owner[index[met]]

    @cached_property
    def farthest(self) -> float:
        """No triangle lies farther than this from the frame's origin [m]."""
        if not len(self.middle):
            return 0.0
        return float(np.linalg.norm(np.abs(self.middle) + self.half, axis=1).max())


def _dot(a: Floats, b: Floats) -> Floats:
    out: Floats = (a * b).sum(axis=-1)
    return out


def spans(corners: Floats) -> tuple[Floats, Floats]:
    """(k, 3) lowest and (k, 3) highest corners of the boxes round triangles (k, 3, 3)."""
    # Reducing so short an axis costs numpy far more than comparing its three slices.
    a, b, c = (corners[:, i] for i in range(3))
    return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)


def _meet(lows: Floats, highs: Floats, low: Floats, high: Floats) -> NDArray[np.bool_]:
    """Which of many boxes (k, 3) meet one (3,)."""
    apart: NDArray[np.bool_] = np.zeros(len(lows), dtype=bool)
    for axis in range(3):
        apart |= (lows[:, axis] > high[axis]) | (highs[:, axis] < low[axis])
    return ~apart


def _neighbours_together(low: Floats, high: Floats) -> Ints:
    """Order of boxes by size, and within a size along Morton's curve through their middles."""
    if len(low) <= BLOCK:
        return np.arange(len(low))
    middle = (low + high) / 2
    start, extent = middle.min(axis=0), float(np.ptp(middle, axis=0).max())
    cell = (middle - start) * (1023.0 / max(extent, 1e-30))
    code = np.zeros(len(low), dtype=np.int64)
    for axis in range(3):
        code |= _spread(cell[:, axis].astype(np.int64)) << axis
    # Large triangles among small ones would swell every block they fall into.
    size = np.log2(np.maximum((high - low).max(axis=1), 1e-6)).astype(np.int64) + 32
    return np.argsort(size << 30 | code, kind="stable")


def _spread(value: Ints) -> Ints:
    """Ten bits, each followed by two zeros."""
    value = (value | value << 16) & 0x030000FF
    value = (value | value << 8) & 0x0300F00F
    value = (value | value << 4) & 0x030C30C3
    return (value | value << 2) & 0x09249249


def reaches(asked: float, sight: float) -> Iterator[float]:
    """How far to look, farther and farther until something is found [m]."""
    reach = max(asked, 0.1)
    while reach < sight:
        yield reach
        reach *= 3.0
    yield max(asked, sight)


def worth_a_look(
    lower: Floats, upper: Floats, owner: Ints, search: Ints, asked: Floats
) -> NDArray[np.int64]:
    """Triangles that may be their mesh's nearest where that falls short, or the nearest of all.

    Parameters
    ----------
    lower, upper : (k,) bounds of each triangle's distance [m]
    owner : (k,) the mesh of each
    search : (k,) which of several searches each belongs to
    asked : (k,) the distance that is asked for [m]
    """
    if not len(owner):
        return np.zeros(0, dtype=np.int64)
    meshes = int(owner.max()) + 1
    mesh_best = np.full((int(search.max()) + 1) * meshes, np.inf)
    mesh = search * meshes + owner
    np.minimum.at(mesh_best, mesh, upper)
    best = mesh_best.reshape(-1, meshes).min(axis=1)
    wanted = (lower < asked) | (lower <= best[search] + 1e-9)
    return np.flatnonzero(wanted & (lower <= mesh_best[mesh] + 1e-9))
