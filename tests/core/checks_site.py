"""A heater hung by hand and blocks round it, for the tests of the checks. All figures invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import trimesh
from manifold3d import CrossSection, Manifold

from heatcore.geometry.frames import Frame
from heatcore.geometry.parts import Kind, Mesh, Model, Part
from heatcore.mounting.mount import Arm, Fault, Mount
from heatcore.scene.model import Heater, Scene, Site
from heatcore.scene.space import Floor
from heatcore.scene.types import BracketType, Distances, HeaterType, KeepOut

LINEAR = HeaterType(
    name="linear", label="Linear heater", note="invented", input_power=3000.0, voltage=240.0,
    radiant_fraction=0.6, element_temperature=850.0, length=1.2, width=0.2, height=0.1,
    aperture_length=1.1, aperture_width=0.13,
    combustible=Distances(above=0.2, sides=0.45, ends=0.35, below=0.9),
    noncombustible=Distances(above=0.1, sides=0.2, ends=0.2, below=0.5),
    spacing=0.6, least_spacing=0.5, most_spacing=0.9, least_height=2.1, most_height=3.5, mass=9.0,
)  # fmt: skip
BRACKET = BracketType(name="arm", label="Arm", note="invented", mount="ceiling", arm=0.15)
HEIGHT = 2.4
SCENE = Scene(site=Site(name="test"), floor=Floor(outline=((-5, -5), (5, -5), (5, 5), (-5, 5))))


def mount(
    name: str = "H1",
    at: Any = (0.0, 0.0, HEIGHT),
    axes: Any = None,
    faults: tuple[Fault, ...] = (),
    spare: float = 0.02,
    **changes: Any,
) -> Mount:
    frame = Frame(at, np.eye(3) if axes is None else axes)
    arms = tuple(
        Arm(
            pivot=frame.to_world([x, 0, 0.13]),
            foot=frame.to_world([x, 0, 0.13 + length]),
            direction=frame.z,
            plate=frame.to_world([[x, 0, 0.13 + length]] * 4),
            normal=frame.z,
            surface="porch ceiling",
            extensions=(),
            fine=0.0,
            length=length,
            overhang=0.0,
            lean_along=0.0,
            lean_across=0.0,
        )
        for x, length in ((-0.3, 0.25), (0.3, 0.2))
    )
    return Mount(
        heater=Heater(name=name, type="linear", at=(at[0], at[1])),
        type=replace(LINEAR, **changes),
        frame=frame,
        tilt=0.0,
        bracket=BRACKET,
        arms=arms,
        gaps=np.full(4, np.inf),
        gap_surface=("",) * 4,
        spare=spare,
        passed=(),
        faults=faults,
        parts=(),
    )


def part(
    name: str, mesh: Mesh, *, kind: Kind = Kind.WALL, combustible: bool = True, **more
) -> Part:
    owner = more.pop("owner", name)
    return Part(name, owner, kind, mesh, "timber", combustible, **more)


def block(low: Any, high: Any) -> Mesh:
    box = trimesh.creation.box(bounds=[low, high])
    return Mesh(box.vertices, box.faces)


def floor() -> Part:
    mesh = block((-5, -5, -0.1), (5, 5, 0))
    return part("floor", mesh, kind=Kind.FLOOR, combustible=False)


def model(*parts: Part) -> Model:
    return Model(parts, (), np.array([(-5, -5), (5, -5), (5, 5), (-5, 5)]))


def swing(hinge: tuple[float, float], start: float, turn: float, leaf: float = 0.9) -> Mesh:
    """A door's whole swing as a sector, 2.03 m high, its arc through every degree."""
    angles = np.radians(start + np.linspace(0, turn, round(abs(turn)) + 1))
    arc = np.array(hinge) + leaf * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    plan = [np.array(hinge), *(arc if turn > 0 else arc[::-1])]
    mesh = Manifold.extrude(CrossSection([plan]), 2.03).to_mesh()
    return Mesh(np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3], mesh.tri_verts)


def platform(low: Any, high: Any, height: float, name: str = "stage") -> Part:
    return part(name, block((*low, 0.0), (*high, height)), kind=Kind.PLATFORM)


def roof(low: Any, high: Any, level: float = 2.8, name: str = "porch roof") -> Part:
    return part(name, block((*low, level), (*high, level + 0.1)), kind=Kind.ROOF)


def keeping(*keep_outs: KeepOut, **things: Any) -> Scene:
    """The scene with some keep-outs and nothing else of their kind."""
    return replace(SCENE, keep_outs={k.name: k for k in keep_outs}, **things)
