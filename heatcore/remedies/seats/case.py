"""One place that is not warm, and how changes for it are written and judged."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor

import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Place
from heatcore.remedies.seats.screen import Screen
from heatcore.remedies.seats.verdicts import objection
from heatcore.remedies.trials import Trials
from heatcore.remedies.values import Change
from heatcore.scene.spelling import spell
from heatcore.units import UnitSystem, format_length, parse_length

STEP = {UnitSystem.METRIC: 0.025, UnitSystem.IMPERIAL: 0.0254}  # m
FINENESS = 16  # of an inch, to which a place is given


@dataclass(frozen=True, eq=False)
class Case:
    """A place that is to become warm.

    Attributes
    ----------
    index : of the place
    screen : for a quick look
    trials : for a change tried in earnest
    """

    index: int
    screen: Screen
    trials: Trials

    @property
    def evaluation(self) -> Evaluation:
        """The scene as it is."""
        return self.trials.base

    @property
    def place(self) -> Place:
        """The place."""
        return self.evaluation.model.places[self.index]

    @property
    def reached(self) -> float:
        """What it gains as it is, over what is asked for."""
        person = self.evaluation.people[self.index]
        return person.gain / person.needed_gain

    @property
    def units(self) -> UnitSystem:
        """The site's units."""
        return UnitSystem(self.evaluation.scene.site.units)

    @property
    def step(self) -> float:
        """To what a move is told: 25 mm or an inch [m]."""
        return STEP[self.units]

    def length(self, length_m: float) -> str:
        """A length as the site shows it."""
        return format_length(length_m, self.units)

    def at(self, point: Floats) -> tuple[Floats, list[str | float]]:
        """A place in plan rounded to what a tape shows, and as a scene file writes it."""
        texts = [format_length(float(c), self.units, FINENESS) for c in point[:2]]
        rounded = [parse_length(text) for text in texts]
        return np.array(rounded), [spell("length", c, self.units) for c in rounded]

    def accepted(self, changes: Iterable[Change], most: int) -> Change | str:
        """The first of so many changes that nothing speaks against; else the first objection."""
        first = ""
        for number, change in enumerate(changes):
            if number == most:
                break
            against = objection(self.trials, change, self.place.name)
            if not against:
                return change
            first = first or against
        return first


def share(reached: float) -> str:
    """How much of the needed gain is reached, never rounded up to all of it."""
    return f"{floor(100.0 * reached)}%"
