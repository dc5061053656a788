"""What must hold of every heater, held against the model."""

from __future__ import annotations

from collections.abc import Sequence

from heatcore.checks.clearance import clearances
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.height import heights
from heatcore.checks.mounting import mountings
from heatcore.geometry.parts import Model
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene


def check(scene: Scene, model: Model, mounts: Sequence[Mount]) -> tuple[Finding, ...]:
    """Check clearances, mounting heights and mounts.

    Returns
    -------
    tuple of Finding
        Heater by heater in the scene's order; of each, what fails first, the worst margin first.
    """
    findings: list[Finding] = []
    for mount in mounts:
        found = [*mountings(mount), *clearances(mount, model, mounts), *heights(mount, model)]
        findings += sorted(found, key=_order)
    return tuple(findings)


def _order(finding: Finding) -> tuple[bool, float, str, str, str]:
    holds = finding.verdict is Verdict.HOLDS
    return holds, finding.margin, finding.code, finding.side, finding.object
