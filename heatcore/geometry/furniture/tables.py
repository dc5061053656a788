"""Table, round table and bar."""

from __future__ import annotations

from functools import cache
from math import cos, pi, sin

from heatcore.geometry.furniture.piece import Finish, Piece, Size
from heatcore.geometry.shapes import box, circle, leg, plate, rectangle, rod, shape
from heatcore.geometry.solids import Solid

TOP = 0.030  # m; thickness of a table top
LONGEST_ON_LEGS = 2.2  # m; a longer table stands on trestles
LAP = 0.62  # m; nothing below a top hangs lower than this where knees go
METAL = "painted steel"


@cache
def table(size: Size, finish: Finish, trestle: float) -> Piece:
    """A table on tapered legs, or on trestles where it is long.

    Parameters
    ----------
    size : length along X, width along Y, height [m]
    finish : of top and legs
    trestle : how far from the middle the trestles stand [m]
    """
    length, width, height = size
    top = plate(rectangle(length, width, min(0.05, width / 4)), height - TOP, height, 0.009)
    under = height - TOP
    carried = (
        _trestles(width, under, trestle)
        if length > LONGEST_ON_LEGS
        else _legs(length, width, under)
    )
    return Piece((shape("", finish.frame, [top]), shape("legs", finish.frame, carried)))


def _legs(length: float, width: float, under: float) -> list[Solid]:
    x, y = length / 2 - 0.065, width / 2 - 0.065
    parts = [
        leg((sx * x, sy * y, under + 0.002), (sx * (x + 0.02), sy * (y + 0.02), 0.0), 0.030, 0.017)
        for sx in (1, -1)
        for sy in (1, -1)
    ]
    apron = min(0.08, under - LAP)
    if apron > 0.02:
        low, high = under - apron, under + 0.002
        for s in (1, -1):
            parts += [
                box((-x, s * (y - 0.02) - 0.011, low), (x, s * (y - 0.02) + 0.011, high), 0.004),
                box((s * (x - 0.02) - 0.011, -y, low), (s * (x - 0.02) + 0.011, y, high), 0.004),
            ]
    return parts


def _trestles(width: float, under: float, at: float) -> list[Solid]:
    spread = 0.36 * width
    parts = [box((-at, -0.035, 0.20), (at, 0.035, 0.29), 0.008)]
    for x in (at, -at):
        parts += [
            box((x - 0.035, -spread, 0.0), (x + 0.035, spread, 0.07), 0.012),
            box((x - 0.035, -spread, under - 0.06), (x + 0.035, spread, under + 0.002), 0.010),
        ]
        for y in (0.5 * spread, -0.5 * spread):
            post = box((x - 0.030, -0.045, 0.03), (x + 0.030, 0.045, under - 0.02), 0.008)
            parts.append(post.translate((0.0, y, 0.0)))
    return parts


@cache
def round_table(size: Size, finish: Finish, feet: int) -> Piece:
    """A round table on one column, its feet between where the people are.

    Parameters
    ----------
    size : length along X, width along Y, height [m]; an oval where they differ
    finish : of the top; column and feet are steel
    feet : how many; the first points half a step from X
    """
    length, width, height = size
    top = plate(circle(0.5), height - TOP, height, 0.010).scale((length, width, 1.0))
    reach = 0.34 * min(length, width)
    column = [
        plate(circle(0.034, 24), 0.02, height - TOP - 0.004, 0.004),
        plate(circle(0.16, 32), height - TOP - 0.014, height - TOP + 0.002, 0.004),
        plate(circle(0.052, 24), 0.0, 0.085, 0.015),
    ]
    for i in range(feet):
        turn = (i + 0.5) * 2 * pi / feet
        tip = (reach * cos(turn), reach * sin(turn), 0.018)
        column.append(rod((0.0, 0.0, 0.052), tip, 0.030, 0.018))
    return Piece((shape("", finish.frame, [top]), shape("column", METAL, column)))


@cache
def bar(size: Size, finish: Finish) -> Piece:
    """A bar: a worktop over a boarded front that stands back for the knees, and a foot rail.

    Parameters
    ----------
    size : width along Y, depth along X, height; the front is toward +X [m]
    finish : of top and front
    """
    width, depth, height = size
    front, half = bar_front(depth), width / 2
    top = plate(rectangle(depth, width, 0.03), height - 0.045, height, 0.012)
    carcass = box(
        (0.03 - depth / 2, 0.04 - half, 0.07), (front - 0.018, half - 0.04, height - 0.03), 0.006
    )
    plinth = box((0.06 - depth / 2, 0.08 - half, 0.0), (front - 0.07, half - 0.08, 0.09), 0.004)
    count = max(4, round((width - 0.08) / 0.09))
    pitch = (width - 0.08) / count
    boards = [
        box(
            (front - 0.024, 0.04 - half + i * pitch + 0.002, 0.075),
            (front, 0.04 - half + (i + 1) * pitch - 0.002, height - 0.035),
            0.004,
        )
        for i in range(count)
    ]
    rail_at, rail_height = front + 0.10, 0.19
    rail = [rod((rail_at, 0.06 - half, rail_height), (rail_at, half - 0.06, rail_height), 0.019)]
    brackets = max(2, round(width / 0.9) + 1)
    for i in range(brackets):
        y = (0.14 - half) + i * (width - 0.28) / (brackets - 1)
        rail.append(rod((front - 0.01, y, rail_height), (rail_at, y, rail_height), 0.010))
    return Piece(
        (
            shape("", finish.frame, [top]),
            shape("front", finish.frame, [carcass, plinth, *boards]),
            shape("foot rail", METAL, rail),
        )
    )


def bar_front(depth: float) -> float:
    """How far ahead of a bar's middle its boarded front stands [m]: 0.28 m behind the edge."""
    return max(depth / 2 - 0.28, 0.10 - depth / 2)
