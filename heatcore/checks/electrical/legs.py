"""Three phases: which conductors feed a heater, and what flows in each.

A heater is fed by two conductors: one line and the neutral, or two lines. A resistance takes its
current in phase with its own voltage, so the currents in a line add up as phasors: two heaters of
10 A between L1 and L2 and between L3 and L1 draw 17.3 A from L1.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import pi, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from heatcore.scene.model import Legs, Practice

Phasors = NDArray[np.complex128]

LINES = ("L1", "L2", "L3")
SINGLES: tuple[Legs, ...] = ("L1", "L2", "L3")
PAIRS: tuple[Legs, ...] = ("L1-L2", "L2-L3", "L3-L1")
ALL_THREE: Legs = "L1-L2-L3"

Feed = Literal["line to neutral", "line to line"]

# Nominal voltages of three-phase systems, line to neutral and line to line. North America: ANSI
# C84.1; IEC: IEC 60038; both from memory. 240 V between lines is a delta's.
_NOMINAL: Mapping[Practice, Mapping[float, Feed]] = {
    "north_american": {
        120.0: "line to neutral",
        208.0: "line to line",
        240.0: "line to line",
        277.0: "line to neutral",
        347.0: "line to neutral",
        480.0: "line to line",
        600.0: "line to line",
    },
    "iec": {
        127.0: "line to neutral",
        230.0: "line to neutral",
        400.0: "line to line",
        690.0: "line to line",
    },
}


def feed_at(voltage_v: float, practice: Practice) -> Feed:
    """How a heater is fed on three phases: as the nearest nominal voltage is.

    In North American practice 120, 277 and 347 V lie between a line and the neutral, 208, 240, 480
    and 600 V between two lines; in IEC practice 127 and 230 V, and 400 and 690 V. Where a circuit's
    legs are stated, they go, not this.
    """
    nominal = _NOMINAL[practice]
    return nominal[min(nominal, key=lambda volts: abs(volts - voltage_v))]


def feed_of(legs: Legs) -> Feed:
    """How a line, or two lines, feed a heater."""
    return "line to line" if legs in PAIRS else "line to neutral"


@dataclass(frozen=True)
class LineCurrents:
    """What flows in each line conductor, with everything at full output.

    Attributes
    ----------
    l1_a, l2_a, l3_a : in the three lines [A]
    neutral_a : in the neutral [A]
    """

    l1_a: float
    l2_a: float
    l3_a: float
    neutral_a: float

    @classmethod
    def of(cls, phasors: Phasors) -> LineCurrents:
        """The sizes of three line currents (3,)."""
        one, two, three = np.abs(phasors).tolist()
        return cls(one, two, three, float(abs(phasors.sum())))

    @property
    def lines_a(self) -> tuple[float, float, float]:
        """The three lines' [A]."""
        return self.l1_a, self.l2_a, self.l3_a

    @property
    def most_a(self) -> float:
        """That of the most loaded line [A]."""
        return max(self.lines_a)

    @property
    def imbalance(self) -> float:
        """Largest deviation from the lines' mean, as a share of it; 0 where nothing flows.

        As NEMA MG 1 defines it for voltages (from memory).
        """
        mean = sum(self.lines_a) / 3.0
        return max(abs(line - mean) for line in self.lines_a) / mean if mean > 0.0 else 0.0


def phasors(current_a: float, legs: Legs) -> Phasors:
    """(3,) what a heater that is fed so adds to each line's current [A], as phasors."""
    first, *second = (LINES.index(name) for name in legs.split("-"))
    added = np.zeros(3, dtype=np.complex128)
    added[first] = _VOLTS[first]
    if second:
        between = (_VOLTS[first] - _VOLTS[second[0]]) / sqrt(3.0)
        added[first], added[second[0]] = between, -between
    return current_a * added


_VOLTS = np.exp(-2j * pi / 3.0 * np.arange(3))  # of the three lines against the neutral


def sum_of(fed: Iterable[tuple[float, Legs]]) -> Phasors:
    """(3,) currents in the three lines of heaters with a current [A] and legs each."""
    total = np.zeros(3, dtype=np.complex128)
    for current_a, legs in fed:
        total += phasors(current_a, legs)
    return total


def spread(wanted: Sequence[tuple[float, Feed]], there: Phasors) -> list[Legs]:
    """Choose legs for what is to be fed.

    The largest goes first, each onto the leg, or pair of legs, that adds least to the sum of the
    squares of the line currents, so to the heat in the conductors; of equal ones onto the first.
    Where all are fed alike, that is the least loaded leg or pair.

    Parameters
    ----------
    wanted : current [A] of each, and how it is fed
    there : (3,) what the lines carry already [A]

    Returns
    -------
    list of Legs
        One for each, in the order in which they were given.
    """
    total = there.copy()
    chosen: dict[int, Legs] = {}
    for index in sorted(range(len(wanted)), key=lambda i: -wanted[i][0]):
        current_a, feed = wanted[index]
        free = SINGLES if feed == "line to neutral" else PAIRS
        after = [total + phasors(current_a, legs) for legs in free]
        squares = [float((np.abs(lines) ** 2).sum()) for lines in after]
        best = next(i for i, s in enumerate(squares) if s <= min(squares) * (1.0 + 1e-9))
        chosen[index], total = free[best], after[best]
    return [chosen[index] for index in range(len(wanted))]
