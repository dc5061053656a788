"""Changes tried: first what can speak against one, then the whole evaluation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from heatcore.checks import check
from heatcore.checks.electrical import Electrical, electrical
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.said import misses
from heatcore.errors import InputError
from heatcore.evaluate import Evaluation, evaluate
from heatcore.geometry.build import build
from heatcore.geometry.parts import Model
from heatcore.heat import emitters_of, surroundings
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.heat.people.warmth import body_heats
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.remedies.values import Change, Effect, Remedy
from heatcore.scene import choose
from heatcore.scene.model import Option, Scene

MOST_EVALUATIONS = 40
SLACK = 0.001  # m; a finding that fails anyway may shift by so little

RANK = {Comfort.COLD: 0, Comfort.BORDERLINE: 1, Comfort.WARM: 2}
Key = tuple[str, str, str, str]


@dataclass(frozen=True, eq=False)
class Trial:
    """What decides about a change.

    Attributes
    ----------
    people : what each person gets, in the order of the places
    findings : of the checks
    """

    people: tuple[BodyHeat, ...]
    findings: tuple[Finding, ...]


class Trials:
    """Tries changes of one evaluated scene, each once."""

    def __init__(self, base: Evaluation, most: int = MOST_EVALUATIONS) -> None:
        self.base = base
        self.left = most
        self._scene = replace(base.scene, option=())
        self._failing = _failing(base.findings)
        self._tried: dict[str, Trial | str] = {}
        self._whole: dict[str, Evaluation] = {}

    def objection(self, change: Change, place: str) -> str:
        """What speaks against a change that is to make a place warm; '' where nothing does."""
        trial = self._try(change.option)
        return trial if isinstance(trial, str) else self._against(trial, place)

    def remedy(self, change: Change, place: str) -> Remedy | str:
        """Evaluate a change whole; what speaks against it where it does not help after all."""
        key = _key(change.option)
        if key not in self._whole:
            if not self.left:
                return "not evaluated as a whole, the bound is reached; ask for this place alone"
            self.left -= 1
            self._whole[key] = evaluate(self._changed(change.option))
        after = self._whole[key]
        against = self._against(Trial(after.people, after.findings), place)
        return against or _remedy(change, place, self.base, after)

    def _changed(self, option: Option) -> Scene:
        return choose(replace(self._scene, option=(option,)), option.name)

    def _try(self, option: Option) -> Trial | str:
        key = _key(option)
        if key not in self._tried:
            try:
                self._tried[key] = self._trial(self._changed(option))
            except InputError as error:
                self._tried[key] = str(error)
        return self._tried[key]

    def _trial(self, scene: Scene) -> Trial:
        """Exactly what `evaluate` finds of people and of checks, but for heads and eyes."""
        site = scene.site
        same = replace(scene, heater=()) == replace(self._scene, heater=())
        model = self.base.model if same else build(scene)
        mounts = self._hung(scene, model) if same else hang(scene, model)
        emitters = emitters_of(mounts, site.supply.voltage)
        around = self.base.surroundings.hung_anew(mounts) if same else surroundings(mounts, model)
        people = body_heats(emitters, model, around, site.climate, site.target, site.units)
        return Trial(people, check(scene, model, mounts))

    def _hung(self, scene: Scene, model: Model) -> tuple[Mount, ...]:
        """The heaters hung, those that stay as they were."""
        known = {mount.heater: mount for mount in self.base.mounts}
        new = tuple(heater for heater in scene.heater if heater not in known)
        known |= {m.heater: m for m in hang(replace(scene, heater=new), model)} if new else {}
        return tuple(known[heater] for heater in scene.heater)

    def _against(self, trial: Trial, place: str) -> str:
        """The first thing that speaks against a result."""
        for finding in trial.findings:
            if finding.verdict is Verdict.FAILS:
                before = self._failing.get(_same(finding), 0.0)
                if finding.margin < before - SLACK:
                    return misses(finding, self.base.scene.site.units)
        for was, now in zip(self.base.people, trial.people, strict=True):
            if now.place.name == place and now.comfort is not Comfort.WARM:
                return f"{place} would be {now.comfort}"
            if RANK[now.comfort] < RANK[was.comfort]:
                return f"{now.place.name} would be {now.comfort}"
        return ""


def _remedy(change: Change, place: str, base: Evaluation, after: Evaluation) -> Remedy:
    effects = [Effect(b, a) for b, a in zip(base.people, after.people, strict=True)]
    mine = next(e for e in effects if e.after.place.name == place)
    others = [e for e in effects if e is not mine and e.before.comfort is not e.after.comfort]
    had, has = (_unsettled(evaluation.findings) for evaluation in (base, after))
    loads = _load(base), _load(after)
    known = {load.heater for load in loads[0].loads}
    new = [c for c in loads[1].circuits if not known.issuperset(c.heaters)]
    return Remedy(
        place=place,
        change=change,
        effect=mine,
        others=tuple(others),
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


def _key(option: Option) -> str:
    return repr((option.remove, option.set, option.add))


def _same(finding: Finding) -> Key:
    """What makes two findings the same: whoever heats a head, it is that head's."""
    heater = "" if finding.code.startswith("exposure.") else finding.heater
    return finding.code, heater, finding.object, finding.side


def _failing(findings: Sequence[Finding]) -> dict[Key, float]:
    """The least margin of each thing that fails."""
    worst: dict[Key, float] = {}
    for finding in findings:
        if finding.verdict is Verdict.FAILS:
            key = _same(finding)
            worst[key] = min(finding.margin, worst.get(key, finding.margin))
    return worst


def _unsettled(findings: Sequence[Finding]) -> dict[tuple[Key, Verdict], Finding]:
    """The findings that do not hold."""
    return {(_same(f), f.verdict): f for f in findings if f.verdict is not Verdict.HOLDS}
