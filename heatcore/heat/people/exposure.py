"""What reaches heads and eyes anywhere on the floor, at its worst."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import pi, sqrt

import numpy as np
import shapely

from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.parts import Kind, Model, Part, Place
from heatcore.geometry.rays import Obstacles
from heatcore.geometry.shadow import shadow
from heatcore.geometry.soup import Soup
from heatcore.heat.people.comfort import radiant_temperature
from heatcore.heat.people.evening import Evening
from heatcore.heat.people.head import HeadHeat
from heatcore.heat.people.received import receive
from heatcore.heat.radiation.blackbody import ZERO_CELSIUS, band_share
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import FINAL, PREVIEW, arrivals, irradiances
from heatcore.heat.radiation.surroundings import Surroundings
from heatcore.scene.model import Climate, Target

STANDING = Place("", "", locked([0.0, 0.0, 0.0]), 0.0, "standing", 0.0, occupied=True)
SEATED = Place("", "", locked([0.0, 0.0, 0.0]), 0.0, "upright", 0.45, occupied=True)

EYE_BAND_UM = (0.78, 3.0)
"""Infrared that cornea and lens take up: Directive 2006/25/EC, Annex I; ICNIRP 2013."""

STEP = 0.25  # m between heads on the grid, or more:
MOST_HEADS = 2500  # of a large floor
HALVINGS = 4  # of the step, about the hottest head
GAZES = 36  # ways to look, all round: within half a percent of the worst
FACINGS = 8  # ways round that a body is tried
SAMPLES, FINE = (
    16,
    128,
)  # points on each aperture to look for the worst eye, and to say what it gets
AT_ONCE = 2048  # eyes; bounds the memory, some 300 bytes an eye and heater
UP = np.array([0.0, 0.0, 1.0])

Rank = Callable[[Floats], Floats]


def head_heats(
    emitters: Sequence[Emitter],
    model: Model,
    surroundings: Surroundings,
    climate: Climate,
) -> tuple[HeadHeat, ...]:
    """Find the hottest head and the most irradiated eye of people who stand, and who sit.

    Heads are tried on a grid over the whole floor, 1.7 m (standing) and 1.1 m (seated) above it
    (ISO 7726:1998, from memory), below each heater and where its axis passes, and at every place;
    then about the hottest, ever closer. People stand in nobody's way. A head inside a solid does
    not count.

    Parameters
    ----------
    emitters : of the heaters
    model : the space
    surroundings : what is in the way
    climate : the design evening

    Returns
    -------
    tuple of HeadHeat
        Standing, then seated; empty where no heater works.
    """
    working = [emitter for emitter in emitters if emitter.radiant_power_w > 0.0]
    if not working:
        return ()
    worst = (
        _worst(posture, body, working, model, surroundings, climate)
        for posture, body in (("standing", STANDING), ("seated", SEATED))
    )
    return tuple(head for head in worst if head is not None)


def eye_irradiances(
    emitters: Sequence[Emitter], points: Floats, obstacles: Obstacles, samples: int = SAMPLES
) -> Floats:
    """Infrared that enters eyes which look level, the worst way round, by each heater.

    Irradiance of an upright plane at the eye, square to the gaze, which is tried all round; only
    the share between 0.78 and 3 um, of a blackbody as hot as the element. Brow and lids, which keep
    off some of what comes from above, are left out.

    Parameters
    ----------
    emitters : of the heaters, k of them
    points : (n, 3) of the eyes [m]
    obstacles : what is in the way
    samples : points on each aperture

    Returns
    -------
    (n, k) for the gaze that is worst in all [W/m2]
    """
    parts = [points[at : at + AT_ONCE] for at in range(0, len(points), AT_ONCE)]
    found = [_into_eyes(emitters, part, obstacles, samples) for part in parts]
    return np.concatenate([np.zeros((0, len(emitters))), *found])


def _into_eyes(
    emitters: Sequence[Emitter], points: Floats, obstacles: Obstacles, samples: int
) -> Floats:
    turns = np.arange(GAZES) * (2 * pi / GAZES)
    gazes = np.stack([np.cos(turns), np.sin(turns)])
    into = np.zeros((len(emitters), len(points), GAZES))
    for by, emitter in zip(into, emitters, strict=True):
        come = arrivals(emitter, points, obstacles, samples)
        flux = np.where(come.hit < 0, come.flux_w_m2, 0.0)
        share = float(band_share(*EYE_BAND_UM, emitter.element_temperature + ZERO_CELSIUS))
        # One aperture sample at a time: points by gazes by samples would be a large array.
        for sample in range(samples):
            ahead = np.maximum(come.directions[:, sample, :2] @ gazes, 0.0)
            by += share * flux[:, sample, None] * ahead
    worst = into.sum(axis=0).argmax(axis=1)
    return np.asarray(into[:, np.arange(len(points)), worst].T)


def _worst(
    posture: str,
    body: Place,
    emitters: Sequence[Emitter],
    model: Model,
    surroundings: Surroundings,
    climate: Climate,
) -> HeadHeat | None:
    """The worst of one posture; None where no head finds room."""
    space = surroundings.space

    def total(points: Floats) -> Floats:
        return np.asarray(sum(irradiances(emitters, points, UP, space, PREVIEW).values()))

    def into_eyes(points: Floats) -> Floats:
        return np.asarray(eye_irradiances(emitters, points, space).sum(axis=1))

    raised = _Raised.of(model)
    heads, step = _heads(body, emitters, model, raised)
    level = body.heights[2]
    head, eye = (_highest(rank, heads, step, level, model, raised) for rank in (total, into_eyes))
    if head is None or eye is None:
        return None
    by_heater = {
        name: float(value[0])
        for name, value in irradiances(emitters, head[None], UP, space, FINAL).items()
    }
    by_eye = eye_irradiances(emitters, eye[None], space, FINE)[0]
    return HeadHeat(
        posture=posture,
        point=locked(head),
        total_w_m2=sum(by_heater.values()),
        heater=max(by_heater, key=by_heater.__getitem__),
        utci=_utci(
            replace(body, point=head - UP * body.heights[2]), emitters, model, surroundings, climate
        ),
        eye_point=locked(eye),
        eye_w_m2=float(by_eye.sum()),
        eye_heater=emitters[int(by_eye.argmax())].name,
    )


@dataclass(frozen=True)
class _Raised:
    """What people stand on above the floor: the upper faces of platforms in plan, and how high."""

    plans: tuple[shapely.Geometry, ...]
    tops: tuple[float, ...]

    @classmethod
    def of(cls, model: Model) -> _Raised:
        parts = tuple(model.of(Kind.PLATFORM))
        plans = (shadow(p.mesh.corners[p.mesh.normals[:, 2] > 0.5]) for p in parts)
        return cls(tuple(plans), tuple(float(p.mesh.bounds[1, 2]) for p in parts))

    def heads(self, spots: Floats, level: float) -> Floats:
        """Heads (n, 3) over places in plan (n, 2), so high above what is stood on there [m]."""
        ground = np.zeros(len(spots))
        for plan, top in zip(self.plans, self.tops, strict=True):
            here = shapely.intersects_xy(plan, spots[:, 0], spots[:, 1])
            ground = np.where(here, np.maximum(ground, top), ground)
        return np.column_stack([spots, ground + level])


def _heads(
    body: Place, emitters: Sequence[Emitter], model: Model, raised: _Raised
) -> tuple[Floats, float]:
    """Heads (n, 3) to try first, and how far those of the grid lie apart [m]."""
    floor, level = shapely.Polygon(model.floor_outline), body.heights[2]
    step = max(STEP, sqrt(floor.area / MOST_HEADS))
    low_x, low_y, high_x, high_y = floor.bounds
    grid = np.meshgrid(
        np.arange(low_x + step / 2, high_x, step), np.arange(low_y + step / 2, high_y, step)
    )
    plan = [
        np.column_stack([c.ravel() for c in grid]),
        np.array(floor.representative_point().coords),
    ]
    for emitter in emitters:
        origin, down = emitter.frame.origin, -emitter.frame.z
        plan.append(origin[None, :2])
        if down[2] < 0.0:
            plan.append((origin + down * (level - origin[2]) / down[2])[None, :2])
    spots = np.concatenate(plan)
    spots = spots[shapely.contains_xy(floor, spots)]
    own = [place.points[2] for place in model.places if place.seated is body.seated]
    return np.concatenate([raised.heads(spots, level), np.reshape(own, (-1, 3))]), step


def _highest(
    rank: Rank, heads: Floats, step: float, level: float, model: Model, raised: _Raised
) -> Floats | None:
    """Head (3,) that ranks highest outside every solid; None where all are in one."""
    floor = shapely.Polygon(model.floor_outline)
    parts = [part for part in model.parts if not part.swept and part.kind is not Kind.PERSON]
    best = _first_in_the_open(rank, heads, parts)
    around = np.stack(np.meshgrid(*2 * [np.arange(-2, 3)]), axis=-1).reshape(-1, 2)
    for halving in range(1, HALVINGS + 1):
        if best is None:
            break
        spots = best[:2] + around * step / 2**halving
        spots = spots[shapely.contains_xy(floor, spots)]
        nearer = np.concatenate([best[None], raised.heads(spots, level)])
        best = _first_in_the_open(rank, nearer, parts)
    return best


def _first_in_the_open(rank: Rank, heads: Floats, parts: Sequence[Part]) -> Floats | None:
    ordered = heads[np.argsort(-rank(heads), kind="stable")]
    return next((head for head in ordered if not _is_inside(head, parts)), None)


def _is_inside(point: Floats, parts: Sequence[Part]) -> bool:
    boxes = ((part, part.mesh.bounds) for part in parts)
    near = [p.mesh for p, (low, high) in boxes if (low <= point).all() and (point <= high).all()]
    return bool(near and len(Soup.of(near).holders(point)))


def _utci(
    body: Place,
    emitters: Sequence[Emitter],
    model: Model,
    surroundings: Surroundings,
    climate: Climate,
) -> float:
    """UTCI of a body somewhere, the worst way round [C].

    Furniture and people shade nobody here: they can be moved.
    """
    turned = [replace(body, facing=turn * 2 * pi / FACINGS) for turn in range(FACINGS)]
    got = receive(emitters, turned, replace(surroundings, people=Obstacles(())))
    moved = {part.owner for part in model.of(Kind.FURNITURE)}
    stays = np.array([thing.owner not in moved for thing in got.things], dtype=bool)
    field = got.open_field.sum(axis=1)
    shading = stays[got.shades[:, 2]] if len(stays) else np.zeros(0, dtype=bool)
    np.subtract.at(field, got.shades[shading, 0], got.taken[shading])
    evening = Evening(climate, Target())
    radiant = radiant_temperature(evening.background, field, got.bodies.f_eff)
    return float(evening.utci(radiant).max())
