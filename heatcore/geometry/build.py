"""The scene made solid."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from math import isfinite
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from heatcore.errors import InputError, Mistake
from heatcore.geometry.cables import cable_part
from heatcore.geometry.doors import door_parts
from heatcore.geometry.fittings import fitting_parts
from heatcore.geometry.furniture import furniture_parts
from heatcore.geometry.kept import Kept, file_stamp
from heatcore.geometry.overhead import Overhead
from heatcore.geometry.parts import Kind, Model, Part, Place
from heatcore.geometry.people import person_parts, seat_place, standing_place
from heatcore.geometry.platforms import (
    platform_part,
    platform_plan,
    raised,
    raised_place,
    standing_height,
)
from heatcore.geometry.rafters import rafter_parts
from heatcore.geometry.roofs import roof_part, roof_shape
from heatcore.geometry.screens import screen_parts
from heatcore.geometry.solid_things import solid_mesh, solid_part
from heatcore.geometry.solids import checked, prism, solid_of, to_mesh
from heatcore.geometry.timbers import beam_part, beam_plan, post_part
from heatcore.geometry.walls import apart, opening_of, wall_line, wall_part
from heatcore.geometry.windows import window_parts
from heatcore.scene.materials import is_combustible, looks
from heatcore.scene.model import Furniture, Scene
from heatcore.scene.plan import polygon_of, where
from heatcore.scene.space import Door, Floor, Window

T = TypeVar("T")

# Enough for the options of a site to be looked at in turn, each with its own changes.
_KEPT = Kept(rounds=16)

# What does not go up to anything is the same under any roof, and need not be made again.
_OPEN = Overhead(())

# What is made solid here, by the scene's own names.
_SOLID = (
    "roof", "rafters", "post", "beam", "wall", "door", "window", "screen", "fitting", "cable",
    "platform", "solid", "furniture", "seat", "person",
)  # fmt: skip


def build(scene: Scene) -> Model:
    """Return the scene's solids, and the places of its people.

    Parts come in this order: the floor, roofs, rafters, posts, beams, walls, doors, windows,
    screens, fittings, cables, platforms, solids, furniture, and a person for each place that is
    occupied.

    What furniture, seats and people stand on is the highest platform at their place, or the floor.
    Equal input gives the same objects again: see `kept`.

    Raises
    ------
    InputError
        Where anything of the scene cannot be made solid: every mistake found, each with the name of
        its thing. A mesh that is open, inverted or without volume is one of them.
    """
    _refuse_what_is_not_finite(scene)
    _KEPT.new_round()
    outline = polygon_of(scene.floor.outline, "floor.outline")
    tries = _Tries()
    parts = [*tries.parts(_floor_part, scene.floor), *_space(scene, tries)]
    furnished, places = _places(scene, tries)
    people = [
        part
        for variant, place in enumerate(places)
        if place.occupied
        for part in tries.parts(person_parts, place, variant)
    ]
    for part in (*furnished, *people):
        tries(_closed, part)
    parts += [*furnished, *people]
    tries.mistakes += _same_names(parts)
    if tries.mistakes:
        raise InputError.of(tries.mistakes)
    return Model(tuple(parts), tuple(places), np.asarray(outline.exterior.coords)[:-1])


class _Tries:
    """Runs what makes the parts, and keeps every mistake instead of stopping at the first."""

    def __init__(self) -> None:
        self.mistakes: list[Mistake] = []

    def __call__(self, make: Callable[..., T], *args: Any, stamp: Any = None) -> T | None:
        try:
            return _KEPT.of(make, *args, stamp=stamp)
        except InputError as error:
            self.mistakes += error.mistakes
            return None

    def parts(
        self, make: Callable[..., Part | tuple[Part, ...]], *args: Any, stamp: Any = None
    ) -> tuple[Part, ...]:
        made = self(make, *args, stamp=stamp)
        return (made,) if isinstance(made, Part) else made or ()


def _floor_part(floor: Floor) -> Part:
    outline = polygon_of(floor.outline, "floor.outline")
    solid = checked(prism(outline, -floor.thickness, 0.0), "floor")
    burns = is_combustible(floor.material, floor.combustible)
    shown = looks(floor, floor.material)
    return Part("floor", "floor", Kind.FLOOR, to_mesh(solid), shown, burns)


def _closed(part: Part) -> bool:
    """Tell that a part is a solid.

    Raises
    ------
    MeshError
        If it is none.
    """
    solid_of(part.mesh, f'"{part.name}"')
    return True


def _space(scene: Scene, tries: _Tries) -> Iterator[Part]:
    """Yield what is built: everything but furniture and people."""
    floor, units = scene.floor, scene.site.units
    shapes = _made(scene.roof, lambda roof: tries(roof_shape, roof, floor, units))
    plans = _made(scene.beam, lambda beam: tries(beam_plan, beam))
    lines = _made(scene.wall, lambda wall: tries(wall_line, wall, floor))
    beams = tuple((plans[b.name], b.underside) for b in scene.beam if b.name in plans)
    # Kept as well, so that it is the same object as long as nothing over the floor changes.
    overhead = _KEPT.of(Overhead, tuple(shapes.values()), beams)
    tries.mistakes += [
        *_strangers(scene.rafters, "roof", scene.roof),
        *_strangers(scene.door, "wall", scene.wall),
        *_strangers(scene.window, "wall", scene.wall),
    ]
    for shape in shapes.values():
        yield from tries.parts(roof_part, shape)
    for rafters in scene.rafters:
        if rafters.roof in shapes:
            yield from tries.parts(rafter_parts, rafters, shapes[rafters.roof])
    for post in scene.post:
        yield from tries.parts(post_part, post, overhead if post.top is None else _OPEN)
    for beam in scene.beam:
        if beam.name in plans:
            yield from tries.parts(beam_part, beam)
    holes: tuple[Door | Window, ...] = (*scene.door, *scene.window)
    walls: list[Part] = []
    for line in lines.values():
        openings = tuple(opening_of(hole) for hole in holes if hole.wall == line.wall.name)
        for wall in tries.parts(wall_part, line, overhead, openings, units):
            walls += tries.parts(apart, wall, tuple(walls))
    yield from walls
    for door in scene.door:
        if door.wall in lines:
            yield from tries.parts(door_parts, door, lines[door.wall])
    for window in scene.window:
        if window.wall in lines:
            yield from tries.parts(window_parts, window, lines[window.wall])
    for screen in scene.screen:
        yield from tries.parts(screen_parts, screen)
    for fitting in scene.fitting:
        yield from tries.parts(fitting_parts, fitting, overhead if fitting.hung else _OPEN, floor)
    for cable in scene.cable:
        yield from tries.parts(cable_part, cable)
    for platform in scene.platform:
        yield from tries.parts(platform_part, platform)
    for solid in scene.solid:
        mesh = tries(
            solid_mesh,
            *(solid.mesh, solid.role, solid.thickness, scene.folder, where(solid)),
            stamp=file_stamp(scene.folder, solid.mesh),
        )
        if mesh is not None:
            yield from tries.parts(solid_part, solid, mesh)


def _places(scene: Scene, tries: _Tries) -> tuple[list[Part], list[Place]]:
    """Return the furniture's parts, and every place: of furniture, seats, and people who stand."""
    parts: list[Part] = []
    places: list[Place] = []
    # Platforms whose outline is none were told of among what is built.
    stands = _made(scene.platform, lambda platform: _Tries()(platform_plan, platform))
    grounds = [(stands[p.name], p.height) for p in scene.platform if p.name in stands]
    for furniture in scene.furniture:
        made = tries(
            _furnished,
            furniture,
            scene.folder,
            standing_height(grounds, furniture.at),
            stamp=file_stamp(scene.folder, furniture.mesh),
        )
        if made is not None:
            parts += made[0]
            places += made[1]
    for seat in scene.seat:
        places.append(_KEPT.of(seat_place, seat, standing_height(grounds, seat.at)))
    for person in scene.person:
        places.append(_KEPT.of(standing_place, person, standing_height(grounds, person.at)))
    return parts, places


def _furnished(
    furniture: Furniture, folder: Path | None, ground: float
) -> tuple[tuple[Part, ...], tuple[Place, ...]]:
    """Return furniture's parts and places, standing on ground of a height [m].

    Raises
    ------
    InputError
        As `furniture_parts` does.
    """
    parts, places = furniture_parts(furniture, folder)
    return (
        tuple(raised(part, ground) for part in parts),
        tuple(raised_place(place, ground) for place in places),
    )


def _made(things: tuple[Any, ...], make: Callable[[Any], T | None]) -> dict[str, T]:
    """Return what could be made of things, by their names."""
    made = ((thing.name, make(thing)) for thing in things)
    return {name: value for name, value in made if value is not None}


def _strangers(things: tuple[Any, ...], field: str, known: tuple[Any, ...]) -> Iterator[Mistake]:
    """Yield a mistake for each thing that stands in, or under, something that is not there."""
    names = {thing.name for thing in known}
    for thing in things:
        if getattr(thing, field) not in names:
            there = ", ".join(f'"{name}"' for name in sorted(names)) or "none"
            yield Mistake(
                where(thing, field),
                f'there is no {field} "{getattr(thing, field)}"',
                f"give the name of one that is there: {there}",
            )


def _same_names(parts: list[Part]) -> Iterator[Mistake]:
    for name, count in Counter(part.name for part in parts).items():
        if count > 1:
            yield Mistake(
                f'"{name}"',
                f"is the name of {count} parts",
                "rename the thing that it belongs to; findings name parts by it",
            )


def _refuse_what_is_not_finite(scene: Scene) -> None:
    """Refuse NaN and infinity before any geometry can spread them.

    Raises
    ------
    InputError
        With every such number.
    """
    things = [("floor", scene.floor)]
    things += [(where(thing), thing) for name in _SOLID for thing in getattr(scene, name)]
    mistakes = [
        Mistake(f"{path}.{name}", "is not a finite number", "give a number")
        for path, thing in things
        for name, value in vars(thing).items()
        if not all(map(isfinite, _numbers(value)))
    ]
    if mistakes:
        raise InputError.of(mistakes)


def _numbers(value: Any) -> Iterator[float]:
    if isinstance(value, float):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _numbers(item)
