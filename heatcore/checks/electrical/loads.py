"""One heater, as the supply sees it; and what several draw together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from heatcore.checks.electrical.legs import LineCurrents, sum_of
from heatcore.checks.electrical.practice import NOISE, current
from heatcore.scene.model import Heater, Legs, Supply
from heatcore.scene.types import Fuel, HeaterType


@dataclass(frozen=True)
class Load:
    """One heater, as the supply sees it.

    Attributes
    ----------
    heater : its name
    circuit : the circuit that feeds it
    fuel : electric or gas
    voltage : of its supply [V]
    rated_voltage : the one it is made for [V]
    rated_w : input at that voltage [W]
    full_w : input at full output, at the supply's voltage [W]
    input_w : the same at the output that is set [W]
    legs : of a three-phase supply, the line, or the two lines, that feed it; None on a single phase
        and for gas
    """

    heater: str
    circuit: str
    fuel: Fuel
    voltage: float
    rated_voltage: float
    rated_w: float
    full_w: float
    input_w: float
    legs: Legs | None = None

    @property
    def current_a(self) -> float | None:
        """Current at full output [A]; None for gas, whose ignition's current no type states."""
        return None if self.fuel == "gas" else current(self.full_w, self.voltage)

    @property
    def off(self) -> float:
        """By what share of the rated voltage its supply lies above it; 0 for gas."""
        share = self.voltage / self.rated_voltage - 1.0
        return share if self.fuel == "electric" and abs(share) > NOISE else 0.0


def load_of(heater: Heater, kind: HeaterType, supply: Supply) -> Load:
    """What a heater draws; on three phases before its legs are chosen."""
    electric = kind.fuel == "electric"
    voltage = supply.voltage if electric and supply.voltage is not None else kind.voltage
    full = kind.input_at(supply.voltage)
    return Load(
        heater=heater.name,
        circuit=heater.circuit or heater.name,
        fuel=kind.fuel,
        voltage=voltage,
        rated_voltage=kind.voltage,
        rated_w=kind.input_power,
        full_w=full,
        input_w=full * heater.output,
    )


def line_currents(loads: Iterable[Load]) -> LineCurrents:
    """What loads draw from the lines of a three-phase supply, at full output."""
    fed = ((x.current_a, x.legs) for x in loads)
    return LineCurrents.of(
        sum_of((amps, legs) for amps, legs in fed if amps is not None and legs is not None)
    )


def drawn_a(loads: Iterable[Load]) -> float | None:
    """Current of electric loads together at full output [A]; None where there are none.

    On three phases that of the most loaded line.
    """
    electric = [load for load in loads if load.fuel == "electric"]
    if not electric:
        return None
    if all(load.legs is not None for load in electric):
        return line_currents(electric).most_a
    return sum(current(load.full_w, load.voltage) for load in electric)
