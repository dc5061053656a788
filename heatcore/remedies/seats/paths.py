"""The ways in which a heater can be turned and moved, each by one figure."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import atan2, ceil, cos, degrees, floor, hypot, radians, sin

import numpy as np

from heatcore.geometry.compass import compass_point
from heatcore.geometry.frames import Floats, Frame
from heatcore.heat.radiation.emitter import Emitter
from heatcore.mounting.landmarks import plan_place
from heatcore.mounting.mount import Mount
from heatcore.remedies.seats.case import Case
from heatcore.remedies.values import Change, Kind, change

FARTHEST = 2.0  # m
MOVES_EVERY, TILTS_EVERY = 8, 5  # steps between those at a first look: 200 mm, 5 degrees
TURN = 15  # degrees between headings
MOST_TURN = 90  # degrees either way; a level heater turned by 180 lies as it lay


@dataclass(frozen=True, eq=False)
class Path:
    """A heater that is turned, or moved along a line, farther and farther.

    Attributes
    ----------
    mount : the heater as it hangs
    kind : turned or moved
    values : how far, from the least on, in steps as fine as they are told
    emitter : what it radiates there, in a quick look
    change : the change by so much
    every : steps between the values at a first look
    """

    mount: Mount
    kind: Kind
    values: tuple[float, ...]
    emitter: Callable[[float], Emitter]
    change: Callable[[float], Change]
    every: int

    @cached_property
    def coarse(self) -> tuple[int, ...]:
        """Indices of the values at a first look, the last among them."""
        return tuple(
            dict.fromkeys([*range(self.every - 1, len(self.values), self.every), self.last])
        )

    @property
    def last(self) -> int:
        """Index of the last value."""
        return len(self.values) - 1


def paths(case: Case) -> Iterator[Path]:
    """Every way in which each heater can be turned and moved."""
    for mount, emitter in zip(case.evaluation.mounts, case.evaluation.emitters, strict=True):
        if emitter.radiant_power_w > 0.0:
            yield from _tilted(case, mount, emitter)
            if mount.heater.mount in ("ceiling", "stem"):
                yield from _headed(mount, emitter)
            yield from _moved(case, mount, emitter)


def _tilted(case: Case, mount: Mount, emitter: Emitter) -> Iterator[Path]:
    """Tilted either way, by whole degrees, as far as type and brackets go."""
    now, height = mount.tilt, mount.type.height + mount.type.pivot_height
    stocked = [b for b in case.evaluation.scene.bracket_types.values() if _fits(b.name, mount)]
    stocked = [b for b in stocked if b.mount == mount.heater.mount]
    least = max(mount.type.tilt_from, min((b.tilt_from for b in stocked), default=0.0))
    most = min(mount.type.tilt_to, max((b.tilt_to for b in stocked), default=0.0))
    low, high = ceil(degrees(least) - 1e-9), floor(degrees(most) + 1e-9)
    up = range(floor(degrees(now) + 1e-9) + 1, high + 1)
    down = range(ceil(degrees(now) - 1e-9) - 1, low - 1, -1)

    def turned(value: float) -> Emitter:
        return replace(emitter, frame=_tilted_frame(emitter.frame, radians(value) - now, height))

    def made(value: float) -> Change:
        return change(
            Kind.TURN,
            f"Tilt {mount.name} to {value:.0f}°, now {degrees(now):.0f}°.",
            abs(radians(value) - now) * hypot(height, mount.type.width / 2),
            set_={"heater": {mount.name: {"tilt": f"{value:.0f} deg"}}},
        )

    for values in (up, down):
        if values:
            yield Path(mount, Kind.TURN, tuple(map(float, values)), turned, made, TILTS_EVERY)


def _fits(bracket: str, mount: Mount) -> bool:
    return mount.heater.bracket is None or mount.heater.bracket == bracket


def _tilted_frame(frame: Frame, by: float, pivot_height: float) -> Frame:
    """A frame turned about the line through its pivots."""
    pivot = frame.to_world([0.0, 0.0, pivot_height])
    y, z = cos(by) * frame.y + sin(by) * frame.z, cos(by) * frame.z - sin(by) * frame.y
    return Frame(pivot - pivot_height * z, np.stack([frame.x, y, z]))


def _headed(mount: Mount, emitter: Emitter) -> Iterator[Path]:
    """Turned in plan, either way, by steps of 15 degrees."""
    x, y = mount.frame.x[:2]
    now = degrees(atan2(y, x))

    def turned(value: float) -> Emitter:
        c, s = cos(radians(value)), sin(radians(value))
        about = np.array([(c, s, 0.0), (-s, c, 0.0), (0.0, 0.0, 1.0)])
        return replace(emitter, frame=Frame(emitter.frame.origin, emitter.frame.axes @ about))

    def made(value: float) -> Change:
        shown = float(f"{now + value:.6g}") % 360.0
        return change(
            Kind.TURN,
            f"Turn {mount.name} by {abs(value):.0f}°, to a heading of {shown:.0f}°.",
            hypot(mount.type.length, mount.type.width) * sin(radians(abs(value)) / 2),
            set_={"heater": {mount.name: {"heading": f"{shown:g} deg"}}},
        )

    steps = np.arange(TURN, MOST_TURN + TURN, TURN, dtype=float)
    for values in (steps, -steps):
        yield Path(mount, Kind.TURN, tuple(values.tolist()), turned, made, 1)


def _moved(case: Case, mount: Mount, emitter: Emitter) -> Iterator[Path]:
    """Moved along its own line, and across it where no wall and no beam carries it."""
    start = plan_place(mount.heater, case.evaluation.scene, case.evaluation.model)
    x = mount.frame.x[:2] / np.linalg.norm(mount.frame.x[:2])
    ways = [x, -x]
    if mount.heater.mount in ("ceiling", "stem"):
        across = np.array([-x[1], x[0]])
        ways += [across, -across]
    values = tuple(np.arange(1, int(FARTHEST / case.step) + 1) * case.step)
    for way in ways:
        yield _along(case, mount, emitter, start, way, values)


def _along(
    case: Case,
    mount: Mount,
    emitter: Emitter,
    start: Floats,
    way: Floats,
    values: tuple[float, ...],
) -> Path:
    point = compass_point(way, case.evaluation.scene.site.north)
    level = mount.heater.mount != "ceiling" or mount.heater.height is not None

    def there(value: float) -> Emitter:
        offset = case.at(start + value * way)[0] - start
        if level:
            return replace(emitter, frame=emitter.frame.moved([*offset, 0.0]))
        return replace(emitter, frame=case.screen.shifted(emitter.frame, offset))

    def made(value: float) -> Change:
        return change(
            Kind.MOVE,
            f"Move {mount.name} {case.length(value)} {point}.",
            value,
            set_={"heater": {mount.name: {"at": case.at(start + value * way)[1]}}},
        )

    return Path(mount, Kind.MOVE, values, there, made, MOVES_EVERY)
