"""Plain ceilings, walls and beams to hang heaters from. Invented for the tests of the mounting."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, pi, sin
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Mesh, Model, Part, Place
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater, Scene, Site
from heatcore.scene.space import Beam, Floor, Rafters, Roof, Wall
from heatcore.scene.types import BracketType, Distances, HeaterType
from heatcore.units import UnitSystem

LINEAR = HeaterType(
    name="linear", label="Linear heater", note="invented", input_power=3000.0, voltage=240.0,
    radiant_fraction=0.6, element_temperature=850.0, length=1.0, width=0.2, height=0.1,
    aperture_length=0.9, aperture_width=0.13, rods=1,
    combustible=Distances(above=0.2, sides=0.45, ends=0.35, below=0.9),
    noncombustible=Distances(above=0.1, sides=0.2, ends=0.2, below=0.5),
    mounts=("ceiling", "wall", "beam", "stem"),
    spacing=0.6, least_spacing=0.4, most_spacing=0.9, pivot_height=0.03, tilt_from=-0.8,
    tilt_to=0.8, least_height=2.0, most_height=3.5, mass=9.0,
)  # fmt: skip

# One arm that can be set to any length: what it is set to is what the clearances ask for.
ENDLESS = BracketType(
    name="endless", label="Endless bracket", note="invented", mount="ceiling", arm=0.001,
    fine=4.0, hinge_along=1.5, hinge_across=1.5, tilt_from=-1.5, tilt_to=1.5,
)  # fmt: skip


def heater_type(**changes: Any) -> HeaterType:
    return replace(LINEAR, **changes)


def bracket(**changes: Any) -> BracketType:
    return replace(ENDLESS, **changes)


@dataclass(frozen=True)
class Ground:
    """Where on earth a site stands: mirrored in its Y-Z plane, turned, then moved."""

    turn: float = 0.0
    at: tuple[float, float] = (0.0, 0.0)
    mirrored: bool = False

    def plan(self, point: Sequence[float]) -> tuple[float, float]:
        x, y = (-point[0] if self.mirrored else point[0]), point[1]
        c, s = cos(self.turn), sin(self.turn)
        return (c * x - s * y + self.at[0], s * x + c * y + self.at[1])

    def heading(self, angle: float) -> float:
        return (pi - angle if self.mirrored else angle) + self.turn

    def tilt(self, angle: float) -> float:
        return -angle if self.mirrored else angle

    def space(self, points: Any) -> Floats:
        points = np.asarray(points, dtype=np.float64)
        flat = [(*self.plan(p[:2]), p[2]) for p in points.reshape(-1, 3)]
        return np.array(flat).reshape(points.shape)

    def part(self, part: Part) -> Part:
        mesh = part.mesh
        triangles = mesh.triangles[:, ::-1] if self.mirrored else mesh.triangles
        return replace(part, mesh=Mesh(self.space(mesh.vertices), triangles))


HERE = Ground()


def sheet(name: str, undersides: Sequence[Any], thickness: float = 0.1, **what: Any) -> Part:
    """A roof of plane faces, each a ring (x, y, z) of its underside, counter-clockwise in plan."""
    corners: dict[tuple[float, ...], int] = {}
    faces = []
    for ring in undersides:
        keys = [tuple(round(float(c), 9) for c in p) for p in ring]
        faces.append([corners.setdefault(key, len(corners)) for key in keys])
    low = np.array(list(corners))
    count = len(low)
    edges = [(a, b) for f in faces for a, b in zip(f, [*f[1:], f[0]], strict=True)]
    triangles = []
    for face in faces:
        for b, c in pairwise(face[1:]):
            triangles += [(face[0], c, b), (face[0] + count, b + count, c + count)]
    for a, b in edges:
        if (b, a) not in edges:
            triangles += [(a, b, b + count), (a, b + count, a + count)]
    vertices = np.concatenate([low, low + np.array([0.0, 0.0, thickness])])
    part = Part(name, name, Kind.ROOF, Mesh(vertices, np.array(triangles)), "timber boards", True)
    return replace(part, **what)


def slope(
    pitch: float, height: float = 3.0, half: float = 8.0, name: str = "roof", **what: Any
) -> Part:
    """A single slope over a square about the origin, that falls toward -Y."""
    rise = np.tan(pitch)
    ring = [(x, y, height + y * rise) for x, y in square(half)]
    return sheet(name, [ring], **what)


def square(half: float) -> list[tuple[float, float]]:
    return [(-half, -half), (half, -half), (half, half), (-half, half)]


def block(
    name: str, low: Sequence[float], high: Sequence[float], kind: Kind = Kind.BEAM, **what: Any
) -> Part:
    """A box along the axes."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    ring = [(x0, y0, z0), (x1, y0, z0), (x1, y1, z0), (x0, y1, z0)]
    return sheet(name, [ring], z1 - z0, kind=kind, material="timber", **what)


def site(
    parts: Iterable[Part],
    heaters: Sequence[Heater],
    brackets: Sequence[BracketType] = (ENDLESS,),
    types: Sequence[HeaterType] = (LINEAR,),
    ground: Ground = HERE,
    units: UnitSystem = UnitSystem.METRIC,
    places: tuple[Place, ...] = (),
    **things: Any,
) -> tuple[Scene, Model]:
    """A scene and its model: a roof for each roof part, and whatever else is given."""
    parts = tuple(ground.part(part) for part in parts)
    owners = dict.fromkeys(part.owner for part in parts if part.kind is Kind.ROOF)
    outline = tuple(ground.plan(p) for p in square(8.0))
    scene = Scene(
        site=Site(name="test", units=units),
        floor=Floor(outline=outline),
        roof=tuple(Roof(name=owner, form="flat") for owner in owners),
        heater=tuple(heaters),
        heater_types={t.name: t for t in types},
        bracket_types={b.name: b for b in brackets},
        **things,
    )
    return scene, Model(parts, places, np.array(outline))


def hung(*args: Any, **kwargs: Any) -> tuple[Mount, ...]:
    """The heaters of such a site, hung."""
    return hang(*site(*args, **kwargs))


def heater(ground: Ground = HERE, **changes: Any) -> Heater:
    """A heater at the origin, heading along X."""
    base = {"name": "H1", "type": "linear", "at": (0.0, 0.0)} | changes
    if base.get("at") is not None:
        base["at"] = ground.plan(base["at"])
    for key, turned in (("heading", ground.heading), ("tilt", ground.tilt)):
        if base.get(key) is not None:
            base[key] = turned(base[key])
    if "heading" not in base and base.get("mount", "ceiling") in ("ceiling", "stem"):
        base["heading"] = ground.heading(0.0)
    return Heater(**base)


def beam(part: Part, ground: Ground = HERE) -> Beam:
    """The beam that a block along X stands for."""
    (x0, y0, z0), (x1, y1, _) = part.mesh.bounds
    middle = (y0 + y1) / 2
    return Beam(
        name=part.name, from_=ground.plan((x0, middle)), to=ground.plan((x1, middle)), underside=z0
    )


def wall(part: Part, ground: Ground = HERE) -> Wall:
    """The wall that a block along X stands for, its patio face toward -Y."""
    (x0, y0, _), (x1, _, _) = part.mesh.bounds
    # Floor lies on both sides, so the patio is on the left of the line: a mirror swaps that.
    ends = (x0, x1) if ground.mirrored else (x1, x0)
    from_, to = (ground.plan((x, y0)) for x in ends)
    return Wall(name=part.name, from_=from_, to=to)


def rafters(name: str, roof: str) -> Rafters:
    return Rafters(name=name, roof=roof)
