"""Where the things are that a heater is placed from, or aimed at."""

from __future__ import annotations

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Model
from heatcore.scene.model import Furniture, Heater, Person, Scene, Seat
from heatcore.scene.plan import patio_side, where
from heatcore.scene.space import Beam, Post, Wall


def line_of(thing: Beam | Wall, scene: Scene) -> tuple[Floats, Floats, Floats, float]:
    """A beam's or wall's start in plan, its direction, what is out of it, and its length.

    Out of a wall is toward the patio, out of a beam is to its left.

    Raises
    ------
    InputError
        If it has no length.
    """
    start, end = np.asarray(thing.from_), np.asarray(thing.to)
    length = float(np.hypot(*(end - start)))
    if length == 0.0:
        raise InputError(where(thing), "has no length", "give two different ends")
    along = (end - start) / length
    left = np.array([-along[1], along[0]])
    out = left if isinstance(thing, Beam) else np.array(patio_side(thing, scene.floor))
    return start, along, out, length


def plan_place(heater: Heater, scene: Scene, model: Model) -> Floats:
    """Where a heater is wanted in plan, (2,) [m].

    Raises
    ------
    InputError
        If it is given twice or not at all, or from something that is not there.
    """
    if (heater.at is None) == (heater.offset is None):
        how = "has no place" if heater.at is None else "has both `at` and `offset`"
        raise InputError(where(heater), how, "give one of `at` and `offset`")
    if heater.at is not None:
        return np.asarray(heater.at, dtype=np.float64)
    assert heater.offset is not None
    name, by = heater.offset.from_, np.asarray(heater.offset.by, dtype=np.float64)
    lines: tuple[Beam | Wall, ...] = (*scene.beam, *scene.wall)
    for line in lines:
        if line.name == name:
            start, along, out, _ = line_of(line, scene)
            return np.asarray(start + by[0] * along + by[1] * out)
    stands: tuple[Post | Furniture | Seat | Person, ...] = (
        *scene.post, *scene.furniture, *scene.seat, *scene.person,
    )  # fmt: skip
    for thing in stands:
        if thing.name == name:
            return np.asarray(thing.at, dtype=np.float64) + by
    for place in model.places:
        if place.name == name:
            return np.asarray(place.point[:2] + by)
    raise InputError(
        where(heater, "offset.from"),
        f'refers to "{name}", and there is no such thing to measure from',
        "name a post, beam, wall, seat, person or piece of furniture",
    )


def target(heater: Heater, model: Model) -> Floats | None:
    """The point that a heater's axis should meet, (3,) [m]; None where it is not aimed.

    A person is met at middle height.

    Raises
    ------
    InputError
        If it is aimed and tilted, or aimed at nobody.
    """
    if heater.aim_at is None:
        return None
    if heater.tilt is not None:
        raise InputError(
            where(heater, "aim_at"), "stands beside a tilt", "give one of `tilt` and `aim_at`"
        )
    if not isinstance(heater.aim_at, str):
        return np.asarray(heater.aim_at, dtype=np.float64)
    for place in model.places:
        if place.name == heater.aim_at:
            return np.array([*place.point[:2], place.point[2] + place.heights[1]])
    raise InputError(
        where(heater, "aim_at"),
        f'refers to "{heater.aim_at}", and there is no such seat or person',
        "name a seat or a person, or give a point",
    )
