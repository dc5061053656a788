"""All that can be done about one heater."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.said import misses
from heatcore.remedies.findings.case import Case
from heatcore.remedies.findings.hangings import hangings
from heatcore.remedies.findings.looks import Goal, Looks
from heatcore.remedies.findings.openings import openings
from heatcore.remedies.findings.shifts import shifts
from heatcore.remedies.findings.tracks import Track, least
from heatcore.remedies.standing import key_of, unmet, unsettled, worse
from heatcore.remedies.values import Change, FindingAdvice, Fix, effects

MOST = 3  # offered for a finding
TRIES = 5  # evaluated whole for a goal


@dataclass(frozen=True, eq=False)
class _Found:
    """A change that the checks let pass; of a heater, by its track and mark."""

    change: Change
    family: str
    track: Track | None = None
    mark: int = 0


@dataclass(frozen=True, eq=False)
class _Refused:
    """Why a change is not offered, and by how much tolerances fall short of it [m]."""

    words: str
    short: float = 0.0


@dataclass(frozen=True, eq=False)
class _Accepted:
    """What is offered for a goal, and what was tried in vain."""

    fixes: tuple[Fix, ...]
    tried: tuple[str, ...]


class Search:
    """What clears findings of one heater: each thing too near it by itself, and all of them."""

    def __init__(self, case: Case, findings: Sequence[Finding]) -> None:
        self._case, self._findings = case, findings
        self._looks = Looks(case)
        self._known: dict[tuple[Goal, int], _Accepted] = {}

    def advice(self, finding: Finding) -> FindingAdvice:
        """What clears a finding, with all else of the heater or at least by itself."""
        goal = frozenset(
            key_of(f) for f in self._findings if self._subject(f) == self._subject(finding)
        )
        everything = frozenset(map(key_of, self._findings))
        if goal == everything:
            found = self._accepted(goal, MOST)
            return FindingAdvice(finding, found.fixes, found.tried)
        # What clears all of it comes with what is less work and clears this alone.
        whole = self._accepted(everything, MOST - 1)
        alone = self._accepted(goal, MOST)
        fixes = {fix.title: fix for fix in whole.fixes}
        for fix in alone.fixes:
            if len(fixes) < MOST:
                fixes.setdefault(fix.title, fix)
        ordered = sorted(fixes.values(), key=lambda fix: fix.disturbs)
        return FindingAdvice(finding, tuple(ordered), alone.tried)

    def _subject(self, finding: Finding) -> tuple[str, str]:
        """What a finding is about: a thing that is too near, the mount, the height."""
        room = finding.code.partition(".")[0]
        if room not in ("clearance", "keepout"):
            return room, ""
        part = self._case.evaluation.model.by_name.get(finding.object)
        return "near", finding.object if part is None else part.owner

    def _accepted(self, goal: Goal, most: int) -> _Accepted:
        if (goal, most) not in self._known:
            self._known[goal, most] = self._evaluated(goal, most)
        return self._known[goal, most]

    def _evaluated(self, goal: Goal, most: int) -> _Accepted:
        """Evaluate whole what the checks let pass, of each family first the least."""
        found: list[_Found] = []
        tried: list[str] = []
        for one in self._passing(goal):
            if isinstance(one, _Found):
                found.append(one)
            else:
                tried.append(one)
        fixes: list[Fix] = []
        waiting = _spread(found)
        for _ in range(TRIES):
            if not waiting or len(fixes) == most:
                break
            one = waiting.pop(0)
            verdict = self._verdict(one.change, goal)
            if isinstance(verdict, Fix):
                fixes.append(verdict)
                continue
            tried.append(f"{one.change.words.rstrip('.')}: {verdict.words}.")
            farther = self._farther(one, goal, verdict.short)
            waiting[:0] = [farther] if farther is not None else []
        return _Accepted(tuple(sorted(fixes, key=lambda fix: fix.disturbs)), tuple(tried))

    def _passing(self, goal: Goal) -> Iterator[_Found | str]:
        """Of each track the least change that the checks let pass; else what was tried."""
        about = [f for f in self._findings if key_of(f) in goal]
        for track in (
            *shifts(self._case, about),
            *hangings(self._case, self._looks, goal),
        ):
            found = self._least(track, goal, 1)
            yield found or (f"{track.what}: {self._looks.told(track.heater(track.marks), goal)}.")
        for group in openings(self._case, goal):
            yield from self._opening(group, goal)

    def _least(self, track: Track, goal: Goal, start: int) -> _Found | None:
        mark = least(track, lambda heater: self._looks.blockers(heater, goal), start)
        if mark is None:
            return None
        mount = self._looks.near(track.heater(mark)).mount
        assert mount is not None
        return _Found(track.change(mark, mount), track.family, track, mark)

    def _opening(self, group: Sequence[Change], goal: Goal) -> Iterator[_Found | str]:
        """The first of some changes of a door or window that the checks let pass."""
        why = ""
        for change in group:
            findings = self._case.trials.checked(change.option)
            if isinstance(findings, str):
                why = findings
                continue
            against = self._looks.against(findings, goal)
            if not against:
                yield _Found(change, "opening")
                return
            worst = min(against, key=lambda f: f.margin)
            why = misses(worst, self._case.units)
        if group:
            yield f"{group[-1].words.rstrip('.')}: {why}."

    def _farther(self, refused: _Found, goal: Goal, short: float) -> _Found | None:
        """Farther along the same track, by what tolerances were found to fall short."""
        track = refused.track
        if track is None or short <= 0.0:
            return None
        return self._least(track, goal, refused.mark + max(ceil(short / track.mark), 1))

    def _verdict(self, change: Change, goal: Goal) -> Fix | _Refused:
        """Evaluate a change whole."""
        trials = self._case.trials
        after = trials.whole(change.option)
        if isinstance(after, str):
            return _Refused(after)
        now = unmet(after.findings)
        bad = [f for key, f in now.items() if key in goal or worse(trials.unmet, f)]
        if bad:
            doubts = [-f.doubt.margin for f in bad if f.doubt is not None and f.unit == "m"]
            worst = min(bad, key=lambda f: f.margin)
            return _Refused(misses(worst, self._case.units), max(doubts, default=0.0))
        had, has = unsettled(trials.base.findings), unsettled(after.findings)
        return Fix(
            change=change,
            clears=tuple(f for key, f in trials.unmet.items() if key not in now),
            leaves=tuple(f for f in now.values() if f.heater == self._case.name),
            adds=tuple(
                f for key, f in has.items() if key not in had and f.verdict is Verdict.ADVISORY
            ),
            places=tuple(e for e in effects(trials.base, after) if e.changes),
            evaluation=after,
        )


def _spread(found: Sequence[_Found]) -> list[_Found]:
    """The least of each family first, then the others; of each, the least disturbing first."""
    ordered = sorted(found, key=lambda one: one.change.disturbance_m)
    first: dict[str, _Found] = {}
    for one in ordered:
        first.setdefault(one.family, one)
    heads = list(first.values())
    return heads + [one for one in ordered if one not in heads]
