"""The part of an object that stands where it must not: what a picture marks in red."""

from __future__ import annotations

import numpy as np
from manifold3d import Error, Manifold, Mesh64

from heatcore.geometry.clip import clip_to_box
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Mesh, Part
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import Mount

LEAST_VOLUME = 1e-9  # m3: what only touches a volume does not stand in it
LEAST_AREA = 1e-12  # m2

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
    pieces: list[Floats] = []
    for low, high in boxes:
        polygons, _ = clip_to_box(mesh.corners, low, high)
        # A fan over each polygon; the corners that it repeats give triangles without area.
        for b in range(1, polygons.shape[1] - 1):
            pieces.append(polygons[:, [0, b, b + 1]])
    corners = np.concatenate([np.empty((0, 3, 3)), *pieces])
    size = np.linalg.norm(
        np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1
    )
    corners = corners[size > LEAST_AREA]
    return Mesh(corners.reshape(-1, 3), np.arange(3 * len(corners))) if len(corners) else None
