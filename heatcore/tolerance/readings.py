"""What is held against a heater at one corner of the tolerances, under keys that corners share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import NamedTuple

import numpy as np

from heatcore.checks.clearance import margins
from heatcore.checks.finding import Finding
from heatcore.checks.height import heights
from heatcore.checks.mounting import mountings
from heatcore.geometry.closest import triangle_box
from heatcore.geometry.distance import NOISE
from heatcore.geometry.parts import Kind, Mesh, Model, Part
from heatcore.geometry.tree import spans
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import BODY_TRIANGLES, Mount
from heatcore.mounting.plate import plate, plate_frame
from heatcore.mounting.structure import Structure
from heatcore.tolerance.variants import CARRYING

# Faults of a mount that a dimension can bring about. A tilt beyond its range, a mass beyond a
# rating and brackets set too wide do not come from the drawing, and where a heater cannot quite
# hang at the height that is asked for, what that does to its clearances is told there.
OF_THE_DRAWING = frozenset(
    {"mount.arm", "mount.level", "mount.hinge", "mount.plate", "mount.structure", "mount.surface"}
)
VOLUME = "volume"


class Key(NamedTuple):
    """What a margin is about, at whatever corner.

    Attributes
    ----------
    code : of the finding; 'volume' for how far a thing stands from the clearance volumes
    side : of the finding
    group : the thing that it is measured to, wherever it is in its travel
    combustible : whether it is combustible
    asked : what a keep-out asks for: there may be several from one kind of thing
    """

    code: str
    side: str = ""
    group: str = ""
    combustible: bool = True
    asked: float = 0.0


@dataclass(frozen=True, eq=False)
class Readings:
    """One heater at one corner.

    Attributes
    ----------
    margins : by key [unit of the finding]
    findings : by key, where the checks told of one
    """

    margins: Mapping[Key, float]
    findings: Mapping[Key, Finding]


def read(
    mount: Mount,
    kept_out: Sequence[Finding],
    model: Model,
    local: Model,
    carrying: Model,
    mounts: Sequence[Mount],
    slack: float,
    within: frozenset[str] = frozenset(),
) -> Readings:
    """Measure all that is held against a heater.

    Parameters
    ----------
    mount : the heater, hung
    kept_out : what those keep-outs say of it that can matter
    model : the whole scene, made solid
    local : what stands near it
    carrying : what it may hang from
    mounts : the heaters near it, itself included
    slack : whatever has less than so much to spare is told of [m]
    within : things of which it does not matter how far they are from the clearance volumes
    """
    groups = groups_of(model.parts)
    found: dict[Key, Finding] = {}
    told = [*heights(mount, model), *kept_out]
    if local.parts or len(mounts) > 1:
        told += margins(mount, local, mounts, slack)
    told += [f for f in mountings(mount) if f.code in OF_THE_DRAWING]
    for finding in told:
        key = key_of(finding, groups)
        if key not in found or finding.margin < found[key].margin:
            found[key] = finding
    by_key = dict(_of_the_mount(mount, carrying, slack))
    by_key |= gaps(mount, local, mounts, slack, groups, within)
    for key, finding in found.items():
        if not (key.code == "mount.arm" and mount.holds):
            by_key[key] = finding.margin
    return Readings(by_key, found)


def key_of(finding: Finding, groups: Mapping[str, str]) -> Key:
    """The key of a finding."""
    if finding.code.startswith("mount."):
        return Key(finding.code)
    group = groups.get(finding.object, finding.object)
    asked = finding.required if finding.code.startswith("keepout.") else 0.0
    return Key(finding.code, finding.side, group, finding.combustible, asked)


def groups_of(parts: Sequence[Part]) -> dict[str, str]:
    """Which parts are one thing: those of what moves are, wherever it is in its travel."""
    moving = {part.owner for part in parts if part.swept}
    return {part.name: part.owner if part.owner in moving else part.name for part in parts}


def _of_the_mount(mount: Mount, model: Model, slack: float) -> Iterator[tuple[Key, float]]:
    """How much a mount could still take, in what a dimension can use up.

    An arm: what its bracket's fine adjustment can still lengthen it by, and what it has to spare.
    Level: by how much more the two arms could differ. The hinges: what is left of their range. The
    plates: how far they lie inside the edges of what they stand on.
    """
    bracket = mount.bracket
    fine = [arm.fine for arm in mount.arms]
    yield Key("mount.arm"), bracket.fine - max(fine) + max(mount.spare, 0.0)
    yield Key("mount.level"), bracket.fine - abs(fine[1] - fine[0])
    lean = (
        (bracket.hinge_along - abs(a.lean_along), bracket.hinge_across - abs(a.lean_across))
        for a in mount.arms
    )
    yield Key("mount.hinge"), max(min(map(min, lean)), 0.0)
    yield Key("mount.plate"), _inset(mount, model, slack)


def _inset(mount: Mount, model: Model, slack: float) -> float:
    """How far the plates lie inside the edges of their surfaces, at most `slack` [m]."""
    wide = replace(
        mount.bracket,
        plate_length=mount.bracket.plate_length + 2.0 * slack,
        plate_width=mount.bracket.plate_width + 2.0 * slack,
    )
    structure = Structure(tuple(model.of(*CARRYING)))
    left = slack
    for arm in mount.arms:
        numbers = [i for i, part in enumerate(structure.parts) if part.name == arm.surface]
        if numbers:
            frame = plate_frame(arm.foot, arm.normal, mount.frame.x)
            left = min(left, slack - plate(frame, wide, numbers[0], structure).overhang)
    return max(left, 0.0)


def gaps(
    mount: Mount,
    model: Model,
    mounts: Sequence[Mount],
    slack: float,
    groups: Mapping[str, str],
    within: frozenset[str] = frozenset(),
) -> dict[Key, float]:
    """How far each thing stands from the clearance volumes, where that is less than `slack` [m].

    What stands in none of them may have no reading from any face; this is what tells how near it is
    to getting one. 0 for what stands in one; things named as `within` are left out.
    """
    things = [
        (groups[part.name], part.combustible, part.mesh)
        for part in model.parts
        if part.kind is not Kind.PERSON
    ]
    things += [(m.name, False, Mesh(m.body, BODY_TRIANGLES)) for m in mounts if m is not mount]
    least: dict[Key, float] = {}
    for group, burns, mesh in things:
        if group in within:
            continue
        gap = _gap(mount, burns, mesh, slack)
        if gap < slack:
            key = Key(VOLUME, "", group, burns)
            least[key] = min(least.get(key, inf), gap)
    return least


def _gap(mount: Mount, combustible: bool, mesh: Mesh, slack: float) -> float:
    kind = mount.type
    need = kind.combustible if combustible else kind.noncombustible
    body = np.array(
        [(-kind.length / 2, -kind.width / 2, 0.0), (kind.length / 2, kind.width / 2, kind.height)]
    )
    points = mount.frame.to_local(mesh.vertices)
    upper, lower = clearance_volumes(kind, need)
    first, last = points.min(axis=0), points.max(axis=0)
    off = np.maximum(np.maximum(first - upper[1], lower[0] - last), 0.0)
    off[:2] = np.maximum(np.maximum(first[:2] - lower[1][:2], lower[0][:2] - last[:2]), 0.0)
    gap = slack
    if off @ off >= (slack + need.least) ** 2:
        return gap
    triangles = points[mesh.triangles]
    low, high = spans(triangles)
    for box, asked in ((upper, 0.0), (lower, 0.0), ((body[0], body[1]), need.least)):
        off = np.maximum(np.maximum(low - box[1], box[0] - high), 0.0)
        near = (off * off).sum(axis=1) < (gap + asked) ** 2
        if near.any():
            gap = min(gap, float(triangle_box(triangles[near], *box)[0].min()) - asked)
    return gap if gap > NOISE else 0.0
