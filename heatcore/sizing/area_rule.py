"""The trade's area rule: so many heaters for so much floor, by how open the place is.

Common practice, no source: an open covered patio takes about one 6 kW electric unit for each 68
square feet of floor. That goes for a perimeter that is open all round. A closed side keeps the wind
off, so the rule is scaled by the open share of the perimeter, but not below half of it (common
practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from heatcore.geometry.openness import open_share, sides_of
from heatcore.scene.model import Scene
from heatcore.scene.plan import polygon_of
from heatcore.scene.types import HeaterType

UNIT_W = 6000.0
UNIT_FLOOR = 68.0 * 0.3048**2  # m2
LEAST_SHARE = 0.5


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
    """Apply the area rule to a scene's floor, its screens up."""
    given = scene.site.open_share
    derived = open_share(scene.floor.outline, sides_of(scene.wall))
    share = derived if given is None else given
    scale = max(share, LEAST_SHARE)
    floor = polygon_of(scene.floor.outline, "floor.outline").area
    power = floor / UNIT_FLOOR * UNIT_W * scale
    one = heater.input_at(scene.site.supply.voltage)
    return AreaRule(floor, share, given is None, scale, power, power / one)
