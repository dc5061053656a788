"""Findings before and after a change, held against each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from heatcore.checks.finding import Finding, Verdict

SLACK = 0.001  # m; a finding that fails anyway may shift by so little

Key = tuple[str, str, str, str]
_RANK = {Verdict.HOLDS: 0, Verdict.ADVISORY: 0, Verdict.MEASURE: 1, Verdict.FAILS: 2}


def key_of(finding: Finding) -> Key:
    """What makes two findings the same: whoever heats a head, it is that head's."""
    heater = "" if finding.code.startswith("exposure.") else finding.heater
    return finding.code, heater, finding.object, finding.side


def unmet(findings: Iterable[Finding]) -> dict[Key, Finding]:
    """What fails or is in doubt; of each thing the worst."""
    worst: dict[Key, Finding] = {}
    for finding in findings:
        if _RANK[finding.verdict]:
            known = worst.setdefault(key_of(finding), finding)
            if (-_RANK[finding.verdict], finding.margin) < (-_RANK[known.verdict], known.margin):
                worst[key_of(finding)] = finding
    return worst


def worse(before: Mapping[Key, Finding], now: Finding) -> bool:
    """Whether a finding is worse than it was.

    Parameters
    ----------
    before : what was unmet
    now : the same finding, or a new one
    """
    was = before.get(key_of(now))
    if was is None:
        return _RANK[now.verdict] > 0
    if _RANK[now.verdict] != _RANK[was.verdict]:
        return _RANK[now.verdict] > _RANK[was.verdict]
    return now.verdict is Verdict.FAILS and now.margin < was.margin - SLACK


def unsettled(findings: Iterable[Finding]) -> dict[tuple[Key, Verdict], Finding]:
    """The findings that do not hold, advisories among them."""
    return {(key_of(f), f.verdict): f for f in findings if f.verdict is not Verdict.HOLDS}
