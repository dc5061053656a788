"""Each finding held against the tolerances of the drawing."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from heatcore.checks.finding import Doubt, Finding, Verdict
from heatcore.geometry.distance import NOISE
from heatcore.geometry.parts import Model
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene
from heatcore.tolerance.corners import Search, Worst
from heatcore.tolerance.heavy import taken_off
from heatcore.tolerance.readings import OF_THE_DRAWING, VOLUME, Key, groups_of, key_of
from heatcore.tolerance.recent import Recent
from heatcore.tolerance.scope import Moves, Scope, moves_of, scope_of
from heatcore.tolerance.ties import Ties
from heatcore.tolerance.variants import AS_DRAWN, Variants, apart

# What the drawing decides about. What heats, wets or trips does not hang on half an inch.
_CODES = ("clearance.", "mount.", "height.", "keepout.")
# Heaters farther from each other than so many times the loosest tolerance do not meet by it.
_TOGETHER = 100.0
_AT_LEAST = 1.5  # m; nor farther than this, whatever length of arm the one is hung at anew
_NOTE = "its figures are those at the worst corner of the drawing's tolerances, not as drawn"


def judged(
    scene: Scene, model: Model, mounts: Sequence[Mount], findings: Sequence[Finding]
) -> tuple[Finding, ...]:
    """Judge findings by what they would be if the drawing is off by its tolerances.

    Each heater hangs on the brackets that were ordered from the drawing, and only their fine
    adjustment is free. How the worst corner of the tolerances is found, and what is not promised,
    see `corners`.

    Parameters
    ----------
    scene, model, mounts : as drawn: the scene, made solid, its heaters hung
    findings : what the checks say of it as drawn

    Returns
    -------
    tuple of Finding
        The same findings in the same order. Those about clearances, heights and mounts come with
        their doubt, where dimensions can bring them near their limit: what fails as drawn fails,
        and what holds as drawn but not at its worst corner must be measured on site. After them,
        to be measured on site too, what is not told of as drawn but would be there.
    """
    variants = Variants(scene, model, mounts)
    drawn = variants.model_at(AS_DRAWN)
    if drawn is None or not variants.all_dimensions:
        return tuple(findings)
    judge = _Judge(variants, Ties(variants.scene, drawn, variants.dimensions), mounts)
    told = list(findings)
    groups = groups_of(model.parts)
    for mount in mounts:
        own = [i for i, f in enumerate(findings) if f.heater == mount.name and _is_judged(f)]
        keys = {i: key_of(findings[i], groups) for i in own}
        found = judge.of(mount, tuple(dict.fromkeys(keys.values())))
        for i, key in keys.items():
            told[i] = _held(findings[i], found.doubts.get(key))
        told += _further(set(keys.values()), [told[i] for i in own], found, groups)
    return tuple(_with_heavy(told, variants, mounts) if variants.heavy else told)


def _with_heavy(
    told: Sequence[Finding], variants: Variants, mounts: Sequence[Mount]
) -> list[Finding]:
    """Findings, with what things that are not made anew may move taken off."""
    ties = Ties(variants.scene, variants.model, variants.all_dimensions)
    off = {name: ties.may_move(name) for name in variants.heavy}
    out, more = list(told), list[Finding]()
    for mount in mounts:
        own = [i for i, f in enumerate(told) if f.heater == mount.name and _is_judged(f)]
        ours = sum(ties.may_move(name) for name in ties.carrying(mount))
        mine = [told[i] for i in own]
        less = taken_off(mine, mount, variants.model, off, ours)
        for i, finding in zip(own, less, strict=False):
            out[i] = finding
        more += less[len(own) :]
    return out + more


@dataclass(frozen=True, eq=False)
class _Judgement:
    """What the tolerances leave of one heater.

    Attributes
    ----------
    doubts : of the margins of its findings
    short : of what falls short somewhere, the least margin and the finding to tell, without verdict
    """

    doubts: Mapping[Key, Doubt]
    short: Mapping[Key, tuple[float, Finding]]


# Of the heaters that were judged last: where one is moved, those far from it are as they were.
_JUDGED: Recent[_Judgement] = Recent(128)


class _Judge:
    """Judges the heaters of one scene, each once."""

    def __init__(self, variants: Variants, ties: Ties, mounts: Sequence[Mount]) -> None:
        self._variants, self._ties, self._mounts = variants, ties, mounts
        self._moves: dict[str, Moves] = {}
        loose = max((dimension.tolerance for dimension in variants.dimensions), default=0.0)
        self._together = max(_TOGETHER * loose, _AT_LEAST)

    def of(self, mount: Mount, keys: tuple[Key, ...]) -> _Judgement:
        """What the tolerances leave of a heater, and of the margins of its findings."""
        near = [o.name for o in self._mounts if o is mount or self._is_near(mount, o)]
        question = self._question(mount.name, keys, near)
        return _JUDGED.of(question, lambda: self._of_near(mount.name, keys, near))

    def _question(self, name: str, keys: tuple[Key, ...], others: Iterable[str]) -> Hashable:
        """All that a judgement depends on."""
        return self._variants.site, name, keys, *map(self._variants.hung_as, (name, *others))

    def _of_near(self, name: str, keys: tuple[Key, ...], near: Sequence[str]) -> _Judgement:
        """The same, where these heaters hang near."""
        for other in near:
            if other not in self._moves:
                self._moves[other] = moves_of(other, self._variants, self._ties)
        moves = {other: self._moves[other] for other in near}
        scope = scope_of(name, self._variants, self._ties, moves)
        # Of those that hang near few can come too near.
        question = ("scoped", self._question(name, keys, scope.others))
        return _JUDGED.of(question, lambda: self._judged(name, keys, moves, scope))

    def _judged(
        self, name: str, keys: tuple[Key, ...], moves: Mapping[str, Moves], scope: Scope
    ) -> _Judgement:
        search = Search(name, self._variants, scope, moves)
        if search.drawn is None:
            return _Judgement({}, {})
        for key in dict.fromkeys((*keys, *search.near_their_limit())):
            search.look(key)
        doubts = {key: doubt for key in keys if (doubt := search.doubt(key)) is not None}
        short = {
            key: (worst.margin, _told(key, worst, search))
            for key in search.keys
            if key not in keys and key.code != VOLUME
            if (worst := search.worst(key)) is not None and worst.margin < -NOISE
            if key in worst.readings.findings
        }
        return _Judgement(doubts, short)

    def _is_near(self, mount: Mount, other: Mount) -> bool:
        """Whether two heaters could come too near to each other."""
        need = mount.type.noncombustible
        asked = max(need.above, need.sides, need.ends, need.below)
        boxes = np.array([[other.body.min(axis=0), other.body.max(axis=0)]])
        low, high = mount.body.min(axis=0), mount.body.max(axis=0)
        return bool(apart(boxes, low, high)[0] < asked + self._together)


def _is_judged(finding: Finding) -> bool:
    return finding.code.startswith(_CODES)


def _held(finding: Finding, doubt: Doubt | None) -> Finding:
    """A finding with its doubt, and the verdict that this leaves."""
    if doubt is None:
        return finding
    # What the fine adjustment of an arm still takes up is more than the arm has to spare.
    doubt = replace(doubt, margin=min(doubt.margin, finding.margin))
    holds = finding.verdict is not Verdict.HOLDS or doubt.margin >= -NOISE
    return replace(finding, doubt=doubt, verdict=finding.verdict if holds else Verdict.MEASURE)


def _further(
    told: set[Key], own: Sequence[Finding], found: _Judgement, groups: dict[str, str]
) -> list[Finding]:
    """What would fall short at its worst corner, and is not told of as drawn."""
    named = {key_of(f, groups) for f in own if f.verdict is not Verdict.HOLDS}
    ordered = sorted(found.short.items(), key=lambda entry: entry[1][0])
    return [
        replace(finding, verdict=Verdict.MEASURE)
        for key, (_, finding) in ordered
        if not _said_already(key, [*named, *found.short])
    ]


def _told(key: Key, worst: Worst, search: Search) -> Finding:
    """What to tell of something that falls short somewhere: as drawn, or as it is found there."""
    assert search.drawn is not None
    finding = search.drawn.findings.get(key)
    if finding is None or finding.code.startswith("mount."):
        finding = worst.readings.findings[key]
        finding = replace(finding, note="; ".join(filter(None, (finding.note, _NOTE))))
    return replace(finding, doubt=search.doubt(key, *_guides(key)))


def _guides(key: Key) -> tuple[Key, ...]:
    """The margins whose dimensions tell about one that is not there as drawn."""
    if key.code in OF_THE_DRAWING:
        return Key("mount.plate"), Key("mount.arm")
    return Key(VOLUME, "", key.group, key.combustible), Key("mount.arm")


def _said_already(key: Key, others: Sequence[Key]) -> bool:
    """Whether something plainer is said of the same thing."""
    codes = {
        k.code for k in others if k != key and k.group == key.group and k.code.startswith("clear")
    }
    if key.code == "clearance.shortest":
        return bool(codes - {"clearance.shortest"})
    if key.code == "clearance.corner":
        return bool(codes & {"clearance.side", "clearance.end"})
    return False
