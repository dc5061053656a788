"""One heater more, of the type of the nearest."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, degrees, pi

import numpy as np

from heatcore.geometry.frames import Floats, Frame, heading_axes
from heatcore.heat.emitter import Emitter
from heatcore.mounting.landmarks import plan_place
from heatcore.mounting.mount import Mount
from heatcore.remedies.case import Case, change, share
from heatcore.remedies.values import Change, Kind
from heatcore.scene.model import Heater
from heatcore.scene.write import table_data

SPACING = 0.4  # m, between the places looked at
AROUND = 2.4  # m
TRIES = 16


@dataclass(frozen=True, eq=False)
class _Spot:
    """A place for one more heater: its scores of all places, and the heater itself."""

    scores: Floats
    heater: Heater


class Additions:
    """One heater more: what helps one place is the first idea for the next."""

    def __init__(self) -> None:
        self._found: list[Change] = []

    def find(self, case: Case) -> Change | str:
        """One more heater near the place; else what was tried, in a sentence."""
        known = case.accepted(self._found, len(self._found))
        if isinstance(known, Change):
            return known
        found = _added(case)
        if isinstance(found, Change):
            self._found.append(found)
        return found


def _added(case: Case) -> Change | str:
    if not case.evaluation.mounts:
        return "There is no heater whose type one more could have."
    nearest = _nearest(case)
    what = f"One more {nearest[0].type.name} within {case.length(AROUND)}"
    spots = list(_spots(case, nearest))
    best = max(float(spot.scores[case.index]) for spot in spots)
    warm = [spot for spot in spots if spot.scores[case.index] >= 1.0]
    if not warm:
        return f"{what}: it gains at most {share(best)} of what is asked for."
    warm.sort(key=lambda s: (-int((s.scores >= 1.0).sum()), -float(s.scores[case.index])))
    found = case.accepted((_made(case, spot.heater) for spot in warm), TRIES)
    return found if isinstance(found, Change) else f"{what}: {found}."


def _nearest(case: Case) -> tuple[Mount, Emitter]:
    """The heater that hangs nearest to the person."""
    waist = case.place.points[1]
    pairs = zip(case.evaluation.mounts, case.evaluation.emitters, strict=True)
    return min(pairs, key=lambda pair: float(np.linalg.norm(pair[0].frame.origin - waist)))


def _spots(case: Case, nearest: tuple[Mount, Emitter]) -> Iterator[_Spot]:
    """Copies of a heater, about the place, along and across."""
    mount, emitter = nearest
    full = emitter.radiant_power_w / (mount.heater.output or 1.0)
    name = _new_name(case, mount.name)
    here = plan_place(mount.heater, case.evaluation.scene, case.evaluation.model)
    for heading in _headings(mount):
        axes = heading_axes(heading, mount.tilt)
        for point in _lattice(case, mount, here):
            rounded, _ = case.at(point)
            offset = rounded - here
            frame = Frame(mount.frame.origin, axes)
            if mount.heater.mount == "ceiling" and mount.heater.height is None:
                frame = case.screen.shifted(frame, offset)
            else:
                frame = frame.moved([*offset, 0.0])
            scores = case.screen.with_emitter(
                replace(emitter, name=name, frame=frame, radiant_power_w=full)
            )
            heater = replace(
                mount.heater, name=name, at=(float(rounded[0]), float(rounded[1])), offset=None,
                heading=None if mount.heater.mount in ("wall", "beam") else _whole(heading),
                aim_at=None, circuit=None, output=1.0,
                tilt=mount.heater.tilt if mount.heater.aim_at is None else None,
            )  # fmt: skip
            yield _Spot(scores, heater)


def _headings(mount: Mount) -> list[float]:
    heading = atan2(mount.frame.x[1], mount.frame.x[0])
    free = mount.heater.mount in ("ceiling", "stem")
    return [heading, heading + pi / 2] if free else [heading]


def _whole(heading: float) -> float:
    """A heading written to a hundredth of a degree [rad]."""
    return float(np.radians(round(degrees(heading) % 360.0, 2)))


def _lattice(case: Case, mount: Mount, here: Floats) -> Iterator[Floats]:
    """Places in plan: about the person, or along the wall or the beam past the person."""
    person = case.place.points[1][:2]
    x = mount.frame.x[:2] / np.linalg.norm(mount.frame.x[:2])
    across = np.array([-x[1], x[0]])
    steps = np.arange(-round(AROUND / SPACING), round(AROUND / SPACING) + 1) * SPACING
    if mount.heater.mount in ("wall", "beam"):
        foot = here + ((person - here) @ x) * x
        yield from (foot + step * x for step in steps)
        return
    for one in steps:
        for other in steps:
            if np.hypot(one, other) <= AROUND + 1e-9:
                yield person + one * x + other * across


def _new_name(case: Case, like: str) -> str:
    """A name that nothing has, in the manner of another: H5 beside H4."""
    model = case.evaluation.model
    taken = {part.owner for part in model.parts} | {place.name for place in model.places}
    taken |= {part.name for part in model.parts} | {m.name for m in case.evaluation.mounts}
    stem = re.sub(r"\d+$", "", like) or "H"
    return next(name for n in range(1, len(taken) + 2) if (name := f"{stem}{n}") not in taken)


def _made(case: Case, heater: Heater) -> Change:
    site = case.evaluation.scene.site
    assert heater.at is not None
    x, y = (case.length(c) for c in heater.at)
    headed = "" if heater.heading is None else f", headed {degrees(heater.heading):.0f}°"
    return change(
        Kind.ADD,
        f"Add {heater.name}, another {heater.type}, at {x}, {y}{headed}.",
        0.0,
        add={"heater": [table_data(heater, site.units)]},
    )
