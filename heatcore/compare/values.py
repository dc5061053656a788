"""What a comparison says, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from heatcore.checks.electrical import Electrical
from heatcore.checks.finding import Finding, Verdict
from heatcore.compare.looks import Looks, looks
from heatcore.evaluate import Evaluation
from heatcore.heat.people.body import BodyHeat, Comfort

DRAWN = "as drawn"


class Topic(StrEnum):
    """What a difference is about, as people call it."""

    FAILURES = "failing checks"
    WARM = "warm places"
    PLACES = "single places"
    COLDEST = "the coldest place"
    SPREAD = "evenness among the places"
    FLOOR = "warmed floor"
    ADVISORIES = "advisories"
    MEASURE = "what must be measured on site"
    POWER = "input power"
    CURRENT = "current"
    CIRCUITS = "circuits"
    COST = "running cost"
    HEATERS = "the number of heaters"
    HEIGHTS = "even heights"
    LINES = "common lines"
    SYMMETRY = "symmetry"


@dataclass(frozen=True, eq=False)
class Side:
    """One option's figures.

    Attributes
    ----------
    name : of the option; 'as drawn' for the scene without one
    note : what the option says of itself
    evaluation : all that was found
    load : what its heaters draw, and what an evening takes
    looks : how its heaters look together; None without heaters
    """

    name: str
    note: str
    evaluation: Evaluation
    load: Electrical
    looks: Looks | None

    @classmethod
    def of(cls, evaluation: Evaluation, name: str = DRAWN, note: str = "") -> Side:
        """The figures of an evaluation."""
        shown = looks(evaluation.scene, evaluation.mounts)
        return cls(name, note, evaluation, evaluation.electrical, shown)

    def counted(self, comfort: Comfort) -> int:
        """How many places are warm, borderline or cold."""
        return sum(person.comfort is comfort for person in self.evaluation.people)

    @property
    def places(self) -> int:
        """How many places there are, of those who sit and those who stand."""
        return len(self.evaluation.people)

    @property
    def coldest(self) -> BodyHeat | None:
        """The place that gains least."""
        return min(self.evaluation.people, key=lambda person: person.gain, default=None)

    @property
    def hottest(self) -> BodyHeat | None:
        """The place that gains most."""
        return max(self.evaluation.people, key=lambda person: person.gain, default=None)

    @property
    def spread(self) -> float:
        """Between the gains of the hottest and the coldest place [K]."""
        if self.coldest is None or self.hottest is None:
            return 0.0
        return self.hottest.gain - self.coldest.gain

    @property
    def energy_kwh(self) -> float:
        """What an evening takes, electricity and gas [kWh]."""
        return self.load.energy_kwh("electric") + self.load.energy_kwh("gas")

    @property
    def warmed(self) -> float:
        """Share of the floor that reaches the site's own threshold."""
        return self.evaluation.warmed.warmed

    @property
    def heaters(self) -> int:
        """How many heaters hang."""
        return len(self.evaluation.mounts)

    def found(self, verdict: Verdict) -> tuple[Finding, ...]:
        """The findings that come to a verdict."""
        return tuple(f for f in self.evaluation.findings if f.verdict is verdict)


@dataclass(frozen=True)
class Difference:
    """One difference between two options that matters.

    Its sentence is `lead`, what goes for the first option, `joint`, what goes for the second, and
    `because`. Seen from the other option, the two change places and nothing else.

    Attributes
    ----------
    topic : what it is about
    values : the two figures, in `unit`; None where an option has none
    unit : 'K', 'W', 'A', 'm', '' for a count or a share
    object : what causes it: a heater, a thing that shades, a door; '' where nothing single does
    better : which of the two is better by it, 0 or 1; None where that is a matter of taste
    lead, sides, joint, because : the sentence's parts
    weight : how much it matters among those of its topic
    """

    topic: Topic
    values: tuple[float | None, float | None]
    unit: str
    object: str
    better: int | None
    lead: str
    sides: tuple[str, str]
    joint: str = " and "
    because: str = ""
    weight: float = 0.0

    @property
    def words(self) -> str:
        """One plain sentence."""
        said = f"{self.lead}{self.sides[0]}{self.joint}{self.sides[1]}{self.because}."
        return said[0].upper() + said[1:]

    @property
    def mirrored(self) -> Difference:
        """The same, seen from the other option."""
        return Difference(
            self.topic,
            self.values[::-1],
            self.unit,
            self.object,
            None if self.better is None else 1 - self.better,
            self.lead,
            self.sides[::-1],
            self.joint,
            self.because,
            self.weight,
        )


@dataclass(frozen=True, eq=False)
class Pair:
    """Two options beside each other.

    Attributes
    ----------
    first, second : names of the two
    verdict : which is better on what, in one sentence
    better : what the first is better on, and what the second
    differences : those that matter, by topic
    """

    first: str
    second: str
    verdict: str
    better: tuple[tuple[Topic, ...], tuple[Topic, ...]]
    differences: tuple[Difference, ...]


@dataclass(frozen=True, eq=False)
class Comparison:
    """Options side by side.

    Attributes
    ----------
    sides : the options, in the order asked for
    pairs : the first one with each of the others
    """

    sides: tuple[Side, ...]
    pairs: tuple[Pair, ...]
