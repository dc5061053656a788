"""Why a place is not warm, found by taking each cause away."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Place
from heatcore.geometry.rays import Obstacles
from heatcore.heat.people.bodies import POINT_WEIGHTS
from heatcore.heat.people.body import Cause, Reason
from heatcore.heat.people.comfort import (
    absorptance,
    effective_radiant_field,
    field_for,
    radiant_temperature,
)
from heatcore.heat.people.evening import Evening
from heatcore.heat.people.received import Received, Thing
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import arrivals
from heatcore.heat.radiation.pattern import BEAM_SHARE, half_angles
from heatcore.units import UnitSystem, format_irradiance, format_length, format_speed

AIMED = 8  # points on the aperture of a heater that is thought of as aimed
NEARER = 0.8  # of the distance: where a client is told how fast the irradiance falls
WORTH_TELLING = 0.1  # of what would arrive, from which a shade is named beside another cause
NOTHING = Obstacles(())


def reasons(
    emitters: Sequence[Emitter],
    places: Sequence[Place],
    received: Received,
    evening: Evening,
    cold: Ints,
    standing: set[str],
    units: UnitSystem,
) -> Mapping[int, Reason]:
    """The deciding cause for each of the places that are not warm.

    In this order: no heater; shaded, where it would be warm with nothing in the way; outside, where
    no beam angle holds two of the body's three points; windy, where in the calmest air it would be
    warm with the same radiation, and in this wind would not with any one heater aimed straight at
    it; shaded, where more than half of what would arrive is taken; and too far from what there is.

    Parameters
    ----------
    emitters, places, received : as `receive` takes and returns them
    evening : the climate and the target
    cold : which of the places are not warm
    standing : names of those who stand
    units : of the sentences

    Returns
    -------
    by the index of the place
    """
    if not any(emitter.radiant_power_w > 0.0 for emitter in emitters):
        words = "No heater is on." if emitters else "There is no heater."
        return {int(i): Reason(Cause.NO_HEATER, words) for i in cold}
    if not len(cold):
        return {}
    told = _Told(emitters, places, received, evening, standing, units)
    field, unshaded = received.field.sum(axis=1), received.open_field.sum(axis=1)
    would = _warm(received, unshaded, evening)
    still = _warm(received, field, evening.without_wind())
    calm_would = np.logical_and(not evening.calm, still)
    aimed_would = _warm(received, _best_aimed(emitters, received), evening)
    points = received.bodies.points[cold]
    off = np.stack([_off_the_beam(emitter, points) for emitter in emitters], axis=1)
    found: dict[int, Reason] = {}
    for i, degrees_off in zip(cold.tolist(), off, strict=True):
        if would[i]:
            found[i] = told.shaded(i, would_be_warm=True)
        elif degrees_off.min() > 0.0:
            found[i] = told.outside(degrees_off)
        elif calm_would[i] and not aimed_would[i]:
            found[i] = told.windy(i)
        elif field[i] < 0.5 * unshaded[i]:
            found[i] = told.shaded(i, would_be_warm=False)
        else:
            found[i] = told.far(i, calm_would=bool(calm_would[i]))
    return found


def _warm(received: Received, field: Floats, evening: Evening) -> NDArray[np.bool_]:
    """(n,) whether a radiant field (n,) is enough, of an evening."""
    if evening.needed_gain <= 0.0:
        return np.ones(len(field), dtype=bool)
    radiant = radiant_temperature(evening.background, field, received.bodies.f_eff)
    return np.asarray(evening.gain(radiant) >= evening.needed_gain)


def _best_aimed(emitters: Sequence[Emitter], received: Received) -> Floats:
    """Radiant field (n,) of each body, that heater aimed straight at it where it helps most."""
    bodies, best = received.bodies, np.zeros(len(received.field))
    for number, emitter in enumerate(emitters):
        way = emitter.samples(AIMED) - bodies.points[:, :, None]
        far = np.linalg.norm(way, axis=-1)
        flux = emitter.peak_w_sr / (AIMED * far**2)
        shown = POINT_WEIGHTS[:, None] * bodies.projected(way / far[..., None]) * flux
        share = absorptance(emitter.element_temperature)
        aimed = effective_radiant_field(bodies.f_eff, shown.sum(axis=(1, 2)), share)
        best = np.maximum(best, aimed - received.field[:, number])
    out: Floats = received.field.sum(axis=1) + best
    return out


def _off_the_beam(emitter: Emitter, points: Floats) -> Floats:
    """How far bodies (n, 3, 3) lie outside a beam angle, (n,) [degrees].

    That of the second of the three points, since two hold for the person; 0 inside, infinite behind
    the face.
    """
    way = emitter.nearest(points)
    from_axis = np.arctan2(np.hypot(way[..., 0], way[..., 1]), -way[..., 2])
    azimuths = np.arctan2(way[..., 1], way[..., 0]).ravel()
    bound = half_angles(emitter.pattern, azimuths, BEAM_SHARE).reshape(from_axis.shape)
    off = np.where(way[..., 2] < 0.0, np.degrees(from_axis - bound), np.inf)
    off = np.where(emitter.share(points) >= BEAM_SHARE, 0.0, np.maximum(off, 1e-6))
    if emitter.radiant_power_w <= 0.0:
        off = np.full_like(off, np.inf)
    out: Floats = np.sort(off, axis=1)[:, 1]
    return out


@dataclass(frozen=True, eq=False)
class _Told:
    """The sentences."""

    emitters: Sequence[Emitter]
    places: Sequence[Place]
    received: Received
    evening: Evening
    standing: set[str]
    units: UnitSystem

    def shaded(self, i: int, *, would_be_warm: bool) -> Reason:
        heaters, things, taken = self.received.shading(i)
        by_thing = np.bincount(things, taken)
        most = int(np.argmax(by_thing))
        heater = int(np.argmax(np.bincount(heaters, np.where(things == most, taken, 0.0))))
        thing, name = self.received.things[most], self.emitters[heater].name
        share = by_thing[most] / self.received.open_field[i].sum()
        words = f"Shaded: {self._called(thing)} takes {max(share, 0.01):.0%} of what would arrive"
        if len(self.emitters) > 1:
            words += f", most of it from {name}"
        alone = np.zeros(len(self.places))
        alone[i] = self.received.field[i].sum() + by_thing[most]
        if not would_be_warm:
            words += "; with nothing in the way it would still not be warm here."
        elif _warm(self.received, alone, self.evening)[i]:
            words += "; without it, it would be warm here."
        else:
            words += "; with nothing in the way it would be warm here."
        return Reason(Cause.SHADED, words, name, thing.owner)

    def outside(self, degrees_off: Floats) -> Reason:
        nearest = int(np.argmin(degrees_off))
        if not isfinite(degrees_off[nearest]):
            return Reason(Cause.OUTSIDE, "Outside every beam: behind the face of every heater.")
        name = self.emitters[nearest].name
        by = max(float(degrees_off[nearest]), 1.0)
        words = f"Outside every beam: the nearest, of {name}, ends {by:.0f}° short of here."
        return Reason(Cause.OUTSIDE, words, name)

    def windy(self, i: int) -> Reason:
        heater = self._strongest(i)
        wind = format_speed(self.evening.climate.wind, self.units)
        wanted = self._from_overhead(i, self.emitters[heater])
        bound = self.evening.target.head_irradiance
        if not isfinite(wanted):
            words = f"Too windy: at {wind} no beam can bring the target"
        else:
            words = f"Too windy: at {wind} it takes {_written(wanted)} from overhead"
            if wanted > bound:
                words += f", more than the {_written(bound)} that heads should get"
            words += ", and no heater here brings that even where aimed straight at it"
        words += "; in calm air what arrives would do."
        return Reason(Cause.WIND, words, self.emitters[heater].name)

    def far(self, i: int, *, calm_would: bool) -> Reason:
        heater = self._strongest(i)
        emitter, waist = self.emitters[heater], self.received.bodies.points[i, 1]
        back = emitter.nearest(waist) @ emitter.frame.axes
        here, nearer = waist, waist - (1.0 - NEARER) * back
        flux = arrivals(emitter, np.stack([here, nearer]), NOTHING).flux_w_m2.sum(axis=1)
        distance = float(np.linalg.norm(back))
        away, closer = self._length(distance), self._length(NEARER * distance)
        words = f"Too far: {away} from {emitter.name} its beam brings {_written(flux[0])}, and "
        words += f"{_written(flux[1])} at {closer}"
        needed = self._needed_field(i)
        if isfinite(needed):
            times = needed / self.received.field[i].sum()
            words += f"; the target asks for {_times(times)} times what arrives"
        else:
            words += "; no beam can reach the target on such an evening"
        if calm_would:
            words += ", or for calm air"
        shade = self._shade(i)
        if shade is not None:
            words += f"; {shade} of what would arrive"
        return Reason(Cause.FAR, f"{words}.", emitter.name)

    def _shade(self, i: int) -> str | None:
        """What takes most on the way and how much, where that is worth telling."""
        _, things, taken = self.received.shading(i)
        whole = self.received.open_field[i].sum()
        if not len(things) or whole <= 0.0:
            return None
        by_thing = np.bincount(things, taken)
        most = int(np.argmax(by_thing))
        share = by_thing[most] / whole
        if share < WORTH_TELLING:
            return None
        return f"{self._called(self.received.things[most])} takes {share:.0%}"

    def _strongest(self, i: int) -> int:
        return int(np.argmax(self.received.field[i]))

    def _needed_field(self, i: int) -> float:
        evening = self.evening
        if not isfinite(evening.needed_radiant):
            return float("inf")
        f_eff = self.received.bodies.f_eff[i]
        return float(field_for(evening.background, evening.needed_radiant, f_eff))

    def _from_overhead(self, i: int, emitter: Emitter) -> float:
        """Irradiance from straight overhead that meets the target [W/m2]."""
        bodies = self.received.bodies
        up = np.broadcast_to([0.0, 0.0, 1.0], (len(bodies.f_eff), 3))
        share = absorptance(emitter.element_temperature)
        field = effective_radiant_field(bodies.f_eff[i], bodies.projected(up)[i], share)
        return self._needed_field(i) / float(field)

    def _length(self, length: float) -> str:
        if self.units is UnitSystem.METRIC:
            return f"{length:.1f} m"
        return format_length(length, self.units, denominator=1)

    def _called(self, thing: Thing) -> str:
        if thing.guest and thing.owner not in self.standing:
            return f"the guest at {thing.owner}"
        return thing.owner


def _times(factor: float) -> str:
    """Up to a tenth or a hundredth, so that a little more never reads as 1."""
    return f"{factor:.2f}" if factor < 1.1 else f"{factor:.1f}"


def _written(irradiance_w_m2: float) -> str:
    """To two figures, and always in W/m2."""
    digits = 2 - len(f"{irradiance_w_m2:.0f}")
    return format_irradiance(round(irradiance_w_m2, min(digits, 0)), UnitSystem.METRIC)
