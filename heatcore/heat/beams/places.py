"""Who is in which beam, and why not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Model, Place
from heatcore.geometry.rays import Flags
from heatcore.heat.beams.beam import Lit, PlaceLight
from heatcore.heat.beams.landing import SAMPLES, SEEN
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.pattern import BEAM_SHARE, FIELD_SHARE, half_angles
from heatcore.heat.radiation.surroundings import Surroundings
from heatcore.heat.radiation.visibility import off_surface

AT_ONCE = 1024  # places: bounds the memory
ORDER = (Lit.BEAM, Lit.EDGE, Lit.OUTSIDE)

Told = tuple[Lit, str]


def lit_places(
    emitters: Sequence[Emitter],
    model: Model,
    around: Surroundings,
    reach_irradiance_w_m2: float,
) -> tuple[PlaceLight, ...]:
    """How each place lies to every beam; what a person sits on or at does not shade that person.

    Ankles, waist and head are tried; what holds for two of the three holds for the person. Other
    people shade.

    Parameters
    ----------
    emitters : of the heaters
    model : the site, whose places are asked about
    around : what is in the way
    reach_irradiance_w_m2 : a beam ends where it has fallen to this on its axis
    """
    reaches = {emitter.name: emitter.reach(reach_irradiance_w_m2) for emitter in emitters}
    lights: list[PlaceLight] = []
    for at in range(0, len(model.places), AT_ONCE):
        places = model.places[at : at + AT_ONCE]
        told = {e.name: _lit_by(e, reaches[e.name], places, around) for e in emitters}
        for number, place in enumerate(places):
            lights.append(_light(place, {name: one[number] for name, one in told.items()}))
    return tuple(lights)


def _light(place: Place, told: Mapping[str, Told]) -> PlaceLight:
    return PlaceLight(
        place=place,
        by_heater={name: lit for name, (lit, _) in told.items()},
        why={name: why for name, (lit, why) in told.items() if lit is not Lit.BEAM},
        best=min((lit for lit, _ in told.values()), key=ORDER.index, default=Lit.OUTSIDE),
    )


@dataclass(frozen=True, eq=False)
class _View:
    """How the three points of n places look at one heater.

    Attributes
    ----------
    share : (n, 3) intensity toward them, of the peak
    far : (n, 3) distances [m]
    seen : (n, 3) whether enough of the aperture is in sight
    hit : (n, 3, s) index of what shades them, -1 where nothing does
    off : (n, 3) how far outside the beam angle [rad]; infinite behind the face
    """

    share: Floats
    far: Floats
    seen: Flags
    hit: Ints
    off: Floats


def _lit_by(
    emitter: Emitter, reach: float, places: Sequence[Place], around: Surroundings
) -> list[Told]:
    """Where each person lies to one heater's beam, and in plain words why not inside it."""
    view = _look(emitter, places, around)
    open_to = (view.far <= reach) & view.seen
    in_beam = np.count_nonzero(open_to & (view.share >= BEAM_SHARE), axis=1) >= 2
    at_edge = np.count_nonzero(open_to & (view.share >= FIELD_SHARE), axis=1) >= 2
    told: list[Told] = []
    for i in range(len(places)):
        if in_beam[i]:
            told.append((Lit.BEAM, ""))
        else:
            lit = Lit.EDGE if at_edge[i] else Lit.OUTSIDE
            told.append((lit, _why(view, i, reach, around)))
    return told


def _look(emitter: Emitter, places: Sequence[Place], around: Surroundings) -> _View:
    heights = np.array([place.heights for place in places])
    points = np.array([place.point for place in places])[:, None].repeat(3, axis=1)
    points[..., 2] += heights
    flat = points.reshape(-1, 3)
    share = emitter.share(flat)
    hit = np.full((len(flat), SAMPLES), -1, dtype=np.int64)
    # Sight is only asked for where the angle does not rule the point out already.
    asked = np.flatnonzero(share >= FIELD_SHARE)
    targets = around.peopled.targets(off_surface(emitter, flat[asked]))
    for number, source in enumerate(emitter.samples(SAMPLES)):
        hit[asked, number] = around.peopled.met(source, targets)
    hit = _but_the_own(hit.reshape(len(places), 3, SAMPLES), places, around)
    way = emitter.nearest(flat)
    off = np.arctan2(np.hypot(way[:, 0], way[:, 1]), -way[:, 2]) - half_angles(
        emitter.pattern, np.arctan2(way[:, 1], way[:, 0]), BEAM_SHARE
    )
    return _View(
        share=share.reshape(-1, 3),
        far=emitter.distance(points),
        seen=np.count_nonzero(hit < 0, axis=2) >= SEEN * SAMPLES,
        hit=hit,
        off=np.where(way[:, 2] < 0.0, off, np.inf).reshape(-1, 3),
    )


def _but_the_own(hit: Ints, places: Sequence[Place], around: Surroundings) -> Ints:
    """The same hits (n, 3, s) without those on what belongs to the place itself."""
    numbers: dict[str, int] = {}
    owners = [numbers.setdefault(o, len(numbers)) for o in around.owners(around.peopled)]
    owner_of_hit = np.array([*owners, -1])[hit]  # the last one for -1
    own = np.array([[numbers.get(n, -2) for n in (p.owner, p.name)] for p in places])
    is_own = (owner_of_hit[..., None] == own[:, None, None, :]).any(axis=-1)
    return np.where(is_own, -1, hit)


def _why(view: _View, i: int, reach: float, around: Surroundings) -> str:
    """The first thing that keeps two of a person's three points out of the beam."""
    within = view.share[i] >= BEAM_SHARE
    if np.count_nonzero(within) < 2:
        least = float(np.sort(view.off[i])[1])  # the second of the three has to come in
        if not np.isfinite(least):
            return "behind its face"
        return f"outside the beam by {max(np.degrees(least), 1.0):.0f}°"
    if np.count_nonzero(within & view.seen[i]) < 2:
        hits = view.hit[i][within & ~view.seen[i]]
        found, counts = np.unique(hits[hits >= 0], return_counts=True)
        return f"shaded by {around.peopled.names[found[np.argmax(counts)]]}"
    return f"beyond its reach: {float(np.sort(view.far[i])[1]):.1f} m of {reach:.1f} m"
