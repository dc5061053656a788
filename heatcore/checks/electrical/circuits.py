"""Heaters that are fed together, and the whole installation."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from heatcore.checks.electrical.legs import (
    ALL_THREE,
    LineCurrents,
    feed_at,
    feed_of,
    spread,
    sum_of,
)
from heatcore.checks.electrical.loads import Load, drawn_a, line_currents, load_of
from heatcore.checks.electrical.practice import (
    NOISE,
    OFF,
    current,
    design_current,
    is_enough,
    next_rating,
)
from heatcore.scene import model
from heatcore.scene.model import Heater, Legs, Practice, Supply
from heatcore.scene.types import Fuel, HeaterType

_TIE = 1e-6  # what other circuits weigh where a three-phase circuit is spread within itself


@dataclass(frozen=True)
class Circuit:
    """Heaters that are fed together.

    Attributes
    ----------
    name : of the circuit
    heaters : their names
    voltages : of the supply [V]; several where the heaters are made for different ones and the
        scene states no supply
    power_w : all of them at full output [W]: a heater that is turned down can be turned up again
    current_a : the same, of three lines that of the most loaded one [A]
    design_a : what its protection has to be rated for at least [A]
    rating_a : smallest standard rating that is enough [A]; None where there is none so high
    stated_a : rating that the scene states [A]; None where it states none
    legs : of a three-phase supply, the conductors that feed it; None on a single phase
    lines : what flows in each of a three-phase circuit's lines; None for any other
    """

    name: str
    heaters: tuple[str, ...]
    voltages: tuple[float, ...]
    power_w: float
    current_a: float
    design_a: float
    rating_a: float | None
    stated_a: float | None = None
    legs: Legs | None = None
    lines: LineCurrents | None = None

    @property
    def holds(self) -> bool:
        """Whether the stated rating, or where there is none a standard one, is enough."""
        if self.stated_a is None:
            return self.rating_a is not None
        return is_enough(self.stated_a, self.design_a)


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
        """Current of all electric heaters at full output [A]; None where there are none.

        On three phases that of the most loaded line.
        """
        return drawn_a(self.loads)

    @cached_property
    def lines(self) -> LineCurrents | None:
        """What flows in each line conductor; None on a single phase, or without current."""
        if self.supply.phases == "single" or not self.circuits:
            return None
        return line_currents(self.loads)

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
        said = [*map(_off_voltage, self.loads), *self._of_circuits()]
        if any(load.fuel == "gas" for load in self.loads):
            said.append(
                "a gas heater's input is gas; the electricity for its ignition and controls is on "
                "its data sheet and is not counted"
            )
        return tuple(note for note in dict.fromkeys(said) if note)

    def _of_circuits(self) -> Iterable[str]:
        for circuit in self.circuits:
            name = f"circuit {circuit.name}"
            if len(circuit.voltages) > 1:
                volts = " and ".join(f"{v:g} V" for v in circuit.voltages)
                yield f"{name} feeds heaters for {volts}: separate them"
            if circuit.rating_a is None:
                yield (
                    f"{name} asks for {circuit.design_a:.0f} A, more than any standard rating: "
                    "divide it"
                )
            elif circuit.stated_a is not None and not circuit.holds:
                yield (
                    f"{name} asks for {circuit.design_a:.1f} A and is rated {circuit.stated_a:g} "
                    "A: divide it, or rate it and its conductors higher"
                )
            if circuit.legs == ALL_THREE and len(circuit.heaters) == 1:
                yield (
                    f"{name} is three-phase and feeds one heater, which counts as fed by one "
                    "phase; one that is made for three draws less from each line"
                )
        yield from self._of_legs()

    def _of_legs(self) -> Iterable[str]:
        """Where stated legs and voltage do not go together."""
        for load in self.loads:
            if load.legs is None:
                continue
            stated, usual = feed_of(load.legs), feed_at(load.voltage, self.supply.practice)
            if stated != usual:
                yield (
                    f"circuit {load.circuit} is stated to be fed {stated}, and "
                    f"{load.voltage:g} V usually lies {usual}: check its legs"
                )


def electrical(
    heaters: Sequence[tuple[Heater, HeaterType]],
    supply: Supply,
    circuits: Sequence[model.Circuit] = (),
) -> Electrical:
    """Work out currents and circuits.

    Heaters that name the same circuit share it; one that names none has a circuit of its own.

    On three phases a circuit has the legs that are stated; the others are spread (see
    `legs.spread`), by line or by pair of lines as their voltage is usually fed (`legs.feed_at`).
    Within a circuit on all three legs the heaters are spread the same way: a heater counts as fed
    by two conductors.

    Parameters
    ----------
    heaters : each with its type
    supply : what feeds them
    circuits : what is known of circuits; those that no heater names are left out
    """
    groups: dict[tuple[str, bool], list[int]] = {}
    loads = [load_of(heater, kind, supply) for heater, kind in heaters]
    for index, (load, (heater, _)) in enumerate(zip(loads, heaters, strict=True)):
        if load.fuel == "electric":
            groups.setdefault((load.circuit, heater.circuit is None), []).append(index)
    known = {circuit.name: circuit for circuit in circuits}
    fed = [
        _Fed(tuple(members), known.get(name, _unknown(name)) if not own else _unknown(name))
        for (name, own), members in groups.items()
    ]
    if supply.phases == "three":
        for index, legs in _legs(loads, fed, supply.practice).items():
            loads[index] = replace(loads[index], legs=legs)
    made = tuple(_circuit(x.circuit, [loads[i] for i in x.members], supply.practice) for x in fed)
    return Electrical(tuple(loads), made, supply)


@dataclass(frozen=True)
class _Fed:
    """A circuit, and the numbers of the loads that it feeds."""

    members: tuple[int, ...]
    circuit: model.Circuit


def _unknown(name: str) -> model.Circuit:
    return model.Circuit(name=name)


def _legs(loads: Sequence[Load], fed: Sequence[_Fed], practice: Practice) -> Mapping[int, Legs]:
    """Choose the legs of every load: as stated first, then within circuits on all three."""
    amps = {i: current(loads[i].full_w, loads[i].voltage) for x in fed for i in x.members}
    chosen: dict[int, Legs] = {}
    for known in fed:
        legs = known.circuit.legs
        if legs is not None and legs != ALL_THREE:
            chosen |= dict.fromkeys(known.members, legs)
    there = sum_of((amps[i], legs) for i, legs in chosen.items())
    for whole in (x for x in fed if x.circuit.legs == ALL_THREE):
        wanted = [(amps[i], feed_at(loads[i].voltage, practice)) for i in whole.members]
        own = dict(zip(whole.members, spread(wanted, _TIE * there), strict=True))
        there = there + sum_of((amps[i], legs) for i, legs in own.items())
        chosen |= own
    free = [x for x in fed if x.circuit.legs is None]
    wanted = [
        (sum(amps[i] for i in x.members), feed_at(loads[x.members[0]].voltage, practice))
        for x in free
    ]
    for one, legs in zip(free, spread(wanted, there), strict=True):
        chosen |= dict.fromkeys(one.members, legs)
    return chosen


def _circuit(known: model.Circuit, loads: Sequence[Load], practice: Practice) -> Circuit:
    whole = known.legs == ALL_THREE and loads[0].legs is not None
    drawn = drawn_a(loads) or 0.0
    design = design_current(drawn, practice)
    return Circuit(
        name=known.name,
        heaters=tuple(load.heater for load in loads),
        voltages=tuple(dict.fromkeys(load.voltage for load in loads)),
        power_w=sum(load.full_w for load in loads),
        current_a=drawn,
        design_a=design,
        rating_a=next_rating(design, practice),
        stated_a=known.rating,
        legs=ALL_THREE if whole else loads[0].legs,
        lines=line_currents(loads) if whole else None,
    )


def _off_voltage(load: Load) -> str:
    """What has to be said of a heater on another voltage than its own; '' on its own."""
    if load.off == 0.0:
        return ""
    allowed = "; its listing must allow that voltage, which is more than 10 % off"
    return (
        f"made for {load.rated_voltage:g} V, an electric heater takes "
        f"{load.full_w / load.rated_w:.0%} of its rated input on {load.voltage:g} V"
        + (allowed if abs(load.off) > OFF + NOISE else "")
    )
