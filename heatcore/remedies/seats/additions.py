"""One heater more, like one of those that hang near."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, degrees

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, Frame, heading_axes
from heatcore.heat.radiation.emitter import Emitter
from heatcore.mounting import hang
from heatcore.mounting.landmarks import plan_place
from heatcore.mounting.mount import Mount
from heatcore.remedies.seats.case import Case, share
from heatcore.remedies.values import Change, Kind, change
from heatcore.scene.model import Heater
from heatcore.scene.write import table_data

SPACING = 0.4  # m, between the places looked at
AROUND = 2.4  # m
TRIES = 16
KINDS = 4
HUNG = {
    "ceiling": "under the ceiling",
    "wall": "on the wall",
    "beam": "on the beam",
    "stem": "on a stem",
}


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
    """One more of the nearest heater, or else of another kind that hangs farther off."""
    first = ""
    for model in _models(case)[:KINDS]:
        found = _another(case, model)
        if isinstance(found, Change):
            return found
        first = first or found
    return first or "There is no heater whose type one more could have."


def _another(case: Case, model: _Model) -> Change | str:
    what = f"One more {model.mount.type.name} within {case.length(AROUND)}"
    spots = list(_spots(case, model))
    best = max(float(spot.scores[case.index]) for spot in spots)
    warm = [spot for spot in spots if spot.scores[case.index] >= 1.0]
    if not warm:
        return f"{what}: it gains at most {share(max(best, case.reached))} of what is asked for."
    warm.sort(key=lambda s: (-int((s.scores >= 1.0).sum()), -float(s.scores[case.index])))
    found = case.accepted((_made(case, _stocked(case, spot.heater)) for spot in warm), TRIES)
    return found if isinstance(found, Change) else f"{what}: {found}."


def _stocked(case: Case, heater: Heater) -> Heater:
    """A heater on a stem, at the height nearest to the one wanted that stock reaches there."""
    if heater.mount != "stem":
        return heater
    try:
        scene = replace(case.evaluation.scene, heater=(heater,))
        (mount,) = hang(scene, case.evaluation.model)
    except InputError:
        return heater  # which the trial then says
    return replace(heater, height=round(float(mount.frame.origin[2]), 3))


def _models(case: Case) -> list[_Model]:
    """What one more heater can be like, the nearest first.

    The nearest to the person of each type, way of mounting and carrier; and each type that is made
    for a stem also on one, level and as high as that heater.
    """
    waist = case.place.points[1]
    pairs = zip(case.evaluation.mounts, case.evaluation.emitters, strict=True)
    found: dict[tuple[str, str, str | None], _Model] = {}
    for mount, emitter in sorted(
        pairs, key=lambda pair: float(np.linalg.norm(pair[0].frame.origin - waist))
    ):
        full = emitter.radiant_power_w / (mount.heater.output or 1.0)
        model = _Model(mount, replace(emitter, radiant_power_w=full), mount.heater)
        found.setdefault((mount.type.name, mount.heater.mount, mount.heater.mounted_on), model)
        if "stem" in mount.type.mounts:
            found.setdefault((mount.type.name, "stem", None), model.on_a_stem())
    return list(found.values())


@dataclass(frozen=True, eq=False)
class _Model:
    """What one more heater is to be like."""

    mount: Mount
    emitter: Emitter
    heater: Heater

    def on_a_stem(self) -> _Model:
        """The same type, level on a stem."""
        frame, kind = self.mount.frame, self.mount.type
        height = round(min(max(float(frame.origin[2]), kind.least_height), kind.most_height), 2)
        heading = atan2(frame.x[1], frame.x[0])
        level = Frame(np.array([*frame.origin[:2], height]), heading_axes(heading))
        heater = replace(
            self.heater, mount="stem", mounted_on=None, bracket=None, height=height,
            attitude="level", tilt=None,
        )  # fmt: skip
        return _Model(self.mount, replace(self.emitter, frame=level), heater)

    @property
    def carried(self) -> bool:
        """Whether a wall or a beam carries it, along which alone it can go."""
        return self.heater.mount in ("wall", "beam")

    def turned(self, quarters: int) -> Emitter:
        """Its emitter, turned in plan by so many right angles."""
        turn = np.array([(0.0, 1.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)])
        frame = self.emitter.frame
        axes = frame.axes @ np.linalg.matrix_power(turn, quarters)
        return replace(self.emitter, frame=Frame(frame.origin, axes))


def _spots(case: Case, model: _Model) -> Iterator[_Spot]:
    """Copies of a heater, about the place, along and across."""
    name = _new_name(case, model.mount.name)
    here = model.emitter.frame.origin[:2]
    if model.carried:
        here = plan_place(model.heater, case.evaluation.scene, case.evaluation.model)
    follows = model.heater.mount == "ceiling" and model.heater.height is None
    for quarters in (0,) if model.carried else (0, 1):
        emitter = replace(model.turned(quarters), name=name)
        heading = atan2(emitter.frame.x[1], emitter.frame.x[0])
        for point in _lattice(case, model, here):
            rounded, _ = case.at(point)
            offset = rounded - here
            frame = (
                case.screen.shifted(emitter.frame, offset)
                if follows
                else emitter.frame.moved([*offset, 0.0])
            )
            heater = replace(
                model.heater, name=name, at=(float(rounded[0]), float(rounded[1])), offset=None,
                heading=None if model.carried else _whole(heading), aim_at=None, circuit=None,
                output=1.0, tilt=model.heater.tilt if model.heater.aim_at is None else None,
            )  # fmt: skip
            yield _Spot(case.screen.with_emitter(replace(emitter, frame=frame)), heater)


def _whole(heading: float) -> float:
    """A heading written to a hundredth of a degree [rad]."""
    return float(np.radians(round(degrees(heading) % 360.0, 2)))


def _lattice(case: Case, model: _Model, here: Floats) -> Iterator[Floats]:
    """Places in plan: about the person, or along the wall or the beam past the person."""
    person = case.place.points[1][:2]
    x = model.emitter.frame.x[:2] / np.linalg.norm(model.emitter.frame.x[:2])
    across = np.array([-x[1], x[0]])
    steps = np.arange(-round(AROUND / SPACING), round(AROUND / SPACING) + 1) * SPACING
    if model.carried:
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
    high = "" if heater.height is None else f", {case.length(heater.height)} high"
    headed = "" if heater.heading is None else f", headed {degrees(heater.heading):.0f}°"
    return change(
        Kind.ADD,
        f"Add {heater.name}, another {heater.type}, {HUNG[heater.mount]} at {x}, {y}"
        f"{high}{headed}.",
        0.0,
        add={"heater": [table_data(heater, site.units)]},
    )
