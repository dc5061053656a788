"""Mesh files: OBJ, STL, PLY and glTF, in metres.

glTF has Y up by its standard and is turned to Z up; the others are taken to have Z up. In both
cases the front of a piece of furniture is then toward -Y, which is glTF's +Z and what Blender
calls the front.
"""

from __future__ import annotations

import logging
from pathlib import Path

import numpy as np
import trimesh
from trimesh.resolvers import Resolver

from heatcore.errors import MeshError
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Mesh
from heatcore.geometry.sheets import distinct
from heatcore.geometry.solids import Solid, solid_of, to_mesh
from heatcore.scene.model import Furniture
from heatcore.scene.outlines import WIDEST
from heatcore.scene.plan import where
from heatcore.scene.rules import is_inside

LARGEST_FILE = 200_000_000  # bytes
MOST_TRIANGLES = 5_000_000
_FARTHEST = 1e6  # m from the file's origin: beyond, single precision knows no decimetres
MOST_FACES_AT_AN_EDGE = 64

# What is wrong with a file is told in one message: trimesh would print its tracebacks beside it.
logging.getLogger("trimesh").addHandler(logging.NullHandler())
GLTF = (".glb", ".gltf")
KINDS = (".obj", ".stl", ".ply", *GLTF)


def load_mesh_file(path: Path, name: str) -> Mesh:
    """Read a mesh file as one closed surface, as it stands in the file but with Z up.

    Parameters
    ----------
    path : an OBJ, STL, PLY, GLB or glTF file in metres; it may refer to files beside it, never to
        others or to the network
    name : what a message calls the thing it is for

    Raises
    ------
    MeshError
        If there is no such file, it is too large, cannot be read, holds no triangles, or its
        surface is not finite, too wide, open, inverted or without volume.
    """
    return closed_mesh(read_surface(path, name), name)


def closed_mesh(mesh: Mesh, name: str) -> Mesh:
    """Return a mesh as a closed surface turned outward.

    Raises
    ------
    MeshError
        If it is not finite, open, inverted, a piece of it is, or it has no volume.
    """
    solid = solid_of(mesh, name)
    _refuse_inverted_pieces(solid, name)
    return to_mesh(solid)


def read_surface(path: Path, name: str) -> Mesh:
    """Read the triangles of a mesh file, open or closed, corners in one place joined, with Z up.

    Parameters
    ----------
    path : an OBJ, STL, PLY, GLB or glTF file in metres; it may refer to files beside it, never to
        others or to the network
    name : what a message calls the thing it is for

    Raises
    ------
    MeshError
        If there is no such file, it is too large, cannot be read, holds no triangles, has a
        coordinate that is not a finite number, or faces piled up on one edge.
    """
    shown = f'"{path.name}"'
    kind = path.suffix.lower()
    if kind not in KINDS:
        raise MeshError(
            name,
            f"{shown} is no mesh file that can be read",
            f"use one of these: {', '.join(KINDS)}",
        )
    try:
        size = path.stat().st_size
    except OSError as error:
        raise MeshError(
            name, f"{shown} cannot be opened", "put it in the scene's folder, or correct its name"
        ) from error
    if size > LARGEST_FILE:
        raise MeshError(
            name,
            f"{shown} has {size / 1e6:.0f} MB, more than the {LARGEST_FILE / 1e6:.0f} MB allowed",
            "thin it out before exporting",
        )
    surfaces = _read(path, name)
    # Counted before they are copied: a small file can repeat one surface a million times.
    triangles = sum(len(surface.faces) for _, surface in surfaces)
    if triangles == 0:
        raise MeshError(name, f"{shown} holds no surface", "export it with its faces")
    if triangles > MOST_TRIANGLES:
        raise MeshError(
            name,
            f"{shown} has {triangles} triangles, more than the {MOST_TRIANGLES} allowed",
            "thin it out before exporting",
        )
    starts = np.cumsum([0] + [len(surface.vertices) for _, surface in surfaces])
    vertices = np.concatenate(
        [trimesh.transform_points(surface.vertices, matrix) for matrix, surface in surfaces]
    )
    faces = np.concatenate(
        [surface.faces + start for (_, surface), start in zip(surfaces, starts[:-1], strict=True)]
    )
    if kind in GLTF:
        vertices = vertices[:, [0, 2, 1]] * (1.0, -1.0, 1.0)
    if not np.isfinite(vertices).all():
        raise MeshError(
            name,
            f"{shown} has a corner whose coordinates are not finite numbers",
            "repair the mesh, or export it again",
        )
    across = float(np.ptp(vertices, axis=0).max())
    if across > WIDEST or np.abs(vertices).max() > _FARTHEST:
        raise MeshError(
            name,
            f"{shown} is {across:.3g} m wide, or lies that far from its origin",
            "export it in metres, near its origin",
        )
    # Files often repeat a corner for each face that it belongs to.
    first, number = distinct(vertices)
    mesh = Mesh(vertices[first], number[faces])
    _refuse_stacked_faces(mesh, name)
    return mesh


def furniture_mesh(furniture: Furniture, folder: Path | None) -> Mesh:
    """The mesh of a piece of furniture in the piece's own coordinates: front toward +X.

    It stands on the floor, its plan's bounding box is centred, and it has the piece's `size` where
    that is given. A table's length is the file's X, and lies along +X.

    Raises
    ------
    MeshError
        As `load_mesh_file` does, and if the file is not in the scene's folder.
    """
    name = where(furniture, "mesh")
    mesh = load_mesh_file(file_in(folder, str(furniture.mesh), name), name)
    low, high = mesh.bounds
    middle = np.array([*(low[:2] + high[:2]) / 2, low[2]])
    scale = 1.0 if furniture.size is None else np.asarray(furniture.size) / (high - low)
    x, y, z = ((mesh.vertices - middle) * scale).T
    if furniture.kind in ("table", "round_table"):
        return Mesh(np.stack([x, y, z], axis=1), mesh.triangles)
    return Mesh(np.stack([-y, x, z], axis=1), mesh.triangles)


def file_in(folder: Path | None, file: str, name: str) -> Path:
    """Return the path of a file in a scene's folder.

    Raises
    ------
    MeshError
        If there is no folder, or the file would lie outside it.
    """
    if folder is None:
        raise MeshError(
            name, f'there is no folder to look for "{file}" in', "save the scene beside its files"
        )
    if not is_inside(folder, file):
        raise MeshError(
            name, f'"{file}" is a path leaving the folder', "put the file in the scene's folder"
        )
    return folder / file


class _Beside(Resolver):
    """Lets a mesh file refer only to files in its own folder and below."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get(self, key: str) -> bytes:
        """Return the content of a file beside the mesh file."""
        if not is_inside(self._folder, key):
            raise ValueError(f"it refers to {key!r}, outside its folder")
        path = self._folder / key
        if path.stat().st_size > LARGEST_FILE:
            raise ValueError(f"it refers to {key!r}, which is too large")
        return path.read_bytes()

    def write(self, name: str, data: str | bytes) -> None:
        """Refuse: nothing is written here."""
        raise PermissionError("a mesh file is only read")

    def keys(self) -> list[str]:
        """Return nothing: no file needs a list of what is there."""
        return []

    def namespaced(self, namespace: str) -> _Beside:
        """Return itself: folders below are reached by path."""
        return self


def _read(path: Path, name: str) -> list[tuple[Floats, trimesh.Trimesh]]:
    """The surfaces in a file, each with the matrix (4, 4) that puts it where it stands."""
    try:
        with path.open("rb") as file:
            scene = trimesh.load_scene(
                file,
                file_type=path.suffix.lower()[1:],
                resolver=_Beside(path.parent),
                process=False,
                skip_materials=True,
            )
        nodes = [scene.graph[node] for node in scene.graph.nodes_geometry]
        placed = [(matrix, scene.geometry[geometry]) for matrix, geometry in nodes]
        surfaces = [(matrix, mesh) for matrix, mesh in placed if isinstance(mesh, trimesh.Trimesh)]
        for _, mesh in surfaces:
            _in_order(mesh)
        return surfaces
    except Exception as error:  # a broken file breaks its reader in any way it likes
        said = " ".join(f"{type(error).__name__}: {error}".split())[:120]
        raise MeshError(
            name,
            f'"{path.name}" cannot be read as a mesh ({said})',
            "export it again as OBJ, STL, PLY or glTF, with all it refers to in its folder",
        ) from error


def _in_order(mesh: trimesh.Trimesh) -> None:
    """Refuse a surface whose corners are no points in space, or whose faces name no corners.

    Raises
    ------
    ValueError
        With what is wrong.
    """
    if mesh.vertices.shape[1:] != (3,) or mesh.faces.shape[1:] != (3,):
        raise ValueError("its corners do not have three coordinates each")
    if len(mesh.faces) and not 0 <= mesh.faces.min() <= mesh.faces.max() < len(mesh.vertices):
        raise ValueError("its faces name corners that are not there")


def _refuse_stacked_faces(mesh: Mesh, name: str) -> None:
    """Refuse faces piled up on one edge: a solid of them takes the square of their number."""
    ends = np.sort(mesh.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    edges = np.sort(ends[:, 0] * len(mesh.vertices) + ends[:, 1])
    most = MOST_FACES_AT_AN_EDGE
    if (edges[most:] == edges[:-most]).any():
        raise MeshError(
            name,
            f"has an edge that more than {most} of its faces share",
            "take out the faces that lie on one another, and export it again",
        )


def _refuse_inverted_pieces(solid: Solid, name: str) -> None:
    """Refuse a piece that is turned inside out, unless it is a hollow within another one."""
    pieces = [
        (piece.volume(), np.reshape(piece.bounding_box(), (2, 3))) for piece in solid.decompose()
    ]
    outer = [bounds for volume, bounds in pieces if volume > 0]
    for volume, (low, high) in pieces:
        held = any((low >= a).all() and (high <= b).all() for a, b in outer)
        if volume < 0 and not held:
            raise MeshError(
                name,
                "has a piece that is turned inside out",
                "flip its faces so that they point outward",
            )
