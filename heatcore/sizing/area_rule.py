"""The trade's area rule: so many heaters for so much floor, by how open the place is.

Common practice, no source: an open covered patio takes about one 6 kW electric unit for each 68
square feet of floor. That goes for a perimeter that is open all round. A closed side keeps the wind
off, so the rule is scaled by the open share of the perimeter, but not below half of it (common
practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.scene.model import Scene
from heatcore.scene.plan import polygon_of
from heatcore.scene.space import Wall
from heatcore.scene.types import HeaterType

UNIT_W = 6000.0
UNIT_FLOOR = 68.0 * 0.3048**2  # m2
LEAST_SHARE = 0.5

HALF_WALL = 1.2  # m; a lower wall shelters somebody who sits, and only half
REACHES = 2.0  # m; what stands higher than this shelters nobody
BESIDE = 0.3  # m from the floor's edge; a wall farther off does not close it
ALIGNED = np.cos(np.radians(15.0))


@dataclass(frozen=True)
class AreaRule:
    """What the area rule asks for.

    Attributes
    ----------
    floor : area of the floor [m2]
    open_share : of the perimeter
    derived : whether that was taken from the walls
    scale : what the rule is scaled by
    input_w : what it asks for [W]
    unrounded : the same in heaters of the chosen type, at the supply's voltage
    """

    floor: float
    open_share: float
    derived: bool
    scale: float
    input_w: float
    unrounded: float

    @property
    def heaters(self) -> int:
        """Heaters, rounded up."""
        return ceil(self.unrounded - 1e-9)


def area_rule(scene: Scene, heater: HeaterType) -> AreaRule:
    """Apply the area rule to a scene's floor."""
    given = scene.site.open_share
    share = open_share(scene) if given is None else given
    scale = max(share, LEAST_SHARE)
    floor = polygon_of(scene.floor.outline, "floor.outline").area
    power = floor / UNIT_FLOOR * UNIT_W * scale
    one = heater.input_at(scene.site.supply.voltage)
    return AreaRule(floor, share, given is None, scale, power, power / one)


def open_share(scene: Scene) -> float:
    """Open share of the floor's perimeter, from the walls that stand along it.

    A wall closes the stretch of the floor's edge that it runs along, within 0.3 m of it and 15
    degrees of its direction. It closes it by half where less than 1.2 m of it stands below 2 m.
    Doors and windows count as closed; screens are up, and roofs, beams and posts close nothing.
    """
    outline = np.asarray(polygon_of(scene.floor.outline, "floor.outline").exterior.coords)
    closed = perimeter = 0.0
    for start, end in pairwise(outline):
        length = float(np.hypot(*(end - start)))
        perimeter += length
        closed += _closed(start, (end - start) / length, length, scene.wall)
    return 1.0 - closed / perimeter


def _closed(start: Floats, along: Floats, length: float, walls: tuple[Wall, ...]) -> float:
    """How much of one edge of the floor is closed [m]."""
    stretches = list(_stretches(start, along, length, walls))
    marks = sorted({0.0, length, *(x for low, high, _ in stretches for x in (low, high))})
    return sum(
        (b - a) * max((w for low, high, w in stretches if low <= a and b <= high), default=0.0)
        for a, b in pairwise(marks)
    )


def _stretches(
    start: Floats, along: Floats, length: float, walls: tuple[Wall, ...]
) -> Iterator[tuple[float, float, float]]:
    """From where to where each wall runs along an edge [m], and how far it closes it."""
    across = np.array([-along[1], along[0]])
    for wall in walls:
        ends = np.array([wall.from_, wall.to]) - start
        run = ends[1] - ends[0]
        if abs(run @ along) < ALIGNED * np.hypot(*run) or np.abs(ends @ across).max() > BESIDE:
            continue
        low, high = np.clip(np.sort(ends @ along), 0.0, length).tolist()
        top = inf if wall.height is None else wall.height
        stands = min(top, REACHES) - min(wall.base, REACHES)
        if high > low and stands > 0.0:
            yield low, high, 1.0 if stands >= HALF_WALL - 1e-9 else 0.5
