"""What changes would bring, in a quick look: only what changes is traced anew.

Heaters that move keep hanging as they did and take their height from the ceiling; nothing is hung.
What looks promising here is then tried in earnest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats, Frame
from heatcore.heat.people.body import Comfort
from heatcore.heat.people.comfort import radiant_temperature
from heatcore.heat.people.evening import Evening
from heatcore.heat.people.received import Received, receive
from heatcore.heat.people.warmth import NEARLY, score
from heatcore.heat.radiation.emitter import Emitter

OVERHEAD = 1.9  # m; from here the ceiling is looked for


class Screen:
    """Gains of an evaluation's places after small changes."""

    def __init__(self, evaluation: Evaluation) -> None:
        self.evaluation = evaluation
        self.places = evaluation.model.places
        site = evaluation.scene.site
        self.evening = Evening(site.climate, site.target)

    @cached_property
    def received(self) -> Received:
        """What reaches every place now."""
        return receive(self.evaluation.emitters, self.places, self.evaluation.surroundings)

    def of(self, emitter: Emitter) -> Floats:
        """(n,) what an emitter sends to each place [W/m2]."""
        return receive([emitter], self.places, self.evaluation.surroundings).field[:, 0]

    def with_emitter(self, emitter: Emitter) -> Floats:
        """Scores (n,) of the places with one emitter instead of the one of its name."""
        field = self.received.field.sum(axis=1) + self.of(emitter)
        for number, old in enumerate(self.evaluation.emitters):
            if old.name == emitter.name:
                field = field - self.received.field[:, number]
        return self._scores(field, self.received)

    def with_outputs(self, factors: Sequence[float]) -> Floats:
        """Scores (n,) of the places with each emitter's power so many times as high."""
        return self._scores(self.received.field @ np.asarray(factors), self.received)

    def moved(self, index: int, offsets: Floats) -> Floats:
        """Scores (k,) of one place at offsets (k, 2) in plan [m], everything else where it is."""
        place = self.places[index]
        steps = np.column_stack([offsets, np.zeros(len(offsets))])
        places = [replace(place, point=place.point + step) for step in steps]
        received = receive(self.evaluation.emitters, places, self.evaluation.surroundings)
        return self._scores(received.field.sum(axis=1), received)

    def harms(self, scores: Floats) -> bool:
        """Whether any place would be worse off in its verdict."""
        return any(
            _worse(float(reached), heat.comfort)
            for reached, heat in zip(scores, self.evaluation.people, strict=True)
        )

    def shifted(self, frame: Frame, way: Floats) -> Frame:
        """A frame moved by (2,) in plan, and with the ceiling up or down [m]."""
        there = frame.origin[:2] + way
        rise = self._ceiling(there) - self._ceiling(frame.origin[:2])
        return frame.moved([*way, rise if np.isfinite(rise) else 0.0])

    def _ceiling(self, point: Floats) -> float:
        """Height of what is overhead [m]; infinite in the open."""
        up = np.array([[0.0, 0.0, 1.0]])
        start = np.array([[*point, OVERHEAD]])
        distance, _ = self.evaluation.surroundings.solids.first(start, up)
        return OVERHEAD + float(distance[0])

    def _scores(self, field: Floats, received: Received) -> Floats:
        radiant = radiant_temperature(self.evening.background, field, received.bodies.f_eff)
        return score(self.evening.gain(radiant), self.evening)


def _worse(reached: float, before: Comfort) -> bool:
    least = {Comfort.WARM: 1.0, Comfort.BORDERLINE: NEARLY, Comfort.COLD: -np.inf}
    return reached < least[before]
