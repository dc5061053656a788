"""What speaks against a change that is to make a place warm, and what it brings."""

from __future__ import annotations

from heatcore.checks.electrical import Electrical, electrical
from heatcore.checks.finding import Verdict
from heatcore.checks.said import misses
from heatcore.evaluate import Evaluation
from heatcore.heat.people.body import Comfort
from heatcore.remedies.standing import unsettled, worse
from heatcore.remedies.trials import Trial, Trials
from heatcore.remedies.values import RANK, Change, Remedy, effects


def objection(trials: Trials, change: Change, place: str) -> str:
    """What speaks against a change that is to make a place warm; '' where nothing does."""
    trial = trials.tried(change.option)
    return trial if isinstance(trial, str) else _against(trials, trial, place)


def remedy(trials: Trials, change: Change, place: str) -> Remedy | str:
    """Evaluate a change whole; what speaks against it where it does not help after all."""
    after = trials.whole(change.option)
    if isinstance(after, str):
        return after
    against = _against(trials, Trial(after.people, after.findings), place)
    return against or _remedy(change, place, trials.base, after)


def _against(trials: Trials, trial: Trial, place: str) -> str:
    """The first thing that speaks against a result."""
    for finding in trial.findings:
        if finding.verdict is Verdict.FAILS and worse(trials.unmet, finding):
            return misses(finding, trials.base.scene.site.units)
    for was, now in zip(trials.base.people, trial.people, strict=True):
        if now.place.name == place and now.comfort is not Comfort.WARM:
            return f"{place} would be {now.comfort}"
        if RANK[now.comfort] < RANK[was.comfort]:
            return f"{now.place.name} would be {now.comfort}"
    return ""


def _remedy(change: Change, place: str, base: Evaluation, after: Evaluation) -> Remedy:
    every = effects(base, after)
    mine = next(e for e in every if e.after.place.name == place)
    had, has = (unsettled(evaluation.findings) for evaluation in (base, after))
    loads = _load(base), _load(after)
    known = {load.heater for load in loads[0].loads}
    new = [c for c in loads[1].circuits if not known.issuperset(c.heaters)]
    return Remedy(
        place=place,
        change=change,
        effect=mine,
        others=tuple(e for e in every if e is not mine and e.changes),
        adds=tuple(f for key, f in has.items() if key not in had),
        clears=tuple(f for key, f in had.items() if key not in has),
        watts_added=loads[1].input_w - loads[0].input_w,
        current_added_a=(loads[1].current_a or 0.0) - (loads[0].current_a or 0.0),
        circuit=new[0] if new else None,
        evaluation=after,
    )


def _load(evaluation: Evaluation) -> Electrical:
    supply = evaluation.scene.site.supply
    return electrical([(mount.heater, mount.type) for mount in evaluation.mounts], supply)
