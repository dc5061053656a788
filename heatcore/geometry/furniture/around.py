"""Where the chairs stand at a table or a bar."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin, tan

from heatcore.geometry.furniture.piece import SEAT_WIDTH

TIGHT = 0.50  # m; per person, where 0.60 m does not do
EDGE = 0.26  # m; from the hips to the edge of a table with the knees under it
TOES = 0.50  # m; how far the feet reach ahead of the hips
KNEES = 0.20  # m; half the width of somebody's knees and feet
FARTHEST = 0.45  # m; further from the edge nobody sits with the knees under a table


@dataclass(frozen=True)
class Stand:
    """Where somebody sits at a table.

    Attributes
    ----------
    ahead, left : of the hips from the table's middle [m]
    turn : of where they look from the table's X [rad]
    edge : from the hips to the table's edge [m]
    """

    ahead: float
    left: float
    turn: float
    edge: float


def around_table(
    length: float, width: float, count: int, edge: float = EDGE
) -> tuple[Stand, ...] | None:
    """Over both long sides first, then the ends; None where so many do not fit.

    Parameters
    ----------
    length, width : of the table, along X and Y [m]
    count : how many sit there
    edge : the least distance from the hips to the edge [m]
    """
    if length < width:
        turned = around_table(width, length, count, edge)
        return turned and tuple(Stand(-s.left, s.ahead, s.turn + pi / 2, s.edge) for s in turned)
    for pitch in (SEAT_WIDTH, TIGHT):
        most_beside, most_at_end = (max(1, int(x / pitch + 1e-9)) for x in (length, width))
        if count <= 2 * (most_beside + most_at_end):
            break
    else:
        return None
    beside = min(count, 2 * most_beside)
    sides = ((beside + 1) // 2, beside // 2)
    ends = ((count - beside + 1) // 2, (count - beside) // 2)
    side_edge = max(edge, TOES - width / 2)
    end_edge = edge
    if ends[0]:
        # Where feet from two sides would meet under the table, those at the ends sit further back.
        outermost = KNEES + 0.5 * (ends[0] - 1) * width / ends[0]
        if width / 2 - (TOES - side_edge) < outermost:
            room = length / (2 * sides[0]) - KNEES
            end_edge = max(edge, TOES - max(room, 0.0))
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


def around_round(
    length: float, width: float, count: int, edge: float = EDGE
) -> tuple[Stand, ...] | None:
    """Evenly around a round table, the first on +X; None where so many do not fit."""
    radius = min(length, width) / 2
    apart = KNEES / tan(pi / count) if count > 2 else 0.0
    # Where knees would meet, all sit further back.
    back = max(edge, TOES + apart - radius) if edge < TOES else edge
    elbows = 2 * (radius + back) * sin(pi / count) if count > 1 else TIGHT
    if back > max(FARTHEST, edge) or elbows < TIGHT:
        return None
    turns = [i * 2 * pi / count for i in range(count)]
    return tuple(
        Stand((length / 2 + back) * cos(a), (width / 2 + back) * sin(a), a + pi, back)
        for a in turns
    )


def along_bar(
    width: float, depth: float, count: int, edge: float = EDGE
) -> tuple[Stand, ...] | None:
    """In a row along the front of a bar, which is toward +X; None where so many do not fit."""
    if count * TIGHT > width + 1e-9:
        return None
    pitch = width / count
    return tuple(
        Stand(depth / 2 + edge, (0.5 * (count - 1) - i) * pitch, pi, edge) for i in range(count)
    )
