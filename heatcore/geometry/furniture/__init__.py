"""Furniture: solids that look designed, and the seats they bring."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin
from pathlib import Path

import numpy as np

from heatcore.errors import MeshError
from heatcore.geometry.frames import locked
from heatcore.geometry.furniture.at_table import seated_at, stands_at
from heatcore.geometry.furniture.kinds import checked_size, finish_of, piece_of
from heatcore.geometry.furniture.piece import Piece, Spot
from heatcore.geometry.parts import Kind, Part, Place
from heatcore.geometry.shapes import Shape, placed
from heatcore.scene.materials import is_combustible
from heatcore.scene.model import Furniture
from heatcore.scene.plan import where
from heatcore.scene.rules import HIGHEST_UPRIGHT

__all__ = ["furniture_parts"]


def furniture_parts(
    furniture: Furniture, folder: Path | None
) -> tuple[tuple[Part, ...], tuple[Place, ...]]:
    """The solids of a piece of furniture with its chairs, and the seats they bring.

    A size is width across where the piece looks, depth along it, and height; a table's width is
    its length, which lies along its heading. Seats keep the heights people sit at, whatever the
    size. A high table, like a bar, gets stools. A piece from a mesh file has the seats of its
    kind, where that kind has them.

    Parameters
    ----------
    furniture : what stands there
    folder : the scene's folder, where its mesh file is

    Raises
    ------
    InputError
        If it is too small for what it is, or its chairs do not fit around it.
    MeshError
        If its mesh file is missing, outside the folder, too large, no solid, or too high to sit on.
    """
    if furniture.mesh is None:
        size = checked_size(furniture)
        stands = stands_at(furniture, size)
        piece = piece_of(furniture, size, stands)
    else:
        # Here, for what reads mesh files takes half a second to import, and few scenes need it.
        from heatcore.geometry.mesh_files import furniture_mesh

        mesh = furniture_mesh(furniture, folder)
        length, width, height = (float(x) for x in np.ptp(mesh.vertices, axis=0))
        along = furniture.kind in ("table", "round_table")
        size = (length, width, height) if along else (width, length, height)
        stands = stands_at(furniture, size)
        piece = piece_of(furniture, size, stands)
        _refuse_high_seats(furniture, piece)
        piece = replace(piece, shapes=(Shape("", furniture.material, mesh),))
    name = furniture.name
    parts = _parts(furniture, name, piece, 0.0, 0.0, 0.0)
    in_a_row = furniture.kind in ("sofa", "bench")
    places = [
        _place(furniture, f"{name} {n}" if in_a_row else name, spot)
        for n, spot in enumerate(piece.spots, 1)
    ]
    for n, stand in enumerate(stands, 1):
        chair, spot = seated_at(size[2], finish_of(furniture.material), stand)
        hips = chair.spots[0].ahead
        ahead, left = spot.ahead - hips * cos(spot.turn), spot.left - hips * sin(spot.turn)
        parts += _parts(furniture, f"{name} seat {n}", chair, ahead, left, spot.turn)
        places.append(_place(furniture, f"{name} seat {n}", spot))
    return tuple(parts), tuple(places)


def _refuse_high_seats(furniture: Furniture, piece: Piece) -> None:
    """Refuse a mesh so high that nobody can sit upright on what would be its seat."""
    highest = max((s.seat_height for s in piece.spots if s.posture == "upright"), default=0.0)
    if highest > HIGHEST_UPRIGHT:
        raise MeshError(
            where(furniture, "mesh"),
            f"makes a {furniture.kind} whose seat is {highest:.2f} m high, and nobody sits upright "
            f"higher than {HIGHEST_UPRIGHT} m",
            "give its size, or export it in metres and with its own up as up",
        )


def _parts(
    furniture: Furniture, name: str, piece: Piece, ahead: float, left: float, turn: float
) -> list[Part]:
    at = _in_plan(furniture, ahead, left)
    return [
        Part(
            name=f"{name} {shape.label}".rstrip(),
            owner=furniture.name,
            kind=Kind.FURNITURE,
            mesh=placed(shape.mesh, at, furniture.facing + turn),
            material=shape.material,
            combustible=is_combustible(shape.material, furniture.combustible),
        )
        for shape in piece.shapes
    ]


def _place(furniture: Furniture, name: str, spot: Spot) -> Place:
    return Place(
        name=name,
        owner=furniture.name,
        point=locked([*_in_plan(furniture, spot.ahead, spot.left), 0.0]),
        facing=furniture.facing + spot.turn,
        posture=spot.posture,
        seat_height=spot.seat_height,
        occupied=furniture.occupied,
        table_height=spot.table_height,
    )


def _in_plan(furniture: Furniture, ahead: float, left: float) -> tuple[float, float]:
    """A place given from the piece's middle, in the world."""
    c, s = cos(furniture.facing), sin(furniture.facing)
    x, y = furniture.at
    return x + c * ahead - s * left, y + s * ahead + c * left
