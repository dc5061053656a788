"""How many heaters: the four answers as a table, and what they mean in plain sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from math import sqrt
from typing import Any

from heatcore.checks.cautions import cautions
from heatcore.checks.electrical import Electrical
from heatcore.scene.write import emit_thing, table_data
from heatcore.sheets.circuits import ELECTRICIAN
from heatcore.sheets.layout import listing, table
from heatcore.sheets.record import FORMAT
from heatcore.sheets.sizing_words import (
    SQUARE_FOOT,
    area,
    count,
    drawn_beside,
    floor_met,
    gas_first,
    given_up,
    head,
    heads,
    heaters,
    left,
    power,
    rough,
    seats_met,
    spot,
    thinned,
    verb,
)
from heatcore.sheets.terminal import placement
from heatcore.sizing import Answer, Sizing, Way
from heatcore.sizing.area_rule import LEAST_SHARE, UNIT_W
from heatcore.units import (
    format_length,
    format_power,
    format_speed,
    format_temperature,
    format_temperature_step,
)


def sizing_report(sizing: Sizing, option: str | None = None) -> str:
    """The answers, what they mean, and where the heaters for the seats would hang."""
    site = sizing.scene.site
    seats = sizing.of(Way.SEATS)
    mounts = seats.layout.mounts if seats and seats.layout else ()
    parts = [
        site.name + (f", option {option}" if option else ""),
        "",
        *(f"{line}\n" for line in gas_first(sizing)),
        f"How many: {sizing.kind.label} ({sizing.kind.name}), "
        f"{format_power(sizing.kind.input_power)}; {sizing.why}.",
        "",
        ways(sizing),
        listing("What it means", _meaning(sizing)),
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
    """What the answers mean, a sentence each; first what a gas heater asks of the place."""
    return [*gas_first(sizing), *_meaning(sizing)]


def _meaning(sizing: Sizing) -> list[str]:
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
        return [_nowhere(sizing), *rough(sizing), *_rule(sizing)]
    return [
        *rough(sizing),
        *spot(sizing),
        *drawn_beside(sizing),
        *given_up(sizing),
        *_rule(sizing),
        *heads(sizing),
        *left(sizing),
    ]


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
            f"{sizing.held} of {count(sizing.tried, 'position')} hold, with their clearances"
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
            f"The floor counts where a person can be, {area(sizing.room, units)}, looked at in "
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
    wanted = answer.way is Way.FLOOR or (
        answer.way is Way.SEATS and (sizing.places or not sizing.held)
    )
    if wanted and sizing.needed_gain > 0.0 and not answer.heaters:
        return (str(answer.way), *["-"] * 8)  # none helps: that is no answer of 0
    return (
        str(answer.way),
        str(answer.heaters),
        power(fed.input_w),
        "-" if fed.current_a is None else f"{fed.current_a:.1f} A",
        _circuits(fed),
        _evening(fed),
        "-" if layout is None else f"{layout.warm} of {len(layout.people)}",
        "-" if layout is None else f"{layout.floor:.0%}",
        "-" if layout is None else head(layout, sizing.scene.site),
    )


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
        parts.append(f"{electricity:.1f} kWh")
    if gas:
        parts.append(f"{gas:.1f} kWh of gas")
    if fed.loads and fed.cost is not None:
        parts.append(_money(fed.cost, fed.supply.currency))
    return ", ".join(parts)


def _money(amount: float, currency: str) -> str:
    return f"{currency}{' ' if currency[-1:].isalpha() else ''}{amount:.2f}"


# ---------------------------------------------------------------------- sentences


def _rule(sizing: Sizing) -> Iterator[str]:
    """The area rule, and how it compares."""
    rule = sizing.rule
    share = f"{rule.open_share:.0%} of the perimeter is open"
    if rule.derived:
        share += " (taken from the walls along the floor's edge; doors count as closed)"
    least = f", not below {LEAST_SHARE:.0%}" if rule.open_share < LEAST_SHARE else ""
    feet = f"{rule.floor / SQUARE_FOOT:.0f} sq ft ({rule.floor:.1f} m2)"
    yield (
        f"The area rule takes {UNIT_W / 1000.0:g} kW of electric heaters for each 68 sq ft of an "
        f"open covered patio (common practice, no source): here {feet}, scaled by {rule.scale:.2f} "
        f"since {share}{least}; that is {power(rule.input_w)}, {rule.unrounded:.2f} heaters."
    )
    if sizing.kind.fuel == "gas":
        yield "The rule is one for electric heaters; gas sends out less of its input as radiation."
    yield from _rule_beside(sizing)


def _rule_beside(sizing: Sizing) -> Iterator[str]:
    """The area rule beside the needs that the proposals meet; of those they miss no word."""
    answer, seats, floor = (sizing.of(way) for way in (Way.RULE, Way.SEATS, Way.FLOOR))
    met = []
    if seats and seats.heaters and seats_met(seats):
        met.append(f"{heaters(seats.heaters)} that {verb(seats.heaters)} every place")
    if floor and floor.heaters and floor_met(floor) and not thinned(sizing):
        met.append(f"{heaters(floor.heaters)} that {verb(floor.heaters)} the whole floor")
    if answer and met:
        yield (
            f"It comes to {heaters(answer.heaters)}, beside {' and '.join(met)}: it knows neither "
            "the wind, nor the height, nor where people sit."
        )
    elif answer and sizing.held:
        yield "It knows neither the wind, nor the height, nor where people sit."


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
