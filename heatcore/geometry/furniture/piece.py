"""What a builder of furniture hands back, in the piece's own coordinates.

X is where the piece looks, Y its left, Z up; the origin is on the floor below its middle.
"""

from __future__ import annotations

from dataclasses import dataclass

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

