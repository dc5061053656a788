"""Keep-outs: what a heater keeps from kinds of things, whether or not they burn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from heatcore.checks.clearance import SIGHT
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.height import OFF_THE_FLOOR, least_height
from heatcore.checks.standing import LEANS, off_the_floor, stood_on
from heatcore.geometry.distance import NOISE, Face, measure
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Mesh, Model, Part
from heatcore.geometry.people import person_parts
from heatcore.geometry.plan_gaps import Gap, beside, plan_of, under
from heatcore.geometry.soup import Soup
from heatcore.mounting.mount import BODY_TRIANGLES, Mount
from heatcore.scene.model import Scene
from heatcore.scene.types import Distances, KeepOut

# Common practice, no source: a tall adult's arm, sideways from where the feet are [m].
ARM = 0.75

CODES = {
    "sprinkler": "keepout.sprinkler",
    "light": "keepout.light",
    "speaker": "keepout.speaker",
    "fan": "keepout.fan",
    "television": "keepout.television",
    "cable": "keepout.cable",
    "furniture": "keepout.under",
    "person": "keepout.person",
    "reach": "keepout.reach",
    "headroom": "keepout.headroom",
}

NOTES = {
    "sprinkler": "the head's temperature rating must suit the heat beside it too",
    "light": "check what ambient temperature it is made for",
    "speaker": "check what ambient temperature it is made for",
    "fan": "its blades count through their whole disc; moving air carries the warmth off",
    "television": "check what ambient temperature it is made for",
    "cable": "its insulation must stand the heat there",
    "furniture": "what is put on it stands nearer: flowers, candles, a parasol",
    "person": "nobody at the place should touch it",
    "headroom": "whoever walks there passes under it",
}
ALLOWED = "within a raised hand's reach, but the type's own instructions allow it"
TOUCHED = "within a raised hand's reach"


@dataclass(frozen=True, eq=False)
class Kept:
    """A part that a heater keeps from.

    Attributes
    ----------
    name : as findings say it
    part : its solid, or swept volume
    """

    name: str
    part: Part


def keep_outs(mount: Mount, scene: Scene, model: Model, slack: float = 0.0) -> list[Finding]:
    """Hold one heater against every keep-out of a scene.

    Parameters
    ----------
    mount : the heater, hung
    scene, model : as described, and made solid
    slack : whatever has less than so much to spare is told of, as if it were too near [m]

    Returns
    -------
    list of Finding
        For each keep-out every thing that is too near, the worst first; where none is, the nearest
        within sight. Of reach and headroom, the one surface that decides.
    """
    found: list[Finding] = []
    for keep_out in scene.keep_outs.values():
        match keep_out.from_:
            case "reach":
                found.append(_reach(mount, keep_out, model))
            case "headroom":
                found.append(_headroom(mount, keep_out, model))
            case _:
                things = _things(keep_out.from_, scene, model)
                found += _from_things(mount, keep_out, things, slack)
    return found


def _things(kind: str, scene: Scene, model: Model) -> tuple[Kept, ...]:
    """The things of a kind, each with its name."""
    match kind:
        case "person":
            return _people(model)
        case "furniture":
            parts = model.of(Kind.FURNITURE)
        case "cable":
            parts = model.of(Kind.CABLE)
        case _:
            owners = {fitting.name for fitting in scene.fitting if fitting.kind == kind}
            parts = (p for p in model.parts if p.kind is Kind.FITTING and p.owner in owners)
    return tuple(Kept(part.name, part) for part in parts)


@lru_cache(maxsize=2)  # a model never changes, and a heater may be dragged through it
def _people(model: Model) -> tuple[Kept, ...]:
    """Somebody at every place, taken in the pictures or not."""
    drawn: dict[str, list[Part]] = {}
    for part in model.of(Kind.PERSON):
        drawn.setdefault(part.owner, []).append(part)
    return tuple(
        Kept(place.name, part)
        for place in model.places
        for part in drawn.get(place.name) or person_parts(place, 0)
    )


def _from_things(
    mount: Mount, keep_out: KeepOut, things: Sequence[Kept], slack: float
) -> list[Finding]:
    nearest: dict[str, tuple[Gap, Kept]] = {}
    told_of = keep_out.distance + slack
    near = _near(mount, keep_out, things, told_of) if things else []
    gaps = _gaps(mount, keep_out, near, told_of) if near else ()
    for gap in sorted(gaps, key=lambda g: g.distance):
        thing = near[gap.owner]
        nearest.setdefault(thing.part.owner, (gap, thing))
    ordered = list(nearest.values())
    short = [(g, t) for g, t in ordered if g.distance < told_of - NOISE]
    told = short or [(g, t) for g, t in ordered[:1] if g.distance <= SIGHT]
    return [
        _finding(
            mount,
            keep_out,
            Verdict.FAILS if gap.distance < keep_out.distance - NOISE else Verdict.HOLDS,
            thing.name,
            gap.distance,
            gap.point,
            gap.body_point,
            NOTES[keep_out.from_],
        )
        for gap, thing in told
    ]


def _near(mount: Mount, keep_out: KeepOut, things: Sequence[Kept], told_of: float) -> list[Kept]:
    """Which of some things may be too near, or the nearest, by the boxes round them."""
    axes = slice(0, 3 if keep_out.way == "around" else 2)
    boxes = np.array([thing.part.mesh.bounds for thing in things])[:, :, axes]
    low, high = mount.body.min(axis=0)[axes], mount.body.max(axis=0)[axes]
    apart = np.maximum(np.maximum(low - boxes[:, 1], boxes[:, 0] - high), 0.0)
    least = np.linalg.norm(apart, axis=1)
    if keep_out.way == "under":
        wanted = 0.0
    else:
        # Some corner of what seems nearest is no nearer than its nearest point.
        corners = things[int(least.argmin())].part.mesh.vertices[:, axes]
        body = mount.body.mean(axis=0)[axes]
        wanted = max(told_of, float(np.linalg.norm(corners - body, axis=1).min()))
    return [thing for thing, gap in zip(things, least, strict=True) if gap <= wanted + NOISE]


def _gaps(mount: Mount, keep_out: KeepOut, things: Sequence[Kept], told_of: float) -> Iterable[Gap]:
    meshes = [thing.part.mesh for thing in things]
    match keep_out.way:
        case "beside":
            return beside(mount.body, meshes)
        case "under":
            return under(mount.body[BODY_TRIANGLES], meshes)
    return _around(mount, told_of, _soup(tuple(meshes)))


@lru_cache(maxsize=16)  # of the same things while a heater is dragged about them
def _soup(meshes: tuple[Mesh, ...]) -> Soup:
    return Soup.of(meshes)


def _around(mount: Mount, distance: float, soup: Soup) -> Iterator[Gap]:
    body = (mount.type.length, mount.type.width, mount.type.height)
    asked = Distances(above=distance, sides=distance, ends=distance, below=distance)
    for reading in measure(mount.frame, body, asked, soup, SIGHT):
        if reading.face is Face.SHORTEST:
            yield Gap(reading.owner, reading.distance, reading.point, reading.heater_point)


def _reach(mount: Mount, keep_out: KeepOut, model: Model) -> Finding:
    """Hold a heater's lowest part against a raised hand.

    A type's own least height is its maker's word: a place that it allows, and that a raised hand
    can touch, is an advisory.
    """
    plan = plan_of(mount.body)
    ground = stood_on(model, plan, ARM)[0]
    heater_point = _lowest(mount.body)
    height = float(heater_point[2]) - ground.height
    note, verdict = "", Verdict.HOLDS
    if height < keep_out.distance - NOISE:
        allowed = height >= least_height(mount) - NOISE
        note, verdict = (ALLOWED, Verdict.ADVISORY) if allowed else (TOUCHED, Verdict.FAILS)
    beyond = OFF_THE_FLOOR if ground.plan is None and off_the_floor(model, plan) else ""
    return _finding(
        mount,
        keep_out,
        verdict,
        ground.name,
        height,
        ground.under(heater_point),
        heater_point,
        "; ".join(filter(None, (note, beyond))),
    )


def _headroom(mount: Mount, keep_out: KeepOut, model: Model) -> Finding:
    """Hold the lowest part of heater and bracket against who walks under it."""
    hung = np.concatenate(
        [mount.body, *(np.vstack([arm.pivot, arm.foot, arm.plate]) for arm in mount.arms)]
    )
    ground = stood_on(model, plan_of(hung), LEANS)[0]
    heater_point = _lowest(hung)
    height = float(heater_point[2]) - ground.height
    holds = height >= keep_out.distance - NOISE
    return _finding(
        mount,
        keep_out,
        Verdict.HOLDS if holds else Verdict.FAILS,
        ground.name,
        height,
        ground.under(heater_point),
        heater_point,
        NOTES["headroom"],
    )


def _lowest(points: Floats) -> Floats:
    """(3,) middle of the lowest of some points (n, 3) [m]."""
    lowest: Floats = points[points[:, 2] <= points[:, 2].min() + NOISE].mean(axis=0)
    return lowest


def _finding(
    mount: Mount,
    keep_out: KeepOut,
    verdict: Verdict,
    name: str,
    measured: float,
    point: Floats,
    heater_point: Floats,
    note: str,
) -> Finding:
    return Finding(
        code=CODES[keep_out.from_],
        verdict=verdict,
        heater=mount.name,
        object=name,
        measured=measured,
        required=keep_out.distance,
        unit="m",
        point=point,
        heater_point=heater_point,
        combustible=False,
        note=f"{keep_out.name}: {note}" if note else keep_out.name,
        source=keep_out.source,
    )
