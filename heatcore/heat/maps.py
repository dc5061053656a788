"""Irradiance over a level plane: contributions, isolines, bands and shares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, locked
from heatcore.heat.beam import Rings


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
    """

    level: float
    x: Floats
    y: Floats
    inside: NDArray[np.bool_]
    outline: Floats
    by_heater: Mapping[str, Floats]

    @cached_property
    def total(self) -> Floats:
        """(ny, nx) irradiance from all heaters [W/m2], read-only."""
        return locked(sum(self.by_heater.values(), start=np.zeros(self.inside.shape)))


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
