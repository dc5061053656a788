"""What would make a place warm or clear a finding, as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from heatcore.checks.electrical import Circuit
from heatcore.checks.finding import Finding
from heatcore.evaluate import Evaluation
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.scene.model import Option

RANK = {Comfort.COLD: 0, Comfort.BORDERLINE: 1, Comfort.WARM: 2}


class Kind(StrEnum):
    """What a change does."""

    OUTPUT = "output raised"
    SEAT = "place moved"
    TURN = "heater turned"
    MOVE = "heater moved"
    ADD = "heater added"
    HEIGHT = "heater hung lower or higher"
    BRACKET = "bracket changed"
    STEM = "heater hung on a stem"
    SPACING = "brackets set closer or farther apart"
    OPENING = "door or window hung otherwise"


@dataclass(frozen=True, eq=False)
class Change:
    """Something that may help, before it is tried.

    Attributes
    ----------
    kind : what it does
    words : one sentence for people, an instruction
    option : the change as an option of the scene
    disturbance_m : how far what moves is moved at most [m]
    """

    kind: Kind
    words: str
    option: Option
    disturbance_m: float


def change(
    kind: Kind,
    words: str,
    disturbance_m: float,
    *,
    set_: Mapping[str, Any] | None = None,
    add: Mapping[str, Any] | None = None,
) -> Change:
    """A change as an option of the scene, named by its own words."""
    option = Option(name=words.rstrip("."), set=set_ or {}, add=add or {})
    return Change(kind, words, option, disturbance_m)


@dataclass(frozen=True, eq=False)
class Effect:
    """One place, before and after.

    Attributes
    ----------
    before, after : what the person there gets
    """

    before: BodyHeat
    after: BodyHeat

    @property
    def changes(self) -> bool:
        """Whether the verdict on the place changes."""
        return self.before.comfort is not self.after.comfort

    @property
    def worse(self) -> bool:
        """Whether the verdict on the place gets worse."""
        return RANK[self.after.comfort] < RANK[self.before.comfort]


def effects(before: Evaluation, after: Evaluation) -> tuple[Effect, ...]:
    """Every place before and after a change."""
    return tuple(Effect(b, a) for b, a in zip(before.people, after.people, strict=True))


@dataclass(frozen=True, eq=False)
class Remedy:
    """A change that was evaluated whole, and makes a place warm.

    Attributes
    ----------
    place : the place that it makes warm
    change : what is to be done
    effect : what that place gets
    others : the other places whose verdict changes, none of them for the worse
    adds, clears : findings that do not hold with it, and those that it does away with; it adds none
        that fails
    watts_added : more input than before [W]
    current_added_a : more current at full output [A]
    circuit : of an added heater; None where there is none, or it burns gas
    evaluation : all of it
    """

    place: str
    change: Change
    effect: Effect
    others: tuple[Effect, ...]
    adds: tuple[Finding, ...]
    clears: tuple[Finding, ...]
    watts_added: float
    current_added_a: float
    circuit: Circuit | None
    evaluation: Evaluation

    @property
    def title(self) -> str:
        """A name for it as an option of the scene."""
        return f"{self.place}: {self.change.kind}"


@dataclass(frozen=True, eq=False)
class Advice:
    """What can be done for one place.

    Attributes
    ----------
    before : what the person there gets now
    remedies : those that help, the least disturbing first
    tried : what was tried in vain, a sentence each
    """

    before: BodyHeat
    remedies: tuple[Remedy, ...]
    tried: tuple[str, ...]

    @property
    def place(self) -> str:
        """The place's name."""
        return self.before.place.name


@dataclass(frozen=True, eq=False)
class Fix:
    """A change that was evaluated whole, and clears a finding.

    Attributes
    ----------
    change : what is to be done
    clears : the findings that failed or were in doubt, and hold with it
    leaves : findings of the same heater that it does not clear
    adds : advisories that come with it; nothing fails or comes to be in doubt
    places : the places whose verdict changes
    evaluation : all of it
    """

    change: Change
    clears: tuple[Finding, ...]
    leaves: tuple[Finding, ...]
    adds: tuple[Finding, ...]
    places: tuple[Effect, ...]
    evaluation: Evaluation

    @property
    def title(self) -> str:
        """A name for it as an option of the scene."""
        return self.change.option.name

    @property
    def disturbs(self) -> tuple[bool, float]:
        """How much it disturbs: first whether a place's verdict gets worse, then how far."""
        return any(effect.worse for effect in self.places), self.change.disturbance_m


@dataclass(frozen=True, eq=False)
class FindingAdvice:
    """What can be done about one finding.

    Attributes
    ----------
    finding : as it is, failing or in doubt
    fixes : those that clear it, the least disturbing first
    tried : what was tried in vain, a sentence each
    """

    finding: Finding
    fixes: tuple[Fix, ...]
    tried: tuple[str, ...]
