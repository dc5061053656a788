"""The list of what to measure on site."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from heatcore.checks.finding import Deciding, Finding, Verdict


@dataclass(frozen=True, eq=False)
class ToMeasure:
    """One dimension to measure on site, and what it decides about.

    Attributes
    ----------
    deciding : the dimension, with the most that it does to any of the findings
    heaters : names of the heaters concerned, in the findings' order
    findings : that it decides about, in their order
    """

    deciding: Deciding
    heaters: tuple[str, ...]
    findings: tuple[Finding, ...]


def to_measure(findings: Iterable[Finding]) -> tuple[ToMeasure, ...]:
    """List the dimensions to measure on site, each once, the one that decides most first.

    Of each finding that holds only if the drawing is right: as many of its dimensions, the
    strongest first, as would let it hold if they are as drawn.
    """
    by_path: dict[str, list[tuple[Deciding, Finding]]] = {}
    for finding in findings:
        if finding.verdict is Verdict.MEASURE and finding.doubt is not None:
            short = -finding.doubt.margin
            for deciding in finding.doubt.deciding:
                by_path.setdefault(deciding.path, []).append((deciding, finding))
                short -= deciding.effect
                if short <= 0.0:
                    break
    listed = [
        ToMeasure(
            deciding=max((d for d, _ in found), key=lambda d: d.effect),
            heaters=tuple(dict.fromkeys(f.heater for _, f in found)),
            findings=tuple(f for _, f in found),
        )
        for found in by_path.values()
    ]
    return tuple(
        sorted(listed, key=lambda m: (-len(m.findings), -m.deciding.effect, m.deciding.path))
    )
