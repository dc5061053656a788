"""A finding in words: what comes short of what."""

from __future__ import annotations

from heatcore.checks.electrical import electrical_said, electrical_subject
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.weather import SLATTED
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
    heater = finding.heater
    if finding.verdict is Verdict.MEASURE and finding.margin >= 0.0:
        return f"{_as_drawn(finding, units)} only if the drawing is right"
    distance = _distance(finding, units) if finding.unit == "m" else ""
    if distance:
        return distance
    if finding.code == "ventilation.open_sides":
        measured, required = _percents(finding)
        return (
            f"{heater} burns gas without a flue where {measured} of the perimeter stays open and "
            f"{required} is asked for"
        )
    if finding.code.startswith("electrical."):
        return electrical_said(finding)
    if finding.code.startswith("mount.") and finding.note:
        return f"{heater} cannot be hung well ({finding.note})"
    return f"{subject(finding)} {figures(finding, units)}"


def _as_drawn(finding: Finding, units: UnitSystem) -> str:
    """What holds as drawn."""
    heater, thing = finding.heater, finding.object
    if finding.code.startswith("mount."):
        return f"{heater} hangs well"
    if finding.code.startswith(("clearance.", "keepout.")) and thing:
        measured, required = _lengths(finding, units)
        return f"{heater} stays {measured} from {thing}, of {required} asked for,"
    return f"{subject(finding)} keeps to its limit"


def _distance(finding: Finding, units: UnitSystem) -> str:
    """What a finding about a distance says in words of its own; '' where it has none."""
    heater, thing = finding.heater, finding.object
    measured, required = _lengths(finding, units)
    match finding.code.split("."):
        case ["keepout", "under"]:
            return f"{thing} stands {measured} under {heater} where {required} must stay free"
        case ["keepout", "reach"]:
            return f"{heater} hangs {measured} above {thing}, where a hand reaches {required}"
        case ["keepout", "headroom"]:
            return f"{heater} leaves {measured} over {thing} where {required} is asked for"
        case ["unknown", "fan"]:
            return (
                f"{heater} would come within {measured} of a {thing} where {required} must stay "
                "free"
            )
        case ["clearance" | "keepout", _]:
            return f"{heater} comes within {measured} of {thing} where {required} must stay free"
        case ["weather", "rain"]:
            return f"{_in_the_rain(finding, units)}, and its type may not get wet"
        case ["weather", "driven_rain"]:
            return (
                f"{heater} hangs {measured} in from the edge of {thing}, where rain in the wind "
                f"comes in by {required}"
            )
    return ""


def _in_the_rain(finding: Finding, units: UnitSystem) -> str:
    if not finding.object:
        return f"{finding.heater} hangs in the open"
    if finding.note == SLATTED:
        return f"{finding.heater} hangs under {finding.object}, which keeps no rain off"
    out = format_length(-finding.measured, units, rounding="up")
    return f"{finding.heater} stands {out} out in the rain"


def _lengths(finding: Finding, units: UnitSystem) -> tuple[str, str]:
    """Both figures of a distance, which is never said to be less than nothing."""
    measured, required = format_miss(max(finding.measured, 0.0), finding.required, units)
    if finding.margin >= 0.0:
        measured = format_length(finding.measured, units)
    return measured, required


def _percents(finding: Finding) -> tuple[str, str]:
    """Both figures of a share; the measured one is never rounded up to what is required."""
    measured = f"{finding.measured:.0f} %"
    if finding.margin < 0.0 and measured == f"{finding.required:.0f} %":
        measured = f"not quite {measured}"
    return measured, f"{finding.required:.0f} %"


def subject(finding: Finding) -> str:
    """What a finding is about."""
    if finding.code.startswith("exposure."):
        what = "the UTCI at" if finding.unit == "C" else "what reaches"
        return f"{what} {finding.object or finding.heater}"
    if finding.code.startswith("height."):
        return f"the lowest part of {finding.heater}"
    if finding.code in ("keepout.reach", "keepout.headroom"):
        return f"the height of {finding.heater} above {finding.object}"
    if finding.code.startswith("keepout."):
        return f"the distance between {finding.heater} and {finding.object}"
    if finding.code == "unknown.fan":
        return f"the distance between {finding.heater} and a {finding.object}"
    if finding.code.startswith("electrical."):
        return electrical_subject(finding)
    if finding.code == "ventilation.open_sides":
        return f"what stays open about {finding.heater}"
    if finding.code == "weather.driven_rain":
        return f"how deep {finding.heater} hangs under {finding.object}"
    if finding.code == "weather.rain":
        return f"how far {finding.heater} hangs under a roof"
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
        case "%":
            return f"{value:.0f} %"
        case "A" | "V":
            return f"{value:.4g} {unit}"
    return f"{value:g} {unit}".rstrip()
