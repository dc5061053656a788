"""How many heaters, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from heatcore.checks.electrical import Electrical
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Place
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene
from heatcore.scene.types import HeaterType
from heatcore.sizing.area_rule import AreaRule


class Way(StrEnum):
    """One way to settle how many."""

    DRAWN = "as drawn"
    RULE = "area rule"
    SEATS = "just the seats"
    FLOOR = "the whole floor"


@dataclass(frozen=True)
class Left:
    """A place that no choice of positions warms together with the others.

    Attributes
    ----------
    place : its name
    most : what all positions at once would give it, of what it needs; from 1 on, the ones that
        reach it are too near to those that others need
    """

    place: str
    most: float


@dataclass(frozen=True, eq=False)
class Layout:
    """Heaters that hang somewhere, and what they do.

    Attributes
    ----------
    mounts : the heaters
    people : what the people at their places get
    floor : share of the floor on which somebody who sits and somebody who stands are both warm
    coldest : (2,) the place on the floor that gets the least of what it needs [m]
    head_w_m2 : irradiance from above of the hottest head anywhere
    fewest : whether fewer are proved not to do at the positions tried
    left : places that stay cold for want of a position
    """

    mounts: tuple[Mount, ...]
    people: tuple[BodyHeat, ...]
    floor: float
    coldest: Floats | None
    head_w_m2: float
    fewest: bool = False
    left: tuple[Left, ...] = ()

    @property
    def warm(self) -> int:
        """How many people are warm."""
        return sum(person.comfort is Comfort.WARM for person in self.people)

    @property
    def cold(self) -> tuple[Place, ...]:
        """Where people are not warm."""
        return tuple(p.place for p in self.people if p.comfort is not Comfort.WARM)


@dataclass(frozen=True, eq=False)
class Answer:
    """How many heaters one way asks for.

    Attributes
    ----------
    way : which way
    electrical : what they draw
    layout : where they hang; None for the area rule, which does not say where
    """

    way: Way
    electrical: Electrical
    layout: Layout | None

    @property
    def heaters(self) -> int:
        """How many heaters."""
        return len(self.electrical.loads)


@dataclass(frozen=True, eq=False)
class Sizing:
    """How many heaters, four ways.

    Attributes
    ----------
    scene : as sized, its option applied
    places : the people that are to be warm
    kind : the heater type that is counted
    why : why that type, in words
    rule : what the area rule is made of
    answers : the scene as drawn (where it has heaters), the area rule, just the seats, the whole
        floor
    needed_gain : rise of the UTCI that meets the target [K]; nothing or less where it is met anyway
    utci_without : UTCI without heaters [C]
    within_reach : whether any radiation meets the target at this wind and temperature
    tried, held : positions that were tried, and those that hold
    step : how far those under the ceiling lie apart [m]; 0 where there are none
    room : floor on which a person can be [m2]
    spots : places on it that were looked at
    """

    scene: Scene
    places: tuple[Place, ...]
    kind: HeaterType
    why: str
    rule: AreaRule
    answers: tuple[Answer, ...]
    needed_gain: float
    utci_without: float
    within_reach: bool
    tried: int
    held: int
    step: float
    room: float
    spots: int

    def of(self, way: Way) -> Answer | None:
        """The answer of one way."""
        return next((answer for answer in self.answers if answer.way is way), None)
