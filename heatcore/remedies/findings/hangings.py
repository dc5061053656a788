"""A heater hung otherwise in its place: higher or lower, on other brackets, on a stem, turned."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, ceil, degrees, floor, radians
from typing import Literal

import numpy as np

from heatcore.mounting.mount import Mount
from heatcore.remedies.findings.case import Case
from heatcore.remedies.findings.looks import Goal, Looks
from heatcore.remedies.findings.tracks import Track
from heatcore.remedies.values import Change, Kind
from heatcore.scene.model import Heater
from heatcore.units import Rounding, format_length

FARTHEST = 1.524  # m, five feet
OBLIQUE = 0.5  # degrees
_HAIR = 1e-6  # m
_ONE = 1e3  # m; as the length of a mark of what has a few discrete values, none is passed over

Sense = Literal["down", "up"]


def hangings(case: Case, looks: Looks, goal: Goal) -> Iterator[Track]:
    """Every other way of hanging the heater where it is."""
    yield from _heights(case)
    yield from _other_brackets(case, looks)
    yield from _stems(case, looks)
    if case.heater.mount in ("ceiling", "stem"):
        yield from _turned(case)
    if any(code.startswith("mount.") for code, *_ in goal):
        yield from _spaced(case)


# ---------------------------------------------------------------------- higher and lower


def _heights(case: Case) -> Iterator[Track]:
    """Lower; and higher, where it does not hang as high as can be anyway."""
    senses: tuple[Sense, ...] = ("down",) if case.heater.height is None else ("down", "up")
    for sense in senses:
        height = case.heater.height or float(case.mount.frame.origin[2])
        heights = _Heights(case, height, sense)
        if heights.count:
            yield _raised(case, heights)


@dataclass(frozen=True, eq=False)
class _Heights:
    """Heights above the floor as an installer marks them, from one on up or down [m]."""

    case: Case
    start: float
    sense: Sense

    @property
    def count(self) -> int:
        """How many there are within the type's range."""
        kind, mark = self.case.mount.type, self.case.mark
        if self.sense == "down":
            least = max(kind.least_height, self.start - FARTHEST)
            return max(floor((self.at(1) - least + _HAIR) / mark) + 1, 0)
        most = min(kind.most_height, self.start + FARTHEST)
        if self.case.heater.mount != "wall":
            most = min(most, max(float(arm.foot[2]) for arm in self.case.mount.arms))
        return max(floor((most - self.at(1) + _HAIR) / mark) + 1, 0)

    def at(self, number: int) -> float:
        """One of them, counted from 1."""
        mark = self.case.mark
        if self.sense == "down":
            return self.case.tidy((ceil((self.start - _HAIR) / mark) - number) * mark)
        return self.case.tidy((floor((self.start + _HAIR) / mark) + number) * mark)


def _raised(case: Case, heights: _Heights) -> Track:
    def heater(mark: int) -> Heater:
        return replace(case.heater, height=heights.at(mark))

    def made(mark: int, mount: Mount) -> Change:
        # A heater hangs where its clearances hold, a hair beside the mark that was asked for.
        before, after = (float(m.frame.origin[2]) for m in (case.mount, mount))
        by = format_length(abs(after - before), case.units, rounding="up")
        outward: Rounding = "down" if heights.sense == "down" else "up"
        height = format_length(after, case.units, rounding=outward)
        verb = "Lower" if heights.sense == "down" else "Raise"
        words = f"{verb} {case.name} by {by}, to {height} above the floor"
        alike = _made_up(mount) == _made_up(case.mount)
        return case.made(
            Kind.HEIGHT if alike else Kind.BRACKET,
            f"{words}." if alike else f"{words}, on {_parts(mount)}.",
            _disturbance(case, mount),
            heater(mark),
        )

    verb = "Lowering" if heights.sense == "down" else "Raising"
    what = f"{verb} {case.name} to as much as {case.length(heights.at(heights.count))}"
    return Track("height", what, heater, made, heights.count, case.mark)


def _made_up(mount: Mount) -> tuple[object, ...]:
    return mount.bracket.name, *(arm.extensions for arm in mount.arms)


def _parts(mount: Mount) -> str:
    """The brackets that it hangs on."""
    first, second = (arm.extensions for arm in mount.arms)
    pair = "a pair" if first == second else "an unequal pair"
    return f"{pair} of {mount.bracket.name} ({', '.join(mount.parts)})"


def _disturbance(case: Case, mount: Mount) -> float:
    """How far the body's corners move at most [m]."""
    return float(np.linalg.norm(mount.body - case.mount.body, axis=1).max())


# ---------------------------------------------------------------------- other brackets, stems


def _other_brackets(case: Case, looks: Looks) -> Iterator[Track]:
    """Each other bracket type, where one is named; where none is, all were tried in hanging it."""
    if case.heater.bracket is None:
        return
    for bracket in case.evaluation.scene.bracket_types.values():
        if bracket.mount == case.heater.mount and bracket.name != case.heater.bracket:
            yield from _hung_on(case, looks, replace(case.heater, bracket=bracket.name))


def _stems(case: Case, looks: Looks) -> Iterator[Track]:
    """On stems, where it hangs under a ceiling on something else."""
    if case.heater.mount != "ceiling" or "stem" not in case.mount.type.mounts:
        return
    named = [b.name for b in case.evaluation.scene.bracket_types.values() if b.mount == "stem"]
    for bracket in named if case.heater.bracket is not None else [None][: len(named)]:
        yield from _hung_on(case, looks, replace(case.heater, mount="stem", bracket=bracket))


def _hung_on(case: Case, looks: Looks, other: Heater) -> Iterator[Track]:
    """On something else; as high as that comes, and from there down."""
    mount = looks.near(other).mount
    # What must be screwed to structure is not helped by a bracket that only does not ask for it.
    if mount is None or (case.mount.bracket.structure_only and not mount.bracket.structure_only):
        return
    start = float(mount.frame.origin[2])
    heights = _Heights(case, start, "down")
    stem = other.mount == "stem" != case.heater.mount

    def heater(mark: int) -> Heater:
        return other if mark == 1 else replace(other, height=heights.at(mark - 1))

    def made(mark: int, mount: Mount) -> Change:
        height = case.length(float(mount.frame.origin[2]))
        words = f"Hang {case.name} {height} above the floor on {_parts(mount)}."
        kind = Kind.STEM if stem else Kind.BRACKET
        return case.made(kind, words, _disturbance(case, mount), heater(mark))

    what = f"Hanging {case.name} on {mount.bracket.name}"
    family = "stem" if stem else "bracket"
    yield Track(family, what, heater, made, heights.count + 1, case.mark)


# ---------------------------------------------------------------------- turned, set apart


def _turned(case: Case) -> Iterator[Track]:
    """Turned by 90 degrees; an oblique one also square to the axes."""
    x, y = case.mount.frame.x[:2]
    now = degrees(atan2(y, x))
    headings = [now + 90.0]
    if abs((now + 45.0) % 90.0 - 45.0) > OBLIQUE:
        headings = [0.0, 90.0, now + 90.0]
    if case.mount.tilt:
        # Tilted, it does not lie the same when turned by half a circle.
        headings += [heading + 180.0 for heading in headings]
    for heading in headings:
        yield _headed(case, now, round(heading % 360.0, 2))


def _headed(case: Case, now: float, heading: float) -> Track:
    by = abs((heading - now + 180.0) % 360.0 - 180.0)

    def heater(_: int) -> Heater:
        return replace(case.heater, heading=radians(heading))

    def made(_: int, mount: Mount) -> Change:
        words = f"Turn {case.name} by {by:.4g}°, to a heading of {heading:g}°."
        return case.made(Kind.TURN, words, _disturbance(case, mount), heater(1))

    return Track("turn", f"Turning {case.name} by {by:.4g}°", heater, made, 1, _ONE)


def _spaced(case: Case) -> Iterator[Track]:
    """Its two brackets closer together, and farther apart."""
    kind = case.mount.type
    now = case.heater.spacing or kind.spacing
    for sign, bound in ((-1.0, kind.least_spacing), (1.0, kind.most_spacing)):
        count = floor((sign * (bound - now) + _HAIR) / case.mark)
        if count > 0:
            yield _apart(case, now, sign, count)


def _apart(case: Case, now: float, sign: float, count: int) -> Track:
    def spacing(mark: int) -> float:
        return case.tidy(now + sign * mark * case.mark)

    def heater(mark: int) -> Heater:
        return replace(case.heater, spacing=spacing(mark))

    def made(mark: int, _: Mount) -> Change:
        words = f"Set the two brackets of {case.name} {case.length(spacing(mark))} apart, "
        words += f"now {case.length(now)}."
        return case.made(Kind.SPACING, words, mark * case.mark / 2, heater(mark))

    what = f"Setting the two brackets of {case.name} {case.length(spacing(count))} apart"
    return Track("spacing", what, heater, made, count, case.mark)
