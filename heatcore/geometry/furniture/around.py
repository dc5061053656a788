"""Where the chairs stand at a table or a bar."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin, tan

from heatcore.geometry.furniture.piece import SEAT_WIDTH

TIGHT = 0.50  # m; per person, where 0.60 m does not do
EDGE = 0.22  # m; from the hips to the table's edge
BAR_EDGE = 0.25
TOES = 0.50  # m; how far the feet reach ahead of the hips
KNEES = 0.17  # m; half the width of somebody's knees and feet
FARTHEST = 0.45  # m; further from the edge nobody sits at a table


@dataclass(frozen=True)
class Stand:
    """Where somebody sits at a table: the hips in plan, where they look, how far from the edge."""

    ahead: float
    left: float
    turn: float
    edge: float


def around_table(length: float, width: float, count: int) -> tuple[Stand, ...] | None:
    """Over both long sides first, then the ends; None where so many do not fit.

    Parameters
    ----------
    length, width : of the table, along X and Y [m]
    count : how many sit there
    """
    if length < width:
        turned = around_table(width, length, count)
        return turned and tuple(Stand(-s.left, s.ahead, s.turn + pi / 2, s.edge) for s in turned)
    for pitch in (SEAT_WIDTH, TIGHT):
        side, end = (max(1, int(x / pitch + 1e-9)) for x in (length, width))
        if count <= 2 * (side + end):
            break
    else:
        return None
    along = min(count, 2 * side)
    sides = ((along + 1) // 2, along // 2)
    ends = ((count - along + 1) // 2, (count - along) // 2)
    # Feet from two sides that meet under the table: those at the ends sit further back.
    side_edge = max(EDGE, TOES - width / 2)
    clear = length / (2 * max(sides)) - KNEES
    meet = width / 2 - (TOES - side_edge) < KNEES - 1e-9
    end_edge = max(EDGE, TOES - max(clear, 0.0)) if meet else EDGE
    stands = []
    for n, sign in zip(sides, (1, -1), strict=True):
        for i in range(n):
            x = sign * (0.5 * (n - 1) - i) * length / n
            stands.append(Stand(x, sign * (width / 2 + side_edge), -sign * pi / 2, side_edge))
    for n, sign in zip(ends, (1, -1), strict=True):
        for i in range(n):
            y = sign * (i - 0.5 * (n - 1)) * width / n
            turn = pi if sign > 0 else 0.0
            stands.append(Stand(sign * (length / 2 + end_edge), y, turn, end_edge))
    return tuple(stands)


def around_round(length: float, width: float, count: int) -> tuple[Stand, ...] | None:
    """Evenly around a round table, the first on +X; None where so many do not fit."""
    radius = min(length, width) / 2
    apart = KNEES / tan(pi / count) if count > 2 else 0.0
    edge = max(EDGE, TOES + apart - radius)
    if edge > FARTHEST or (count > 1 and 2 * (radius + edge) * sin(pi / count) < TIGHT):
        return None
    stands = []
    for i in range(count):
        turn = i * 2 * pi / count
        ahead = (length / 2 + edge) * cos(turn)
        left = (width / 2 + edge) * sin(turn)
        stands.append(Stand(ahead, left, turn + pi, edge))
    return tuple(stands)


def along_bar(width: float, depth: float, count: int) -> tuple[Stand, ...] | None:
    """In a row along the front of a bar; None where so many do not fit."""
    if count * TIGHT > width + 1e-9:
        return None
    pitch = width / count
    x = depth / 2 + BAR_EDGE
    return tuple(Stand(x, (0.5 * (count - 1) - i) * pitch, pi, BAR_EDGE) for i in range(count))
