"""Watertight solids: the only place that knows the library behind them.

Everything is double precision: a face lies where it was put to within a nanometre, also 100 m from
the origin.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import ceil, cos, pi, sin
from typing import Any, Protocol, TypeAlias

import numpy as np
from manifold3d import Error, Manifold, Mesh64, OpType, triangulate
from shapely import MultiPolygon, Polygon
from shapely.geometry.polygon import orient

from heatcore.errors import MeshError
from heatcore.geometry.frames import Floats, Frame
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.scene.materials import is_combustible, looks
from heatcore.scene.plan import where

Solid: TypeAlias = Manifold

_LEAST_VOLUME = 1e-12  # m3; a cube of a tenth of a millimetre


class Thing(Protocol):
    """What every solid thing of a scene has: its name, its material, and what is said of it."""

    @property
    def name(self) -> str:
        """Unique name."""

    @property
    def material(self) -> str | None:
        """What it looks like."""

    @property
    def combustible(self) -> bool | None:
        """Whether it burns, where the scene states it."""


def solid_of(mesh: Mesh, name: str) -> Solid:
    """Return a mesh as a solid.

    Parameters
    ----------
    mesh : closed, its faces turned outward; vertices in one place are taken as one
    name : what the message calls it

    Raises
    ------
    MeshError
        If the mesh is not finite, open, inverted or without volume.
    """
    if not np.isfinite(mesh.vertices).all():
        raise MeshError(
            name,
            "has a corner whose coordinates are not finite numbers",
            "check its sizes, or export the mesh again",
        )
    raw = _raw(mesh.vertices, mesh.triangles)
    solid = Manifold(raw)
    if solid.status() == Error.NotManifold:
        raw.merge()
        solid = Manifold(raw)
    return checked(solid, name)


def checked(solid: Solid, name: str) -> Solid:
    """Return the solid itself, once it is known to be one.

    Raises
    ------
    MeshError
        If it is open, inverted or without volume.
    """
    if solid.status() == Error.NonFiniteVertex:
        raise MeshError(
            name, "has a size or a place that is not a finite number", "check its dimensions"
        )
    if solid.status() != Error.NoError:
        raise MeshError(
            name,
            "has a surface that is not closed, or whose faces do not all point the same way",
            "close its holes, join vertices that lie in one place, and turn all faces outward",
        )
    if solid.volume() < -_LEAST_VOLUME:
        raise MeshError(name, "is turned inside out", "flip its faces so that they point outward")
    if solid.is_empty() or solid.volume() < _LEAST_VOLUME:
        raise MeshError(name, "encloses no space", "check its size, and that it is not flat")
    return solid


def to_mesh(solid: Solid) -> Mesh:
    """Return the surface of a solid."""
    raw = solid.to_mesh64()
    return Mesh(raw.vert_properties[:, :3], raw.tri_verts)


def part_of(
    solid: Solid,
    thing: Thing,
    kind: Kind,
    name: str = "",
    *,
    material: str = "",
    burns: bool | None = None,
    swept: bool = False,
) -> Part:
    """Return a part of a thing; it takes the thing's own name and material unless told otherwise.

    Whether it counts as combustible is what the thing states, else `burns`, else what its material
    says.

    Raises
    ------
    MeshError
        If the solid is none.
    """
    mesh = to_mesh(checked(solid, where(thing)))
    made_of = material or thing.material
    stated = burns if thing.combustible is None else thing.combustible
    combustible = is_combustible(made_of, stated)
    shown = looks(thing, made_of)
    return Part(name or thing.name, thing.name, kind, mesh, shown, combustible, swept)


def prism(plan: Polygon | MultiPolygon, bottom: float, top: float) -> Solid:
    """Return an upright prism over a plan, holes included, between two heights [m]."""
    pieces = plan.geoms if isinstance(plan, MultiPolygon) else [plan]
    return union(_prism(orient(piece), bottom, top) for piece in pieces if not piece.is_empty)


def _prism(plan: Polygon, bottom: float, top: float) -> Solid:
    rings = [np.asarray(ring.coords)[:-1, :2] for ring in (plan.exterior, *plan.interiors)]
    corners = np.concatenate(rings)
    count = len(corners)
    lid = np.asarray(triangulate(rings), dtype=np.int64)
    here = np.arange(count)
    starts = np.cumsum([0] + [len(ring) for ring in rings])
    after = np.concatenate([np.roll(here[a:b], -1) for a, b in pairwise(starts)])
    sides = [
        np.stack([here, after, after + count], 1),
        np.stack([here, after + count, here + count], 1),
    ]
    vertices = np.concatenate(
        [np.column_stack([corners, np.full(count, z)]) for z in (bottom, top)]
    )
    return Manifold(_raw(vertices, np.concatenate([lid[:, ::-1], lid + count, *sides])))


def upright_box(corners: Any, bottom: float, top: float) -> Solid:
    """Return a prism over a plan outline (n, 2), either way round, between two heights [m]."""
    return prism(Polygon(np.asarray(corners, dtype=np.float64)), bottom, top)


def box(frame: Frame, low: Any, high: Any) -> Solid:
    """Return a box between two corners (3,) in a frame's coordinates [m]."""
    x, y, z = zip(low, high, strict=True)
    corners = [(x[i], y[j], z[k]) for k in (0, 1) for i, j in ((0, 0), (1, 0), (1, 1), (0, 1))]
    return Manifold(_raw(frame.to_world(corners), _BOX))


_BOX = np.array(
    [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7)]
    + [
        face
        for i, j in ((0, 1), (1, 2), (2, 3), (3, 0))
        for face in ((i, j, j + 4), (i, j + 4, i + 4))
    ]
)


def lathe(
    frame: Frame,
    profile: Sequence[tuple[float, float]],
    sides: int = 32,
    oval: tuple[float, float] = (1.0, 1.0),
) -> Solid:
    """Return a round body about a frame's Z, from its outline (radius, height) from bottom to top.

    Radii are more than nothing. The body is a polygon of `sides` sides inside the circle; with a
    multiple of four it mirrors onto itself in the frame's X and Y. `oval` stretches it along both.
    """
    turn = 2 * pi * np.arange(sides) / sides
    circle = np.column_stack([oval[0] * np.cos(turn), oval[1] * np.sin(turn), np.zeros(sides)])
    rings = [circle * [radius, radius, 1.0] + [0.0, 0.0, height] for radius, height in profile]
    here = np.arange(sides)
    after = np.roll(here, -1)
    faces = []
    for level in range(len(profile) - 1):
        low, high = level * sides, (level + 1) * sides
        faces += [
            np.stack([here + low, after + low, after + high], 1),
            np.stack([here + low, after + high, here + high], 1),
        ]
    fan = np.stack([np.zeros(sides - 2, dtype=np.int64), here[1:-1], here[2:]], 1)
    last = (len(profile) - 1) * sides
    faces += [fan[:, ::-1], fan + last]
    return Manifold(_raw(frame.to_world(np.concatenate(rings)), np.concatenate(faces)))


def rounded_box(frame: Frame, low: Any, high: Any, radius: float) -> Solid:
    """Return a box with rounded edges between two corners (3,) in a frame's coordinates [m].

    The radius is cut down to what the box has room for.
    """
    low, high = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
    radius = min(radius, 0.499 * float((high - low).min()))
    polar, turn = (a.ravel() for a in np.meshgrid(*2 * [np.linspace(0.0, pi / 2, 4)]))
    octant = np.column_stack(
        [np.sin(polar) * np.cos(turn), np.sin(polar) * np.sin(turn), np.cos(polar)]
    )
    points = [
        np.where(np.array(side) > 0, high - radius, low + radius) + radius * octant * side
        for side in np.stack(np.meshgrid([-1, 1], [-1, 1], [-1, 1]), -1).reshape(-1, 3)
    ]
    return hull(frame.to_world(np.concatenate(points)))


def hull(points: Floats) -> Solid:
    """Return the convex hull of points (n, 3) [m]."""
    return Manifold.hull_points(np.ascontiguousarray(points))


def union(solids: Iterable[Solid]) -> Solid:
    """Return what lies in any of the solids."""
    return Manifold.batch_boolean(list(solids), OpType.Add)


def keep(solid: Solid, normal: Any, point: Any) -> Solid:
    """Return what of a solid lies on the side of a plane that the normal (3,) points to.

    Parameters
    ----------
    solid : any
    normal : (3,) of any length
    point : (3,) on the plane [m]
    """
    unit = np.asarray(normal, dtype=np.float64)
    unit = unit / np.linalg.norm(unit)
    return solid.trim_by_plane(unit, float(unit @ np.asarray(point, dtype=np.float64)))


def pieces(solid: Solid) -> list[Solid]:
    """Return the connected pieces of a solid, without crumbs that only rounding made."""
    return [piece for piece in solid.decompose() if piece.volume() > _LEAST_VOLUME]


def around_arc(radius: float, start: float, end: float, excess: float) -> Floats:
    """Return a polyline (n, 2) that runs outside an arc about the origin, by `excess` at most.

    Its ends lie on the arc, its inner corners where the tangents at equally spaced points of the
    arc meet: a corner of tangents d apart lies outside by r (1 / cos(d / 2) - 1).

    Parameters
    ----------
    radius : of the arc [m]
    start, end : its angles, from X counter-clockwise; end is not before start [rad]
    excess : how far outside it may run [m]
    """
    widest = 2 * np.arccos(1.0 / (1.0 + excess / radius))
    count = ceil((end - start) / widest)
    if count == 0:
        return np.array([[radius * cos(start), radius * sin(start)]])
    step = (end - start) / count
    angles = np.concatenate([[start], start + step * (np.arange(count) + 0.5), [end]])
    radii = np.full(count + 2, radius / cos(step / 2))
    radii[[0, -1]] = radius
    return np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])


def _raw(vertices: Any, triangles: Any) -> Mesh64:
    """Return vertices (n, 3) and triangles (m, 3) as the library takes them: writable copies."""
    return Mesh64(
        vert_properties=np.array(vertices, dtype=np.float64, order="C"),
        tri_verts=np.array(triangles, dtype=np.uint64, order="C"),
    )
