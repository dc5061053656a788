"""Who is to be warm, and what any heater gives of what each of them needs.

What a body absorbs from several heaters adds up, and its UTCI rises with that sum, so the target
comes to an effective radiant field that each body needs. Everything here counts in shares of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import sqrt
from typing import Protocol

import numpy as np
import shapely

from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.parts import Kind, Model, Place
from heatcore.heat.people.bodies import POINT_WEIGHTS, Bodies, projected_area_factor
from heatcore.heat.people.comfort import absorptance, effective_radiant_field, field_for
from heatcore.heat.people.evening import Evening
from heatcore.heat.people.received import receive
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import arrivals
from heatcore.heat.radiation.surroundings import Surroundings

STEP = 0.65  # m between places on the floor, or more:
MOST_SPOTS = 250  # on a large floor
HALF_BODY = 0.15  # m; so near to furniture or a wall nobody can be
HEAD = 1.7  # m; what hangs higher is in nobody's way
AT_ONCE = 512  # seats; bounds the memory
COARSE, FINE = 8, 32  # points on each aperture
TURNS = 24  # ways round that a body anywhere on the floor may face

STANDING = Place("", "", locked([0.0, 0.0, 0.0]), 0.0, "standing", 0.0, occupied=True)
SEATED = Place("", "", locked([0.0, 0.0, 0.0]), 0.0, "upright", 0.45, occupied=True)


class Demand(Protocol):
    """Bodies that are to be warm, a row each."""

    def shares(
        self, emitters: Sequence[Emitter], around: Surroundings, samples: int = FINE
    ) -> Floats:
        """What each emitter gives each body of what it needs, (rows, emitters)."""


@dataclass(frozen=True, eq=False)
class Seats:
    """The people at their places: seats, taken or not, and those who stand."""

    places: tuple[Place, ...]
    evening: Evening

    def shares(
        self, emitters: Sequence[Emitter], around: Surroundings, samples: int = FINE
    ) -> Floats:
        """As `Demand`; traced as `check` traces them, whatever `samples` says."""
        out = np.zeros((len(self.places), len(emitters)))
        for at in range(0, len(self.places), AT_ONCE):
            got = receive(emitters, self.places[at : at + AT_ONCE], around)
            need = needed_field(self.evening, got.bodies.f_eff)
            out[at : at + AT_ONCE] = got.field / need[:, None]
        return out


@dataclass(frozen=True, eq=False)
class Anywhere:
    """Somebody who sits, and somebody who stands, at places all over the floor.

    They may face any way: their projected-area factors are means over all ways round. Other people
    are in nobody's way here, since they move.

    Attributes
    ----------
    spots : (n, 2) in plan [m]
    evening : what they need
    """

    spots: Floats
    evening: Evening

    def shares(
        self, emitters: Sequence[Emitter], around: Surroundings, samples: int = FINE
    ) -> Floats:
        """As `Demand`, (2 n, emitters): first those who sit, then those who stand."""
        parts = [self._shares(emitters, around, samples, body) for body in (SEATED, STANDING)]
        return np.concatenate(parts)

    def warmed(self, reached: Floats) -> Floats:
        """Whether both have enough (n,), from what the rows (2 n,) are given."""
        both = reached.reshape(2, -1).min(axis=0)
        return np.asarray(both)

    def _shares(
        self, emitters: Sequence[Emitter], around: Surroundings, samples: int, body: Place
    ) -> Floats:
        count = len(self.spots)
        points = np.zeros((count, 3, 3))
        points[..., :2] = self.spots[:, None]
        points[..., 2] = body.heights
        f_eff = Bodies.of([body]).f_eff[0]
        facing = _facing_anywhere(body)
        need = needed_field(self.evening, f_eff)
        out = np.zeros((count, len(emitters)))
        for number, emitter in enumerate(emitters):
            come = arrivals(emitter, points.reshape(-1, 3), around.space, samples)
            up = np.abs(np.arcsin(np.clip(come.directions[..., 2], -1.0, 1.0)))
            meets = np.interp(up, *facing) * np.where(come.hit < 0, come.flux_w_m2, 0.0)
            weighed = POINT_WEIGHTS @ meets.sum(axis=1).reshape(count, 3).T
            share = absorptance(emitter.element_temperature)
            out[:, number] = effective_radiant_field(f_eff, weighed, share) / need
        return out


@dataclass(frozen=True, eq=False)
class Together:
    """Several demands as one, their rows one after another."""

    demands: tuple[Demand, ...]

    def shares(
        self, emitters: Sequence[Emitter], around: Surroundings, samples: int = FINE
    ) -> Floats:
        """As `Demand`."""
        return np.concatenate([d.shares(emitters, around, samples) for d in self.demands])


@dataclass(frozen=True, eq=False)
class Room:
    """Where on the floor a person can be.

    Attributes
    ----------
    model : the space
    """

    model: Model

    @cached_property
    def area(self) -> shapely.Geometry:
        """The floor without what stands on it, in plan."""
        kinds = (
            Kind.FURNITURE, Kind.POST, Kind.WALL, Kind.FITTING, Kind.DOOR, Kind.WINDOW, Kind.SOLID,
        )  # fmt: skip
        stands = [
            shapely.MultiPoint(part.mesh.vertices[:, :2]).convex_hull.buffer(HALF_BODY)
            for part in self.model.of(*kinds)
            if part.mesh.bounds[0, 2] < HEAD
        ]
        return shapely.Polygon(self.model.floor_outline).difference(shapely.unary_union(stands))

    @cached_property
    def spots(self) -> Floats:
        """(n, 2) places spread evenly over it [m]; none where there is no room."""
        if self.area.area <= 0.0:
            return locked(np.zeros((0, 2)))
        step = max(STEP, sqrt(self.area.area / MOST_SPOTS))
        low_x, low_y, high_x, high_y = self.area.bounds
        axes = [evenly(low, high, step) for low, high in ((low_x, high_x), (low_y, high_y))]
        grid = np.stack(np.meshgrid(*axes), axis=-1).reshape(-1, 2)
        kept = grid[shapely.contains_xy(self.area, grid)]
        return locked(kept if len(kept) else np.array(self.area.representative_point().coords))


def evenly(low: float, high: float, step: float) -> Floats:
    """Middles of equal pieces between two ends, about a step long [m]."""
    count = max(1, round((high - low) / step))
    out: Floats = low + (np.arange(count) + 0.5) / count * (high - low)
    return out


def needed_field(evening: Evening, f_eff: Floats) -> Floats:
    """Effective radiant field that meets the target [W/m2]; infinite where none does."""
    if not np.isfinite(evening.needed_radiant):
        return np.full_like(f_eff, np.inf)
    return field_for(evening.background, evening.needed_radiant, f_eff)


def _facing_anywhere(body: Place) -> tuple[Floats, Floats]:
    """Altitudes [rad], and a body's mean projected-area factor there over all ways round."""
    altitudes = np.radians(np.arange(0.0, 91.0, 15.0))
    turns = (np.arange(TURNS) + 0.5) * (2 * np.pi / TURNS)
    factors = projected_area_factor(body.seated, altitudes[:, None], turns[None, :])
    return altitudes, factors.mean(axis=1)
