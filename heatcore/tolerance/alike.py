"""Whether two meshes are the same where it counts, however they differ elsewhere.

A roof whose outline is off differs at its eaves and nowhere over a heater in its middle. Within a
box, a closed surface is told by the planes of its faces there and by the edges between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np

from heatcore.geometry.clip import clip_to_box
from heatcore.geometry.closest import meets_box
from heatcore.geometry.distance import NOISE
from heatcore.geometry.frames import Floats, Frame, locked
from heatcore.geometry.parts import Mesh
from heatcore.geometry.tree import spans

_MANY = 200  # faces or edges; what has more of them within a box is not compared
_SAME = 1e-9  # of the components of unit normals: what is flatter than this is no edge


@dataclass(frozen=True, eq=False)
class _Surface:
    """A mesh as its faces and the edges between faces that do not lie in one plane.

    Attributes
    ----------
    low, high : (m, 3) boxes round the triangles [m]
    planes : (m, 4) outward unit normals, and how far each plane lies from the origin [1, m]
    edges : (k, 2, 3) both ends of each edge [m]
    wedges : (k, 7) what the solid is like along each: of both normals the sum and the products of
        their components, and whether it is hollow
    """

    low: Floats
    high: Floats
    planes: Floats
    edges: Floats
    wedges: Floats


_SURFACES: WeakKeyDictionary[Mesh, _Surface] = WeakKeyDictionary()


def alike_within(one: Mesh, other: Mesh, low: Floats, high: Floats) -> bool:
    """Tell whether two closed meshes have the same surface within a box.

    Where it would take long to tell, they count as different.

    Parameters
    ----------
    low, high : (3,) lowest and highest corner of the box [m]
    """
    if one is other:
        return True
    if all(_misses(mesh.bounds, low, high) for mesh in (one, other)):
        return True
    first, second = _surface(one), _surface(other)
    return _same_rows(_edges_in(first, low, high), _edges_in(second, low, high)) and _same_rows(
        _planes_in(one, first, low, high), _planes_in(other, second, low, high)
    )


def moved_within(
    one: Mesh, seen: Frame, other: Mesh, later: Frame, low: Floats, high: Floats, most: float
) -> float | None:
    """Say how far a surface moves within a box that stands still in a frame, in that frame.

    Where none of its edges runs through the box only what it moves along its normals counts.

    Parameters
    ----------
    one, seen : the mesh as it was, and the frame
    other, later : the same where both are moved
    low, high : (3,) lowest and highest corner of the box, in the frame [m]
    most : what anywhere moves farther than this may come from outside the box [m]

    Returns
    -------
    float or None
        [m]; None where it is not made of the same triangles.
    """
    if one is not other and not np.array_equal(one.triangles, other.triangles):
        return None
    before, after = seen.to_local(one.vertices), later.to_local(other.vertices)
    off = after - before
    farthest = float(np.sqrt((off * off).sum(axis=1).max()))
    if farthest > most or farthest <= NOISE:
        return farthest
    triangles = [points[one.triangles] for points in (before, after)]
    some = np.zeros(len(one.triangles), dtype=bool)
    for corners in triangles:
        first, last = spans(corners)
        some |= ((first <= high) & (last >= low)).all(axis=1)
    if not some.any():
        return 0.0
    old, new = (corners[some] for corners in triangles)
    edged = any(
        len(_edges_in(_surface(mesh), low, high, frame))
        for mesh, frame in ((one, seen), (other, later))
    )
    if edged:
        return _drift(old, new, low, high)
    return max(_off_planes(old, new, low, high), _off_planes(new, old, low, high))


def _drift(old: Floats, new: Floats, low: Floats, high: Floats) -> float:
    """How far the points of triangles move that are within a box before or after [m]."""
    most = 0.0
    for here, there in ((old, new), (new, old)):
        inside, index = clip_to_box(here, low, high)
        if not len(inside):
            continue
        corner, u, v = here[index, :1], *(here[index, i] - here[index, 0] for i in (1, 2))
        uu, uv, vv = (u * u).sum(axis=1), (u * v).sum(axis=1), (v * v).sum(axis=1)
        square = uu * vv - uv * uv
        flat = square <= 1e-24
        square = np.where(flat, 1.0, square)[:, None]
        off = inside - corner
        by_u, by_v = (off * u[:, None]).sum(axis=2), (off * v[:, None]).sum(axis=2)
        along_u = (by_u * vv[:, None] - by_v * uv[:, None]) / square
        along_v = (by_v * uu[:, None] - by_u * uv[:, None]) / square
        way = there[index] - here[index]
        moved = way[:, :1] + along_u[..., None] * (way[:, 1:2] - way[:, :1])
        moved += along_v[..., None] * (way[:, 2:] - way[:, :1])
        moved[flat] = np.linalg.norm(way[flat], axis=2).max(initial=0.0)
        most = max(most, float(np.linalg.norm(moved, axis=2).max()))
    return most


def _off_planes(old: Floats, new: Floats, low: Floats, high: Floats) -> float:
    """How far triangles within a box lie from the planes of those that they were [m]."""
    inside, index = clip_to_box(new, low, high)
    if not len(inside):
        return 0.0
    edges = old[index, 1:] - old[index, :1]
    normal = np.cross(edges[:, 0], edges[:, 1])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, size, out=np.zeros_like(normal), where=size > 0.0)
    off = ((inside - old[index, :1]) * normal[:, None]).sum(axis=2)
    return float(np.abs(off).max())


def _misses(bounds: Floats, low: Floats, high: Floats) -> bool:
    return bool(((bounds[0] > high) | (bounds[1] < low)).any())


def _surface(mesh: Mesh) -> _Surface:
    found = _SURFACES.get(mesh)
    if found is None:
        found = _SURFACES[mesh] = _analyzed(mesh)
    return found


def _analyzed(mesh: Mesh) -> _Surface:
    low, high = spans(mesh.corners)
    normals, count = mesh.normals, len(mesh.triangles)
    planes = np.column_stack([normals, (normals * mesh.corners[:, 0]).sum(axis=1)])
    ends = np.sort(mesh.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    face = np.repeat(np.arange(count), 3)
    apex = mesh.corners[:, [2, 0, 1]].reshape(-1, 3)
    _, first, which, uses = np.unique(
        ends[:, 0] * len(mesh.vertices) + ends[:, 1],
        return_index=True, return_inverse=True, return_counts=True,
    )  # fmt: skip
    # The other of two faces along an edge; where there are not two, there is none to compare with.
    last = first.copy()
    last[which] = np.arange(len(ends))
    a, b = normals[face[first]], normals[face[last]]
    b = np.where((uses == 2)[:, None], b, 0.0)
    bent = (np.abs(a - b) > _SAME).any(axis=1) | (uses != 2)
    a, b, first, last = a[bent], b[bent], first[bent], last[bent]
    edges = mesh.vertices[ends[first]]
    hollow = ((apex[last] - edges[:, 0]) * a).sum(axis=1) > 0.0
    wedges = np.column_stack([a + b, a * b, hollow])
    return _Surface(locked(low), locked(high), locked(planes), locked(edges), locked(wedges))


def _planes_in(mesh: Mesh, surface: _Surface, low: Floats, high: Floats) -> Floats:
    """The planes of the faces that reach into a box."""
    some = np.flatnonzero(((surface.low <= high) & (surface.high >= low)).all(axis=1))
    shape = (len(some), 3)
    corners = mesh.corners[some]
    met = meets_box(corners, np.broadcast_to(low, shape), np.broadcast_to(high, shape))
    out: Floats = surface.planes[some[met]]
    return out


def _edges_in(surface: _Surface, low: Floats, high: Floats, frame: Frame | None = None) -> Floats:
    """(k, 13) the stretches of edges within a box of a frame, each with its wedge."""
    edges = surface.edges if frame is None else frame.to_local(surface.edges)
    start, way = edges[:, 0], edges[:, 1] - edges[:, 0]
    moves = np.abs(way) > NOISE
    # The slabs of Kay and Kajiya (SIGGRAPH 1986)
    shares = [
        np.divide(side - start, way, out=np.zeros_like(way), where=moves) for side in (low, high)
    ]
    within = moves | ((low <= start) & (start <= high))
    enter = np.where(moves, np.minimum(*shares), np.where(within, 0.0, np.inf)).max(axis=1)
    leave = np.where(moves, np.maximum(*shares), np.where(within, 1.0, -np.inf)).min(axis=1)
    enter, leave = np.maximum(enter, 0.0), np.minimum(leave, 1.0)
    some = np.flatnonzero(leave >= enter)
    ends = start[some] + np.stack([enter[some], leave[some]])[..., None] * way[some]
    # Which end comes first does not matter.
    return np.column_stack([ends.sum(axis=0), np.abs(ends[1] - ends[0]), surface.wedges[some]])


def _same_rows(one: Floats, other: Floats) -> bool:
    """Whether each row of one is among those of the other, and the other way round."""
    if max(len(one), len(other)) > _MANY:
        return False
    same = (np.abs(one[:, None] - other) <= NOISE).all(axis=2)
    return bool(same.any(axis=0).all() and same.any(axis=1).all())
