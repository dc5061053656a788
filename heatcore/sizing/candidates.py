"""Where heaters of one type could hang: positions that are tried, each really hung and checked.

Under the ceiling they lie on a lattice, each turned along and across the floor's main direction,
and hang as high as the clearances allow; along beams and walls they lean out over the floor, as far
as the type is made for it. Positions that the scene already uses for this type are tried too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, ceil, cos, pi, radians, sin, sqrt, tan

import numpy as np
import shapely
from numpy.typing import NDArray

from heatcore.checks.clearance import clear
from heatcore.checks.finding import Verdict
from heatcore.checks.height import HIGH_LEVEL, heights
from heatcore.checks.keepouts import keep_outs
from heatcore.checks.weather import weather
from heatcore.errors import InputError
from heatcore.geometry.distance import measure
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Mesh, Model
from heatcore.geometry.soup import Soup
from heatcore.mounting import hang
from heatcore.mounting.mount import BODY_TRIANGLES, Mount
from heatcore.scene.model import Heater, Scene
from heatcore.scene.plan import patio_side, polygon_of
from heatcore.scene.types import HeaterType
from heatcore.sizing.demand import evenly
from heatcore.units import UnitSystem, format_length, parse_length

STEP = 0.7  # m between positions, or more where there would be too many
MOST = 300  # positions that are tried
BOTH_WAYS = 1.0  # m; where they lie farther apart, they are only tried along the floor
LEANS = (radians(20.0), radians(40.0))  # from level, of heaters on beams and walls
AHEAD = 2.0  # m below it, the axis of a leaning heater still has to point at the floor
GRAIN = {UnitSystem.METRIC: 0.01, UnitSystem.IMPERIAL: 0.0254}  # m; positions are multiples of it

Pairs = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Candidates:
    """Positions that hold.

    Attributes
    ----------
    mounts : heaters hung there, one at a time
    tried : how many positions were tried
    step : how far those under the ceiling lie apart [m]; 0 where there are none
    """

    mounts: tuple[Mount, ...]
    tried: int
    step: float


def candidates(scene: Scene, model: Model, kind: HeaterType, most: int = MOST) -> Candidates:
    """Find positions whose mount, clearances, height, keep-outs and weather all hold.

    Parameters
    ----------
    scene, model : as described, and made solid
    kind : the type of all heaters
    most : how many new positions are tried under the ceiling; along beams and walls as many as it
        leaves, or a third of it
    """
    drawn = [
        replace(heater, output=1.0, circuit=None)
        for heater in scene.heater
        if heater.type == kind.name
    ]
    overhead, step = _under_ceiling(scene, model, kind, most)
    beside = [*_on_beams(scene, kind), *_on_walls(scene, kind)]
    room = max(most - len(overhead), most // 3)
    beside = beside[:: max(1, ceil(len(beside) / room))]
    heaters = [*drawn, *overhead, *beside]
    kept = [mount for heater in heaters if (mount := _hung(heater, scene, model))]
    return Candidates(tuple(kept), len(heaters), step)


def too_near(mounts: tuple[Mount, ...]) -> Pairs:
    """Whether each two of them (n, n) cannot hang at the same time.

    Another heater counts as non-combustible material, as in `checks.clearance`.
    """
    out = np.zeros((len(mounts), len(mounts)), dtype=bool)
    if not mounts:
        return out
    meshes = [Mesh(mount.body, BODY_TRIANGLES) for mount in mounts]
    origins = np.array([mount.frame.origin for mount in mounts])
    for i, mount in enumerate(mounts):
        size, needs = mount.type, mount.type.noncombustible
        body = (size.length, size.width, size.height)
        reach = 2 * sum(body) + max(needs.above, needs.below, needs.sides, needs.ends)
        near = np.flatnonzero(np.linalg.norm(origins - origins[i], axis=1) < reach)
        near = near[near != i]
        if not len(near):
            continue
        found = measure(mount.frame, body, needs, Soup.of([meshes[j] for j in near]), sight=0.0)
        out[i, near[[reading.owner for reading in found if not reading.holds]]] = True
    pairs: Pairs = out | out.T
    return pairs


def named(mounts: tuple[Mount, ...], scene: Scene, letter: str) -> tuple[Mount, ...]:
    """The same under names that the scene does not use."""
    taken = {heater.name for heater in scene.heater}
    numbers = (f"{letter}{n}" for n in range(1, len(mounts) + len(taken) + 1))
    free = [name for name in numbers if name not in taken]
    return tuple(
        replace(mount, heater=replace(mount.heater, name=name))
        for mount, name in zip(mounts, free, strict=False)
    )


def _hung(heater: Heater, scene: Scene, model: Model) -> Mount | None:
    """A heater where it holds; lower where it would hang too high, on a stem if need be."""
    kind = scene.heater_types[heater.type]
    most = kind.most_height
    ways = [heater]
    if heater.mount == "ceiling" and heater.height is None:
        ways.append(replace(heater, height=most))
        if "stem" in kind.mounts:
            ways.append(replace(heater, mount="stem", height=most))
    for way in ways:
        try:
            (mount,) = hang(replace(scene, heater=(way,)), model)
        except InputError:
            return None
        if mount.holds and _clear(mount, scene, model):
            return mount
        if way.height is None and mount.frame.origin[2] <= most:
            return None
    return None


def _clear(mount: Mount, scene: Scene, model: Model) -> bool:
    if not clear([mount], model)[0]:
        return False
    found = [*heights(mount, model), *weather(mount, scene, model), *keep_outs(mount, scene, model)]
    return all(finding.verdict is not Verdict.FAILS for finding in found)


def _under_ceiling(
    scene: Scene, model: Model, kind: HeaterType, most: int
) -> tuple[list[Heater], float]:
    """Heaters on a lattice under the roofs, and how far it is spaced."""
    mount = next((m for m in ("ceiling", "stem") if m in kind.mounts), None)
    roofs = [
        shapely.MultiPoint(part.mesh.vertices[:, :2]).convex_hull for part in model.of(Kind.ROOF)
    ]
    covered = polygon_of(scene.floor.outline, "floor.outline").intersection(
        shapely.unary_union(roofs)
    )
    if mount is None or covered.area <= 0.0:
        return [], 0.0
    turn, step = main_direction(scene), max(STEP, sqrt(covered.area / most))
    ways = [turn]
    if sqrt(2 * covered.area / most) <= BOTH_WAYS:
        ways.append(turn + pi / 2)
        step = max(STEP, sqrt(2 * covered.area / most))
    height = min(kind.most_height, 2.7) if mount == "stem" else None
    return [
        Heater(
            name=f"{i}.{j}", type=kind.name, at=at, heading=way % pi,
            mount="stem" if mount == "stem" else "ceiling", height=height,
        )
        for i, at in enumerate(_lattice(covered, turn, step, scene.site.units))
        for j, way in enumerate(ways)
    ], step  # fmt: skip


def main_direction(scene: Scene) -> float:
    """Direction of the longer side of the smallest rectangle round the floor [rad]."""
    floor = polygon_of(scene.floor.outline, "floor.outline")
    corners = np.asarray(floor.minimum_rotated_rectangle.exterior.coords)[:3]
    sides = np.diff(corners, axis=0)
    x, y = sides[np.argmax(np.round(np.linalg.norm(sides, axis=1), 6))]
    # Rounded, so that a heading reads as people write it.
    return float(np.radians(np.round(np.degrees(atan2(y, x)), 3))) % pi


def _lattice(
    area: shapely.Geometry, turn: float, step: float, units: UnitSystem
) -> Iterator[tuple[float, float]]:
    flat = shapely.affinity.rotate(area, -turn, origin=(0.0, 0.0), use_radians=True)
    low_x, low_y, high_x, high_y = flat.bounds
    for y in evenly(low_y, high_y, step):
        for x in evenly(low_x, high_x, step):
            at = (cos(turn) * x - sin(turn) * y, sin(turn) * x + cos(turn) * y)
            at = (_round(at[0], units), _round(at[1], units))
            if shapely.contains_xy(area, *at):
                yield at


def _on_beams(scene: Scene, kind: HeaterType) -> Iterator[Heater]:
    if "beam" not in kind.mounts:
        return
    floor = polygon_of(scene.floor.outline, "floor.outline")
    for beam in scene.beam:
        start, end = np.asarray(beam.from_), np.asarray(beam.to)
        for number, at, along in _along(start, end, scene.site.units):
            left = np.array([-along[1], along[0]])
            leans = {0.0, *(_within(kind, side * lean) for side in (-1, 1) for lean in LEANS)}
            for lean in sorted(leans):
                # A positive tilt leans the beam to the left of the heading.
                if _points_at(floor, at, np.sign(lean) * left, abs(lean)):
                    yield Heater(
                        name=f"{beam.name}.{number}.{lean:.2f}", type=kind.name, mount="beam",
                        at=(float(at[0]), float(at[1])), heading=atan2(along[1], along[0]),
                        mounted_on=beam.name, tilt=lean or None,
                    )  # fmt: skip


def _on_walls(scene: Scene, kind: HeaterType) -> Iterator[Heater]:
    if "wall" not in kind.mounts:
        return
    floor = polygon_of(scene.floor.outline, "floor.outline")
    least = max(kind.least_height, HIGH_LEVEL.value)
    for wall in scene.wall:
        start, end = np.asarray(wall.from_), np.asarray(wall.to)
        out = np.asarray(patio_side(wall, scene.floor))
        for number, at, _ in _along(start, end, scene.site.units):
            for lean in sorted({_within(kind, lean) for lean in LEANS}):
                if not _points_at(floor, at, out, abs(lean)):
                    continue
                for height in (_round(0.5 * (least + kind.most_height), scene.site.units), least):
                    yield Heater(
                        name=f"{wall.name}.{number}.{lean:.2f}.{height:.2f}", type=kind.name,
                        at=(float(at[0]), float(at[1])), mount="wall", mounted_on=wall.name,
                        height=height, tilt=lean or None,
                    )  # fmt: skip


def _along(
    start: Floats, end: Floats, units: UnitSystem
) -> Iterator[tuple[int, tuple[float, float], Floats]]:
    """Places along a line, with its direction."""
    length = float(np.hypot(*(end - start)))
    count = max(1, round(length / STEP))
    for number in range(count):
        x, y = start + (end - start) * (number + 0.5) / count
        yield number, (_round(x, units), _round(y, units)), (end - start) / length


def _within(kind: HeaterType, lean: float) -> float:
    return min(max(lean, kind.tilt_from), kind.tilt_to)


def _points_at(floor: shapely.Polygon, at: tuple[float, float], way: Floats, lean: float) -> bool:
    x, y = np.asarray(at) + way * AHEAD * tan(lean)
    return bool(floor.buffer(STEP / 2).contains(shapely.Point(x, y)))


def _round(metres: float, units: UnitSystem) -> float:
    """A length that the site's units say exactly."""
    grain = GRAIN[UnitSystem(units)]
    return parse_length(format_length(round(metres / grain) * grain, units))
