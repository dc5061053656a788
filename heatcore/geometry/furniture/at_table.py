"""The chairs at a table, the stools at a bar, and how people sit on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from heatcore.errors import InputError
from heatcore.geometry.furniture import seats
from heatcore.geometry.furniture.around import (
    EDGE,
    TOES,
    Stand,
    along_bar,
    around_round,
    around_table,
)
from heatcore.geometry.furniture.kinds import SIZES
from heatcore.geometry.furniture.piece import PERCH, Finish, Piece, Size, Spot
from heatcore.geometry.furniture.tables import TOP
from heatcore.scene.model import Furniture
from heatcore.scene.plan import where

HIGH_TABLE = 0.92  # m; from here on people perch on stools
STOOL_BELOW_TOP = 0.30  # m
HIGHEST_STOOL = 0.95  # m
LAP_ROOM = 0.165  # m; what thighs need between a seat and the underside of a top
FOREARM_REACH = 0.36  # m; sitting further from the edge, the hands stay in the lap
AROUND: dict[str, Callable[[float, float, int, float], tuple[Stand, ...] | None]] = {
    "table": around_table,
    "round_table": around_round,
    "bar": along_bar,
}


def stands_at(furniture: Furniture, size: Size) -> tuple[Stand, ...]:
    """Where the people at a table or a bar sit.

    Raises
    ------
    InputError
        If so many chairs do not fit.
    """
    if not furniture.chairs or furniture.kind not in AROUND:
        return ()
    around = AROUND[furniture.kind]
    length, width, height = size
    # Where the knees do not fit under the top, one sits clear of it.
    edge = EDGE if height - TOP >= _seat_at(height) + LAP_ROOM else TOES + 0.02
    stands = around(length, width, furniture.chairs, edge)
    if stands is None:
        fewer = range(furniture.chairs - 1, 0, -1)
        most = next((n for n in fewer if around(length, width, n, edge)), 0)
        raise InputError(
            where(furniture, "chairs"),
            f"{furniture.chairs} chairs do not fit around it",
            f"give at most {most}, or a larger size",
        )
    return stands


def seated_at(height: float, finish: Finish, stand: Stand) -> tuple[Piece, Spot]:
    """A chair for a table of some height [m], or a stool for a high one, and who sits on it."""
    if height < HIGH_TABLE:
        chair = seats.chair(SIZES["chair"], finish)
    else:
        width, depth, _ = SIZES["stool"]
        chair = seats.stool((width, depth, _seat_at(height)), finish)
    reaches = stand.edge <= FOREARM_REACH
    return chair, replace(
        chair.spots[0],
        ahead=stand.ahead,
        left=stand.left,
        turn=stand.turn,
        table_height=height if reaches else 0.0,
    )


def _seat_at(height: float) -> float:
    """Height of the seats at a table of some height [m]."""
    if height < HIGH_TABLE:
        return seats.SEAT
    return min(max(height - STOOL_BELOW_TOP, PERCH), HIGHEST_STOOL)
