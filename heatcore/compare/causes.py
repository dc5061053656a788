"""Why a place gets less in one option than in another, from what arrives there in both.

What a place receives is what each heater would bring with nothing in the way, less what each thing
takes. So the loss is the sum of what each heater brings less and each thing takes more; the largest
of these is the cause.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from heatcore.compare.changes import Change, heater_changes
from heatcore.compare.values import Side
from heatcore.geometry.compass import compass_point
from heatcore.geometry.parts import Place
from heatcore.heat.people.received import Received, Thing, receive
from heatcore.units import UnitSystem, format_length, format_speed, format_temperature

COUNTS = 0.2
"""Share of the loss from which a second cause is worth naming."""
STOOD = 0.01  # m


@dataclass(frozen=True)
class Why:
    """The cause of a loss.

    Attributes
    ----------
    object : the heater, the thing that shades, or the place itself
    kind : heater, shade, place or evening
    shares : of a heater, what it brings of all that arrives at the place in the better and in the
        worse option; of a shade, what it takes of what would arrive, likewise
    weight : its part of the loss
    """

    object: str
    kind: str
    shares: tuple[float, float] = (0.0, 0.0)
    weight: float = 1.0
    guest: bool = False  # whether it is somebody who sits at the object that shades


@dataclass(frozen=True, eq=False)
class Causes:
    """Finds and tells why places get less in `worse` than in `better`.

    Attributes
    ----------
    better, worse : the two options; which is which is a matter of the places asked about
    """

    better: Side
    worse: Side

    @cached_property
    def changes(self) -> Mapping[str, Change]:
        """What the worse option does differently with each heater."""
        return heater_changes(self.better, self.worse)

    def of(self, names: Sequence[str]) -> list[tuple[Why, ...]]:
        """The causes for each of the places, the largest first."""
        before, after = _Arriving.of(self.better, names), _Arriving.of(self.worse, names)
        return [self._one(i, before, after) for i in range(len(names))]

    def _one(self, i: int, before: _Arriving, after: _Arriving) -> tuple[Why, ...]:
        had, has = before.total(i), after.total(i)
        loss = had - has
        if loss < 0.1 * max(had, has) and self._evenings():
            return (Why("", "evening"),)
        if loss <= 0.0:
            return ()
        moved = _apart(before.places[i], after.places[i])
        found: list[Why] = []
        for name in dict.fromkeys([*before.heaters, *after.heaters]):
            was, now = before.heater(i, name), after.heater(i, name)
            open_was, open_now = before.open(i, name), after.open(i, name)
            shares = (was / had if had else 0.0, now / has if has else 0.0)
            if name in self.changes:
                found.append(Why(name, "heater", shares, (open_was - open_now) / loss))
            elif moved:
                weight = (open_was - open_now) / loss
                found.append(Why(before.places[i].name, "place", shares, weight))
        for thing in dict.fromkeys([*before.things(i), *after.things(i)]):
            shares = (before.shade(i, thing), after.shade(i, thing))
            weight = (after.taken(i, thing) - before.taken(i, thing)) / loss
            guest = thing.guest and thing.owner not in after.standing
            found.append(Why(thing.owner, "shade", shares, weight, guest))
        found.sort(key=lambda why: (-why.weight, why.kind, why.object))
        counted = tuple(why for why in found[:2] if why.weight >= COUNTS)
        return counted or ((Why("", "evening"),) if self._evenings() else ())

    def told(self, whys: Sequence[tuple[Why, ...]]) -> str:
        """The causes of places that share them, as a clause; '' where there is none."""
        clauses = [self._clause([found[k] for found in whys]) for k in range(len(whys[0]))]
        return ", because " + ", and because ".join(clauses) if clauses else ""

    def _clause(self, whys: Sequence[Why]) -> str:
        why, better, worse = whys[0], self.better.name, self.worse.name
        most = max(w.shares[0] for w in whys), max(w.shares[1] for w in whys)
        up_to = "up to " if len(whys) > 1 else ""
        match why.kind:
            case "heater":
                change = self.changes[why.object]
                if change.only:
                    return f"{change.words}, which brings {up_to}{most[0]:.0%} of it in {better}"
                brings = f"which brings {up_to}{most[0]:.0%} of it in {better} and {most[1]:.0%}"
                return f"{why.object}, {brings} in {worse}, {change.words}"
            case "shade":
                name = f"the guest at {why.object}" if why.guest else why.object
                return (
                    f"{name} takes {up_to}{most[1]:.0%} of what would arrive in {worse} and "
                    f"{most[0]:.0%} in {better}"
                )
            case "place":
                return self._moved(why.object)
        return self._evenings()

    def _moved(self, name: str) -> str:
        site = self.worse.evaluation.scene.site
        here, there = (_place(side, name) for side in (self.better, self.worse))
        way = there.point - here.point
        far = float(np.hypot(way[0], way[1]))
        if far < STOOD:
            return f"{name} is turned or placed otherwise in {self.worse.name}"
        point, length = compass_point(way[:2], site.north), format_length(far, site.units)
        return f"it is {length} farther {point} in {self.worse.name}"

    def _evenings(self) -> str:
        """What is different about the evenings; '' where nothing is."""
        here, there = (side.evaluation.scene.site for side in (self.better, self.worse))
        mine, theirs = here.climate, there.climate
        said = []
        for what, one, other in (
            ("the air has", mine.air_temperature, theirs.air_temperature),
            ("the surroundings have", mine.radiant_temperature, theirs.radiant_temperature),
        ):
            if one != other:
                told = (_degrees(other, there.units), _degrees(one, here.units))
                said.append(f"{what} {told[0]} in {self.worse.name} and {told[1]} in "
                            f"{self.better.name}")  # fmt: skip
        if mine.wind != theirs.wind:
            said.append(
                f"the wind blows at {format_speed(theirs.wind, there.units)} in {self.worse.name} "
                f"and {format_speed(mine.wind, here.units)} in {self.better.name}"
            )
        if mine.humidity != theirs.humidity:
            said.append(
                f"the humidity is {theirs.humidity:.0%} in {self.worse.name} and "
                f"{mine.humidity:.0%} in {self.better.name}"
            )
        volts, others = here.supply.voltage, there.supply.voltage
        if volts is not None and others is not None and volts != others:
            said.append(
                f"the supply has {others:g} V in {self.worse.name} and {volts:g} V in "
                f"{self.better.name}"
            )
        return " and ".join(said)


@dataclass(frozen=True, eq=False)
class _Arriving:
    """What arrives at some places of an option, by heater, and what is taken from it by things."""

    heaters: tuple[str, ...]
    places: tuple[Place, ...]
    standing: frozenset[str]
    received: Received

    @classmethod
    def of(cls, side: Side, names: Sequence[str]) -> _Arriving:
        evaluation = side.evaluation
        places = tuple(_place(side, name) for name in names)
        received = receive(evaluation.emitters, places, evaluation.surroundings)
        standing = frozenset(p.place.name for p in evaluation.people if not p.place.seated)
        return cls(tuple(e.name for e in evaluation.emitters), places, standing, received)

    def total(self, i: int) -> float:
        return float(self.received.field[i].sum())

    def heater(self, i: int, name: str) -> float:
        if name not in self.heaters:
            return 0.0
        return float(self.received.field[i, self.heaters.index(name)])

    def open(self, i: int, name: str) -> float:
        if name not in self.heaters:
            return 0.0
        return float(self.received.open_field[i, self.heaters.index(name)])

    def things(self, i: int) -> list[Thing]:
        return [self.received.things[t] for t in self.received.shading(i)[1].tolist()]

    def taken(self, i: int, thing: Thing) -> float:
        _, things, taken = self.received.shading(i)
        mine = [t == thing for t in (self.received.things[k] for k in things.tolist())]
        return float(taken[np.array(mine, dtype=bool)].sum())

    def shade(self, i: int, thing: Thing) -> float:
        """Share of what would arrive that a thing takes."""
        whole = float(self.received.open_field[i].sum())
        return self.taken(i, thing) / whole if whole > 0.0 else 0.0


def _place(side: Side, name: str) -> Place:
    return next(p.place for p in side.evaluation.people if p.place.name == name)


def _apart(one: Place, other: Place) -> bool:
    same = np.abs(one.points - other.points).max() < STOOD and abs(one.facing - other.facing) < 1e-6
    return not same or one.posture != other.posture


def _degrees(temperature_c: float | None, units: UnitSystem) -> str:
    return "that of the air" if temperature_c is None else format_temperature(temperature_c, units)
