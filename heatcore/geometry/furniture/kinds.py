"""The kinds of furniture: their sizes, and which builder shapes them."""

from __future__ import annotations

from collections.abc import Callable
from zlib import crc32

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.furniture import seats, tables, upholstered
from heatcore.geometry.furniture.around import Stand
from heatcore.geometry.furniture.piece import Finish, Piece, Size, stretched
from heatcore.geometry.furniture.planter import planter
from heatcore.scene.model import Furniture
from heatcore.scene.plan import where

SIZES: dict[str, Size] = {
    "chair": (0.48, 0.52, 0.80),
    "armchair": (0.84, 0.80, 0.76),
    "sofa": (2.10, 0.85, 0.76),
    "lounger": (0.70, 1.95, 0.92),
    "bench": (1.50, 0.42, 0.45),
    "stool": (0.42, 0.42, 0.75),
    "table": (1.60, 0.90, 0.74),
    "round_table": (0.90, 0.90, 0.74),
    "bar": (1.80, 0.65, 1.08),
    "planter": (0.60, 0.60, 1.25),
}
"""Usual width, depth and height of each kind [m] (common practice, no source)."""

UNSAID = "timber"
LIMITS: dict[str, tuple[Size, Size]] = {
    "chair": ((0.36, 0.44, 0.60), (0.70, 0.70, 1.10)),
    "armchair": ((0.70, 0.70, 0.60), (1.30, 1.10, 1.10)),
    "sofa": ((1.00, 0.70, 0.60), (20.0, 1.10, 1.10)),
    "lounger": ((0.50, 1.70, 0.75), (0.95, 2.30, 0.93)),
    "bench": ((0.60, 0.30, 0.35), (20.0, 0.65, 1.10)),
    "stool": ((0.30, 0.30, 0.35), (0.55, 0.55, 0.90)),
    "table": ((0.40, 0.40, 0.30), (20.0, 4.0, 1.30)),
    "round_table": ((0.40, 0.40, 0.30), (4.0, 4.0, 1.30)),
    "bar": ((0.60, 0.40, 0.80), (20.0, 2.0, 1.30)),
    "planter": ((0.25, 0.25, 0.40), (2.0, 2.0, 3.0)),
}
"""Between which sizes each kind is shaped to the body [m] (common practice, no source).

What is smaller is no such thing; what is larger is stretched.
"""

BUILD: dict[str, Callable[[Size, Finish], Piece]] = {
    "chair": seats.chair,
    "armchair": upholstered.sofa,
    "sofa": upholstered.sofa,
    "lounger": upholstered.lounger,
    "bench": seats.bench,
    "stool": seats.stool,
    "bar": tables.bar,
}
HIGHEST = 1.4
"""So many times the greatest height of its kind, a piece is a slip: nobody could sit at it."""

CLOTH = "fabric sand"
CLOTHS = ("fabric", "canvas", "leather", "wicker")


def checked_size(furniture: Furniture) -> Size:
    """The stated size, or the usual one.

    Raises
    ------
    InputError
        If the stated size is too small or too high for the piece to be what it is.
    """
    if furniture.size is None:
        return SIZES[furniture.kind]
    least, usual = LIMITS[furniture.kind]
    called = ("an " if furniture.kind[0] in "aeiou" else "a ") + furniture.kind.replace("_", " ")
    if any(given < need for given, need in zip(furniture.size, least, strict=True)):
        needs = " x ".join(f"{need:.2f}" for need in least)
        raise InputError(
            where(furniture, "size"),
            f"is too small for {called}",
            f"give width, depth and height of at least {needs} m",
        )
    highest = HIGHEST * usual[2]
    if furniture.kind != "planter" and furniture.size[2] > highest:
        raise InputError(
            where(furniture, "size"),
            f"is too high for {called}",
            f"give a height, the third figure, of at most {highest:.2f} m",
        )
    return furniture.size


def finish_of(material: str) -> Finish:
    """The frame is made of what the piece is said to be of, unless that is a cloth."""
    if material.casefold().startswith(CLOTHS):
        return Finish(UNSAID, material)
    return Finish(material, CLOTH)


def piece_of(furniture: Furniture, size: Size, stands: tuple[Stand, ...]) -> Piece:
    """The piece itself, of exactly the given size, without the chairs that stand around it."""
    kind, finish = furniture.kind, finish_of(furniture.material)
    width, depth, height = (float(x) for x in np.clip(size, *LIMITS[kind]))
    shaped = (width, depth, height)
    if kind == "table":
        return stretched(tables.table(shaped, finish, _trestles(size, stands)), size)
    if kind == "round_table":
        feet = len(stands) if len(stands) > 2 else 4
        return stretched(tables.round_table(shaped, finish, feet), size)
    across = (size[1], size[0], size[2])
    if kind == "planter":
        pot = "terracotta" if furniture.material == UNSAID else furniture.material
        return stretched(planter(shaped, pot, crc32(furniture.name.encode()) % 3), across)
    return stretched(BUILD[kind](shaped, finish), across)


def _trestles(size: Size, stands: tuple[Stand, ...]) -> float:
    """How far from a table's middle its trestles stand: where nobody's feet are [m]."""
    feet = [abs(stand.ahead) for stand in stands if abs(stand.left) > size[1] / 2]
    tries = [float(x) for x in np.arange(size[0] / 2 - 0.35, 0.3, -0.05)]
    clear = (x for x in tries if all(abs(x - foot) >= 0.24 for foot in feet))
    return next(clear, size[0] / 2 - 0.35)
