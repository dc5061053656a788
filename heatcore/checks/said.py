"""A finding in words: what comes short of what."""

from __future__ import annotations

from heatcore.checks.finding import Finding, Verdict
from heatcore.units import (
    UnitSystem,
    format_angle,
    format_irradiance,
    format_length,
    format_miss,
    format_temperature,
)


def misses(finding: Finding, units: UnitSystem) -> str:
    """What a finding says where it does not hold, as a clause about its heater."""
    heater, thing = finding.heater, finding.object
    if finding.code.startswith("clearance."):
        measured, required = format_miss(max(finding.measured, 0.0), finding.required, units)
        if finding.verdict is not Verdict.FAILS:
            measured = format_length(finding.measured, units)
        return f"{heater} comes within {measured} of {thing} where {required} must stay free"
    if finding.code.startswith("mount.") and finding.note:
        return f"{heater} cannot be hung well ({finding.note})"
    return f"{subject(finding)} {figures(finding, units)}"


def subject(finding: Finding) -> str:
    """What a finding is about."""
    if finding.code.startswith("exposure."):
        what = "the UTCI at" if finding.unit == "C" else "what reaches"
        return f"{what} {finding.object or finding.heater}"
    if finding.code.startswith("height."):
        return f"the lowest part of {finding.heater}"
    thing = f" at {finding.object}" if finding.object else ""
    return f"{finding.code.replace('.', ' ')} of {finding.heater}{thing}"


def figures(finding: Finding, units: UnitSystem) -> str:
    """Both figures of a finding, as a predicate."""
    asked = "at most" if finding.at_most else "at least"
    if finding.unit == "m" and finding.margin < 0.0:
        measured, required = format_miss(finding.measured, finding.required, units)
    else:
        measured, required = (
            _figure(value, finding.unit, units) for value in (finding.measured, finding.required)
        )
    return f"comes to {measured} where {asked} {required} is asked for"


def _figure(value: float, unit: str, units: UnitSystem) -> str:
    match unit:
        case "m":
            return format_length(value, units)
        case "rad":
            return format_angle(value).replace(" deg", "°")
        case "W/m2":
            return format_irradiance(value, UnitSystem.METRIC)
        case "C":
            return format_temperature(value, units)
    return f"{value:g} {unit}".rstrip()
