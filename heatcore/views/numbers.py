"""The numbers on isolines: on the line, where the camera sees that piece of floor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.views import stage as on
from heatcore.views.floor import Contour, FloorPicture
from heatcore.views.framing import Framing
from heatcore.views.layout import Layout, Note, note_size
from heatcore.views.pane import Pane
from heatcore.views.stage import Stage

STEP = 0.08  # m from one place that a number might take to the next
OVER_FLOOR = 0.02  # m, so that the floor itself hides no place on it
MOST = 2  # numbers of one value
APART = 0.5  # frame heights between two of them
CLEAR = 0.13  # frame heights between the numbers of two values
SHORTEST = 1.4  # plates' widths of its line that must be in sight round a number
ON_FLOOR = 0.7  # of a plate that must cover floor, and nobody's legs
GRID = np.linspace(-0.5, 0.5, 5)  # where a plate is looked under, shares of its size


@dataclass(frozen=True, eq=False)
class _Spots:
    """Where the number of one value may stand, the best first: (k, 2) in the frame."""

    contour: Contour
    at: Floats


def number_contours(stage: Stage, pane: Pane, layout: Layout, picture: FloorPicture) -> None:
    """Put each value on its line, the threshold's first; twice where the line is long in sight."""
    found = [_Spots(c, _spots(stage, pane.framing, c)) for c in picture.contours]
    found.sort(key=lambda s: (not s.contour.threshold, -s.contour.irradiance_w_m2))
    used: dict[float, list[Floats]] = {}
    for _ in range(MOST):
        for spots in found:
            free = spots.at
            for value, places in used.items():
                apart = APART if value == spots.contour.irradiance_w_m2 else CLEAR
                for place in places:
                    free = free[np.linalg.norm(free - place, axis=1) >= apart]
            if layout.place(Note(_text(spots.contour), free)):
                placed = used.setdefault(spots.contour.irradiance_w_m2, [])
                placed.append(layout.placed[-1].at)


def _text(contour: Contour) -> str:
    return f"{contour.irradiance_w_m2:g}"


def _spots(stage: Stage, framing: Framing, contour: Contour) -> Floats:
    """Places on a value's lines, those in the middle of a long piece in sight first."""
    size = note_size(_text(contour))
    places, worth = [np.zeros((0, 2))], [np.zeros(0)]
    for line in contour.lines:
        for piece in _pieces(stage, framing, spaced(line)):
            at = framing.project(piece)[:, :2]
            along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(at, axis=0), axis=1))])
            room = np.minimum(along, along[-1] - along)
            kept = room >= SHORTEST * size[0] / 2
            places.append(at[kept])
            worth.append(room[kept])
    at, room = np.concatenate(places), np.concatenate(worth)
    if not len(at):
        return at
    floor = _floor_below(stage, framing, at, size)
    good = floor >= ON_FLOOR
    order = np.argsort(-(room + 0.2 * floor)[good], kind="stable")
    return at[good][order]


def spaced(line: Floats) -> Floats:
    """Points (k, 3) at even steps along a line (n, 2) on the floor."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    count = max(2, int(along[-1] / STEP) + 1)
    at = np.linspace(0.0, along[-1], count)
    plan = [np.interp(at, along, line[:, axis]) for axis in (0, 1)]
    return np.column_stack([*plan, np.full(count, OVER_FLOOR)])


def _pieces(stage: Stage, framing: Framing, points: Floats) -> Iterator[Floats]:
    """The runs of points (k, 3) that the camera sees one after the other."""
    seen = framing.shows(points, 0.03)
    starts = framing.lift(framing.project(points[seen])[:, :2], framing.clip[0])
    seen[seen] = stage.obstacles.sees(starts, points[seen])
    edges = np.flatnonzero(np.diff(np.concatenate([[False], seen, [False]]).astype(np.int8)))
    for first, last in edges.reshape(-1, 2):
        if last - first > 1:
            yield points[first:last]


def _floor_below(stage: Stage, framing: Framing, at: Floats, size: Floats) -> Floats:
    """Share of the plates at (k, 2) that lies over floor in sight, (k,)."""
    grid = np.stack(np.meshgrid(GRID, GRID), axis=-1).reshape(-1, 2) * size
    spots = (at[:, None] + grid).reshape(-1, 2)
    starts = framing.lift(spots, framing.clip[0])
    way = framing.lift(spots, framing.clip[0] + 1.0) - starts
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    _, which = stage.first(starts, way)
    return np.asarray((stage.classes[which] == on.FLOOR).reshape(len(at), -1).mean(axis=1))
