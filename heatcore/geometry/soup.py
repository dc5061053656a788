"""Many meshes as one heap of triangles, culled fast to what lies near a heater.

This is the only place that decides which triangles are looked at; what is said about them is
decided elsewhere and does not depend on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from heatcore.errors import MeshError
from heatcore.geometry.frames import Floats, Frame, Ints, locked
from heatcore.geometry.heap import Heap
from heatcore.geometry.parts import Mesh
from heatcore.geometry.view import ROUNDING, Mask, View

_THREE = ((0.2113, 0.3771, 0.9017), (-0.7369, 0.1931, 0.6479), (0.5237, -0.8117, 0.2591))
RAYS = (*_THREE, *((-x, -y, -z) for x, y, z in _THREE))  # along no edge that anybody draws
OPENING = 0.02  # share of all directions that may be left open round what is still inside


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
        """The meshes that have triangles, and lowest and highest corners of their boxes [m]."""
        full = np.flatnonzero(self.boxes[:, 0, 0] <= self.boxes[:, 1, 0])
        return full, locked(self.boxes[full, 0]), locked(self.boxes[full, 1])

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
            near, far = (heap.bottom[node] - point) / ray, (heap.top[node] - point) / ray
            enters = np.minimum(near, far).max(axis=1)
            leaves: Floats = np.maximum(near, far).min(axis=1)
            out: Mask = (enters <= leaves + ROUNDING) & (leaves >= 0.0)
            return out

        parts = np.flatnonzero(wanted)
        _, index = heap.within(*heap.descend(np.zeros_like(parts), parts, crossed))
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


def _dot(a: Floats, b: Floats) -> Floats:
    out: Floats = (a * b).sum(axis=-1)
    return out
