"""Circuits, legs and switching steps: as a table, and as data."""

from __future__ import annotations

from typing import Any

from heatcore.checks.electrical import Circuit, Electrical, Switched, switching
from heatcore.evaluate import Evaluation
from heatcore.sheets.layout import listing, table
from heatcore.units import format_power

ELECTRICIAN = "Currents and circuits are a calculation: a licensed electrician decides."


def circuits(evaluation: Evaluation) -> str | None:
    """Each circuit with its current, what protects it, and what comes on with which step."""
    fed = evaluation.electrical
    if not fed.circuits:
        return None
    head = ("circuit", "heaters", "volts", "legs", "input", "current", "asks for", "rated")
    rows = [
        (
            circuit.name,
            ", ".join(circuit.heaters),
            " and ".join(f"{v:g} V" for v in circuit.voltages),
            circuit.legs or "-",
            format_power(circuit.power_w),
            f"{circuit.current_a:.1f} A",
            f"{circuit.design_a:.1f} A",
            rated(circuit),
        )
        for circuit in fed.circuits
    ]
    said = [*_lines(fed), *(_step(group) for group in _switched(evaluation)), ELECTRICIAN]
    return table(head, rows) + "".join(f"  {line}\n" for line in said)


def rated(circuit: Circuit) -> str:
    """The protection that is stated, or the smallest standard one that will do."""
    if circuit.stated_a is not None:
        return f"{circuit.stated_a:g} A as stated"
    return "none so high" if circuit.rating_a is None else f"{circuit.rating_a:g} A"


def _lines(fed: Electrical) -> list[str]:
    if fed.lines is None:
        return []
    each = ", ".join(f"L{i} {amps:.1f} A" for i, amps in enumerate(fed.lines.lines_a, start=1))
    return [f"Lines: {each}; neutral {fed.lines.neutral_a:.1f} A."]


def _switched(evaluation: Evaluation) -> tuple[Switched, ...]:
    return switching(evaluation.scene, evaluation.model, evaluation.mounts, evaluation.electrical)


def _step(group: Switched) -> str:
    where = group.zone or "outside every zone"
    amps = "" if group.current_a is None else f", {group.current_a:.1f} A"
    return (
        f"Step {group.step}, {where}: {', '.join(group.heaters)} "
        f"({format_power(group.input_w)}{amps})."
    )


def notes(evaluation: Evaluation) -> str | None:
    """What has to be said of currents and circuits."""
    return listing("About the circuits", evaluation.electrical.notes)


def record(evaluation: Evaluation) -> dict[str, Any]:
    """The same as JSON-ready data."""
    fed = evaluation.electrical
    lines = fed.lines
    return {
        "practice": fed.supply.practice,
        "phases": fed.supply.phases,
        "input_w": fed.input_w,
        "current_a": fed.current_a,
        "circuits": [
            {
                "name": c.name,
                "heaters": list(c.heaters),
                "voltages_v": list(c.voltages),
                "legs": c.legs,
                "power_w": c.power_w,
                "current_a": c.current_a,
                "design_a": c.design_a,
                "rating_a": c.rating_a,
                "stated_a": c.stated_a,
            }
            for c in fed.circuits
        ],
        "lines_a": None if lines is None else [*lines.lines_a],
        "neutral_a": None if lines is None else lines.neutral_a,
        "switching": [
            {
                "zone": s.zone,
                "step": s.step,
                "heaters": list(s.heaters),
                "circuits": list(s.circuits),
                "input_w": s.input_w,
                "current_a": s.current_a,
            }
            for s in _switched(evaluation)
        ],
        "notes": list(fed.notes),
    }
