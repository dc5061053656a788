"""Directions in plan as people say them."""

from __future__ import annotations

from math import atan2, pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

POINTS = (
    "north", "north-northeast", "northeast", "east-northeast",
    "east", "east-southeast", "southeast", "south-southeast",
    "south", "south-southwest", "southwest", "west-southwest",
    "west", "west-northwest", "northwest", "north-northwest",
)  # fmt: skip


def compass_point(way: ArrayLike, north: float) -> str:
    """Name of the nearest of the sixteen points of the compass.

    Parameters
    ----------
    way : (2,) direction in plan, of any length
    north : where north lies on the plan, from world X counter-clockwise [rad]
    """
    x, y = np.asarray(way, dtype=np.float64)
    bearing = north - atan2(float(y), float(x))
    return POINTS[round(bearing / (2.0 * pi) * len(POINTS)) % len(POINTS)]


def compass_way(point: int, north: float) -> NDArray[np.float64]:
    """(2,) unit vector in plan toward one of `POINTS`, by its number."""
    angle = north - 2.0 * pi * point / len(POINTS)
    return np.array([np.cos(angle), np.sin(angle)])
