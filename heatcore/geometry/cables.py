"""Cables, and strings of lights."""

from __future__ import annotations

from math import ceil, cos, hypot, pi, sqrt

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.fitting_site import ring
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.shapes import sweep
from heatcore.geometry.solids import part_of
from heatcore.geometry.sweeps import EXCESS, circle_sides
from heatcore.scene.plan import where
from heatcore.scene.space import Cable


def cable_part(cable: Cable) -> Part:
    """Return a cable: a round tube along a parabola, its ends square.

    A parabola is the curve of a cable whose weight is even along its span, and that of a chain that
    is drawn tight. The tube runs along chords of it that miss it by 0.5 mm at most, and its sides
    lie round the circle by as little.

    Raises
    ------
    InputError
        If its ends are one point, if it sags although they stand above one another, or if it would
        have to bend more sharply than its thickness allows.
    """
    start, end = np.asarray(cable.from_), np.asarray(cable.to)
    span, radius = hypot(*(end - start)[:2]), cable.diameter / 2
    if not np.any(end - start):
        raise InputError(where(cable), "has no length", "give two different ends")
    if cable.sag > 0.0 and span == 0.0:
        raise InputError(
            where(cable, "sag"), "cannot be of a cable that hangs straight down", "leave sag out"
        )
    # At its lowest a parabola has the radius of curvature span^2 / (8 sag).
    if 8.0 * cable.sag * radius >= span**2 and cable.sag > 0.0:
        raise InputError(
            where(cable, "sag"),
            "bends the cable more sharply than its diameter allows",
            "give less sag, or ends that are farther apart",
        )
    # A chord over the n-th part of the span misses the parabola by sag / n^2.
    share = np.linspace(0.0, 1.0, 1 + max(1, ceil(sqrt(cable.sag / EXCESS))))[:, None]
    path = start + share * (end - start) - 4.0 * cable.sag * share * (1.0 - share) * [0.0, 0.0, 1.0]
    sides = circle_sides(radius)
    section = radius / cos(pi / sides) * ring(sides)
    up = (0.0, 0.0, 1.0) if span > 0.0 else (1.0, 0.0, 0.0)
    return part_of(sweep(path, section, up), cable, Kind.CABLE)
