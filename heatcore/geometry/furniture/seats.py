"""Chair, stool and bench."""

from __future__ import annotations

from functools import cache
from math import cos, pi, sin

import numpy as np

from heatcore.geometry.furniture.piece import (
    CALF_AHEAD,
    PERCH,
    Finish,
    Piece,
    Size,
    Spot,
    seats_across,
)
from heatcore.geometry.people.measures import Sitting, footrest_height
from heatcore.geometry.shapes import box, circle, leg, plate, rectangle, ring, rod, shape, sweep
from heatcore.geometry.solids import Solid

SEAT = 0.45  # m; of a dining chair or a bench (common practice, no source)
RAIL = 0.13  # m; height of a chair's back rail


@cache
def chair(size: Size, finish: Finish) -> Piece:
    """A chair on four tapered legs, with a padded seat and a bent back rail."""
    width, depth, height = size
    sit = Sitting.at(min(SEAT, 0.58 * height))
    hips = max(depth / 2 - CALF_AHEAD, 0.19 - depth / 2)
    seat, front, back = sit.seat_height, depth / 2, hips - 0.155
    board = plate(rectangle(front - back, width - 0.02, 0.06), seat - 0.05, seat - 0.028, 0.009)
    pad = plate(
        rectangle(front - back - 0.024, width - 0.044, 0.06),
        seat - 0.028,
        seat - 0.003,
        0.012,
        crown=0.008,
    )
    middle = ((front + back) / 2, 0.0, 0.0)
    frame = [board.translate(middle), _back_rail(hips, sit, width, height)]
    side = 0.92 * (width / 2 - 0.0115)
    for y in (side, -side):
        foot = y / 0.92
        frame += [
            leg((front - 0.050, y, seat - 0.032), (front - 0.020, foot, 0.0), 0.018, 0.0115),
            leg((back + 0.032, y, seat - 0.032), (0.014 - depth / 2, foot, 0.0), 0.018, 0.0115),
            rod(
                (back + 0.030, y, seat - 0.045),
                (hips + sit.back(height - 0.06) + 0.010, y, height - 0.04),
                0.0165,
                0.0115,
            ),
        ]
    return Piece(
        shapes=(
            shape("", finish.frame, frame),
            shape("cushion", finish.cloth, [pad.translate(middle)]),
        ),
        spots=(Spot(hips, 0.0, "upright", seat),),
    )


def _back_rail(hips: float, sit: Sitting, width: float, height: float) -> Solid:
    """A rail that leans like the back and goes around it."""
    middle = height - RAIL / 2
    across = np.linspace(-1.0, 1.0, 15)
    path = np.stack(
        [
            hips + sit.back(middle) - 0.012 + 0.022 * across**2,
            across * (width / 2 - 0.004),
            np.full_like(across, middle),
        ],
        axis=1,
    )
    section = rectangle(0.020, RAIL, 0.009, segments=3)(0.0)
    return sweep(path, section, up=(-sin(sit.lean), 0.0, cos(sit.lean)), soft=0.008)


@cache
def stool(size: Size, finish: Finish) -> Piece:
    """A round padded stool on four splayed legs; a high one has a ring for the feet."""
    width, _, seat = size
    perched = seat >= PERCH
    high, low = 0.35 * width, 0.56 * width
    turns = np.arange(4) * pi / 2 + pi / 4
    legs = [
        leg(
            (high * cos(a), high * sin(a), seat - 0.05),
            (low * cos(a), low * sin(a), 0.0),
            0.017,
            0.012,
        )
        for a in turns
    ]
    top = plate(circle(0.45 * width), seat - 0.064, seat - 0.040, 0.009)
    pad = plate(circle(0.44 * width), seat - 0.040, seat - 0.004, 0.016, crown=0.006)
    shapes = [
        shape("", finish.frame, [top, *legs]),
        shape("cushion", finish.cloth, [pad]),
    ]
    if perched:
        rest = footrest_height(seat) - 0.010
        radius = low + (high - low) * rest / (seat - 0.05)
        shapes.append(shape("footrest", "painted steel", [ring(radius, 0.010, rest)]))
    spot = Spot(-0.06, 0.0, "perched" if perched else "upright", seat)
    return Piece(shapes=tuple(shapes), spots=(spot,))


@cache
def bench(size: Size, finish: Finish) -> Piece:
    """A slatted bench on end frames; one that is higher than a seat has a slatted back."""
    width, depth, height = size
    backed = height >= PERCH
    sit = Sitting.at(min(SEAT, height))
    seat = sit.seat_height
    hips = max(depth / 2 - CALF_AHEAD, (0.19 if backed else 0.10) - depth / 2)
    back = hips - 0.125 if backed else -depth / 2
    half = width / 2
    slats = _slats(back, depth / 2, half, seat)
    feet = max(half - 0.18, 0.6 * half)
    frame = []
    for y in (feet, -feet):
        frame += [
            box(
                (back + 0.03, y - 0.022, seat - 0.085),
                (depth / 2 - 0.03, y + 0.022, seat - 0.026),
                0.006,
            ),
            leg((depth / 2 - 0.07, y, seat - 0.06), (depth / 2 - 0.05, y, 0.0), 0.024, 0.017),
            leg((back + 0.07, y, seat - 0.06), (0.05 - depth / 2, y, 0.0), 0.024, 0.017),
        ]
        if backed:
            frame.append(
                rod(
                    (hips + sit.back(seat) - 0.035, y, seat - 0.05),
                    (hips + sit.back(height) - 0.037, y, height - 0.02),
                    0.020,
                    0.014,
                )
            )
    frame.append(box((back + 0.14, -feet, seat - 0.075), (back + 0.18, feet, seat - 0.03), 0.006))
    if backed:
        slats += _back_slats(hips, sit, half, height)
    count = seats_across(width)
    return Piece(
        shapes=(
            shape("", finish.frame, slats),
            shape("frame", finish.frame, frame),
        ),
        spots=tuple(
            Spot(hips, (0.5 * (count - 1) - i) * width / count, "upright", seat)
            for i in range(count)
        ),
    )


def _slats(back: float, front: float, half: float, seat: float) -> list[Solid]:
    """Seat slats about 60 mm wide with 10 mm between them."""
    count = max(3, round((front - back) / 0.07))
    pitch = (front - back + 0.010) / count
    return [
        box(
            (back + i * pitch, -half, seat - 0.028),
            (back + (i + 1) * pitch - 0.010, half, seat),
            0.006,
        )
        for i in range(count)
    ]


def _back_slats(hips: float, sit: Sitting, half: float, height: float) -> list[Solid]:
    section = rectangle(0.022, 0.075, 0.006, segments=2)(0.0)
    up = (-sin(sit.lean), 0.0, cos(sit.lean))
    slats = []
    for middle in np.arange(height - 0.038, sit.seat_height + 0.12, -0.095):
        x = hips + sit.back(middle) - 0.012
        slats.append(sweep([(x, -half, middle), (x, half, middle)], section, up=up, soft=0.005))
    return slats
