"""Furniture: solids that look designed, and the seats they bring."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin
from pathlib import Path
from zlib import crc32

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.frames import locked
from heatcore.geometry.furniture import seats, tables, upholstered
from heatcore.geometry.furniture.around import Stand, along_bar, around_round, around_table
from heatcore.geometry.furniture.piece import PERCH, Finish, Piece, Size, Spot
from heatcore.geometry.furniture.planter import planter
from heatcore.geometry.mesh_files import furniture_mesh
from heatcore.geometry.parts import Kind, Part, Place
from heatcore.geometry.shapes import Shape, placed
from heatcore.scene.materials import is_combustible
from heatcore.scene.model import Furniture
from heatcore.scene.plan import where

__all__ = ["SIZES", "furniture_parts"]

SIZES: dict[str, Size] = {
    "chair": (0.48, 0.52, 0.80),
    "armchair": (0.84, 0.80, 0.76),
    "sofa": (2.10, 0.85, 0.76),
    "lounger": (0.70, 1.95, 0.92),
    "bench": (1.50, 0.42, 0.45),
    "stool": (0.40, 0.40, 0.75),
    "table": (1.60, 0.90, 0.74),
    "round_table": (0.90, 0.90, 0.74),
    "bar": (1.80, 0.65, 1.08),
    "planter": (0.60, 0.60, 1.25),
}
"""Usual width, depth and height of each kind [m] (common practice, no source)."""

_UNSAID = "timber"
CLOTH = "fabric sand"
CLOTHS = ("fabric", "canvas", "leather", "wicker")
HIGH_TABLE = 0.92  # m; from here on people perch on stools
STOOL_BELOW_TOP = 0.33  # m
LAP_ROOM = 0.165  # m; what thighs need between a seat and the underside of a top
FOREARM_REACH = 0.32  # m; sitting further from the edge, the hands stay in the lap


def furniture_parts(
    furniture: Furniture, folder: Path | None
) -> tuple[tuple[Part, ...], tuple[Place, ...]]:
    """The solids of a piece of furniture with its chairs, and the seats they bring.

    A size is width across where the piece looks, depth along it, and height; a table's width is
    its length, which lies along its heading. Seats keep the heights people sit at, whatever the
    size. A high table, like a bar, gets stools.

    Parameters
    ----------
    furniture : what stands there
    folder : the scene's folder, where its mesh file is

    Raises
    ------
    InputError
        If its chairs do not fit around it.
    MeshError
        If its mesh file is missing, outside the folder, too large, or no solid.
    """
    size = furniture.size or SIZES[furniture.kind]
    finish = _finish(furniture.material)
    piece, chairs = _made(furniture, size, finish)
    if furniture.mesh is not None:
        mesh = furniture_mesh(furniture, folder)
        piece = replace(piece, shapes=(Shape("", furniture.material, mesh),))
    name = furniture.name
    parts = _parts(furniture, name, piece, 0.0, 0.0, 0.0)
    in_a_row = furniture.kind in ("sofa", "bench")
    places = [
        _place(furniture, f"{name} {n}" if in_a_row else name, spot)
        for n, spot in enumerate(piece.spots, 1)
    ]
    for n, (chair, spot) in enumerate(chairs, 1):
        hips = chair.spots[0].ahead
        ahead, left = spot.ahead - hips * cos(spot.turn), spot.left - hips * sin(spot.turn)
        parts += _parts(furniture, f"{name} seat {n}", chair, ahead, left, spot.turn)
        places.append(_place(furniture, f"{name} seat {n}", spot))
    return tuple(parts), tuple(places)


def _made(
    furniture: Furniture, size: Size, finish: Finish
) -> tuple[Piece, tuple[tuple[Piece, Spot], ...]]:
    """The piece, and the chairs around it, each with where somebody sits on it."""
    kind = furniture.kind
    if kind in ("table", "round_table", "bar"):
        stands = _stands(furniture, size)
        return _table(kind, size, finish, stands), tuple(
            _seated_at(size[2], finish, stand) for stand in stands
        )
    if kind == "planter":
        growth = crc32(furniture.name.encode()) % 3
        pot = "terracotta" if furniture.material == _UNSAID else furniture.material
        return planter(size, Finish(pot, CLOTH), growth), ()
    build = {
        "chair": seats.chair,
        "stool": seats.stool,
        "bench": seats.bench,
        "armchair": upholstered.sofa,
        "sofa": upholstered.sofa,
        "lounger": upholstered.lounger,
    }[kind]
    return build(size, finish), ()


def _finish(material: str) -> Finish:
    """The frame is made of what the piece is said to be of, unless that is a cloth."""
    if material.split()[0].casefold() in CLOTHS:
        return Finish(_UNSAID, material)
    return Finish(material, CLOTH)


def _stands(furniture: Furniture, size: Size) -> tuple[Stand, ...]:
    if not furniture.chairs:
        return ()
    around = {"table": around_table, "round_table": around_round, "bar": along_bar}[furniture.kind]
    stands = around(size[0], size[1], furniture.chairs)
    if stands is None:
        most = next(n for n in range(furniture.chairs, -1, -1) if n == 0 or around(*size[:2], n))
        raise InputError(
            where(furniture, "chairs"),
            f"{furniture.chairs} do not fit around it",
            f"give at most {most}, or a larger size",
        )
    return stands


def _table(kind: str, size: Size, finish: Finish, stands: tuple[Stand, ...]) -> Piece:
    if kind == "bar":
        return tables.bar(size, finish)
    if kind == "round_table":
        return tables.round_table(size, finish, len(stands) if len(stands) > 2 else 4)
    # A trestle stands where nobody's feet are.
    feet = [abs(stand.ahead) for stand in stands if abs(stand.left) > size[1] / 2]
    tries = np.arange(size[0] / 2 - 0.35, 0.3, -0.05)
    clear = [x for x in tries if all(abs(x - foot) >= 0.24 for foot in feet)]
    return tables.table(size, finish, float(clear[0] if clear else tries[0]))


def _seated_at(height: float, finish: Finish, stand: Stand) -> tuple[Piece, Spot]:
    """A chair for a table or a stool for a bar, and how somebody sits on it."""
    if height >= HIGH_TABLE:
        width, depth, _ = SIZES["stool"]
        chair = seats.stool((width, depth, max(height - STOOL_BELOW_TOP, PERCH)), finish)
    else:
        chair = seats.chair(SIZES["chair"], finish)
    spot = chair.spots[0]
    reaches = stand.edge <= FOREARM_REACH and height - tables.TOP >= spot.seat_height + LAP_ROOM
    return chair, replace(
        spot,
        ahead=stand.ahead,
        left=stand.left,
        turn=stand.turn,
        table_height=height if reaches else 0.0,
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
