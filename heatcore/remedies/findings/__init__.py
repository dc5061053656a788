"""What would clear a finding that fails or is in doubt, each change tried before it is offered."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from heatcore.checks.finding import Finding, Verdict
from heatcore.evaluate import Evaluation
from heatcore.remedies.findings.case import Case
from heatcore.remedies.findings.search import Search
from heatcore.remedies.standing import key_of
from heatcore.remedies.trials import MOST_EVALUATIONS, Trials
from heatcore.remedies.values import FindingAdvice

__all__ = ["fixable", "fixes"]

_ROOMS = ("clearance.", "mount.", "height.", "keepout.", "weather.", "unknown.fan")


def fixable(finding: Finding) -> bool:
    """Whether a finding fails or is in doubt, and another place of its heater may help."""
    unmet = finding.verdict in (Verdict.FAILS, Verdict.MEASURE)
    return unmet and bool(finding.heater) and finding.code.startswith(_ROOMS)


def fixes(
    evaluation: Evaluation,
    findings: Sequence[Finding] = (),
    *,
    most: int = MOST_EVALUATIONS,
    progress: Callable[[str], None] | None = None,
) -> tuple[FindingAdvice, ...]:
    """Look for what would clear findings.

    For each of them up to three changes, the least disturbing first: the heater moved along the
    axes or along what carries it, hung lower or higher, on other stocked brackets or on a stem,
    turned, or the door or window hung otherwise. Of each way the smallest change that clears the
    finding is evaluated whole, and offered where nothing fails, or comes to be in doubt, that held
    before. Lengths are rounded outward to an eighth of an inch or a millimetre.

    Parameters
    ----------
    evaluation : of the scene as it is
    findings : of that evaluation; none means all that fail or are in doubt, and about which a
        change of the heater or of an opening can do something (`fixable`)
    most : whole evaluations that may be spent
    progress : told the name of each heater before it is looked at

    Returns
    -------
    tuple of FindingAdvice
        In the order of the evaluation's findings.
    """
    wanted = {key_of(f) for f in findings}
    open_ = [f for f in evaluation.findings if fixable(f)]
    trials = Trials(evaluation, most)
    out: list[FindingAdvice] = []
    for mount in evaluation.mounts:
        mine = [f for f in open_ if f.heater == mount.name]
        asked = [f for f in mine if not findings or key_of(f) in wanted]
        if asked:
            if progress is not None:
                progress(mount.name)
            search = Search(Case(trials, mount), mine)
            out += [search.advice(finding) for finding in asked]
    return tuple(out)
