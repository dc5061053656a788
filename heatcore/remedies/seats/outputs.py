"""Heaters that run dimmed, raised to full output."""

from __future__ import annotations

from heatcore.remedies.seats.case import Case, share
from heatcore.remedies.values import Change, Kind, change


def raised_output(case: Case) -> Change | str:
    """The dimmed heater that takes least more, or all of them; else what was tried."""
    mounts = case.evaluation.mounts
    dimmed = [m for m in mounts if m.heater.output < 1.0]
    if not dimmed:
        return ""
    more = {m.name: m.type.input_power * (1.0 - m.heater.output) for m in dimmed}
    groups: list[tuple[str, ...]] = [
        (name,) for name in sorted(more, key=lambda name: (more[name], name))
    ]
    if len(dimmed) > 1:
        groups.append(tuple(m.name for m in dimmed))
    best = 0.0
    promising: list[Change] = []
    for names in groups:
        if any(m.heater.output <= 0.0 for m in dimmed if m.name in names):
            promising.append(_raised(names))  # what is off sends nothing that could be scaled
            continue
        factors = [1.0 / m.heater.output if m.name in names else 1.0 for m in mounts]
        reached = float(case.screen.with_outputs(factors)[case.index])
        best = max(best, reached)
        if reached >= 1.0:
            promising.append(_raised(names))
    found = case.accepted(promising, len(groups))
    if isinstance(found, Change):
        return found
    what = "Running every heater at full output"
    return f"{what}: {found}." if found else f"{what}: it gains {share(best)} of what is asked for."


def _raised(names: tuple[str, ...]) -> Change:
    return change(
        Kind.OUTPUT,
        f"Run {' and '.join(names)} at full output.",
        0.0,
        set_={"heater": {name: {"output": 1.0} for name in names}},
    )
