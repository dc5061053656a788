"""Irradiance over a level plane, and what is read off it: isolines, bands, shares, extremes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor, inf, isfinite, log10

import numpy as np
import shapely
from numpy.typing import NDArray

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.heat.planes.contours import Contours, Rings, areas, parted
from heatcore.heat.radiation.emitter import Emitter

SERIES = (1.0, 2.0, 2.5, 5.0)  # round figures of each decade
DECADES = (1.0, 2.0, 5.0)  # the same, for values that double
WORTH_SHOWING = 0.05  # of the highest value; less is lost beside it


@dataclass(frozen=True, eq=False)
class PlaneMap:
    """Irradiance of a level plane from above, heater by heater.

    Attributes
    ----------
    level : height of the plane above the floor [m]
    x : (nx,) and
    y : (ny,) where the grid's points lie in the world [m], ascending, read-only
    inside : (ny, nx) which of them lie in the outline
    outline : (n, 2) the plane's edge in plan, counter-clockwise [m]
    by_heater : for each heater's name, (ny, nx) irradiance of the upper side [W/m2], read-only;
        outside the outline it goes on, so that lines can be drawn up to the edge
    emitters : the heaters
    taken_from : (ny, nx) index, counted row by row, of the point whose irradiance stands at each:
        its own in the open, that of the nearest one in the open where it lies in a wall, a post, or
        beyond what stands on the edge; left out, its own everywhere
    """

    level: float
    x: Floats
    y: Floats
    inside: NDArray[np.bool_]
    outline: Floats
    by_heater: Mapping[str, Floats]
    emitters: tuple[Emitter, ...] = ()
    taken_from: Ints | None = None

    @cached_property
    def total(self) -> Floats:
        """(ny, nx) irradiance from all heaters [W/m2], read-only."""
        return locked(sum(self.by_heater.values(), start=np.zeros(self.inside.shape)))

    @cached_property
    def plane(self) -> shapely.Polygon:
        """The outline as a polygon in plan."""
        return shapely.Polygon(self.outline)

    @cached_property
    def contours(self) -> Contours:
        """Contours of the total within the outline."""
        return Contours(self.x, self.y, self.total, self.plane)

    def at(self, points: Floats) -> Floats:
        """Irradiance (n,) from all heaters at points (n, 2) in the outline [W/m2].

        Linear between the grid's points along x and along y.
        """
        i = np.clip(np.searchsorted(self.x, points[:, 0]) - 1, 0, len(self.x) - 2)
        j = np.clip(np.searchsorted(self.y, points[:, 1]) - 1, 0, len(self.y) - 2)
        u = (points[:, 0] - self.x[i]) / (self.x[i + 1] - self.x[i])
        v = (points[:, 1] - self.y[j]) / (self.y[j + 1] - self.y[j])
        f = self.total
        near = (1.0 - u) * f[j, i] + u * f[j, i + 1]
        far = (1.0 - u) * f[j + 1, i] + u * f[j + 1, i + 1]
        return np.asarray((1.0 - v) * near + v * far)


@dataclass(frozen=True, eq=False)
class Isoline:
    """Where the irradiance has one value.

    Attributes
    ----------
    irradiance_w_m2 : the value
    lines : (n, 2) each, in plan; a closed one ends where it begins
    """

    irradiance_w_m2: float
    lines: tuple[Floats, ...]


@dataclass(frozen=True, eq=False)
class Band:
    """Where the irradiance lies between two values.

    Attributes
    ----------
    low, high : the two values [W/m2]; high is infinite in the topmost band
    areas : in plan, each an outer ring and its holes
    share : of the outline's area
    """

    low: float
    high: float
    areas: tuple[Rings, ...]
    share: float


@dataclass(frozen=True, eq=False)
class Extremes:
    """The lowest and the highest irradiance within a map's outline.

    Attributes
    ----------
    lowest, highest : [W/m2]
    lowest_at, highest_at : (3,) where [m]
    """

    lowest: float
    lowest_at: Floats
    highest: float
    highest_at: Floats


@dataclass(frozen=True)
class WarmedShare:
    """How much of a plane is warmed, as shares of its area.

    Attributes
    ----------
    threshold_w_m2 : from which a place counts as warmed
    warmed : all heaters together reach the threshold there
    doubly : two heaters or more reach it, each by itself
    missed : all heaters together do not
    """

    threshold_w_m2: float
    warmed: float
    doubly: float
    missed: float


@dataclass(frozen=True, eq=False)
class ZoneHeat:
    """What a named zone receives, on its own plane.

    Attributes
    ----------
    name : of the zone
    level : height of the plane [m]
    coldest : lowest irradiance [W/m2]
    coldest_at : (3,) where [m]
    typical : median [W/m2]
    hottest : highest [W/m2]
    spread : coldest over mean, 1 where it is even; 0 where nothing reaches it
    warmed : its shares at the site's threshold
    """

    name: str
    level: float
    coldest: float
    coldest_at: Floats
    typical: float
    hottest: float
    spread: float
    warmed: WarmedShare


def isolines(field: PlaneMap, values: Iterable[float]) -> tuple[Isoline, ...]:
    """Lines of equal irradiance within a map's outline, one for each value, ascending.

    Parameters
    ----------
    field : the map
    values : irradiances, more than 0 [W/m2]; one that is reached nowhere has no lines

    Raises
    ------
    InputError
        If a value is not more than 0, or not finite.
    """
    return tuple(Isoline(value, field.contours.lines(value)) for value in _ascending(values))


def bands(field: PlaneMap, values: Iterable[float]) -> tuple[Band, ...]:
    """Areas between values, the lowest from 0, the topmost open.

    Together they are the outline, and none overlaps another: a place at exactly a value lies on
    the edge of both. One that holds nothing has no areas and no share.

    Parameters
    ----------
    field : the map
    values : irradiances between the bands, more than 0 [W/m2]

    Raises
    ------
    InputError
        If a value is not more than 0, or not finite.
    """
    edges = _ascending(values)
    out, above = [], field.plane
    for low, high in zip((0.0, *edges), (*edges, inf), strict=True):
        here, above = above, field.contours.at_least(high)
        share = (here.area - above.area) / field.plane.area
        out.append(Band(low, high, areas(parted(here, above)), share))
    return tuple(out)


def extremes(field: PlaneMap) -> Extremes:
    """The lowest and the highest irradiance within a map's outline.

    Looked for at the grid's points, those in walls and posts aside, and all along the outline.
    """
    points, values = _samples(field)
    low, high = int(np.argmin(values)), int(np.argmax(values))
    return Extremes(
        lowest=float(values[low]),
        lowest_at=locked([*points[low], field.level]),
        highest=float(values[high]),
        highest_at=locked([*points[high], field.level]),
    )


def levels(field: PlaneMap, count: int = 5, threshold: float | None = None) -> tuple[float, ...]:
    """Round values that tell how a map's irradiance is spread.

    Even steps where at least half of the plane reaches the first of them; where the light is
    narrower, values that double (1, 2, 5, 10, ...), so that the larger part is not left blank.

    Parameters
    ----------
    field : the map
    count : about how many
    threshold : a value that is always among them, such as that from which a floor counts as warmed;
        it takes the place of what would stand too near to it

    Returns
    -------
    tuple of float
        Ascending, all but the threshold below the map's maximum [W/m2]; empty where nothing is
        radiated.
    """
    most = extremes(field).highest
    if most <= 0.0:
        return ()
    found = _even_steps(most, count, threshold)
    if found[0] > float(np.median(_samples(field)[1])):
        found = _doubling(most, count)
    if threshold is not None:
        found = [value for value in found if abs(value - threshold) >= 0.2 * max(value, threshold)]
        found = sorted([*found, threshold])
    return tuple(found)


def warmed_share(field: PlaneMap, threshold: float) -> WarmedShare:
    """How much of a map's outline is warmed, by areas between the grid's points.

    Parameters
    ----------
    field : the map
    threshold : irradiance from which a place counts as warmed, more than 0 [W/m2]

    Raises
    ------
    InputError
        If the threshold is not more than 0, or not finite.
    """
    (value,) = _ascending([threshold])
    first, second = np.zeros(field.inside.shape), np.zeros(field.inside.shape)
    for one in field.by_heater.values():
        first, second = np.maximum(first, one), np.maximum(second, np.minimum(first, one))
    whole = field.plane.area
    warmed = field.contours.at_least(value).area / whole
    twice = Contours(field.x, field.y, second, field.plane).at_least(value).area / whole
    return WarmedShare(value, warmed=warmed, doubly=twice, missed=max(0.0, 1.0 - warmed))


def _ascending(values: Iterable[float]) -> tuple[float, ...]:
    found = sorted({float(value) for value in values})
    for value in found:
        if not (isfinite(value) and value > 0.0):
            raise InputError(
                "irradiance", f"{value:g} W/m2 bounds no area", "give a finite value above 0 W/m2"
            )
    return tuple(found)


def _samples(field: PlaneMap) -> tuple[Floats, Floats]:
    """Points (n, 2) in the open within the outline and along it, and the irradiance (n,) there."""
    own = field.inside.ravel()
    if field.taken_from is not None:
        own = own & (field.taken_from.ravel() == np.arange(own.size))
    grid = np.stack(np.meshgrid(field.x, field.y), axis=-1).reshape(-1, 2)[own]
    step = min(field.x[1] - field.x[0], field.y[1] - field.y[0])
    edge = shapely.get_coordinates(shapely.segmentize(field.plane.exterior, step))
    return np.concatenate([grid, edge]), np.concatenate([field.total.ravel()[own], field.at(edge)])


def _even_steps(most: float, count: int, threshold: float | None) -> list[float]:
    """Multiples of one round step below the highest value; of the threshold's, where one fits."""
    decade = floor(log10(most / (count + 1)))
    steps = [figure * 10.0**power for power in (decade, decade + 1) for figure in SERIES]
    fitting = [s for s in steps if (count + 1) // 2 <= ceil(most / s) - 1 <= count]
    through = [s for s in fitting if threshold and abs(threshold / s - round(threshold / s)) < 1e-9]
    step = min(through or fitting)
    times = [float(n) for n in range(1, ceil(most / step))]
    if len(times) < count - 1:
        times = [0.5, *times]
    return [float(f"{step * n:.6g}") for n in times]


def _doubling(most: float, count: int) -> list[float]:
    """The highest figures of the decades below the highest value that are worth showing."""
    decade = floor(log10(most))
    figures = [f * 10.0**power for power in range(decade - 2, decade + 1) for f in DECADES]
    return [f for f in figures if WORTH_SHOWING * most <= f < most][-count:]
