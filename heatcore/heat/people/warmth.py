"""What each person gets from the heaters, and whether it is enough."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Model, Place
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.heat.people.comfort import LONG_WAVE, radiant_temperature
from heatcore.heat.people.evening import Evening
from heatcore.heat.people.reasons import reasons
from heatcore.heat.people.received import Received, receive
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.surroundings import Surroundings
from heatcore.scene.model import Climate, Target
from heatcore.units import UnitSystem, format_temperature

AT_ONCE = 512  # places; bounds the memory, some 10 kB a place
NEARLY = 0.9
"""Share of the needed gain from which a place is borderline."""

LYING = "who lies back counts as a standing body that leans back, for which there is a table"


def body_heats(
    emitters: Sequence[Emitter],
    model: Model,
    surroundings: Surroundings,
    climate: Climate,
    target: Target,
    units: UnitSystem = UnitSystem.METRIC,
) -> tuple[BodyHeat, ...]:
    """What each person gets, and the verdict, in the order of the model's places.

    A body is looked at in three points (ankles, waist and head), each weighed as `bodies` says. The
    radiation that arrives there from every direction meets the area that the body shows that
    direction, so which way a person faces matters. The fourth powers of the surroundings and of
    what is absorbed add up to the mean radiant temperature, and that to the UTCI.

    The score of a place is the gain over the needed gain: 1 is warm, 0.9 borderline.

    Parameters
    ----------
    emitters : of the heaters
    model : whose places are looked at, taken or not
    surroundings : what is in the way
    climate : the design evening
    target : what counts as warm
    units : of the lengths, temperatures and wind in the sentences
    """
    evening, places = Evening(climate, target), model.places
    standing = {place.name for place in places if not place.seated}
    heats: list[BodyHeat] = []
    for at in range(0, len(places), AT_ONCE):
        some = places[at : at + AT_ONCE]
        received = receive(emitters, some, surroundings)
        heats += _judged(emitters, some, received, evening, standing, units)
    return tuple(heats)


def score(gain: Floats, evening: Evening) -> Floats:
    """Gain (n,) over the needed gain; infinite where none is needed."""
    if evening.needed_gain <= 0.0:
        return np.full_like(gain, np.inf)
    return gain / evening.needed_gain


def _judged(
    emitters: Sequence[Emitter],
    places: Sequence[Place],
    received: Received,
    evening: Evening,
    standing: set[str],
    units: UnitSystem,
) -> list[BodyHeat]:
    bodies = received.bodies
    radiant = radiant_temperature(evening.background, received.field.sum(axis=1), bodies.f_eff)
    utci = evening.utci(radiant)
    scores = score(utci - evening.utci_without, evening)
    cold = np.flatnonzero(scores < 1.0)
    why = reasons(emitters, places, received, evening, cold, standing, units)
    absorbed = received.field * (LONG_WAVE * bodies.area / bodies.f_eff)[:, None]
    return [
        BodyHeat(
            place=place,
            absorbed_w={e.name: float(w) for e, w in zip(emitters, absorbed[i], strict=True)},
            irradiance_w_m2=float(received.level[i, 0]),
            head_w_m2=float(received.level[i, 1]),
            radiant_temperature=float(radiant[i]),
            utci_without=evening.utci_without,
            utci=float(utci[i]),
            needed_gain=evening.needed_gain,
            comfort=_comfort(float(scores[i])),
            reason=why.get(i),
            notes=_notes(place, evening, float(radiant[i]), units),
        )
        for i, place in enumerate(places)
    ]


def _comfort(reached: float) -> Comfort:
    if reached >= 1.0:
        return Comfort.WARM
    return Comfort.BORDERLINE if reached >= NEARLY else Comfort.COLD


def _notes(place: Place, evening: Evening, radiant: float, units: UnitSystem) -> tuple[str, ...]:
    notes = evening.notes(radiant)
    if evening.needed_gain <= 0.0:
        without = format_temperature(evening.utci_without, units)
        notes = (f"warm enough without heaters, at a UTCI of {without}", *notes)
    return (*notes, LYING) if place.posture == "lounging" else notes
