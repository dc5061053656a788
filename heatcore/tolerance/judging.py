"""Each finding held against the tolerances of the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.distance import NOISE
from heatcore.geometry.parts import Model
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene
from heatcore.tolerance.corners import Search
from heatcore.tolerance.readings import OF_THE_DRAWING, VOLUME, Key, groups_of, key_of
from heatcore.tolerance.scope import moves_of
from heatcore.tolerance.ties import Ties
from heatcore.tolerance.variants import AS_DRAWN, Variants

# What the drawing decides about. What heats, wets or trips does not hang on half an inch.
_JUDGED = ("clearance.", "mount.", "height.", "keepout.")
_NOTE = "found at the worst corner of the drawing's tolerances"


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
    if drawn is None or not variants.dimensions:
        return tuple(findings)
    ties = Ties(variants.scene, drawn, variants.dimensions)
    moves = {mount.name: moves_of(mount, variants, ties) for mount in mounts}
    told = list(findings)
    groups = groups_of(model.parts)
    for mount in mounts:
        own = [i for i, f in enumerate(findings) if f.heater == mount.name and _is_judged(f)]
        search = Search(mount.name, variants, ties, moves)
        if search.drawn is None:
            continue
        keys = {i: key_of(findings[i], groups) for i in own}
        for key in dict.fromkeys((*keys.values(), *search.near_their_limit())):
            search.look(key)
        for i, key in keys.items():
            told[i] = _held(findings[i], key, search)
        told += _further(set(keys.values()), [told[i] for i in own], search, groups)
    return tuple(told)


def _is_judged(finding: Finding) -> bool:
    return finding.code.startswith(_JUDGED)


def _held(finding: Finding, key: Key, search: Search) -> Finding:
    """A finding with its doubt, and the verdict that this leaves."""
    doubt = search.doubt(key)
    if doubt is None:
        return finding
    # What the fine adjustment of an arm still takes up is more than the arm has to spare.
    doubt = replace(doubt, margin=min(doubt.margin, finding.margin))
    holds = finding.verdict is not Verdict.HOLDS or doubt.margin >= -NOISE
    return replace(finding, doubt=doubt, verdict=finding.verdict if holds else Verdict.MEASURE)


def _further(
    told: set[Key], own: Sequence[Finding], search: Search, groups: dict[str, str]
) -> list[Finding]:
    """What would fall short at its worst corner, and is not told of as drawn."""
    short = {key: w for key in search.keys if key not in told and key.code != VOLUME
             and (w := search.worst(key)) is not None and w.margin < -NOISE
             and key in w.readings.findings}  # fmt: skip
    named = {key_of(f, groups) for f in own if f.verdict is not Verdict.HOLDS}
    found = []
    for key, worst in sorted(short.items(), key=lambda entry: entry[1].margin):
        if _said_already(key, [*named, *short]):
            continue
        assert search.drawn is not None
        doubt = search.doubt(key, *_guides(key))
        finding = search.drawn.findings.get(key)
        if finding is None or finding.code.startswith("mount."):
            finding = worst.readings.findings[key]
            finding = replace(finding, note="; ".join(filter(None, (finding.note, _NOTE))))
        found.append(replace(finding, verdict=Verdict.MEASURE, doubt=doubt))
    return found


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
