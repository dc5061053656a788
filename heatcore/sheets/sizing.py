"""How many heaters: the four answers as a table, and what they mean in plain sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import sqrt
from typing import Any

from heatcore.checks.cautions import cautions
from heatcore.checks.electrical import Electrical
from heatcore.heat.people.body import Comfort
from heatcore.scene.write import emit_thing, table_data
from heatcore.sheets.layout import listing, table
from heatcore.sheets.record import FORMAT
from heatcore.sheets.terminal import placement
from heatcore.sizing import Answer, Sizing, Way
from heatcore.sizing.area_rule import LEAST_SHARE, UNIT_W
from heatcore.units import (
    UnitSystem,
    format_irradiance,
    format_length,
    format_power,
    format_speed,
    format_temperature,
    format_temperature_step,
)

SQUARE_FOOT = 0.3048**2  # m2
ELECTRICIAN = "Currents and circuits are a calculation: a licensed electrician decides."
NAMED = 8  # places that a sentence carries


def sizing_report(sizing: Sizing, option: str | None = None) -> str:
    """The answers, what they mean, and where the heaters for the seats would hang."""
    site = sizing.scene.site
    seats = sizing.of(Way.SEATS)
    mounts = seats.layout.mounts if seats and seats.layout else ()
    parts = [
        site.name + (f", option {option}" if option else ""),
        "",
        f"How many: {sizing.kind.label} ({sizing.kind.name}), "
        f"{format_power(sizing.kind.input_power)}; {sizing.why}.",
        "",
        ways(sizing),
        listing("What it means", meaning(sizing)),
        "Heaters for the seats\n\n" + placement(mounts, site.units) if mounts else None,
        listing("About these figures", notes(sizing)),
        listing("Cautions", said(sizing)),
    ]
    return "\n".join(part for part in parts if part is not None)


def ways(sizing: Sizing) -> str:
    """The four answers, a row each."""
    head = ("how many for", "heaters", "input", "current", "circuits", "an evening takes",
            "seats warm", "floor warm", "hottest head")  # fmt: skip
    return table(head, [_row(answer, sizing) for answer in sizing.answers])


def meaning(sizing: Sizing) -> list[str]:
    """What the answers mean, a sentence each."""
    if sizing.needed_gain <= 0.0:
        without = format_temperature(sizing.utci_without, sizing.scene.site.units)
        return [
            f"The target is met without heaters, at a UTCI of {without}: physics asks for none.",
            *_rule(sizing),
        ]
    if not sizing.within_reach:
        return [
            "No heater meets the target at this temperature and wind: even a mean radiant "
            "temperature 70 K above the air, where UTCI ends, does not raise it by "
            f"{format_temperature_step(sizing.needed_gain, sizing.scene.site.units)}. Keep the "
            "wind off first.",
            *_rule(sizing),
        ]
    if not sizing.held:
        return [_nowhere(sizing), *_rule(sizing)]
    return [*_spot(sizing), *_given_up(sizing), *_rule(sizing), *_heads(sizing), *_left(sizing)]


def notes(sizing: Sizing) -> list[str]:
    """How the figures come about."""
    site, units = sizing.scene.site, sizing.scene.site.units
    climate, target = site.climate, site.target
    said = [
        f"Target: a UTCI of {format_temperature(target.utci, units)} or a gain of "
        f"{format_temperature_step(target.gain, units)}, whichever comes first, at "
        f"{format_temperature(climate.air_temperature, units)}, a wind of "
        f"{format_speed(climate.wind, units)} and {climate.humidity:.0%} humidity."
    ]
    if sizing.held:
        spread = sqrt(sizing.room / max(sizing.spots, 1))
        proved = [a.way for a in sizing.answers if a.layout and a.layout.fewest and a.heaters]
        apart = format_length(sizing.step, units)
        said.append(
            f"{sizing.held} of {_count(sizing.tried, 'position')} hold, with their clearances"
            + (f"; under the ceiling they were tried {apart} apart." if sizing.step else ".")
            + (
                f" For {' and '.join(proved)}, a full search of them found no fewer heaters that "
                "warm the same places."
                if proved
                else ""
            )
            + " At others, fewer may do."
        )
        said.append(
            f"The floor counts where a person can be, {_area(sizing.room, units)}, looked at in "
            f"{sizing.spots} places about {format_length(round(spread, 1), units)} apart: warm "
            "where both somebody who sits and somebody who stands is, whichever way they face."
        )
    drawn = sizing.of(Way.DRAWN)
    if drawn and drawn.layout:
        types = Counter(mount.type.name for mount in drawn.layout.mounts)
        if set(types) != {sizing.kind.name}:
            mix = ", ".join(f"{count} {name}" for name, count in types.items())
            said.append(f"As drawn, the heaters are of other types too: {mix}.")
    fed = (note for answer in sizing.answers for note in answer.electrical.notes)
    return [*said, *dict.fromkeys(note[:1].upper() + note[1:] + "." for note in fed)]


def sizing_record(sizing: Sizing, option: str | None = None) -> dict[str, Any]:
    """The whole answer as JSON-ready data; keys as in `sheets.record`."""
    site, rule = sizing.scene.site, sizing.rule
    return {
        "format": FORMAT,
        "site": site.name,
        "option": option,
        "units": str(site.units),
        "heater_type": sizing.kind.name,
        "chosen": sizing.why,
        "needed_gain_k": sizing.needed_gain,
        "utci_without_c": sizing.utci_without,
        "within_reach": sizing.within_reach,
        "positions_tried": sizing.tried,
        "positions_held": sizing.held,
        "floor_m2": rule.floor,
        "room_m2": sizing.room,
        "room_places": sizing.spots,
        "area_rule": {
            "open_share": rule.open_share,
            "open_share_derived": rule.derived,
            "scale": rule.scale,
            "input_w": rule.input_w,
            "heaters_unrounded": rule.unrounded,
        },
        "answers": [_answer(answer) for answer in sizing.answers],
        "meaning": meaning(sizing),
        "notes": notes(sizing),
        "seats_toml": heaters_toml(sizing),
        "cautions": said(sizing),
    }


def _answer(answer: Answer) -> dict[str, Any]:
    fed, layout = answer.electrical, answer.layout
    return {
        "way": answer.way.name.lower(),
        "heaters": answer.heaters,
        "input_w": fed.input_w,
        "current_a": fed.current_a,
        "practice": str(fed.supply.practice),
        "circuits": [
            {
                "name": circuit.name,
                "heaters": list(circuit.heaters),
                "power_w": circuit.power_w,
                "current_a": circuit.current_a,
                "design_a": circuit.design_a,
                "rating_a": circuit.rating_a,
            }
            for circuit in fed.circuits
        ],
        "electricity_kwh": fed.energy_kwh("electric"),
        "gas_kwh": fed.energy_kwh("gas"),
        "cost": fed.cost,
        "currency": fed.supply.currency,
        "layout": None
        if layout is None
        else {
            "positions_m": [[float(c) for c in mount.frame.origin] for mount in layout.mounts],
            "names": [mount.name for mount in layout.mounts],
            "seats": len(layout.people),
            "seats_warm": layout.warm,
            "cold": [place.name for place in layout.cold],
            "floor_warm": layout.floor,
            "head_w_m2": layout.head_w_m2,
            "fewest": layout.fewest,
            "left": {left.place: left.most for left in layout.left},
        },
    }


def said(sizing: Sizing) -> list[str]:
    """The cautions: the electrician decides, and the usual ones."""
    mounts = [m for answer in sizing.answers if answer.layout for m in answer.layout.mounts]
    usual = [ELECTRICIAN, *cautions(mounts, sizing.places)]
    return list(dict.fromkeys([*usual, *sizing.kind.cautions]))


def heaters_toml(sizing: Sizing) -> str:
    """The heaters for the seats, ready to be put into the scene file."""
    seats, units = sizing.of(Way.SEATS), sizing.scene.site.units
    mounts = seats.layout.mounts if seats and seats.layout else ()
    return "\n".join(emit_thing("heater", table_data(mount.heater, units)) for mount in mounts)


# ---------------------------------------------------------------------- rows


def _row(answer: Answer, sizing: Sizing) -> tuple[str, ...]:
    fed, layout = answer.electrical, answer.layout
    return (
        str(answer.way),
        str(answer.heaters),
        _power(fed.input_w),
        "-" if fed.current_a is None else f"{fed.current_a:.1f} A",
        _circuits(fed),
        _evening(fed),
        "-" if layout is None else f"{layout.warm} of {len(layout.people)}",
        "-" if layout is None else f"{layout.floor:.0%}",
        "-" if layout is None else format_irradiance(layout.head_w_m2, UnitSystem.METRIC),
    )


def _power(watts: float) -> str:
    """Input as people compare it: to a tenth of a kilowatt."""
    return f"{watts / 1000.0:.1f} kW"


def _circuits(fed: Electrical) -> str:
    """Circuits by the rating that protects them: '2 of 50 A'."""
    if not fed.circuits:
        return "-"
    counts = Counter(circuit.rating_a for circuit in fed.circuits)
    return ", ".join(
        f"{count} of {rating:g} A" if rating is not None else f"{count} too large"
        for rating, count in counts.items()
    )


def _evening(fed: Electrical) -> str:
    parts = []
    electricity, gas = fed.energy_kwh("electric"), fed.energy_kwh("gas")
    if electricity or not gas:
        parts.append(f"{electricity:.0f} kWh")
    if gas:
        parts.append(f"{gas:.0f} kWh of gas")
    if fed.loads and fed.cost is not None:
        parts.append(_money(fed.cost, fed.supply.currency))
    return ", ".join(parts)


def _money(amount: float, currency: str) -> str:
    return f"{currency}{' ' if currency[-1:].isalpha() else ''}{amount:.2f}"


# ---------------------------------------------------------------------- sentences


def _spot(sizing: Sizing) -> Iterator[str]:
    """Why it takes fewer heaters to warm seats than a floor."""
    seats, floor = sizing.of(Way.SEATS), sizing.of(Way.FLOOR)
    if not sizing.places:
        yield "Nobody is to be warmed: the scene has no seats and nobody who stands."
    if not (seats and floor and seats.layout and floor.layout and sizing.places):
        return
    few = f"{_heaters(seats.heaters)} ({_power(seats.electrical.input_w)})"
    many = f"{_heaters(floor.heaters)} ({_power(floor.electrical.input_w)})"
    warm = f"{seats.layout.warm} of {_count(len(sizing.places), 'place')}"
    yield (
        f"Just the seats: {few} for {warm}. The whole floor: {many} for {floor.layout.floor:.0%} "
        f"of the {_area(sizing.room, sizing.scene.site.units)} on which somebody can be."
    )
    if seats.heaters < floor.heaters:
        yield (
            "Spot heating takes fewer since radiation warms only where it lands: people sit on a "
            "small part of the floor, and the rest is left cold."
        )
    elif floor.layout.floor >= 1.0:
        yield "Spot heating saves none here: the seats lie all over the floor."


def _given_up(sizing: Sizing) -> Iterator[str]:
    """What it costs to warm the seats only, and what that costs."""
    seats, floor = sizing.of(Way.SEATS), sizing.of(Way.FLOOR)
    if seats and seats.layout and seats.heaters:
        cold = 1.0 - seats.layout.floor
        yield (
            f"With heaters for the seats only, {cold:.0%} of the floor stays cold: somebody who "
            "walks about, or a seat that is moved, leaves the warmth."
        )
    if floor and floor.layout and floor.layout.coldest is not None and floor.layout.floor < 1.0:
        x, y = (format_length(float(c), sizing.scene.site.units) for c in floor.layout.coldest)
        yield (
            f"{_heaters(floor.heaters)} warm {floor.layout.floor:.0%} of the floor, and none of "
            f"the positions tried was found to warm more; it is coldest at {x}, {y}."
        )


def _rule(sizing: Sizing) -> Iterator[str]:
    """The area rule, and how it compares."""
    rule, answer = sizing.rule, sizing.of(Way.RULE)
    share = f"{rule.open_share:.0%} of the perimeter is open"
    if rule.derived:
        share += " (taken from the walls along the floor's edge; doors count as closed)"
    least = f", not below {LEAST_SHARE:.0%}" if rule.open_share < LEAST_SHARE else ""
    feet = f"{rule.floor / SQUARE_FOOT:.0f} sq ft ({rule.floor:.1f} m2)"
    yield (
        f"The area rule takes {UNIT_W / 1000.0:g} kW of electric heaters for each 68 sq ft of an "
        f"open covered patio (common practice, no source): here {feet}, scaled by {rule.scale:.2f} "
        f"since {share}{least}; that is {_power(rule.input_w)}, {rule.unrounded:.2f} heaters."
    )
    if sizing.kind.fuel == "gas":
        yield "The rule is one for electric heaters; gas sends out less of its input as radiation."
        if rule.open_share < 0.5:
            yield (
                "An unvented gas heater needs open sides or ventilation, as its instructions and "
                f"the local code say; here {rule.open_share:.0%} of the perimeter is open."
            )
    seats, floor = sizing.of(Way.SEATS), sizing.of(Way.FLOOR)
    if answer and seats and floor and seats.layout and floor.layout and seats.heaters:
        warm = sum(person.comfort is Comfort.WARM for person in seats.layout.people)
        yield (
            f"It comes to {_heaters(answer.heaters)}, beside {_heaters(seats.heaters)} that warm "
            f"{warm} of {len(seats.layout.people)} places and {_heaters(floor.heaters)} that warm "
            f"{floor.layout.floor:.0%} of the floor: it knows neither the wind, nor the height, "
            "nor where people sit."
        )


def _heads(sizing: Sizing) -> Iterator[str]:
    """What it does to heads."""
    floor, seats = sizing.of(Way.FLOOR), sizing.of(Way.SEATS)
    advised = sizing.scene.site.target.head_irradiance
    if not (floor and seats and floor.layout and seats.layout and floor.heaters):
        return
    most = format_irradiance(floor.layout.head_w_m2, UnitSystem.METRIC)
    few = format_irradiance(seats.layout.head_w_m2, UnitSystem.METRIC)
    beside = f", those for the seats {few}" if seats.heaters else ""
    yield (
        f"Heaters for the whole floor bring {most} on the hottest head anywhere{beside}; from "
        f"{format_irradiance(advised, UnitSystem.METRIC)} on an advisory is given (common "
        "practice, no confirmed source)."
    )


def _left(sizing: Sizing) -> Iterator[str]:
    """Which places no choice of positions warms, and why."""
    seats = sizing.of(Way.SEATS)
    left = seats.layout.left if seats and seats.layout else ()
    for place in left[:NAMED]:
        if place.most < 1.0:
            yield (
                f"{place.place} stays cold: heaters at all {sizing.held} positions together would "
                f"bring it {place.most:.0%} of what it needs."
            )
        else:
            yield (
                f"{place.place} stays cold: the positions that reach it are too near to each other "
                "or to those that other places need."
            )
    if len(left) > NAMED:
        yield f"{len(left) - NAMED} more places stay cold."


def _nowhere(sizing: Sizing) -> str:
    if not sizing.tried:
        return (
            f"A {sizing.kind.name} can hang nowhere: there is no roof, beam or wall at the floor "
            "that it is made for."
        )
    return (
        f"None of {sizing.tried} positions holds for a {sizing.kind.name}: a bracket, a clearance "
        "or the height fails at each. Put one where you would have it, and `heatcore check` says "
        "what fails."
    )


def _heaters(count: int) -> str:
    return _count(count, "heater")


def _count(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _area(square_metres: float, units: UnitSystem) -> str:
    if units is UnitSystem.IMPERIAL:
        return f"{square_metres / SQUARE_FOOT:.0f} sq ft"
    return f"{square_metres:.1f} m2"
