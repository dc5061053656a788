"""One heater of which something fails or is in doubt, and how changes of it are written."""

from __future__ import annotations

from dataclasses import dataclass

from heatcore.evaluate import Evaluation
from heatcore.mounting.mount import Mount
from heatcore.remedies.trials import Trials
from heatcore.remedies.values import Change, Kind, change
from heatcore.scene.model import Heater
from heatcore.scene.write import table_data
from heatcore.units import UnitSystem, format_length, parse_length

# What an installer can mark: a millimetre, an eighth of an inch [m].
MARK = {UnitSystem.METRIC: 0.001, UnitSystem.IMPERIAL: 0.003175}
_FINEST = 64  # of an inch, in which drawings may give a place
_SAME = 1e-7  # m


@dataclass(frozen=True, eq=False)
class Case:
    """A heater that is to be hung otherwise.

    Attributes
    ----------
    trials : for a change tried in earnest
    mount : the heater as it hangs
    """

    trials: Trials
    mount: Mount

    @property
    def evaluation(self) -> Evaluation:
        """The scene as it is."""
        return self.trials.base

    @property
    def heater(self) -> Heater:
        """The heater as it is described."""
        return self.mount.heater

    @property
    def name(self) -> str:
        """The heater's name."""
        return self.mount.name

    @property
    def units(self) -> UnitSystem:
        """The site's units."""
        return UnitSystem(self.evaluation.scene.site.units)

    @property
    def mark(self) -> float:
        """To what a length is rounded outward [m]."""
        return MARK[self.units]

    def marks(self, length_m: float) -> int:
        """How many marks a length has, at least one."""
        return max(round(length_m / self.mark), 1)

    def length(self, length_m: float) -> str:
        """A length as the site shows it."""
        return format_length(length_m, self.units)

    def tidy(self, length_m: float) -> float:
        """A length as a tape shows it where it is one, else to a micrometre [m]."""
        shown = parse_length(format_length(length_m, self.units, _FINEST))
        return shown if abs(shown - length_m) < _SAME else round(length_m, 6)

    def made(self, kind: Kind, words: str, disturbance_m: float, heater: Heater) -> Change:
        """The change that makes the heater another one."""
        old, new = (table_data(h, self.units) for h in (self.heater, heater))
        differs = {key: value for key, value in new.items() if old.get(key) != value}
        return change(kind, words, disturbance_m, set_={"heater": {self.name: differs}})
