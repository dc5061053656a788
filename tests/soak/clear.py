"""No wrong 'holds' among the clearances, and no wrong 'fails': each heater against FCL.

From the design's section 5 alone: two volumes in the heater's frame, and the plain shortest
distance from the body. Nothing of the tool's own measuring is used, only where it hung the heater.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.parts import Kind, Model
from heatcore.mounting.mount import Mount
from heatcore.scene.types import Distances
from tests.soak.overlap import Floats, box_triangles, distance, stands_in

SLACK = 1e-5  # m; two sound ways to measure differ by less


@dataclass(frozen=True, eq=False)
class Thing:
    """What stands about.

    Attributes
    ----------
    name, group : its own name, and what it shares with itself elsewhere on its way
    triangles : (m, 3, 3) in the world [m]
    combustible : which of the required distances go for it
    """

    name: str
    group: str
    triangles: Floats
    combustible: bool


def clearance_faults(
    model: Model, mounts: Sequence[Mount], findings: Iterable[Finding]
) -> list[str]:
    """What the clearance findings say wrongly, one sentence each."""
    said = [f for f in findings if f.code.startswith("clearance.")]
    parts = list(_parts(model))
    faults: list[str] = []
    for mount in mounts:
        bodies = [_body(other) for other in mounts if other is not mount]
        own = [f for f in said if f.heater == mount.name]
        for combustible in (True, False):
            things = [t for t in (*parts, *bodies) if t.combustible is combustible]
            faults += _of(mount, things, [f for f in own if f.combustible is combustible])
    return faults


def _parts(model: Model) -> Iterator[Thing]:
    moving = {part.owner for part in model.parts if part.swept}
    for part in model.parts:
        if part.kind is not Kind.PERSON:
            group = part.owner if part.owner in moving else part.name
            triangles = part.mesh.vertices[part.mesh.triangles]
            yield Thing(part.name, group, triangles, part.combustible)


def _size(mount: Mount) -> tuple[Floats, Floats]:
    half = np.array([mount.type.length / 2, mount.type.width / 2, 0.0])
    return -half, half + np.array([0.0, 0.0, mount.type.height])


def _body(mount: Mount) -> Thing:
    world = box_triangles(*_size(mount)) @ mount.frame.axes + mount.frame.origin
    return Thing(mount.name, mount.name, world, combustible=False)


def _volumes(mount: Mount, required: Distances) -> tuple[tuple[Floats, Floats], ...]:
    low, high = _size(mount)
    over = np.array([0.0, 0.0, mount.type.height])
    aside = np.array([required.ends, required.sides, 0.0])
    upper = (low + over, high + np.array([0.0, 0.0, required.above]))
    return upper, (low - aside - np.array([0.0, 0.0, required.below]), high + aside)


def _of(mount: Mount, things: Sequence[Thing], said: Sequence[Finding]) -> list[str]:
    if not things:
        return [f"{f.code} speaks of {f.object!r}, which is not there" for f in said]
    required = mount.type.combustible if things[0].combustible else mount.type.noncombustible
    low, high = _size(mount)
    volumes = _volumes(mount, required)
    reach = max(required.above, required.sides, required.ends, required.below) + 0.3
    failing = {f.object for f in said if f.verdict is Verdict.FAILS}
    failing_groups = {thing.group for thing in things if thing.name in failing}
    what = "combustible" if things[0].combustible else "non-combustible"
    faults: list[str] = []
    nearest = (inf, "")
    seen = {thing.name: thing for thing in things}
    for name in {f.object for f in said} - set(seen):
        faults.append(f"{mount.name}: a clearance finding names {name!r}, which is no such part")
    for thing in things:
        triangles = (thing.triangles - mount.frame.origin) @ mount.frame.axes.T
        away = distance(triangles, low, high, reach)
        nearest = min(nearest, (away, thing.name))
        within = [n for n, v in enumerate(volumes) if stands_in(triangles, *_grown(v, -SLACK))]
        if (within or away < required.least - SLACK) and thing.group not in failing_groups:
            faults.append(
                f"WRONG HOLDS: {mount.name}: {what} {thing.name!r} stands in volumes {within} of "
                f"(upper, lower) or at {away:.6f} m of {required.least} m, and nothing of it fails"
            )
        if thing.name in failing:
            touched = away < required.least + SLACK
            if not touched and not any(stands_in(triangles, *_grown(v, SLACK)) for v in volumes):
                codes = [f.code for f in said if f.object == thing.name]
                faults.append(
                    f"WRONG FAILS: {mount.name}: {what} {thing.name!r} is clear of both volumes, "
                    f"at {away:.6f} m of {required.least} m, and fails: {codes}"
                )
        faults += _figures(mount, thing, triangles, said)
    told = min((f.measured for f in said if f.code == "clearance.shortest"), default=inf)
    if nearest[0] < min(told, reach) - SLACK and nearest[0] > SLACK:
        faults.append(
            f"WRONG FIGURE: {mount.name}: the nearest {what} thing is {nearest[1]!r} at "
            f"{nearest[0]:.6f} m, and the shortest distance told is {told:.6f} m"
        )
    return faults


def _figures(
    mount: Mount, thing: Thing, triangles: Floats, said: Sequence[Finding]
) -> Iterator[str]:
    low, high = _size(mount)
    for f in said:
        if f.object == thing.name and f.code == "clearance.shortest" and f.measured > SLACK:
            away = distance(triangles, low, high)
            if abs(away - f.measured) > SLACK * max(1.0, away):
                yield (
                    f"WRONG FIGURE: {mount.name}: {thing.name!r} is {away:.6f} m away, "
                    f"and is told to be {f.measured:.6f} m away"
                )


def _grown(box: tuple[Floats, Floats], by: float) -> tuple[Floats, Floats]:
    low, high = box
    return low - by, high + by
