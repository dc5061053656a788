"""An Evaluation as tables that a person reads on a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, degrees, isfinite

from heatcore.checks.cautions import cautions
from heatcore.checks.finding import Finding, Verdict
from heatcore.evaluate import Evaluation
from heatcore.mounting.mount import Mount
from heatcore.sheets import circuits, marking, on_site, warmth
from heatcore.sheets.layout import listing, table
from heatcore.units import (
    Rounding,
    UnitSystem,
    format_angle,
    format_angle_miss,
    format_irradiance,
    format_length,
    format_temperature,
    format_temperature_step,
)

POUND = 0.45359237  # kg
# What one step of the last digit shown is, in the unit used inside.
STEPS = {
    "W/m2": {UnitSystem.METRIC: 1.0, UnitSystem.IMPERIAL: 1.0},
    "C": {UnitSystem.METRIC: 0.1, UnitSystem.IMPERIAL: 0.1 / 1.8},
    "K": {UnitSystem.METRIC: 0.1, UnitSystem.IMPERIAL: 0.1 / 1.8},
    "A": {UnitSystem.METRIC: 0.1, UnitSystem.IMPERIAL: 0.1},
    "%": {UnitSystem.METRIC: 1.0, UnitSystem.IMPERIAL: 1.0},
}


def report(evaluation: Evaluation, option: str | None = None) -> str:
    """Placement, places, floor and findings, with the cautions at the end."""
    system = evaluation.scene.site.units
    title = evaluation.scene.site.name + (f", option {option}" if option else "")
    parts = [
        title,
        "",
        placement(evaluation.mounts, system),
        marking.marking(evaluation.mounts, system),
        passed_over(evaluation.mounts),
        warmth.places(evaluation),
        warmth.reasons(evaluation.people),
        warmth.zones(evaluation.zones, system),
        warmth.floor(evaluation),
        warmth.warm_up(evaluation.warm_up, system),
        circuits.circuits(evaluation),
        circuits.notes(evaluation),
        findings(evaluation.findings, system),
        sources(evaluation.findings),
        on_site.measure(evaluation),
        listing("Assumed", evaluation.scene.site.assumptions),
        on_site.to_ask(evaluation),
        listing("Cautions", cautions(evaluation.mounts, evaluation.model.places)),
    ]
    return "\n".join(p for p in parts if p is not None)


def placement(mounts: Sequence[Mount], system: UnitSystem) -> str:
    """Where each heater hangs, and on what."""
    if not mounts:
        return "No heaters.\n"
    rows = [
        (
            mount.name,
            mount.type.name,
            _plan(mount, system),
            format_length(float(mount.frame.origin[2]), system),
            f"{_heading(mount):.0f}°",
            f"{degrees(mount.tilt):.0f}°",
            mount.bracket.name,
            " / ".join(format_length(arm.length, system) for arm in mount.arms),
            "holds" if mount.holds else "FAILS",
        )
        for mount in mounts
    ]
    head = ("heater", "type", "at", "height", "heading", "tilt", "bracket", "arms", "mount")
    return table(head, rows)


def passed_over(mounts: Sequence[Mount]) -> str | None:
    """Why the shorter brackets do not do: the nearest miss of each bracket type."""
    lines = []
    for mount in mounts:
        nearest: dict[str, str] = {}
        for passed in mount.passed:
            nearest[passed.bracket] = passed.reason
        lines += [f"  {mount.name}: {reason}" for reason in nearest.values()]
        lines += [f"  {mount.name}: FAILS: {fault.message}" for fault in mount.faults]
    return "Brackets\n" + "\n".join(lines) + "\n" if lines else None


def findings(found: Sequence[Finding], system: UnitSystem) -> str:
    """Every finding, the failing ones first."""
    if not found:
        return "No findings.\n"
    order = {Verdict.FAILS: 0, Verdict.MEASURE: 1, Verdict.ADVISORY: 2, Verdict.HOLDS: 3}
    rows = [
        (
            str(f.verdict).upper() if f.verdict is not Verdict.HOLDS else "holds",
            f.heater,
            f.code,
            f.side,
            f.object,
            *figures(f, system),
            "; ".join(filter(None, (on_site.doubtful(f, system), _corner(f, system), f.note)))
            if f.verdict is not Verdict.HOLDS
            else "",
        )
        for f in sorted(found, key=lambda f: order[f.verdict])
    ]
    head = (
        "verdict",
        "heater",
        "check",
        "side",
        "object",
        "measured",
        "required",
        "margin",
        "note",
    )
    return table(head, rows)


def sources(found: Sequence[Finding]) -> str | None:
    """Whose the figures are that no type states, for what is not held."""
    said = {f.code: f.source for f in found if f.source and f.verdict is not Verdict.HOLDS}
    return listing("Sources", [f"{code}: {source}" for code, source in said.items()])


def figures(finding: Finding, system: UnitSystem) -> tuple[str, str, str]:
    """The measured figure, the required one and the margin of a finding, as people read them.

    Where it fails, or advises, rounding never hides it.
    """
    measured, required, unit = finding.measured, finding.required, finding.unit
    step = "K" if unit == "C" else unit
    if finding.verdict not in (Verdict.FAILS, Verdict.ADVISORY):
        return (
            figure(measured, unit, system),
            figure(required, unit, system),
            figure(finding.margin, step, system),
        )
    if unit == "rad":
        shown, asked = format_angle_miss(measured, required)
        margin = "-" + format_angle_miss(-finding.margin, 0.0)[0]
        return degrees_sign(shown), degrees_sign(asked), degrees_sign(margin)
    away: Rounding = "up" if finding.at_most else "down"
    back: Rounding = "down" if finding.at_most else "up"
    shown = figure(measured, unit, system, away)
    # What a type asks for reads as everywhere; what the mounting worked out must be kept to.
    asked = figure(required, unit, system)
    if finding.code.startswith("mount.") or asked == shown:
        asked = figure(required, unit, system, back)
    return shown, asked, figure(finding.margin, step, system, "down")


def figure(value: float, unit: str, system: UnitSystem, rounding: Rounding = "nearest") -> str:
    """One figure of a finding, as people read it."""
    if not isfinite(value):
        return "-"
    if unit == "m":
        return format_length(value, system, rounding=rounding)
    if unit == "rad":
        return degrees_sign(format_angle(value))
    if unit in STEPS:
        half = 0.5 * STEPS[unit][system] - 1e-9
        value += {"nearest": 0.0, "up": half, "down": -half}[rounding]
    if unit == "W/m2":  # on imperial sites too: heaters are compared by it
        return format_irradiance(value, UnitSystem.METRIC)
    if unit == "C":
        return format_temperature(value, system)
    if unit == "K":
        return format_temperature_step(value, system)
    if unit == "A":
        return f"{value:.1f} A"
    if unit == "%":
        return f"{value:.0f}%".replace("-0%", "0%")
    if unit == "kg" and system is UnitSystem.IMPERIAL:
        return f"{value / POUND:.1f} lb"
    return f"{value:g} {unit}"


def _corner(finding: Finding, system: UnitSystem) -> str:
    """Both offsets of what stands beside two faces at once: the figure alone is one of them."""
    if finding.offsets is None:
        return ""
    side, end = (format_length(offset, system) for offset in finding.offsets)
    return f"{side} out from the side and {end} out from the end"


def degrees_sign(text: str) -> str:
    """An angle as tables show it."""
    return text.replace(" deg", "°")


def _plan(mount: Mount, system: UnitSystem) -> str:
    x, y, _ = mount.frame.origin
    return f"{format_length(float(x), system)}, {format_length(float(y), system)}"


def _heading(mount: Mount) -> float:
    return degrees(atan2(mount.frame.x[1], mount.frame.x[0])) % 360.0
