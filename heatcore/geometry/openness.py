"""How open the floor's perimeter is, from what stands along it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.scene.kinds import Outline
from heatcore.scene.plan import polygon_of
from heatcore.scene.space import Screen, Wall

HALF_WALL = 1.2  # m; a lower wall shelters somebody who sits, and only half
REACHES = 2.0  # m; what stands higher than this shelters nobody
BESIDE = 0.3  # m from the floor's edge; what stands farther off does not close it
ALIGNED = np.cos(np.radians(15.0))


@dataclass(frozen=True)
class Side:
    """Something that closes a stretch of the perimeter.

    Attributes
    ----------
    name : of the wall or the screen
    from_, to : its ends in plan [m]
    bottom, top : its heights [m]
    """

    name: str
    from_: tuple[float, float]
    to: tuple[float, float]
    bottom: float
    top: float


@dataclass(frozen=True, eq=False)
class Closed:
    """A stretch of the perimeter, and what closes it.

    Attributes
    ----------
    name : of what closes it
    share : how far it closes it: 1, or 0.5 for a half wall
    length : of the stretch [m]
    middle : (2,) its middle in plan [m]
    """

    name: str
    share: float
    length: float
    middle: Floats


def sides_of(walls: Iterable[Wall], screens: Iterable[Screen] = ()) -> tuple[Side, ...]:
    """What may close the perimeter: walls, and screens as they are when let down or drawn."""
    return (
        *(
            Side(w.name, w.from_, w.to, w.base, inf if w.height is None else w.height)
            for w in walls
        ),
        *(Side(s.name, s.from_, s.to, s.bottom, s.top) for s in screens),
    )


def open_share(
    outline: Outline, sides: Sequence[Side], beside: float = BESIDE, reaches: float = REACHES
) -> float:
    """Open share of a floor's perimeter.

    Whatever stands along the floor's edge closes the stretch that it runs along, within `beside` of
    it and 15 degrees of its direction. It closes it by half where less than 1.2 m of it stands
    below `reaches`. Doors and windows of a wall count as closed; roofs, beams and posts close
    nothing.

    Parameters
    ----------
    outline : of the floor, or of what covers it
    sides : what may close it
    beside : how far from the edge that may stand [m]
    reaches : what stands higher closes nothing [m]: wind over people's heads is no matter to them,
        while fumes gather under a roof
    """
    perimeter = polygon_of(outline, "floor.outline").exterior.length
    closed = sum(c.length * c.share for c in closed_stretches(outline, sides, beside, reaches))
    return 1.0 - closed / float(perimeter)


def closed_stretches(
    outline: Outline, sides: Sequence[Side], beside: float = BESIDE, reaches: float = REACHES
) -> Iterator[Closed]:
    """Yield each stretch of a floor's perimeter that is closed; see `open_share`."""
    corners = np.asarray(polygon_of(outline, "floor.outline").exterior.coords)
    for start, end in pairwise(corners):
        length = float(np.hypot(*(end - start)))
        along = (end - start) / length
        stretches = list(_stretches(start, along, length, sides, beside, reaches))
        marks = sorted({0.0, length, *(x for low, high, _, _ in stretches for x in (low, high))})
        for a, b in pairwise(marks):
            over = [(w, name) for low, high, w, name in stretches if low <= a and b <= high]
            if over:
                share, name = max(over, key=lambda pair: pair[0])
                yield Closed(name, share, b - a, start + (a + b) / 2 * along)


def _stretches(
    start: Floats,
    along: Floats,
    length: float,
    sides: Sequence[Side],
    beside: float,
    reaches: float,
) -> Iterator[tuple[float, float, float, str]]:
    """From where to where each side runs along an edge [m], how far it closes it, and its name."""
    across = np.array([-along[1], along[0]])
    for side in sides:
        ends = np.array([side.from_, side.to]) - start
        run = ends[1] - ends[0]
        if abs(run @ along) < ALIGNED * np.hypot(*run) or np.abs(ends @ across).max() > beside:
            continue
        low, high = np.clip(np.sort(ends @ along), 0.0, length).tolist()
        stands = min(side.top, reaches) - min(side.bottom, reaches)
        if high > low and stands > 0.0:
            yield low, high, 1.0 if stands >= HALF_WALL - 1e-9 else 0.5, side.name
