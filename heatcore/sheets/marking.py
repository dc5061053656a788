"""What the installer marks and takes along: holes, drops, gaps and parts, heater by heater."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees, isfinite
from typing import Any

from heatcore.mounting.mount import Answer, Mount
from heatcore.sheets.layout import table
from heatcore.units import UnitSystem, format_length, format_pitch


def marking(mounts: Sequence[Mount], system: UnitSystem) -> str | None:
    """A row for each heater that hangs on two arms."""
    rows = [
        (
            mount.name,
            " / ".join(dict.fromkeys(arm.surface for arm in mount.arms)),
            format_length(answer.feet_spacing_along, system),
            format_length(answer.feet_spacing_level, system),
            " / ".join(format_length(arm.drop, system) for arm in mount.arms),
            gaps(mount, system),
            least_arms(answer, system),
            pitch(answer, system),
        )
        for mount in mounts
        if (answer := mount.answer) is not None and mount.arms
    ]
    head = (
        "heater",
        "fixed to",
        "holes apart, taped",
        "level",
        "drops",
        "gaps over its corners",
        "least arms",
        "stock serves up to",
    )
    return table(head, rows) if rows else None


def gaps(mount: Mount, system: UnitSystem) -> str:
    """The vertical gaps over the corners of the body, from the smallest to the largest."""
    found = sorted(float(gap) for gap in mount.gaps)
    shown = [format_length(gap, system) if isfinite(gap) else "open" for gap in found]
    return shown[0] if shown[0] == shown[-1] else f"{shown[0]} to {shown[-1]}"


def least_arms(answer: Answer, system: UnitSystem) -> str:
    """The shortest arms at which the clearances to the structure just hold."""
    if answer.least_arms is None:
        return "none would do"
    first, second = (format_length(arm, system) for arm in answer.least_arms)
    return f"{first} / {second}"


def pitch(answer: Answer, system: UnitSystem) -> str:
    """The steepest pitch that the stocked brackets serve, this way round."""
    if answer.steepest_pitch is None:
        return "-"
    if system is UnitSystem.IMPERIAL:
        return format_pitch(answer.steepest_pitch)
    return f"{degrees(answer.steepest_pitch):.1f}°"


def record(answer: Answer | None) -> dict[str, Any] | None:
    """The same as JSON-ready data."""
    if answer is None:
        return None
    steepest = answer.steepest_pitch
    return {
        "feet_spacing_along_m": answer.feet_spacing_along,
        "feet_spacing_level_m": answer.feet_spacing_level,
        "drop_difference_m": answer.drop_difference,
        "least_arms_m": None if answer.least_arms is None else list(answer.least_arms),
        "steepest_pitch_deg": None if steepest is None else degrees(steepest),
        "cross_lean_deg": degrees(answer.cross_lean),
    }
