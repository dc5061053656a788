"""What the heaters draw: currents, circuits, energy and its price.

A calculation for planning. A licensed electrician decides on circuits, conductors and protection,
and the maker's listing says at which voltages a heater may work.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import sqrt

from heatcore.scene.model import Heater, Practice, Supply
from heatcore.scene.types import Fuel, HeaterType

CONTINUOUS = 1.25
"""Fixed electric space heating counts as a continuous load: NEC 424.4(B) (424.3(B) up to the 2017
edition), with 210.20(A)."""

RATINGS: dict[Practice, tuple[float, ...]] = {
    # NEC Table 240.6(A); what lies above 600 A from memory.
    "north_american": (
        15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
        350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
    ),
    # IEC 60898-1, preferred rated currents, from memory.
    "iec": (6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125),
}  # fmt: skip

OFF = 0.1  # share by which a voltage may be off the rated one: IEC 60038, from memory
_NOISE = 1e-9


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
    """

    heater: str
    circuit: str
    fuel: Fuel
    voltage: float
    rated_voltage: float
    rated_w: float
    full_w: float
    input_w: float

    @property
    def current_a(self) -> float | None:
        """Current at full output [A]; None for gas, whose ignition's current no type states."""
        return None if self.fuel == "gas" else current(self.full_w, self.voltage)


@dataclass(frozen=True)
class Circuit:
    """Heaters that are fed together, on a single phase.

    Attributes
    ----------
    name : of the circuit
    heaters : their names
    voltages : of the supply [V]; several where the heaters are made for different ones and the
        scene states no supply
    power_w : all of them at full output [W]: a heater that is turned down can be turned up again
    current_a : the same [A]
    design_a : what its protection has to be rated for at least [A]
    rating_a : next standard rating [A]; None where there is none so high
    """

    name: str
    heaters: tuple[str, ...]
    voltages: tuple[float, ...]
    power_w: float
    current_a: float
    design_a: float
    rating_a: float | None


@dataclass(frozen=True)
class Electrical:
    """All heaters together.

    Attributes
    ----------
    loads : of each heater
    circuits : of the electric ones, in the order of their first heater
    supply : what feeds them
    """

    loads: tuple[Load, ...]
    circuits: tuple[Circuit, ...]
    supply: Supply

    @cached_property
    def input_w(self) -> float:
        """Input of all heaters, electricity and gas, at the outputs that are set [W]."""
        return sum(load.input_w for load in self.loads)

    @cached_property
    def current_a(self) -> float | None:
        """Current of all electric heaters at full output [A]; None where there are none."""
        currents = [load.current_a for load in self.loads if load.current_a is not None]
        return sum(currents) if currents else None

    def energy_kwh(self, fuel: Fuel) -> float:
        """What an evening takes of one fuel [kWh]."""
        watts = sum(load.input_w for load in self.loads if load.fuel == fuel)
        return watts / 1000.0 * self.supply.evening / 3600.0

    @cached_property
    def cost(self) -> float | None:
        """Price of an evening; None where that of a fuel in use is not given."""
        prices = {"electric": self.supply.electricity_price, "gas": self.supply.gas_price}
        total = 0.0
        for fuel in dict.fromkeys(load.fuel for load in self.loads):
            price = prices[fuel]
            if price is None:
                return None
            total += self.energy_kwh(fuel) * price
        return total

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """What has to be said of these figures, one plain sentence each."""
        notes = []
        for load in self.loads:
            off = load.voltage / load.rated_voltage - 1.0
            if load.fuel == "electric" and abs(off) > _NOISE:
                change = load.full_w / load.rated_w
                notes.append(
                    f"made for {load.rated_voltage:g} V, an electric heater takes {change:.0%} of "
                    f"its rated input on {load.voltage:g} V"
                    + (
                        "; its listing must allow that voltage, which is more than 10 % off"
                        if abs(off) > OFF + _NOISE
                        else ""
                    )
                )
        for circuit in self.circuits:
            if len(circuit.voltages) > 1:
                volts = " and ".join(f"{v:g} V" for v in circuit.voltages)
                notes.append(f"circuit {circuit.name} feeds heaters for {volts}: separate them")
            if circuit.rating_a is None:
                notes.append(
                    f"circuit {circuit.name} asks for {circuit.design_a:.0f} A, more than any "
                    "standard rating: divide it"
                )
        if any(load.fuel == "gas" for load in self.loads):
            notes.append(
                "a gas heater's input is gas; the electricity for its ignition and controls is on "
                "its data sheet and is not counted"
            )
        return tuple(dict.fromkeys(notes))


def electrical(heaters: Sequence[tuple[Heater, HeaterType]], supply: Supply) -> Electrical:
    """Work out currents and circuits.

    Heaters that name the same circuit share it; one that names none has a circuit of its own.

    Parameters
    ----------
    heaters : each with its type
    supply : what feeds them
    """
    loads = tuple(_load(heater, kind, supply) for heater, kind in heaters)
    groups: dict[tuple[str, bool], list[Load]] = {}
    for load, (heater, _) in zip(loads, heaters, strict=True):
        groups.setdefault((load.circuit, heater.circuit is None), []).append(load)
    fed = ((name, [x for x in some if x.fuel == "electric"]) for (name, _), some in groups.items())
    circuits = tuple(_circuit(name, some, supply.practice) for name, some in fed if some)
    return Electrical(loads, circuits, supply)


def current(power_w: float, voltage_v: float) -> float:
    """Current of a resistive load on a single phase [A]."""
    return power_w / voltage_v


def three_phase_current(power_w: float, line_voltage_v: float) -> float:
    """Line current of a balanced resistive load on three phases [A].

    Parameters
    ----------
    power_w : of all three phases
    line_voltage_v : between two lines
    """
    return power_w / (sqrt(3.0) * line_voltage_v)


def design_current(current_a: float, practice: Practice) -> float:
    """What the protection has to be rated for at least [A].

    North American practice adds a quarter to a continuous load; in IEC practice the rated current
    is at least the design current (IEC 60364-4-43, from memory).
    """
    return current_a * CONTINUOUS if practice == "north_american" else current_a


def next_rating(design_a: float, practice: Practice) -> float | None:
    """The smallest standard rating that is enough [A]; None where none is."""
    return next((r for r in RATINGS[practice] if r >= design_a * (1.0 - _NOISE)), None)


def _load(heater: Heater, kind: HeaterType, supply: Supply) -> Load:
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


def _circuit(name: str, loads: Sequence[Load], practice: Practice) -> Circuit:
    drawn = sum(current(load.full_w, load.voltage) for load in loads)
    design = design_current(drawn, practice)
    return Circuit(
        name=name,
        heaters=tuple(load.heater for load in loads),
        voltages=tuple(dict.fromkeys(load.voltage for load in loads)),
        power_w=sum(load.full_w for load in loads),
        current_a=drawn,
        design_a=design,
        rating_a=next_rating(design, practice),
    )
