"""Clearances: every distance from every heater that a fire marshal would ask for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite

import numpy as np

from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.distance import NOISE, Face, Reading, measure
from heatcore.geometry.parts import Kind, Mesh, Model
from heatcore.geometry.reading import Body
from heatcore.geometry.soup import Soup
from heatcore.geometry.surfaces import stands_in, surface_distances
from heatcore.geometry.view import Mask
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import BODY_TRIANGLES, Mount

UNDER = "it reaches under the body"  # what crosses a side's plane below it reads 0 there
SIGHT = 5.0  # m; what is nearest is named up to here, so that a holding face says by what it holds

CODES = {
    Face.ABOVE: "clearance.above",
    Face.BELOW: "clearance.below",
    Face.PLUS_SIDE: "clearance.side",
    Face.MINUS_SIDE: "clearance.side",
    Face.PLUS_END: "clearance.end",
    Face.MINUS_END: "clearance.end",
    Face.CORNER: "clearance.corner",
    Face.SHORTEST: "clearance.shortest",
}

SWEPT = {
    Kind.DOOR: "it counts through its whole swing",
    Kind.WINDOW: "it counts through its whole swing",
    Kind.SCREEN: "it counts through its whole travel",
    Kind.FITTING: "it counts wherever it moves",
}


@dataclass(frozen=True)
class Thing:
    """What a distance is measured to.

    Attributes
    ----------
    name : as findings say it
    group : what it shares with the same thing elsewhere in its travel
    note : what must be said of it
    """

    name: str
    group: str
    note: str = ""


@dataclass(frozen=True, eq=False)
class Obstacles:
    """Things of one kind of material, ready to be measured to."""

    things: tuple[Thing, ...]
    soup: Soup


def clearances(mount: Mount, model: Model, mounts: Sequence[Mount]) -> list[Finding]:
    """Hold the required distances of one heater against everything round it.

    People are left out, since they move. Another heater's body counts as non-combustible.

    Returns
    -------
    list of Finding
        For each face and each kind of material: every thing that is too near, and otherwise the
        nearest within sight. Where a thing is too near only at a corner, or only by the plain
        shortest distance, it is found there. The plain shortest distance to the nearest thing
        stands beside them.
    """
    return _all_held(mount, model, mounts, 0.0)


def margins(mount: Mount, model: Model, mounts: Sequence[Mount], slack: float) -> list[Finding]:
    """Say what `clearances` says, and of every other thing with less than so much to spare.

    Returns
    -------
    list of Finding
        The findings of `clearances`; and for each face, at the corners and by the plain shortest
        distance, everything whose margin there is less than `slack` [m], be it the nearest or not.

    Raises
    ------
    ValueError
        If the slack is negative or not finite.
    """
    if not (isfinite(slack) and slack >= 0.0):
        raise ValueError("the slack must be a finite length, 0 or more")
    return _all_held(mount, model, mounts, slack)


def clear(mounts: Sequence[Mount], model: Model) -> Mask:
    """Whether the clearances of each heater hold, were it to hang there alone.

    The verdict of `clearances` without its figures, for many heaters at once and far faster: what
    to ask where many places are tried.

    Returns
    -------
    (n,) bool
    """
    out: Mask = np.ones(len(mounts), dtype=bool)
    if not len(mounts):
        return out
    number = np.arange(len(mounts))
    types = [mount.type for mount in mounts]
    bodies = [Body((t.length, t.width, t.height), t.combustible) for t in types]
    low, high = np.array([b.low for b in bodies]), np.array([b.high for b in bodies])
    middles = [mount.frame.to_world(b) for mount, b in zip(mounts, (low + high) / 2, strict=True)]
    for group, combustible in zip(obstacles(model), (True, False), strict=True):
        needs = [t.combustible if combustible else t.noncombustible for t in types]
        view = group.soup.seen_from(*(mount.frame for mount in mounts))
        volumes = [clearance_volumes(t, need) for t, need in zip(types, needs, strict=True)]
        # What merely touches a volume does not stand in it; but what lies on the body does.
        for boxes, seam in zip(np.swapaxes(np.array(volumes), 0, 1), (-1.0, 1.0), strict=True):
            drawn_in = NOISE * np.array([1.0, 1.0, seam])
            out &= ~stands_in(view, number, boxes[:, 0] + drawn_in, boxes[:, 1] - NOISE)
        least = np.array([need.least for need in needs])
        out &= surface_distances(view, low, high) >= least - NOISE
        for i in np.flatnonzero(out).tolist():
            out[i] = not len(group.soup.holders(middles[i]))
    return out


def _all_held(mount: Mount, model: Model, mounts: Sequence[Mount], slack: float) -> list[Finding]:
    combustible, noncombustible = obstacles(model)
    others = [noncombustible, _bodies(mount, mounts)]
    return [
        *_held(mount, [combustible], slack, combustible=True),
        *_held(mount, others, slack, combustible=False),
    ]


@lru_cache(maxsize=2)  # a model never changes, and a heater may be dragged through it
def obstacles(model: Model) -> tuple[Obstacles, Obstacles]:
    """Everything combustible, and everything else, that does not walk about."""
    moving = {part.owner for part in model.parts if part.swept}
    sorted_out: list[Obstacles] = []
    for combustible in (True, False):
        parts = [
            part
            for part in model.parts
            if part.combustible is combustible and part.kind is not Kind.PERSON
        ]
        things = (
            Thing(
                part.name,
                part.owner if part.owner in moving else part.name,
                SWEPT.get(part.kind, "") if part.swept else "",
            )
            for part in parts
        )
        sorted_out.append(Obstacles(tuple(things), Soup.of([part.mesh for part in parts])))
    return sorted_out[0], sorted_out[1]


def _bodies(mount: Mount, mounts: Sequence[Mount]) -> Obstacles:
    others = [other for other in mounts if other is not mount]
    return Obstacles(
        tuple(Thing(other.name, other.name) for other in others),
        Soup.of([Mesh(other.body, BODY_TRIANGLES) for other in others]),
    )


def _held(
    mount: Mount, around: Iterable[Obstacles], slack: float, *, combustible: bool
) -> list[Finding]:
    distances = mount.type.combustible if combustible else mount.type.noncombustible
    body = (mount.type.length, mount.type.width, mount.type.height)
    by_face: dict[Face, list[tuple[Reading, Thing]]] = {face: [] for face in Face}
    for group in (some for some in around if some.things):
        for reading in measure(mount.frame, body, distances, group.soup, SIGHT, slack):
            by_face[reading.face].append((reading, group.things[reading.owner]))
    chosen = [pair for face in CODES for pair in _telling(by_face[face], slack)]
    return [
        _finding(mount, reading, thing, combustible=combustible)
        for reading, thing in chosen
        if _decides(reading, thing, chosen, slack)
    ]


def _telling(
    readings: Iterable[tuple[Reading, Thing]], slack: float
) -> list[tuple[Reading, Thing]]:
    """Of each thing the worst reading, where it falls short; where none does, the nearest."""
    worst: dict[str, tuple[Reading, Thing]] = {}
    for reading, thing in sorted(readings, key=lambda pair: pair[0].margin):
        worst.setdefault(thing.group, (reading, thing))
    ordered = list(worst.values())
    return [pair for pair in ordered if pair[0].falls_short(slack)] or ordered[:1]


def _decides(
    reading: Reading, thing: Thing, readings: Sequence[tuple[Reading, Thing]], slack: float
) -> bool:
    """Whether a reading says what no other one says."""
    same = [r for r, other in readings if other.group == thing.group and r.falls_short(slack)]
    if reading.face is Face.CORNER:
        beside = [r.margin for r in same if CODES[r.face] in ("clearance.side", "clearance.end")]
        return reading.falls_short(slack) and reading.margin < min(beside, default=slack) - NOISE
    if reading.face is Face.SHORTEST:
        if slack > 0.0 and reading.falls_short(slack):
            return True
        nearest = next(r for r, _ in readings if r.face is Face.SHORTEST)
        alone = all(r.face is Face.SHORTEST for r in same)
        return reading is nearest or alone or reading.distance < -NOISE
    return True


def _finding(mount: Mount, reading: Reading, thing: Thing, *, combustible: bool) -> Finding:
    plain = reading.face in (Face.CORNER, Face.SHORTEST)
    return Finding(
        code=CODES[reading.face],
        verdict=Verdict.HOLDS if reading.holds else Verdict.FAILS,
        heater=mount.name,
        object=thing.name,
        measured=reading.distance,
        required=reading.required,
        unit="m",
        point=reading.point,
        heater_point=reading.heater_point,
        side="" if plain else reading.face.value,
        combustible=combustible,
        note="; ".join(filter(None, (thing.note, _note(mount, reading)))),
        offsets=reading.offsets,
    )


def _note(mount: Mount, reading: Reading) -> str:
    """What the figures alone do not say."""
    if reading.face is Face.CORNER:
        return "it stands beside a side and an end at once"
    if reading.face is Face.SHORTEST:
        return "the heater's body and it are in one another" if reading.distance < -NOISE else ""
    under = mount.frame.to_local(reading.heater_point)[2] < -NOISE
    return UNDER if under and reading.distance <= NOISE else ""
