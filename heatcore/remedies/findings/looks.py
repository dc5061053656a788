"""A heater hung otherwise: what speaks against it, found by the checks themselves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from heatcore.checks import check
from heatcore.checks.clearance import margins
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.mounting import mountings
from heatcore.checks.said import misses
from heatcore.errors import InputError
from heatcore.geometry.distance import NOISE
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.remedies.findings.case import Case
from heatcore.remedies.standing import Key, key_of, worse
from heatcore.scene.model import Heater

Goal = frozenset[Key]
Blockers = Mapping[Key, float]  # by their margins [each its own unit]
REFUSED: Key = ("refused", "", "", "")  # where it cannot be hung at all


@dataclass(frozen=True, eq=False)
class Look:
    """One heater hung otherwise, and held against what is about it.

    Attributes
    ----------
    mount : as it would hang; None where it cannot be hung there
    findings : about its mount and its clearances
    refused : why it cannot be hung there
    """

    mount: Mount | None
    findings: tuple[Finding, ...]
    refused: str = ""


class Looks:
    """Every look at one heater, each taken once.

    A finding that tolerances put in doubt must come clear by what they take away as well. As what
    they take away hardly changes with the heater's place, it is known from the scene as it is; the
    whole evaluation has the last word.
    """

    def __init__(self, case: Case) -> None:
        self.case = case
        doubted = [
            (f, f.margin - f.doubt.margin)
            for f in case.evaluation.findings
            if f.doubt is not None and f.heater == case.name and f.unit == "m"
        ]
        self._lost = {key_of(f): lost for f, lost in doubted}
        self._most = max((lost for _, lost in doubted), default=0.0)
        self._near: dict[Heater, Look] = {}
        self._whole: dict[Heater, tuple[Finding, ...]] = {}

    def near(self, heater: Heater) -> Look:
        """The heater hung, and what is about it."""
        if heater not in self._near:
            self._near[heater] = self._look(heater)
        return self._near[heater]

    def blockers(self, heater: Heater, goal: Goal) -> Blockers:
        """What speaks against a heater that is to clear some findings; empty where nothing does."""
        if self.near(heater).refused:
            return {REFUSED: 0.0}
        worst: dict[Key, float] = {}
        for finding in self._against(heater, goal):
            key = key_of(finding)
            worst[key] = min(finding.margin, worst.get(key, finding.margin))
        return worst

    def told(self, heater: Heater, goal: Goal) -> str:
        """The worst of what speaks against it, as a clause."""
        look = self.near(heater)
        found = min(self._against(heater, goal), key=lambda f: f.margin, default=None)
        return look.refused if found is None else misses(found, self.case.units)

    def against(self, findings: Iterable[Finding], goal: Goal) -> list[Finding]:
        """Of some findings those that a change must not leave, or must not bring."""
        unmet = self.case.trials.unmet
        out = []
        for finding in findings:
            left = finding.margin - self._allowance(finding)
            holds = finding.verdict not in (Verdict.FAILS, Verdict.MEASURE)
            if finding.verdict is Verdict.ADVISORY or (holds and left >= -NOISE):
                continue
            key = key_of(finding)
            was = None if key in goal else unmet.get(key)
            if was is None or (finding.verdict is Verdict.FAILS and worse(unmet, finding)):
                out.append(finding)
        return out

    def _against(self, heater: Heater, goal: Goal) -> list[Finding]:
        look = self.near(heater)
        if look.mount is None:
            return []
        return self.against(look.findings, goal) or self.against(self._all(heater), goal)

    def _allowance(self, finding: Finding) -> float:
        """What tolerances take away from a finding [its unit]."""
        clearance = finding.code.startswith("clearance.") and finding.heater == self.case.name
        return self._lost.get(key_of(finding), self._most if clearance else -float("inf"))

    def _look(self, heater: Heater) -> Look:
        scene, model = self.case.evaluation.scene, self.case.evaluation.model
        try:
            (mount,) = hang(replace(scene, heater=(heater,)), model)
        except InputError as error:
            return Look(None, (), error.message)
        near = margins(mount, model, self._mounts(mount), self._most)
        return Look(mount, (*mountings(mount), *near))

    def _all(self, heater: Heater) -> tuple[Finding, ...]:
        """All that the checks find with the heater so, of other heaters too."""
        if heater not in self._whole:
            scene, model = self.case.evaluation.scene, self.case.evaluation.model
            heaters = tuple(heater if h.name == heater.name else h for h in scene.heater)
            mount = self.near(heater).mount
            assert mount is not None
            hung = self._mounts(mount)
            self._whole[heater] = check(replace(scene, heater=heaters), model, hung)
        return self._whole[heater]

    def _mounts(self, mount: Mount) -> tuple[Mount, ...]:
        mounts = self.case.evaluation.mounts
        return tuple(mount if other.name == mount.name else other for other in mounts)
