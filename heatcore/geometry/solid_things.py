"""Parts of the place out of mesh files: a ceiling, a wall or a beam of the client's own model."""

from __future__ import annotations

from math import cos, sin
from pathlib import Path

import numpy as np

from heatcore.errors import MeshError
from heatcore.geometry.mesh_files import closed_mesh, file_in, read_surface
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.geometry.sheets import backed_solid, ceiling_solid, cleaned, is_closed
from heatcore.scene.materials import is_combustible, looks
from heatcore.scene.plan import where
from heatcore.scene.space import Solid, SolidRole

_KINDS = {
    "ceiling": Kind.ROOF,
    "beam": Kind.BEAM,
    "wall": Kind.WALL,
    "obstacle": Kind.SOLID,
}


def solid_parts(solid: Solid, folder: Path | None) -> tuple[Part, ...]:
    """Return what a mesh file adds to the place, put where the scene says.

    Parameters
    ----------
    solid : as the scene describes it
    folder : the scene's folder

    Raises
    ------
    MeshError
        If the file is not in the folder or cannot be used (see `solid_mesh`).
    """
    mesh = solid_mesh(solid.mesh, solid.role, solid.thickness, folder, where(solid))
    return (solid_part(solid, mesh),)


def solid_mesh(
    file: str, role: SolidRole, thickness: float | None, folder: Path | None, name: str
) -> Mesh:
    """Read a mesh file as a closed surface, as it stands in the file but with Z up.

    An open surface is given its thickness: a ceiling goes up from it, anything else lies behind
    the faces that are seen. A face drawn twice, once for either side, counts once.

    Parameters
    ----------
    file : name of the file in the folder
    role : what it is
    thickness : of a surface that is open [m]; None where it must be closed
    folder : the scene's folder
    name : what a message calls the thing

    Raises
    ------
    MeshError
        If the file is not in the folder, is too large or cannot be read, holds no surface or
        numbers that are not finite, is inside out, or is open and cannot be made solid.
    """
    path = file_in(folder, file, f"{name}.mesh")
    surface = cleaned(read_surface(path, f"{name}.mesh"))
    if not len(surface.triangles):
        raise MeshError(
            f"{name}.mesh", f'"{path.name}" holds no surface', "export it with its faces"
        )
    if is_closed(surface):
        return closed_mesh(surface, f"{name}.mesh")
    if thickness is None:
        raise MeshError(
            f"{name}.mesh",
            f'"{path.name}" holds an open surface, or faces that do not all point the same way',
            f"give {name} a thickness, or export the mesh as a closed surface",
        )
    made = ceiling_solid if role == "ceiling" else backed_solid
    return made(surface, thickness, f"{name}.mesh")


def solid_part(solid: Solid, mesh: Mesh) -> Part:
    """Return a mesh turned about its file's origin and put in its place."""
    c, s = cos(solid.turn), sin(solid.turn)
    turned = mesh.vertices @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    return Part(
        solid.name,
        solid.name,
        _KINDS[solid.role],
        Mesh(turned + np.array([*solid.at, solid.base]), mesh.triangles),
        looks(solid, solid.material),
        is_combustible(solid.material, solid.combustible),
    )
