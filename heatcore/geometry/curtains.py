"""Curtains: the track, the cloth as far as it is drawn, and the whole travel."""

from __future__ import annotations

from math import hypot, pi

import numpy as np
from shapely import LineString, Polygon
from shapely import box as rectangle

from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import Solid, part_of, prism
from heatcore.scene.space import Screen

_CLOTH = 0.004  # m; cloth with its seams
_TRACK = 0.04  # m; height, and at most the width, of the track
# Common practice, no source: the width of the cloth's stack when drawn back, and of one fold when
# drawn.
_GATHERED = 0.15  # share of the track's length
_FOLD = 0.12  # m
_STEPS = 8  # points of a fold


def track_height(screen: Screen) -> float:
    """Return how far a curtain's track reaches down from its top [m]."""
    return min(_TRACK, screen.thickness)


def curtain_parts(screen: Screen) -> tuple[Part, ...]:
    """Return 'NAME track', 'NAME curtain' as far as it is drawn, and the swept 'NAME travel'.

    The cloth hangs from the track down to `bottom`, in folds as deep as the screen is thick. Drawn
    back it gathers at `from`, in 15 % of the track's length. The travel is all the room under the
    track, as deep as the folds. The track is aluminium; the cloth's material decides about cloth
    and travel.
    """
    start, end = np.asarray(screen.from_), np.asarray(screen.to)
    length, half = hypot(*(end - start)), screen.thickness / 2
    along = (end - start) / length
    axes = np.stack([along, [-along[1], along[0]]])

    def solid(plan: Polygon, bottom: float, top: float) -> Solid:
        placed = Polygon(start + np.asarray(plan.exterior.coords) @ axes)
        return prism(placed, bottom, top)

    foot = screen.top - track_height(screen)
    rail = track_height(screen) / 2
    track = solid(rectangle(0.0, -rail, length, rail), foot, screen.top)
    drawn = length * (_GATHERED + (1.0 - _GATHERED) * screen.down)
    cloth = solid(_folds(drawn, half, max(1, round(length / _FOLD))), screen.bottom, foot)
    travel = solid(rectangle(0.0, -half, length, half), screen.bottom, foot)
    return (
        part_of(track, screen, Kind.SCREEN, f"{screen.name} track", material="aluminium"),
        part_of(cloth, screen, Kind.SCREEN, f"{screen.name} curtain"),
        part_of(travel, screen, Kind.SCREEN, f"{screen.name} travel", swept=True),
    )


def _folds(width: float, half: float, count: int) -> Polygon:
    """Return cloth in plan, in a number of folds along X, from 0 to a width [m]."""
    x = np.linspace(0.0, width, _STEPS * count + 1)
    # A fold's crest at either end, where the cloth runs square to its edge.
    y = max(0.0, half - _CLOTH / 2) * np.cos(2 * pi * count * x / width)
    cloth = LineString(np.column_stack([x, y])).buffer(_CLOTH / 2, cap_style="flat")
    return cloth.intersection(rectangle(0.0, -half, width, half))
