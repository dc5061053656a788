"""An Evaluation as tables that a person reads on a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, degrees, isfinite

from heatcore.checks.finding import Finding, Verdict
from heatcore.evaluate import Evaluation
from heatcore.heat.beam import Lit, PlaceLight
from heatcore.mounting.mount import Mount
from heatcore.sheets.record import cautions
from heatcore.units import Rounding, UnitSystem, format_angle, format_angle_miss, format_length


def report(evaluation: Evaluation, option: str | None = None) -> str:
    """Placement, places, floor and findings, with the cautions at the end."""
    system = evaluation.scene.site.units
    title = evaluation.scene.site.name + (f", option {option}" if option else "")
    parts = [
        title,
        "",
        placement(evaluation.mounts, system),
        passed_over(evaluation.mounts),
        places(evaluation.places),
        floor(evaluation),
        findings(evaluation.findings, system),
        listing("Assumed", evaluation.scene.site.assumptions),
        listing("To ask", evaluation.scene.site.unknowns),
        listing("Cautions", cautions(evaluation)),
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


def places(lights: Sequence[PlaceLight]) -> str | None:
    """Who is in a beam, and who is not and why."""
    if not lights:
        return None
    rows = []
    for light in lights:
        inside = [name for name, lit in light.by_heater.items() if lit is Lit.BEAM]
        edge = [name for name, lit in light.by_heater.items() if lit is Lit.EDGE]
        if inside:
            said = "of " + ", ".join(inside)
        elif edge:
            said = "of " + ", ".join(edge)
        else:
            said = "; ".join(f"{name}: {why}" for name, why in light.why.items())
        rows.append((light.place.name, str(light.best), said))
    return table(("place", "is", ""), rows)


def floor(evaluation: Evaluation) -> str:
    """The shares of the floor."""
    share = evaluation.floor
    return (
        f"Floor: {share.beam:.0%} in a beam ({share.doubled:.0%} in two or more), "
        f"{share.edge:.0%} at an edge, {share.missed:.0%} missed.\n"
    )


def findings(found: Sequence[Finding], system: UnitSystem) -> str:
    """Every finding, the failing ones first."""
    if not found:
        return "No findings.\n"
    order = {Verdict.FAILS: 0, Verdict.MEASURE: 1, Verdict.HOLDS: 2}
    rows = [
        (
            str(f.verdict).upper() if f.verdict is not Verdict.HOLDS else "holds",
            f.heater,
            f.code,
            f.side,
            f.object,
            *figures(f, system),
            f.note if f.verdict is not Verdict.HOLDS else "",
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


def figures(finding: Finding, system: UnitSystem) -> tuple[str, str, str]:
    """The measured figure, the required one and the margin of a finding, as people read them.

    Where it fails, rounding never hides it.
    """
    measured, required, unit = finding.measured, finding.required, finding.unit
    if finding.verdict is not Verdict.FAILS:
        return (
            figure(measured, unit, system),
            figure(required, unit, system),
            figure(finding.margin, unit, system),
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
    return shown, asked, figure(finding.margin, unit, system, "down")


def figure(value: float, unit: str, system: UnitSystem, rounding: Rounding = "nearest") -> str:
    """One figure of a finding, as people read it."""
    if not isfinite(value):
        return "-"
    if unit == "m":
        return format_length(value, system, rounding=rounding)
    if unit == "rad":
        return degrees_sign(format_angle(value))
    return f"{value:g} {unit}"


def degrees_sign(text: str) -> str:
    """An angle as tables show it."""
    return text.replace(" deg", "°")


def listing(title: str, lines: Sequence[str]) -> str | None:
    """A titled list, or nothing where there is nothing to list."""
    return f"{title}\n" + "".join(f"  - {line}\n" for line in lines) if lines else None


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Columns set under their heads, two spaces apart."""
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    lines = [head, tuple("-" * w for w in widths), *rows]
    return "".join(
        "  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip() + "\n"
        for line in lines
    )


def _plan(mount: Mount, system: UnitSystem) -> str:
    x, y, _ = mount.frame.origin
    return f"{format_length(float(x), system)}, {format_length(float(y), system)}"


def _heading(mount: Mount) -> float:
    return degrees(atan2(mount.frame.x[1], mount.frame.x[0])) % 360.0
