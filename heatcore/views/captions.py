"""One sentence for each picture, in the client's words and with the evaluation's figures."""

from __future__ import annotations

from math import degrees, tan

from heatcore.checks.finding import Finding, Verdict
from heatcore.evaluate import Evaluation
from heatcore.mounting.mount import Mount
from heatcore.units import UnitSystem, format_length, format_pitch
from heatcore.views.words import counted, first_sentence, sentence

LEVEL = 0.004  # rad; less than this is no slope to anybody


def hero(evaluation: Evaluation) -> str:
    """How many heaters hang where, and how high."""
    site = evaluation.scene.site
    if not evaluation.mounts:
        return f"{site.name} as drawn, without heaters."
    many = counted(len(evaluation.mounts), "heater")
    span = span_of([float(m.frame.origin[2]) for m in evaluation.mounts], site.units)
    return sentence(f"{many} for {site.name}, {span} above the floor")


def clearances(evaluation: Evaluation) -> str:
    """What stands too near to a heater; otherwise by how much all keeps its distance."""
    units = evaluation.scene.site.units
    held = [f for f in evaluation.findings if f.code.startswith("clearance.")]
    failing = [f for f in evaluation.failures if f.code.startswith("clearance.")]
    if failing:
        worst = min(failing, key=lambda f: f.margin)
        pairs = len({(f.heater, f.object) for f in failing})
        measured, required = figures(worst, units)
        comes = f"comes within {measured} of" if worst.measured > 0.0 else "comes right up to"
        said = f"{worst.object} {comes} {worst.heater}, where {required} must stay free"
        rest = f", and {counted(pairs - 1, 'more thing')} too near" if pairs > 1 else ""
        return sentence(said + rest)
    others = evaluation.failures
    if others:
        about = others[0].heater or others[0].object
        said = f"everything keeps its distance, but {about} needs another look"
        return sentence(f"{said}: {others[0].note}" if others[0].note else said)
    if not held:
        return "Nothing stands near a heater."
    unsure = [f for f in held if f.verdict is Verdict.MEASURE and f.doubt is not None]
    if unsure:
        return sentence(_only_if_drawn_right(unsure))
    tightest = min(held, key=lambda f: f.margin)
    spare = format_length(max(tightest.margin, 0.0), units, rounding="down")
    return sentence(
        f"everything keeps its distance; the tightest is {tightest.heater} to {tightest.object} "
        f"with {spare} to spare"
    )


def _only_if_drawn_right(unsure: list[Finding]) -> str:
    """What holds as drawn, and what has to be measured before anybody relies on it."""
    worst = min(unsure, key=lambda f: f.doubt.margin if f.doubt else 0.0)
    first = worst.doubt.deciding[0].words if worst.doubt else ""
    more = len({(f.heater, f.object) for f in unsure}) - 1
    rest = f", and {counted(more, 'more thing')} to measure" if more else ""
    return (
        f"everything keeps its distance if the drawing is right; {worst.heater} to {worst.object} "
        f"depends on {first}: measure it on site{rest}"
    )


def plan(evaluation: Evaluation, size: tuple[float, float]) -> str:
    """What is seen from above."""
    units = evaluation.scene.site.units
    across, deep = (format_length(side, units) for side in size)
    many = counted(len(evaluation.mounts), "heater")
    return sentence(f"from above with the roof lifted: {many} over a floor of {across} by {deep}")


def elevation(evaluation: Evaluation, toward: str) -> str:
    """What a cut through the heaters shows."""
    units = evaluation.scene.site.units
    if not evaluation.mounts:
        return sentence(f"cut open, looking {toward}")
    heights = [float(m.frame.origin[2]) for m in evaluation.mounts]
    return sentence(
        f"cut open before the heaters, looking {toward}: "
        f"their faces hang {span_of(heights, units)} above the floor"
    )


def bracket(mount: Mount, slope: float, units: UnitSystem) -> str:
    """How one heater hangs."""
    lengths = sorted({format_length(arm.length, units) for arm in mount.arms})
    arms = f"on arms of {' and '.join(lengths)}" if lengths else "without a bracket that fits"
    hung = "hangs level" if abs(mount.tilt) < LEVEL and mount.frame.z[2] > 1 - 1e-6 else "hangs"
    if abs(mount.tilt) >= LEVEL:
        hung = f"leans {degrees(abs(mount.tilt)):.0f}°"
    under = {
        "wall": "on the wall",
        "beam": "on its beam",
    }.get(str(mount.heater.mount), f"under {slope_words(slope, units)}")
    text = f"{mount.name} {hung} {under}, {arms}"
    if mount.faults:
        text += f"; that does not do yet: {first_sentence(mount.faults[0].message)}"
    return sentence(text)


def slope_words(slope: float, units: UnitSystem) -> str:
    """A ceiling's slope for a sentence."""
    if slope < LEVEL:
        return "the level ceiling"
    return f"the {slope_figure(slope, units)} ceiling"


def slope_figure(slope: float, units: UnitSystem) -> str:
    """A slope as the site's trade writes it: to 12 in imperial units, in degrees otherwise."""
    if units is UnitSystem.IMPERIAL:
        # To a quarter, as roofs are drawn; to the last digit where that would be another roof.
        quarter = round(48 * tan(slope)) / 4
        return f"{quarter:g}:12" if abs(quarter - 12 * tan(slope)) < 0.02 else format_pitch(slope)
    return f"{degrees(slope):.1f}".removesuffix(".0") + "°"


def figures(finding: Finding, units: UnitSystem) -> tuple[str, str]:
    """What a finding measured and what it requires, neither rounded in its own favor."""
    if finding.unit == "m":
        return (
            format_length(max(finding.measured, 0.0), units, rounding="down"),
            format_length(finding.required, units, rounding="up"),
        )
    if finding.unit == "rad":
        return f"{degrees(finding.measured):.1f}°", f"{degrees(finding.required):.1f}°"
    return f"{finding.measured:.3g} {finding.unit}", f"{finding.required:.3g} {finding.unit}"


def span_of(lengths: list[float], units: UnitSystem) -> str:
    """Lengths as one figure, or as a range [m]."""
    low, high = (format_length(length, units) for length in (min(lengths), max(lengths)))
    return low if low == high else f"{low} to {high}"
