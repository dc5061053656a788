"""Who is warm, as tables: people, zones, the floor."""

from __future__ import annotations

from collections.abc import Sequence

from heatcore.evaluate import Evaluation
from heatcore.heat.beams.beam import Lit, PlaceLight
from heatcore.heat.floor.warm_up import WarmUp
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.heat.planes.maps import ZoneHeat
from heatcore.sheets.layout import listing, table
from heatcore.units import UnitSystem, format_length, format_temperature, format_temperature_step

LEAST_SHARE = 0.05  # of the absorbed power, from which a heater is worth its line


def places(evaluation: Evaluation) -> str | None:
    """Each place: its verdict, what the heaters bring there, and why it is not warm."""
    if not evaluation.people:
        return None
    system = evaluation.scene.site.units
    head = (
        "place",
        "is",
        "feels warmer by",
        "UTCI",
        "absorbs",
        "most of it from",
        "in the beam of",
    )
    rows = [
        (
            person.place.name,
            str(person.comfort) if person.comfort is not Comfort.COLD else "COLD",
            gained(person, system),
            format_temperature(person.utci, system),
            f"{person.total_w:.0f} W",
            sources(person),
            beams(light),
        )
        for person, light in zip(evaluation.people, evaluation.places, strict=True)
    ]
    return table(head, rows)


def reasons(people: Sequence[BodyHeat]) -> str | None:
    """Why places are not warm, and what was taken differently from how it is."""
    cold = [f"{p.place.name}: {p.reason.words}" for p in people if p.reason is not None]
    notes = dict.fromkeys(note for person in people for note in person.notes)
    parts = [listing("Not warm", cold), listing("About these figures", list(notes))]
    return "\n".join(part for part in parts if part is not None) or None


def gained(person: BodyHeat, system: UnitSystem) -> str:
    """How much warmer a person feels; short of the target it never reads as having reached it."""
    short = person.comfort is not Comfort.WARM
    return format_temperature_step(person.gain, system, "down" if short else "nearest")


def sources(person: BodyHeat) -> str:
    """The heaters that bring most: 'H1 62 %, H3 30 %'."""
    shares = sorted(person.shares.items(), key=lambda item: -item[1])
    return ", ".join(f"{name} {share:.0%}" for name, share in shares if share >= LEAST_SHARE)


def beams(light: PlaceLight) -> str:
    """The heaters in whose beams a place lies, or at whose edges."""
    inside = [name for name, lit in light.by_heater.items() if lit is Lit.BEAM]
    edge = [name for name, lit in light.by_heater.items() if lit is Lit.EDGE]
    if inside:
        return ", ".join(inside)
    return "at the edge of " + ", ".join(edge) if edge else "-"


def zones(found: Sequence[ZoneHeat], system: UnitSystem) -> str | None:
    """Each named zone on its own plane."""
    if not found:
        return None
    head = ("zone", "at height", "coldest", "at", "typical", "hottest", "evenness", "warmed")
    rows = [
        (
            zone.name,
            format_length(zone.level, system),
            f"{zone.coldest:.0f} W/m2",
            ", ".join(format_length(float(c), system) for c in zone.coldest_at[:2]),
            f"{zone.typical:.0f} W/m2",
            f"{zone.hottest:.0f} W/m2",
            f"{zone.spread:.2f}",
            f"{zone.warmed.warmed:.0%}",
        )
        for zone in found
    ]
    return table(head, rows)


def floor(evaluation: Evaluation) -> str:
    """How much of the floor the beams reach, and how much is warmed."""
    share, warmed = evaluation.floor, evaluation.warmed
    return (
        f"Floor: {warmed.warmed:.0%} of it gets {warmed.threshold_w_m2:.0f} W/m2 or more "
        f"({warmed.doubly:.0%} from two heaters or more, each by itself).\n"
        f"Beams, each to half of its peak and as far as it reaches: {share.beam:.0%} of the floor "
        f"in one ({share.doubled:.0%} in two or more), {share.edge:.0%} at an edge, "
        f"{share.missed:.0%} outside.\n"
    )


def warm_up(found: WarmUp | None, system: UnitSystem) -> str | None:
    """How far the floor warms up, and how little a person gains from it."""
    if found is None:
        return None
    rise = format_temperature_step(found.hottest_k, system)
    typical = format_temperature_step(found.typical_k, system)
    gain = at_most(found.seat_gain_k, system)
    after = f"{found.seconds / 60:.0f} min"
    said = (
        f"The floor ({found.construction}) rises by {rise} at its hottest place after {after}, by "
        f"{typical} where it is typically warmed; a person seated above feels {gain} "
        "warmer for it."
    )
    return f"{said}\n" + "".join(f"  - {note}\n" for note in found.notes)


def at_most(step_k: float, system: UnitSystem) -> str:
    """An upper bound of a gain: 'at most 0.2 K', 'less than 0.1 K'."""
    shown = format_temperature_step(step_k, system)
    if shown.startswith("0 "):
        return f"less than 0.1 {shown.removeprefix('0 ')}"
    return f"at most {shown}"
