"""Outlines: what keeps a list of corners from being a simple polygon."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import dist, hypot

import shapely

SAME_POINT = 1e-3  # m; drawings say no more
WIDEST = 500.0  # m across; no site is wider, so more is a slip of the unit

Point = tuple[float, float]
Fault = tuple[int | None, str, str]


def outline_faults(corners: tuple[Point, ...], shown: Callable[[float], str]) -> list[Fault]:
    """Find what is wrong with an outline.

    Parameters
    ----------
    corners : in order round it [m]
    shown : writes a length [m]

    Returns
    -------
    list of (int or None, str, str)
        Each fault: the corner it is about (None for the whole), what is wrong, what to do.
    """
    if len(corners) < 3:
        message = f"has {len(corners)} corners, and an outline needs at least three"
        return [(None, message, "give them in order, as [[x, y], [x, y], ...]")]
    last = len(corners) - 1
    faults: list[Fault] = []
    for index, (corner, following) in enumerate(pairwise((*corners, corners[0]))):
        if dist(corner, following) >= SAME_POINT:
            continue
        if index == last:
            faults.append((last, "is the first corner again", "leave it out"))
        else:
            message = f"is the same place as corner {index + 1}"
            faults.append((index + 1, message, "leave one of the two out"))
    return faults or _faults_of_whole(corners, shown)


def _faults_of_whole(corners: tuple[Point, ...], shown: Callable[[float], str]) -> list[Fault]:
    polygon = shapely.Polygon(corners)
    across = hypot(*(max(axis) - min(axis) for axis in zip(*corners, strict=True)))
    if across > WIDEST:
        return [(None, f"is {shown(across)} across", "is the unit of every corner right?")]
    if polygon.convex_hull.area < SAME_POINT * across:
        return [(None, "has no area", "give corners that do not lie on one line")]
    if polygon.is_valid:
        return []
    # Such as "Self-intersection[2 1.5]".
    reason = shapely.is_valid_reason(polygon)
    place = ", ".join(
        f"{axis} = {shown(float(value))}"
        for axis, value in zip("xy", reason.partition("[")[2].rstrip("]").split(), strict=False)
    )
    message = f"its edges cross or touch at {place}"
    return [(None, message, "give the corners in order, going round once")]
