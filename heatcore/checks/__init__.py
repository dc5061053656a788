"""What must hold of every heater, held against the model; and what people should know."""

from __future__ import annotations

from collections.abc import Sequence

from heatcore.checks.clearance import UNDER, clearances
from heatcore.checks.electrical import electrical, electrical_findings
from heatcore.checks.exposure import exposures
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.height import heights
from heatcore.checks.keepouts import keep_outs
from heatcore.checks.mounting import mountings
from heatcore.checks.undrawn_fans import unknown_findings
from heatcore.checks.ventilation import ventilation
from heatcore.checks.weather import weather
from heatcore.geometry.parts import Model
from heatcore.heat.people.body import BodyHeat
from heatcore.heat.people.head import HeadHeat
from heatcore.heat.radiation.emitter import Emitter
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene


def check(
    scene: Scene,
    model: Model,
    mounts: Sequence[Mount],
    emitters: Sequence[Emitter] = (),
    heads: Sequence[HeadHeat] = (),
    people: Sequence[BodyHeat] = (),
) -> tuple[Finding, ...]:
    """Check mounts, clearances, heights, keep-outs, weather, air, circuits, heads and eyes.

    Parameters
    ----------
    scene, model : as described, and made solid
    mounts : the heaters, hung
    emitters, heads, people : what they send out, the hottest heads, and what the people at their
        places get; without heads, no exposure is checked

    Returns
    -------
    tuple of Finding
        Heater by heater in the scene's order; of each, what fails first, the worst margin first.
        Then fans that are not drawn, the circuits, and the advisories about heads and eyes.
    """
    findings: list[Finding] = []
    for mount in mounts:
        found = [
            *mountings(mount),
            *clearances(mount, model, mounts),
            *heights(mount, model),
            *keep_outs(mount, scene, model),
            *weather(mount, scene, model),
            *ventilation([mount], scene, model),
        ]
        findings += sorted(found, key=_order)
    findings += unknown_findings(scene, model, mounts)
    pairs = [(mount.heater, mount.type) for mount in mounts]
    fed = electrical(pairs, scene.site.supply, scene.circuit)
    findings += electrical_findings(fed, mounts)
    findings += exposures(heads, emitters, scene.site, people)
    return tuple(findings)


def _order(finding: Finding) -> tuple[bool, bool, float, str, str, str]:
    """What fails first; what only says again that something reaches under the body, after that."""
    holds, again = finding.verdict is Verdict.HOLDS, UNDER in finding.note
    return holds, again, finding.margin, finding.code, finding.side, finding.object
