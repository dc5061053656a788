"""What a remedy or a fix does, costs and changes, in words."""

from __future__ import annotations

from collections.abc import Sequence

from heatcore.checks.finding import Finding
from heatcore.checks.said import misses
from heatcore.remedies.values import Effect, Fix, Remedy
from heatcore.units import UnitSystem, format_power, format_temperature_step


def effect(remedy: Remedy) -> str:
    """What the place gains with it, and without."""
    units = _units(remedy)
    gains = [
        format_temperature_step(heat.gain, units)
        for heat in (remedy.effect.after, remedy.effect.before)
    ]
    return f"{remedy.place} then gains {gains[0]} instead of {gains[1]}, and is warm."


def price(remedy: Remedy) -> str:
    """What it takes more, in power, current and circuits; '' where it takes nothing."""
    if not remedy.watts_added and not remedy.current_added_a:
        return ""
    told = [f"{format_power(remedy.watts_added)} more"]
    if remedy.current_added_a:
        told.append(f"{remedy.current_added_a:.1f} A more at full output")
    if remedy.circuit is not None:
        rating = remedy.circuit.rating_a
        asks = (
            "that asks for more than any standard rating" if rating is None else f"of {rating:g} A"
        )
        told.append(f"a circuit of its own {asks}; an electrician decides")
    return f"It takes {', '.join(told)}."


def consequences(remedy: Remedy) -> tuple[str, ...]:
    """What else it changes, a sentence each."""
    said = [_becomes(effect) for effect in remedy.others]
    units = _units(remedy)
    said += [f"It adds: {misses(f, units)} ({f.verdict})." for f in _worst(remedy.adds)]
    said += [f"It clears: {misses(f, units)}." for f in _worst(remedy.clears)]
    return tuple(said)


def upshot(fix: Fix) -> tuple[str, ...]:
    """What a fix leaves and brings, and what it does to the places, a sentence each."""
    units = UnitSystem(fix.evaluation.scene.site.units)
    said = [f"It does not clear: {misses(f, units)} ({f.verdict})." for f in _worst(fix.leaves)]
    said += [f"It adds: {misses(f, units)} ({f.verdict})." for f in _worst(fix.adds)]
    places = [_becomes(effect) for effect in sorted(fix.places, key=lambda e: not e.worse)]
    return *said, *(places or ["No place's verdict changes."])


def _becomes(effect: Effect) -> str:
    worse = ", for the worse" if effect.worse else ""
    before, after = effect.before.comfort, effect.after.comfort
    return f"{effect.after.place.name} becomes {after} ({before} before{worse})."


def _worst(findings: Sequence[Finding]) -> list[Finding]:
    """Of all that a heater has with one thing, the worst."""
    worst: dict[tuple[str, str, str], Finding] = {}
    for finding in findings:
        key = finding.heater, finding.object, finding.unit
        if key not in worst or finding.margin < worst[key].margin:
            worst[key] = finding
    return list(worst.values())


def _units(remedy: Remedy) -> UnitSystem:
    return UnitSystem(remedy.evaluation.scene.site.units)
