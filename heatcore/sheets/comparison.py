"""Options side by side, as a table and sentences, and as JSON."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from heatcore.checks.cautions import cautions
from heatcore.checks.finding import Verdict
from heatcore.compare import Comparison, Difference, Pair, Side
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.sheets.layout import listing, table
from heatcore.sheets.record import FORMAT, finding_record
from heatcore.units import (
    UnitSystem,
    format_irradiance,
    format_length,
    format_power,
    format_temperature_step,
)

NONE = "-"


def comparison_report(comparison: Comparison) -> str:
    """The figures side by side, then what differs, and why."""
    sides = comparison.sides
    head = ("", *(side.name for side in sides))
    rows = [(name, *(show(side) for side in sides)) for name, show in ROWS.items()]
    notes = [f"{side.name}: {side.note}" for side in sides if side.note]
    parts = [
        sides[0].evaluation.scene.site.name,
        "",
        listing("Options", notes),
        table(head, rows),
        *(_pair(pair) for pair in comparison.pairs),
        listing("Cautions", _cautions(comparison)),
    ]
    return "\n".join(part for part in parts if part is not None)


def comparison_record(comparison: Comparison) -> dict[str, Any]:
    """The whole comparison as JSON-ready data."""
    site = comparison.sides[0].evaluation.scene.site
    return {
        "format": FORMAT,
        "site": site.name,
        "units": str(site.units),
        "options": [_side(side) for side in comparison.sides],
        "pairs": [
            {
                "first": pair.first,
                "second": pair.second,
                "verdict": pair.verdict,
                "first_better_on": [topic.name.lower() for topic in pair.better[0]],
                "second_better_on": [topic.name.lower() for topic in pair.better[1]],
                "differences": [_difference(d) for d in pair.differences],
            }
            for pair in comparison.pairs
        ],
        "cautions": list(_cautions(comparison)),
    }


def _cautions(comparison: Comparison) -> tuple[str, ...]:
    found = [side.evaluation for side in comparison.sides]
    return tuple(dict.fromkeys(c for e in found for c in cautions(e.mounts, e.model.places)))


def _pair(pair: Pair) -> str:
    said = listing(f"{pair.first} and {pair.second}", [d.words for d in pair.differences])
    return f"{pair.verdict}\n\n{said}" if said else f"{pair.verdict}\n"


def _units(side: Side) -> UnitSystem:
    return side.evaluation.scene.site.units


def _extreme(person: BodyHeat | None, side: Side) -> str:
    if person is None:
        return NONE
    gain = format_temperature_step(person.gain, _units(side))
    irradiance = format_irradiance(person.irradiance_w_m2, UnitSystem.METRIC)
    return f"{person.place.name}: {gain}, {irradiance}"


def _current(side: Side) -> str:
    current = side.load.current_a
    return NONE if current is None else f"{current:.1f} A at full output"


def _circuits(side: Side) -> str:
    ratings = [
        "above any rating" if circuit.rating_a is None else f"{circuit.rating_a:g} A"
        for circuit in side.load.circuits
    ]
    return f"{len(ratings)}: {', '.join(ratings)}" if ratings else NONE


def _cost(side: Side) -> str:
    energy, cost = f"{side.energy_kwh:.1f} kWh", side.load.cost
    return energy if cost is None else f"{energy}, {side.load.supply.currency}{cost:.2f}"


def _heights(side: Side) -> str:
    look = side.looks
    return NONE if look is None else ", ".join(format_length(z, _units(side)) for z in look.heights)


def _off_line(side: Side) -> str:
    look = side.looks
    return NONE if look is None else format_length(look.off_line, _units(side))


def _asymmetry(side: Side) -> str:
    look = side.looks
    return NONE if look is None else f"{format_length(look.asymmetry, _units(side))}, {look.axis}"


ROWS: dict[str, Callable[[Side], str]] = {
    "places warm": lambda side: f"{side.counted(Comfort.WARM)} of {side.places}",
    "borderline": lambda side: f"{side.counted(Comfort.BORDERLINE)}",
    "cold": lambda side: f"{side.counted(Comfort.COLD)}",
    "coldest": lambda side: _extreme(side.coldest, side),
    "hottest": lambda side: _extreme(side.hottest, side),
    "spread": lambda side: format_temperature_step(side.spread, _units(side)),
    "floor warmed": lambda side: f"{side.warmed:.0%}",
    "failing checks": lambda side: f"{len(side.found(Verdict.FAILS))}",
    "to measure on site": lambda side: f"{len(side.found(Verdict.MEASURE))}",
    "advisories": lambda side: f"{len(side.found(Verdict.ADVISORY))}",
    "heaters": lambda side: f"{side.heaters}",
    "input power": lambda side: format_power(side.load.input_w),
    "current": _current,
    "circuits": _circuits,
    "an evening": _cost,
    "heights": _heights,
    "off a common line": _off_line,
    "asymmetry": _asymmetry,
}


def _side(side: Side) -> dict[str, Any]:
    look, load = side.looks, side.load
    return {
        "name": side.name,
        "note": side.note,
        "places": side.places,
        "warm": side.counted(Comfort.WARM),
        "borderline": side.counted(Comfort.BORDERLINE),
        "cold": side.counted(Comfort.COLD),
        "coldest": _person(side.coldest),
        "hottest": _person(side.hottest),
        "spread_k": side.spread,
        "floor_warmed": side.warmed,
        "failures": [finding_record(f) for f in side.found(Verdict.FAILS)],
        "to_measure": [finding_record(f) for f in side.found(Verdict.MEASURE)],
        "advisories": [finding_record(f) for f in side.found(Verdict.ADVISORY)],
        "heaters": side.heaters,
        "input_w": load.input_w,
        "current_a": load.current_a,
        "circuits": [
            {
                "name": circuit.name,
                "heaters": list(circuit.heaters),
                "current_a": circuit.current_a,
                "design_a": circuit.design_a,
                "rating_a": circuit.rating_a,
            }
            for circuit in load.circuits
        ],
        "energy_kwh": side.energy_kwh,
        "cost": load.cost,
        "currency": load.supply.currency,
        "looks": None
        if look is None
        else {
            "heights_m": list(look.heights),
            "lowest_m": look.lowest,
            "highest_m": look.highest,
            "off_line_m": look.off_line,
            "off_line_heater": look.off_line_heater,
            "asymmetry_m": look.asymmetry,
            "asymmetric_heater": look.asymmetric_heater,
            "axis": look.axis,
        },
    }


def _person(person: BodyHeat | None) -> dict[str, Any] | None:
    if person is None:
        return None
    return {
        "name": person.place.name,
        "gain_k": person.gain,
        "irradiance_w_m2": person.irradiance_w_m2,
        "verdict": str(person.comfort),
    }


def _difference(difference: Difference) -> dict[str, Any]:
    return {
        "topic": difference.topic.name.lower(),
        "words": difference.words,
        "values": list(difference.values),
        "unit": difference.unit,
        "object": difference.object,
        "better": difference.better,
    }
