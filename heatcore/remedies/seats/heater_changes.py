"""One heater turned or moved, as little as helps."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.remedies.seats.case import Case, share
from heatcore.remedies.seats.paths import TURN, Path, paths
from heatcore.remedies.values import Change, Kind

TRIES = 12  # tried in earnest


class HeaterChanges:
    """Every way of turning and moving each heater, looked at once for all places."""

    def __init__(self, case: Case) -> None:
        self._any = case

    @cached_property
    def looks(self) -> list[tuple[Path, dict[int, Floats]]]:
        """Each way, with the scores of all places at its coarse values."""
        screen = self._any.screen
        return [
            (path, {i: screen.with_emitter(path.emitter(path.values[i])) for i in path.coarse})
            for path in paths(self._any)
        ]

    def find(self, case: Case, kind: Kind) -> Change | str:
        """The change that disturbs least; else what was tried, in a sentence."""
        what = (
            f"Turning one heater, by steps of {TURN}° in plan, or tilting it"
            if kind is Kind.TURN
            else "Moving one heater"
        )
        mine = [(path, scores) for path, scores in self.looks if path.kind is kind]
        if not mine:
            return ""
        best = max(float(s[case.index]) for _, scores in mine for s in scores.values())
        if best < 1.0:
            if best <= case.reached:
                return f"{what}: it gains no more than now, {share(case.reached)} of what is asked."
            return f"{what}: it gains at most {share(best)} of what is asked for."
        promising = [
            (path.change(path.values[i]).disturbance_m, path, i)
            for path, scores in mine
            for i, reached in scores.items()
            if self._good(case, reached)
        ]
        if not promising:
            return f"{what}: where this place becomes warm, the verdict on another one gets worse."
        first = ""
        for _, path, i in sorted(promising, key=lambda found: found[0])[:TRIES]:
            found = case.accepted([path.change(path.values[i])], 1)
            if isinstance(found, Change):
                return self._refined(case, path, i) or found
            first = first or found
        return f"{what}: {first}."

    def _refined(self, case: Case, path: Path, index: int) -> Change | None:
        """A smaller change than one that helps, down to the one before that was looked at."""
        before = max((i for i in path.coarse if i < index), default=-1)
        for value in path.values[before + 1 : index]:
            if self._good(case, case.screen.with_emitter(path.emitter(value))):
                found = case.accepted([path.change(value)], 1)
                if isinstance(found, Change):
                    return found
        return None

    def _good(self, case: Case, scores: Floats) -> bool:
        return bool(np.asarray(scores)[case.index] >= 1.0) and not case.screen.harms(scores)
