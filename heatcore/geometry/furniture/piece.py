"""What a builder of furniture hands back, in the piece's own coordinates.

X is where the piece looks, Y its left, Z up; the origin is on the floor below its middle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from heatcore.geometry.parts import Mesh
from heatcore.geometry.shapes import Shape

Size = tuple[float, float, float]
"""Width across where the piece looks, depth along it, height; a table's width is its length [m]."""

SEAT_WIDTH = 0.60  # m; of one person on a sofa, a bench or at a table (common practice, no source)
CALF_AHEAD = 0.33  # m; how far ahead of the hips a seat may go before the calves meet it
PERCH = 0.60  # m; a seat as high as this needs a footrest


@dataclass(frozen=True)
class Spot:
    """Where somebody sits on a piece.

    Attributes
    ----------
    ahead, left : of the hips from the piece's middle [m]
    turn : of the person from the piece [rad]
    posture : upright, lounging or perched
    seat_height : of the seat under weight [m]
    table_height : of the table on which the arms rest; 0 where there is none [m]
    """

    ahead: float
    left: float
    posture: str
    seat_height: float
    turn: float = 0.0
    table_height: float = 0.0


@dataclass(frozen=True)
class Piece:
    """A piece of furniture: its solids, the first one without a label, and its seats."""

    shapes: tuple[Shape, ...]
    spots: tuple[Spot, ...] = ()


@dataclass(frozen=True)
class Finish:
    """What a piece is made of: its frame and its upholstery."""

    frame: str
    cloth: str


def seats_across(width: float) -> int:
    """How many people sit side by side in a clear width [m]; always one."""
    return max(1, int(width / SEAT_WIDTH + 1e-9))


def stretched(piece: Piece, extent: Any) -> Piece:
    """The piece with exactly the given extent along X, Y and Z, (3,) [m], centred on its origin.

    Its seats go with it: the little that a build misses a size by, or the lot by which somebody
    wants a giant's chair.
    """
    low = np.min([shape.mesh.bounds[0] for shape in piece.shapes], axis=0)
    high = np.max([shape.mesh.bounds[1] for shape in piece.shapes], axis=0)
    scale = np.asarray(extent) / (high - low)
    middle = np.array([*(low[:2] + high[:2]) / 2, low[2]])

    def moved(shape: Shape) -> Shape:
        mesh = Mesh((shape.mesh.vertices - middle) * scale, shape.mesh.triangles)
        return replace(shape, mesh=mesh)

    return Piece(
        shapes=tuple(moved(shape) for shape in piece.shapes),
        spots=tuple(
            replace(
                spot,
                ahead=float((spot.ahead - middle[0]) * scale[0]),
                left=float((spot.left - middle[1]) * scale[1]),
                seat_height=float(spot.seat_height * scale[2]),
            )
            for spot in piece.spots
        ),
    )
