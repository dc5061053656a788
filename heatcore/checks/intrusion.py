"""The part of an object that stands where it must not: what a picture marks in red."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from manifold3d import Error, Manifold, Mesh64

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Mesh, Part
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import Mount

LEAST_VOLUME = 1e-9  # m3: what only touches a volume does not stand in it

Box = tuple[Floats, Floats]


def intrusion(mount: Mount, part: Part) -> Mesh | None:
    """Cut the piece of a part inside a heater's clearance volumes; None where there is none.

    The distances are those that go for the part: to combustible material, or to the other. A
    closed part gives a closed piece; one that is open, or crosses itself, gives the pieces of its
    surface that lie inside.
    """
    need = mount.type.combustible if part.combustible else mount.type.noncombustible
    boxes = clearance_volumes(mount.type, need)
    local = Mesh(mount.frame.to_local(part.mesh.vertices), part.mesh.triangles)
    if not _overlaps(local.bounds, boxes):
        return None
    piece = _solid_piece(local, boxes)
    if piece is None:
        piece = _surface_piece(local, boxes)
    if piece is None or len(piece.triangles) == 0:
        return None
    return Mesh(mount.frame.to_world(piece.vertices), piece.triangles)


def _overlaps(bounds: Floats, boxes: tuple[Box, Box]) -> bool:
    return any(bool(np.all(bounds[0] < high) and np.all(bounds[1] > low)) for low, high in boxes)


def _solid_piece(mesh: Mesh, boxes: tuple[Box, Box]) -> Mesh | None:
    """Cut a closed piece: None where the mesh is no solid, empty where nothing is inside."""
    solid = Manifold(
        Mesh64(
            vert_properties=np.array(mesh.vertices, dtype=np.float64),
            tri_verts=np.array(mesh.triangles, dtype=np.uint64),
        )
    )
    if solid.status() is not Error.NoError or solid.is_empty():
        return None
    volumes = Manifold()
    for low, high in boxes:
        volumes += Manifold.cube(tuple(high - low)).translate(tuple(low))
    inside = solid ^ volumes
    if inside.volume() < LEAST_VOLUME:
        return Mesh(np.empty((0, 3)), np.empty((0, 3), dtype=np.int64))
    out = inside.to_mesh64()
    return Mesh(np.asarray(out.vert_properties)[:, :3], np.asarray(out.tri_verts).astype(np.int64))


def _surface_piece(mesh: Mesh, boxes: tuple[Box, Box]) -> Mesh | None:
    vertices: list[Floats] = []
    triangles: list[tuple[int, int, int]] = []
    for low, high in boxes:
        for triangle in mesh.corners:
            polygon = clip(triangle, low, high)
            first = len(vertices)
            vertices.extend(polygon)
            triangles.extend(
                (first, first + b, first + c) for b, c in pairwise(range(1, len(polygon)))
            )
    return Mesh(np.array(vertices), np.array(triangles)) if triangles else None


def clip(polygon: Floats, low: Floats, high: Floats) -> Floats:
    """Clip a convex polygon (n, 3) to a box: (m, 3), and m is 0 where nothing is inside.

    Sutherland and Hodgman, Reentrant polygon clipping, Comm. ACM 17(1), 1974, 32-42.
    """
    for axis in range(3):
        for limit, sign in ((low[axis], 1.0), (high[axis], -1.0)):
            if len(polygon) == 0:
                return polygon
            inside = sign * (polygon[:, axis] - limit)
            after, inside_after = np.roll(polygon, -1, axis=0), np.roll(inside, -1)
            kept: list[Floats] = []
            for a, b, da, db in zip(polygon, after, inside, inside_after, strict=True):
                if da >= 0.0:
                    kept.append(a)
                if (da > 0.0 > db) or (da < 0.0 < db):
                    kept.append(a + (b - a) * (da / (da - db)))
            polygon = np.array(kept).reshape(-1, 3)
    return polygon
