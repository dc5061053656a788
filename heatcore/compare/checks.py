"""What fails in one option and holds in another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.said import figures, misses, subject
from heatcore.compare.changes import heater_changes, thing_change
from heatcore.compare.values import Difference, Side, Topic
from heatcore.units import UnitSystem, format_length

CALLED = {
    Verdict.FAILS: Topic.FAILURES,
    Verdict.MEASURE: Topic.MEASURE,
    Verdict.ADVISORY: Topic.ADVISORIES,
}
Key = tuple[str, str]


def checks(first: Side, second: Side) -> Iterator[Difference]:
    """Each heater and thing that comes to a worse verdict in one of two options.

    Of all that a heater has with one thing the worst is told.
    """
    for verdict in CALLED:
        own = [_worst(side.found(verdict)) for side in (first, second)]
        for bad, good in ((0, 1), (1, 0)):
            for key, finding in own[bad].items():
                if key not in own[good]:
                    yield _told(finding, (first, second), bad)


def _worst(findings: Sequence[Finding]) -> dict[Key, Finding]:
    worst: dict[Key, Finding] = {}
    for finding in findings:
        key = _key(finding)
        if key not in worst or _short(finding) > _short(worst[key]):
            worst[key] = finding
    return worst


def _key(finding: Finding) -> Key:
    """What makes two findings of two options the same: who heats it is no matter to a head."""
    if finding.verdict is Verdict.ADVISORY or finding.code.startswith("exposure."):
        return finding.code, finding.object
    kind = finding.code.partition(".")[0]
    return f"{kind} {finding.heater}", finding.object


def _short(finding: Finding) -> float:
    """By how much of what is required a finding falls short."""
    return -finding.margin / max(abs(finding.required), 1e-9)


def _told(finding: Finding, sides: tuple[Side, Side], bad: int) -> Difference:
    good = 1 - bad
    beside = _beside(finding, sides[good])
    units = sides[0].evaluation.scene.site.units
    said = ["", ""]
    said[bad] = f"with {sides[bad].name} {misses(finding, units)}"
    said[good] = f"with {sides[good].name} {_keeps(finding, beside, sides[good], units)}"
    topic = CALLED[finding.verdict]
    values: list[float | None] = [None, None]
    values[bad] = finding.measured
    values[good] = None if beside is None else beside.measured
    return Difference(
        topic, (values[0], values[1]), finding.unit,
        finding.object or finding.heater, good, "", (said[0], said[1]), ", and ",
        _because(finding, sides[good], sides[bad]),
        weight=_short(finding),
    )  # fmt: skip


def _because(finding: Finding, good: Side, bad: Side) -> str:
    """What is different about the heater, or else about the thing, and what it comes to."""
    change = heater_changes(good, bad).get(finding.heater)
    owners = [p.owner for p in bad.evaluation.model.parts if p.name == finding.object]
    told = change.told if change else ""
    if owners and not change:
        told = thing_change(good, bad, owners[0])
    because = f", because {told}" if told else ""
    if finding.verdict is Verdict.FAILS:
        holds = "does not arise with" if change and change.only else "holds with"
        return f"{because}: {bad.name} fails a check that {holds} {good.name}"
    return because


def _beside(finding: Finding, side: Side) -> Finding | None:
    """The same reading in the other option."""
    same = [
        f
        for f in side.evaluation.findings
        if (f.code, f.object) == (finding.code, finding.object)
        and (f.heater == finding.heater or f.code.startswith("exposure."))
    ]
    return min(same, key=lambda f: f.margin, default=None)


def _keeps(finding: Finding, beside: Finding | None, side: Side, units: UnitSystem) -> str:
    heater = finding.heater
    hung = not heater or any(mount.name == heater for mount in side.evaluation.mounts)
    exposure = finding.code.startswith("exposure.")
    if not hung and not exposure:
        return f"there is no {heater}"
    if finding.code.startswith("clearance."):
        if beside is None:
            return f"{heater} keeps clear of {finding.object}"
        return f"{heater} stays {format_length(beside.measured, units)} from {finding.object}"
    if finding.code.startswith("mount."):
        return f"{heater} hangs well"
    if beside is None:
        return f"{subject(finding)} is no matter" if exposure else f"{subject(finding)} holds"
    return f"{subject(finding)} {figures(beside, units)}"
