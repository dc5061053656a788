"""Armchair, sofa and lounger."""

from __future__ import annotations

from functools import cache
from math import cos, degrees, sin

from heatcore.geometry.furniture.piece import CALF_AHEAD, Finish, Piece, Size, Spot, seats_across
from heatcore.geometry.people.measures import LOUNGING_BACK, LOUNGING_LEAN, Sitting
from heatcore.geometry.shapes import box, leg, plate, rectangle, rod, shape
from heatcore.geometry.solids import Solid

SOFA_SEAT = 0.42  # m; under weight (common practice, no source)
LOUNGER_SEAT = 0.36
ARM = 0.13  # m; width of an arm
CUSHION = 0.14
PAD = 0.075  # m; of a lounger


@cache
def sofa(size: Size, finish: Finish) -> Piece:
    """An armchair or a sofa: rounded arms and back on a low base, a cushion for each person."""
    width, depth, height = size
    sit = Sitting.at(min(SOFA_SEAT, 0.6 * height))
    seat, front = sit.seat_height, depth / 2
    hips = max(front - CALF_AHEAD - 0.01, 0.30 - front)
    inner = width - 2 * ARM
    count = seats_across(inner) if inner > 0.9 else 1
    arm = min(seat + 0.20, height - 0.04)
    shell = 0.10

    base = box(
        (0.04 - front, 0.02 - width / 2, 0.09),
        (front - 0.03, width / 2 - 0.02, seat - CUSHION),
        0.02,
    )
    body = [
        box((-front, -width / 2, 0.10), (shell - front, width / 2, height - 0.06), 0.045),
        *(
            box(
                (-front, min(y, y - s * ARM), 0.10), (front - 0.01, max(y, y - s * ARM), arm), 0.055
            )
            for s, y in ((1, width / 2), (-1, -width / 2))
        ),
    ]
    legs = [
        leg((x, y, 0.10), (x * 1.02, y * 1.01, 0.0), 0.022, 0.016)
        for x in (front - 0.09, 0.09 - front)
        for y in (width / 2 - 0.09, 0.09 - width / 2)
    ]
    each = inner / count
    cushions: list[Solid] = []
    spots = []
    for i in range(count):
        y = (0.5 * (count - 1) - i) * each
        spots.append(Spot(hips, y, "upright", seat))
        cushions += [
            _seat_cushion(shell - front, front, each, seat).translate((0.0, y, 0.0)),
            _back_cushion(shell - front, hips, sit, each, height).translate((0.0, y, 0.0)),
        ]
    return Piece(
        shapes=(
            shape("", finish.cloth, [*body, base]),
            shape("cushions", finish.cloth, cushions),
            shape("legs", finish.frame, legs),
        ),
        spots=tuple(spots),
    )


def _seat_cushion(back: float, front: float, width: float, seat: float) -> Solid:
    pad = plate(
        rectangle(front - back, width - 0.008, 0.055),
        seat - CUSHION,
        seat - 0.006,
        0.035,
        crown=0.012,
        steps=4,
        foot=0.02,
    )
    return pad.translate(((front + back) / 2, 0.0, 0.0))


def _back_cushion(back: float, hips: float, sit: Sitting, width: float, height: float) -> Solid:
    """A cushion that fills the room between the shell and the sitter's back, leaning with it."""
    tall = (height - sit.seat_height) / cos(sit.lean) + 0.01
    front = hips + sit.back(sit.seat_height)
    # Its upper edge reaches a little into the shell.
    thick = max(0.09, front - back - tall * sin(sit.lean) + 0.03)
    edge = min(0.045, 0.4 * thick)
    pad = plate(rectangle(tall, width - 0.012, 0.07), -thick, -0.010, edge, crown=0.012, steps=4)
    return _leaned(pad.translate((-tall / 2, 0.0, 0.0)), sit.lean, front, sit.seat_height)


def _leaned(lying: Solid, lean: float, ahead: float, height: float) -> Solid:
    """What lies along -X looking up, raised until it leans back from upright."""
    return lying.rotate((0.0, 90.0 - degrees(lean), 0.0)).translate((ahead, 0.0, height))


@cache
def lounger(size: Size, finish: Finish) -> Piece:
    """A lounger with its rest raised: a timber frame and two cushions."""
    width, length, height = size
    seat = LOUNGER_SEAT
    deck, half, foot = seat - PAD, width / 2, length / 2
    rest = min(0.85, max(0.5, (height - seat) / cos(LOUNGING_LEAN)))
    hinge = rest * sin(LOUNGING_LEAN) + PAD * cos(LOUNGING_LEAN) - foot
    mattress = plate(
        rectangle(foot - hinge, width - 0.03, 0.05), deck, seat - 0.004, 0.03, crown=0.008, steps=4
    )
    back = plate(rectangle(rest, width - 0.03, 0.05), -PAD, -0.006, 0.03, crown=0.010, steps=4)
    board = box(
        (-rest + 0.03, 0.03 - half, -PAD - 0.022), (-0.03, half - 0.03, -PAD + 0.002), 0.008
    )
    prop_top = (hinge - 0.70 * rest * sin(LOUNGING_LEAN), deck + 0.70 * rest * cos(LOUNGING_LEAN))
    frame = [_leaned(board, LOUNGING_LEAN, hinge, seat)]
    for y in (half - 0.035, 0.035 - half):
        frame += [
            box(
                (0.10 - foot, y - 0.022, deck - 0.075),
                (foot - 0.02, y + 0.022, deck - 0.002),
                0.010,
            ),
            leg((foot - 0.16, y, deck - 0.03), (foot - 0.13, y, 0.0), 0.027, 0.019),
            leg((0.24 - foot, y, deck - 0.03), (0.21 - foot, y, 0.0), 0.027, 0.019),
            rod(
                (prop_top[0], 0.8 * y, prop_top[1] - 0.02),
                (0.16 - foot, 0.8 * y, deck - 0.04),
                0.012,
            ),
        ]
    slat = 0.10
    count = max(2, round((foot - hinge) / slat))
    pitch = (foot - hinge - 0.04) / count
    for i in range(count):
        x = hinge + 0.02 + i * pitch
        frame.append(
            box(
                (x, 0.05 - half, deck - 0.026),
                (x + pitch - 0.015, half - 0.05, deck + 0.002),
                0.006,
            )
        )
    frame.append(
        box((0.10 - foot, 0.05 - half, deck - 0.06), (0.15 - foot, half - 0.05, deck - 0.02), 0.006)
    )
    return Piece(
        shapes=(
            shape("", finish.frame, frame),
            shape(
                "cushions",
                finish.cloth,
                [
                    mattress.translate(((foot + hinge) / 2, 0.0, 0.0)),
                    _leaned(back.translate((-rest / 2, 0.0, 0.0)), LOUNGING_LEAN, hinge, seat),
                ],
            ),
        ),
        spots=(Spot(hinge + LOUNGING_BACK, 0.0, "lounging", seat),),
    )
