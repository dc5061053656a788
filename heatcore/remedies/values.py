"""What would make a place warm, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from heatcore.checks.electrical import Circuit
from heatcore.checks.finding import Finding
from heatcore.evaluate import Evaluation
from heatcore.heat.people.body import BodyHeat
from heatcore.scene.model import Option


class Kind(StrEnum):
    """What a remedy does."""

    OUTPUT = "output raised"
    SEAT = "place moved"
    TURN = "heater turned"
    MOVE = "heater moved"
    ADD = "heater added"


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


@dataclass(frozen=True, eq=False)
class Effect:
    """One place, before and after.

    Attributes
    ----------
    before, after : what the person there gets
    """

    before: BodyHeat
    after: BodyHeat


@dataclass(frozen=True, eq=False)
class Remedy:
    """A change that was evaluated whole, and helps.

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
