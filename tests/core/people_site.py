"""People under heaters, made by hand. Invented for tests of what they receive."""

from __future__ import annotations

import numpy as np
from manifold3d import Manifold

from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh, Model, Part, Place
from heatcore.heat.people.body import BodyHeat
from heatcore.heat.people.warmth import body_heats
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.surroundings import surroundings
from heatcore.scene.model import Climate, Target
from heatcore.scene.types import Pattern

CALM = Climate(air_temperature=10.0, wind=0.5 / 1.4695849660926332)
GAIN = Target(utci=40.0, gain=3.0)  # so high that the gain alone counts
COLD_ELEMENT = 20.0  # C; all of it long waves, so that absorptance over emissivity is 1


def box(low, high) -> Mesh:
    """An axis-parallel box."""
    mesh = Manifold.cube(np.subtract(high, low)).translate(low).to_mesh64()
    return Mesh(mesh.vert_properties, mesh.tri_verts)


def part(name, kind, low, high, owner=None) -> Part:
    return Part(name, owner or name, kind, box(low, high), "timber", combustible=True)


def turned_box(size, at, turn) -> Mesh:
    """A box of a size about a middle, turned about the vertical."""
    c, s = np.cos(turn), np.sin(turn)
    mesh = box(-np.asarray(size) / 2, np.asarray(size) / 2)
    return Mesh(mesh.vertices @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) + at, mesh.triangles)


def model(*parts, places=()) -> Model:
    floor = part("floor", Kind.FLOOR, (-8, -8, -0.1), (8, 8, 0))
    return Model((floor, *parts), tuple(places), np.array([(-8, -8), (8, -8), (8, 8), (-8, 8)]))


def emitter(
    name="H1",
    at=(0.0, 0.0, 2.4),
    power=1800.0,
    *,
    heading=0.0,
    tilt=0.0,
    pattern=Pattern(along=1.6, across=2.6),  # noqa: B008
    length=0.8,
    width=0.1,
    element=850.0,
) -> Emitter:
    frame = Frame(np.array(at), heading_axes(heading, tilt))
    return Emitter(name, frame, length, width, power, pattern, element)


def small(name="H1", at=(0.0, 0.0, 2.4), power=1800.0, **more) -> Emitter:
    """A heater so small that it is a point."""
    return emitter(name, at, power, length=1e-3, width=1e-3, **more)


def seat(x=0.0, y=0.0, name="seat", facing=0.0, posture="upright", height=0.45, **more) -> Place:
    return Place(name, more.pop("owner", name), np.array([x, y, 0.0]), facing, posture, height,
                 occupied=False, **more)  # fmt: skip


def stander(x=0.0, y=0.0, name="guest", facing=0.0, **more) -> Place:
    return seat(x, y, name, facing, "standing", 0.0, **more)


def heats(emitters, site, climate=CALM, target=GAIN) -> tuple[BodyHeat, ...]:
    return body_heats(emitters, site, surroundings([], site), climate, target)


def heat(emitters, place, *parts, climate=CALM, target=GAIN) -> BodyHeat:
    """What one person gets."""
    (found,) = heats(emitters, model(*parts, places=[place]), climate, target)
    return found
