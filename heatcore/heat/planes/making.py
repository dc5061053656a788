"""Maps made: the irradiance over a level plane, and only what changed of it anew."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from math import ceil, hypot, sqrt

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.polygon import orient

from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.geometry.rays import SKIN, Obstacles
from heatcore.heat.planes.maps import PlaneMap
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import FINAL, Quality, irradiance

STEP = 0.1  # m between the points; lines and areas are interpolated between them
MOST_POINTS = 60_000  # in the outline; a larger one is looked at more coarsely
MOST_IN_GRID = 4 * MOST_POINTS  # also those outside a narrow or turned outline
ACROSS = 8  # points at least across a small outline, about
MARGIN = 2  # points beyond the outline's bounds
DENSE = 0.3  # share of the grid's points from which all are asked for: neighbors save rays

UP = np.array([0.0, 0.0, 1.0])
LIFT = 2 * SKIN  # over the plane, where it is asked what stands on it
Flags = NDArray[np.bool_]


def plane_map(
    emitters: Sequence[Emitter],
    outline: Floats,
    level: float,
    obstacles: Obstacles,
    step: float = STEP,
    quality: Quality = FINAL,
) -> PlaneMap:
    """The irradiance of a level plane's upper side, heater by heater.

    A point in a wall or a post reads nothing, and so does one beyond a wall on the edge: lines
    drawn between those and their neighbors would show a cold fringe where there is none. Such a
    point takes the value of the nearest one in the open.

    The field is linear between the points. Where nothing throws sharp shadows, shares of the plane
    are good to 0.1 points of a hundred; under tables and chairs, whose shadows are a few steps
    wide, to 0.5 points at 10 cm, 0.2 at 5 cm and 0.1 at 2.5 cm.

    Parameters
    ----------
    emitters : of the heaters
    outline : (n, 2) the plane's edge in plan, a simple polygon [m]
    level : height of the plane above the floor [m]
    obstacles : what is in the way
    step : between the grid's points, along x and along y of the world [m]; less in a small outline,
        more in one that would take too many points
    quality : how finely the apertures are looked at
    """
    polygon = orient(shapely.Polygon(outline))
    x, y = _grid(polygon, step)
    plan = np.stack(np.meshgrid(x, y), axis=-1)
    inside = _inside(polygon, plan)
    empty = PlaneMap(
        level=level,
        x=locked(x),
        y=locked(y),
        inside=locked(inside, np.bool_),
        outline=locked(shapely.get_coordinates(polygon)[:-1]),
        by_heater={},
        taken_from=_taken_from(plan, inside, polygon, level, obstacles),
    )
    return _with(empty, emitters, obstacles, quality)


def updated(
    field: PlaneMap,
    emitter: Emitter,
    obstacles: Obstacles,
    quality: Quality = FINAL,
    shaded: Collection[str] = (),
) -> PlaneMap:
    """A map with one heater moved, dimmed, switched off or added; the others keep their values.

    One that was only dimmed is scaled, without any ray. The map is that which `plane_map` makes
    with the same quality, as long as no heater's body reaches down to the plane.

    Parameters
    ----------
    field : the map so far
    emitter : the heater as it is now; its power is 0 where it is off
    obstacles : what is in the way now, the heater's own body at its new place
    quality : that of the map
    shaded : names of other heaters before which its body hung or hangs (`shaded_by`): theirs is
        found anew too
    """
    old = next((e for e in field.emitters if e.name == emitter.name), None)
    if old is not None and old.radiant_power_w > 0.0 and _differ_in_power_only(old, emitter):
        values = field.by_heater[old.name] * (emitter.radiant_power_w / old.radiant_power_w)
        emitters = tuple(emitter if e is old else e for e in field.emitters)
        by_heater = {**field.by_heater, emitter.name: locked(values)}
        field, anew = replace(field, emitters=emitters, by_heater=by_heater), []
    else:
        anew = [emitter]
    others = [e for e in field.emitters if e.name in shaded and e.name != emitter.name]
    return _with(field, [*anew, *others], obstacles, quality)


def without(
    field: PlaneMap,
    name: str,
    obstacles: Obstacles,
    quality: Quality = FINAL,
    shaded: Collection[str] = (),
) -> PlaneMap:
    """A map with one heater taken away; see `updated`."""
    left = replace(
        field,
        emitters=tuple(e for e in field.emitters if e.name != name),
        by_heater={key: values for key, values in field.by_heater.items() if key != name},
    )
    return _with(left, [e for e in left.emitters if e.name in shaded], obstacles, quality)


def shaded_by(body: Floats, emitters: Sequence[Emitter]) -> tuple[str, ...]:
    """Names of the heaters that a body, given by its corners (n, 3) [m], may shade.

    They are those whose aperture's plane it reaches beyond; its own heater is never among them.
    """
    return tuple(e.name for e in emitters if np.any(e.frame.to_local(body)[:, 2] < -SKIN))


def _with(
    field: PlaneMap, emitters: Sequence[Emitter], obstacles: Obstacles, quality: Quality
) -> PlaneMap:
    """A map with the given heaters found anew."""
    if not emitters:
        return field
    shape = (len(field.y), len(field.x))
    every = np.arange(field.inside.size)
    taken = every if field.taken_from is None else field.taken_from.ravel()
    own = np.flatnonzero(taken == every)
    grid = None
    if len(own) >= DENSE * len(every):
        own, grid = every, shape
    else:
        quality = quality.thrifty
    plan = np.stack(np.meshgrid(field.x, field.y), axis=-1).reshape(-1, 2)[own]
    points = np.column_stack([plan, np.full(len(plan), field.level)])
    by_heater, known = dict(field.by_heater), {e.name: e for e in field.emitters}
    for emitter in emitters:
        values = np.zeros(len(every))
        if emitter.radiant_power_w > 0.0:
            values[own] = irradiance(emitter, points, UP, obstacles, quality, grid)
        by_heater[emitter.name] = locked(values[taken].reshape(shape))
        known[emitter.name] = emitter
    return replace(field, by_heater=by_heater, emitters=tuple(known.values()))


def _differ_in_power_only(a: Emitter, b: Emitter) -> bool:
    return (
        (a.length, a.width, a.pattern) == (b.length, b.width, b.pattern)
        and np.array_equal(a.frame.origin, b.frame.origin)
        and np.array_equal(a.frame.axes, b.frame.axes)
    )


def _grid(plane: shapely.Polygon, step: float) -> tuple[Floats, Floats]:
    """Where the points lie: half a step off the bounds, where walls stand, and beyond them."""
    x0, y0, x1, y1 = plane.bounds
    step = max(
        min(step, sqrt(plane.area) / ACROSS),
        sqrt(plane.area / MOST_POINTS),
        sqrt((x1 - x0) * (y1 - y0) / MOST_IN_GRID),
    )

    def axis(low: float, high: float) -> Floats:
        cells = ceil((high - low) / step - 1e-9)
        return low + (np.arange(-MARGIN, cells + MARGIN) + 0.5) * ((high - low) / cells)

    return axis(x0, x1), axis(y0, y1)


def _inside(plane: shapely.Polygon, plan: Floats) -> Flags:
    """Which points (ny, nx, 2) lie in a polygon; one at least, however thin it is."""
    inside = np.array(shapely.contains_xy(plane, plan[..., 0], plan[..., 1]))
    if not inside.any():
        middle = shapely.get_coordinates(plane.representative_point())
        inside.ravel()[np.argmin(np.sum((plan.reshape(-1, 2) - middle) ** 2, axis=1))] = True
    return inside


def _taken_from(
    plan: Floats, inside: Flags, plane: shapely.Polygon, level: float, obstacles: Obstacles
) -> Ints:
    """For each point of the grid, the index of the one whose value stands for it.

    Points that no line within the outline is drawn by, far outside it, take the nearest's as well.
    """
    flat = plan.reshape(-1, 2)
    taken = np.arange(len(flat))
    spots = shapely.points(flat)
    shapely.prepare(plane)
    cell = hypot(plan[0, 1, 0] - plan[0, 0, 0], plan[1, 0, 1] - plan[0, 0, 1])
    near = np.flatnonzero(inside.ravel() | shapely.dwithin(plane, spots, cell))
    lifted = np.column_stack([flat[near], np.full(len(near), level + LIFT)])
    free = ~obstacles.encloses(lifted)
    beyond = np.flatnonzero(free & ~inside.ravel()[near])
    free[beyond] = obstacles.sees(_just_inside(plane, lifted[beyond]), lifted[beyond])
    open_to = near[free]
    if len(open_to):
        rest = np.setdiff1d(taken, open_to, assume_unique=True)
        nearest = shapely.STRtree(spots[open_to]).query_nearest(spots[rest], all_matches=False)
        taken[rest] = open_to[nearest[1]]
    return locked(taken.reshape(inside.shape), np.int64)


def _just_inside(plane: shapely.Polygon, points: Floats) -> Floats:
    """For points (n, 3) outside a polygon, the nearest place within it, a hair off its edge."""
    ways = shapely.shortest_line(plane, shapely.points(points[:, :2]))
    ends = shapely.get_coordinates(ways).reshape(-1, 2, 2)
    out = ends[:, 1] - ends[:, 0]
    far = np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-12)
    return np.column_stack([ends[:, 0] - 3 * SKIN * out / far, points[:, 2]])
