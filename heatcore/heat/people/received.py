"""What the heaters send to bodies, and what keeps it from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Place
from heatcore.heat.people.bodies import POINT_WEIGHTS, Bodies
from heatcore.heat.people.comfort import absorptance, effective_radiant_field
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import arrivals
from heatcore.heat.radiation.surroundings import Surroundings

SAMPLES = 32  # points on each aperture


@dataclass(frozen=True)
class Thing:
    """What shades somebody.

    Attributes
    ----------
    owner : name of the thing in the scene; of a guest, of the seat or of the person
    guest : whether it is a guest
    """

    owner: str
    guest: bool


@dataclass(frozen=True, eq=False)
class Received:
    """What reaches a number of bodies.

    Attributes
    ----------
    bodies : how they lie to the radiation
    field : (n, m) effective radiant field of each heater on each body [W/m2]
    open_field : (n, m) the same with nothing in the way [W/m2]
    level : (n, 2) irradiance of a level surface at waist and head [W/m2]
    things : what shades any of them
    shades : (k, 3) body, heater and thing, in the order of the bodies
    taken : (k,) the effective radiant field that it takes [W/m2]
    """

    bodies: Bodies
    field: Floats
    open_field: Floats
    level: Floats
    things: tuple[Thing, ...]
    shades: Ints
    taken: Floats

    def shading(self, body: int) -> tuple[Ints, Ints, Floats]:
        """Heaters, things and what each takes of one body's radiant field, (k,) each."""
        part = slice(*np.searchsorted(self.shades[:, 0], [body, body + 1]))
        return self.shades[part, 1], self.shades[part, 2], self.taken[part]


def receive(
    emitters: Sequence[Emitter], places: Sequence[Place], surroundings: Surroundings
) -> Received:
    """Trace what each heater sends to ankles, waist and head of each person.

    What belongs to a place, the person's own body and what the person sits on or at, shades nobody
    there. Everything else does, other guests included.
    """
    bodies, count = Bodies.of(places), len(places)
    crowd = _Crowd(places, surroundings)
    field, open_field = np.zeros((count, len(emitters))), np.zeros((count, len(emitters)))
    level = np.zeros((count, 2))
    shades: list[Ints] = [np.zeros((0, 3), dtype=np.int64)]
    taken: list[Floats] = [np.zeros(0)]
    for number, emitter in enumerate(emitters):
        if emitter.radiant_power_w <= 0.0:
            continue
        arriving = arrivals(emitter, bodies.points.reshape(-1, 3), surroundings.space, SAMPLES)
        shape = (count, 3, arriving.flux_w_m2.shape[1])
        directions, flux = arriving.directions.reshape(*shape, 3), arriving.flux_w_m2.reshape(shape)
        gain = effective_radiant_field(
            bodies.f_eff[:, None, None],
            POINT_WEIGHTS[:, None] * bodies.projected(directions) * flux,
            absorptance(emitter.element_temperature),
        )
        thing = crowd.in_the_way(emitter, bodies.points, arriving.hit.reshape(shape))
        free = thing < 0
        field[:, number] = np.sum(gain, axis=(1, 2), where=free)
        open_field[:, number] = gain.sum(axis=(1, 2))
        falling = flux * np.maximum(directions[..., 2], 0.0)
        level += np.sum(falling, axis=2, where=free)[:, 1:]
        body = np.nonzero(~free)[0]
        pairs, which = np.unique(np.column_stack([body, thing[~free]]), axis=0, return_inverse=True)
        heater = np.full(len(pairs), number)
        shades.append(np.column_stack([pairs[:, 0], heater, pairs[:, 1]]))
        sums = np.bincount(which.ravel(), gain[~free], minlength=len(pairs))
        taken.append(sums.astype(np.float64))
    all_shades, all_taken = np.concatenate(shades), np.concatenate(taken)
    order = np.argsort(all_shades[:, 0], kind="stable")
    return Received(
        bodies, field, open_field, level, crowd.things, all_shades[order], all_taken[order]
    )


class _Crowd:
    """Who and what can stand between heaters and people, by number."""

    def __init__(self, places: Sequence[Place], surroundings: Surroundings) -> None:
        self.people = surroundings.people
        fixed = [Thing(o, guest=False) for o in surroundings.owners(surroundings.space)]
        guests = [Thing(o, guest=True) for o in surroundings.owners(self.people)]
        self.things = tuple(dict.fromkeys([*fixed, *guests]))
        numbers = {thing: n for n, thing in enumerate(self.things)}
        # The last entry is what a ray that is free meets, -1.
        self.fixed = np.array([*(numbers[thing] for thing in fixed), -1], dtype=np.int64)
        self.guests = np.array([*(numbers[thing] for thing in guests), -1], dtype=np.int64)
        owners = [(p.owner, p.name) for p in places]
        self.own = np.array(
            [[numbers.get(Thing(o, g), -2) for o in pair for g in (False, True)] for pair in owners]
        )

    def in_the_way(self, emitter: Emitter, points: Floats, hit: Ints) -> Ints:
        """Number of what shades each ray (n, 3, s), which meets `hit` first; -1 where it is free.

        People are looked for by themselves: who sits across a table is behind a chair of the same
        table, which does not count.
        """
        thing = self._but_own(self.fixed[hit])
        if len(self.people.names):
            targets = self.people.targets(points.reshape(-1, 3))
            met = [self.people.met(sample, targets) for sample in emitter.samples(hit.shape[2])]
            guest = self._but_own(self.guests[np.stack(met, axis=-1).reshape(hit.shape)])
            thing = np.where(thing >= 0, thing, guest)
        return thing

    def _but_own(self, thing: Ints) -> Ints:
        mine = (thing[..., None] == self.own[:, None, None, :]).any(axis=-1)
        return np.where(mine, -1, thing)
