"""What has to be measured, and asked, before anybody relies on the drawing."""

from __future__ import annotations

from math import degrees

from heatcore.checks.finding import Deciding, Finding, Verdict
from heatcore.checks.unknown import Unknown
from heatcore.evaluate import Evaluation
from heatcore.sheets.layout import listing
from heatcore.tolerance import to_measure
from heatcore.units import UnitSystem, format_angle, format_length


def measure(evaluation: Evaluation) -> str | None:
    """The dimensions that decide something, each once, and whom they concern.

    Where a heater goes cannot be measured yet: it is to be set out as exactly.
    """
    system = evaluation.scene.site.units
    there: list[str] = []
    to_come: list[str] = []
    for item in to_measure(evaluation.findings):
        ours = item.deciding.path.startswith("heater ")
        (to_come if ours else there).append(
            f"{item.deciding.words}: drawn as {drawn(item.deciding, system)}; "
            f"decides about {', '.join(item.heaters)}"
        )
    parts = listing("Measure on site", there), listing("Set out more exactly than that", to_come)
    return "\n".join(part for part in parts if part) or None


def drawn(deciding: Deciding, system: UnitSystem) -> str:
    """A dimension as drawn, with its tolerance."""
    off = abs(deciding.worst - deciding.drawn)
    if deciding.unit == "rad":
        return f"{format_angle(deciding.drawn)} ± {degrees(off):.2g} deg".replace(" deg", "°")
    return f"{format_length(deciding.drawn, system)} ± {format_length(off, system, rounding='up')}"


def to_ask(evaluation: Evaluation) -> str | None:
    """What the client is asked: what no drawing says, then the designer's own questions."""
    found = [f"{unknown.question} ({taken(unknown)})" for unknown in evaluation.unknowns]
    return listing("To ask", [*found, *evaluation.scene.site.unknowns])


def taken(unknown: Unknown) -> str:
    """What stands in for an answer until it comes."""
    return f"until then: {unknown.taken}"


def doubtful(finding: Finding, system: UnitSystem) -> str:
    """Why a finding holds only if the drawing is right, in a clause; otherwise nothing."""
    if finding.verdict is not Verdict.MEASURE:
        return ""
    if finding.question:
        return finding.question
    if finding.doubt is None or not finding.doubt.deciding:
        return ""
    first = finding.doubt.deciding[0]
    return f"holds only if the drawing is right: measure {first.words} ({drawn(first, system)})"
