"""A porch of boxes with any number of heaters, evaluated by hand. Invented for the tests of views."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

import numpy as np

from heatcore.checks.finding import Finding, Verdict
from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh, Model, Part, Place
from heatcore.heat.beam import Beam, FloorShare, Landing, Lit, PlaceLight
from heatcore.mounting.mount import Arm, Mount
from heatcore.scene.model import Floor, Heater, Roof, Scene, Site
from heatcore.scene.types import BracketType, Distances, HeaterType
from heatcore.units import UnitSystem

EAVES = 2.6
LINEAR = HeaterType(
    name="linear", label="Linear heater", note="invented", input_power=3000.0, voltage=240.0,
    radiant_fraction=0.6, element_temperature=850.0, length=1.0, width=0.2, height=0.1,
    aperture_length=0.9, aperture_width=0.13, rods=1, reach=3.0,
    combustible=Distances(above=0.2, sides=0.45, ends=0.35, below=0.9),
    noncombustible=Distances(above=0.1, sides=0.2, ends=0.2, below=0.5),
    spacing=0.6, least_spacing=0.5, most_spacing=0.9, least_height=2.0, most_height=3.5, mass=9.0,
)  # fmt: skip
BRACKET = BracketType(name="arm", label="Arm", note="invented", mount="ceiling", arm=0.15)


class Porch:
    """A single-slope porch, its floor `width` by `depth`, moved and turned anywhere in the plan."""

    def __init__(
        self,
        heaters: int,
        width: float = 8.0,
        depth: float = 5.0,
        pitch: float = radians(12.0),
        turn: float = 0.0,
        at: tuple[float, float] = (0.0, 0.0),
        failing: bool = True,
        units: UnitSystem = UnitSystem.METRIC,
    ) -> None:
        self.width, self.depth, self.pitch = width, depth, pitch
        self.turn, self.origin, self.failing, self.units = (
            turn,
            np.array([*at, 0.0]),
            failing,
            units,
        )
        columns = max(1, round((heaters * width / depth) ** 0.5))
        rows = -(-heaters // columns)
        spots = [
            ((i % columns + 0.5) / columns * width, (i // columns + 0.5) / rows * depth)
            for i in range(heaters)
        ]
        self.mounts = tuple(self.mount(f"H{i + 1}", *spot) for i, spot in enumerate(spots))

    def world(self, points: object) -> np.ndarray:
        c, s = cos(self.turn), sin(self.turn)
        return np.asarray(points) @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) + self.origin

    def ceiling(self, y: float) -> float:
        return EAVES + y * tan(self.pitch)

    def part(
        self, name: str, kind: Kind, plan: tuple[float, float, float, float],
        low: object, high: object, *, swept: bool = False, owner: str = "",
    ) -> Part:  # fmt: skip
        """A solid over a rectangle in plan, its faces level or following the slope."""
        x0, y0, x1, y1 = plan
        ring = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
        height = [z(ring[:, 1]) if callable(z) else np.full(4, z) for z in (low, high)]
        vertices = np.concatenate([np.column_stack([ring, z]) for z in height])
        faces = [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7)]
        for a in range(4):
            b = (a + 1) % 4
            faces += [(a, b, b + 4), (a, b + 4, a + 4)]
        mesh = Mesh(self.world(vertices), np.array(faces))
        return Part(name, owner or name, kind, mesh, "timber", True, swept)

    def parts(self) -> tuple[Part, ...]:
        w, d, under = self.width, self.depth, self.ceiling
        parts = [
            self.part("floor", Kind.FLOOR, (0, 0, w, d), -0.1, 0.0),
            self.part("roof", Kind.ROOF, (-0.4, -0.4, w + 0.4, d), under, lambda y: under(y) + 0.15),
            self.part("back wall", Kind.WALL, (0, d, w, d + 0.2), 0.0, under(d)),
            self.part("front beam", Kind.BEAM, (0, 0.0, w, 0.12), EAVES - 0.2, EAVES),
            self.part("service door leaf", Kind.DOOR, (1, d - 0.05, 1.9, d), 0.0, 2.05, owner="service door"),
            self.part(
                "service door swing", Kind.DOOR, (1, d - 0.9, 1.9, d), 0.0, 2.05,
                swept=True, owner="service door",
            ),
        ]  # fmt: skip
        parts += [
            self.part(f"post {i + 1}", Kind.POST, (x - 0.07, 0.0, x + 0.07, 0.14), 0.0, EAVES - 0.2)
            for i, x in enumerate((0.07, w - 0.07))
        ]
        for place in self.places():
            x, y = place["at"]
            parts.append(
                self.part(
                    f"{place['name']} seat",
                    Kind.FURNITURE,
                    (x - 0.22, y - 0.22, x + 0.22, y + 0.22),
                    0.4,
                    0.45,
                )
            )
            parts.append(
                self.part(
                    f"{place['name']} person",
                    Kind.PERSON,
                    (x - 0.2, y - 0.15, x + 0.2, y + 0.15),
                    0.45,
                    1.25,
                    owner=place["name"],
                )
            )
        parts.append(
            self.part(
                "table", Kind.FURNITURE, (w / 2 - 1, d / 2 - 0.4, w / 2 + 1, d / 2 + 0.4), 0.7, 0.75
            )
        )
        return tuple(parts)

    def places(self) -> list[dict]:
        w, d = self.width, self.depth
        return [
            {
                "name": f"chair {i + 1}",
                "at": (w / 2 - 0.9 + 0.6 * (i // 2), d / 2 + (0.75 if i % 2 else -0.75)),
            }
            for i in range(8)
        ]

    def mount(self, name: str, x: float, y: float) -> Mount:
        z = self.ceiling(y - 0.55) - 0.4
        frame = Frame(self.world([x, y, z]), heading_axes(self.turn))
        normal = self.world([0.0, -sin(self.pitch), cos(self.pitch)]) - self.origin
        arms = []
        for side in (-0.3, 0.3):
            pivot = frame.to_world([side, 0.0, LINEAR.height + LINEAR.pivot_height])
            length = (self.ceiling(y) - pivot[2]) * cos(self.pitch)
            foot = pivot + normal * length
            across = np.cross(normal, frame.x)
            plate = [
                foot + a * 0.05 * frame.x + b * 0.04 * across
                for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            ]
            arms.append(
                Arm(pivot, foot, normal, np.array(plate), normal, "roof", (), 0.0, length, 0.0, 0.0, self.pitch)
            )  # fmt: skip
        gaps = [self.ceiling(y + dy) - z - LINEAR.height for dy in (-0.1, -0.1, 0.1, 0.1)]
        heater = Heater(
            name=name,
            type="linear",
            at=(float(frame.origin[0]), float(frame.origin[1])),
            heading=self.turn,
        )
        return Mount(
            heater, LINEAR, frame, 0.0, BRACKET, tuple(arms), np.array(gaps), ("roof",) * 4, 0.02, (), (), ("bracket",)
        )  # fmt: skip

    def ring(self, x: float, y: float, a: float, b: float) -> np.ndarray:
        turns = np.arange(24) * 2 * pi / 24
        local = np.column_stack([x + a * np.cos(turns), y + b * np.sin(turns)])
        local = np.clip(local, [0, 0], [self.width, self.depth])
        return self.world(np.column_stack([local, np.zeros(24)]))[:, :2]

    def beam(self, mount: Mount) -> Beam:
        c, s = cos(-self.turn), sin(-self.turn)
        dx, dy, z = mount.frame.origin - self.origin
        x, y = c * dx - s * dy, s * dx + c * dy
        top = mount.frame.to_world(
            [(-0.4, -0.06, 0), (0.4, -0.06, 0), (0.4, 0.06, 0), (-0.4, 0.06, 0)]
        )
        foot = self.world(
            [(x - 1, y - 0.8, 0), (x + 1, y - 0.8, 0), (x + 1, y + 0.8, 0), (x - 1, y + 0.8, 0)]
        )
        faces = [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7)]
        for a in range(4):
            b = (a + 1) % 4
            faces += [(a, b, b + 4), (a, b + 4, a + 4)]
        landings = tuple(
            Landing(
                mount.name, level, ((self.ring(x, y, 1.2, 0.9),),), ((self.ring(x, y, 1.9, 1.5),),)
            )
            for level in (0.0, 0.45)
        )
        solid = Mesh(np.concatenate([foot, top]), np.array(faces))
        return Beam(
            mount.name, solid, (radians(80), radians(70)), (radians(110), radians(100)), landings
        )

    def findings(self) -> tuple[Finding, ...]:
        out = []
        for i, mount in enumerate(self.mounts):
            top = mount.frame.to_world([0, 0.1, LINEAR.height])
            gap = self.ceiling(0.1) - self.ceiling(0.0) + 0.3
            fails = self.failing and i % 3 == 0
            out.append(
                Finding(
                    "clearance.above", Verdict.FAILS if fails else Verdict.HOLDS, mount.name, "roof",
                    0.12 if fails else gap, 0.2, "m", top + [0, 0, 0.12 if fails else gap], top, "above",
                )
            )  # fmt: skip
            if fails:
                end = mount.frame.to_world([-0.5, 0, 0.05])
                out.append(
                    Finding(
                        "clearance.end", Verdict.FAILS, mount.name, "service door swing",
                        0.2, 0.35, "m", mount.frame.to_world([-0.7, 0, 0.05]), end, "-end",
                    )
                )  # fmt: skip
        return tuple(out)

    def evaluation(self) -> Evaluation:
        places = tuple(
            Place(p["name"], p["name"], self.world([*p["at"], 0.0]), pi / 2 + self.turn, "upright", 0.45, True)
            for p in self.places()
        )  # fmt: skip
        outline = self.world(
            [(0, 0, 0), (self.width, 0, 0), (self.width, self.depth, 0), (0, self.depth, 0)]
        )
        model = Model(self.parts(), places, outline[:, :2])
        scene = Scene(
            site=Site(name="Porch", units=self.units),
            floor=Floor(outline=tuple(map(tuple, outline[:, :2].tolist()))),
            roof=(
                Roof(
                    name="roof",
                    form="single_slope",
                    plate=EAVES,
                    pitch=self.pitch,
                    falls_toward=self.turn - pi / 2,
                ),
            ),
            heater=tuple(m.heater for m in self.mounts),
        )
        lits = (Lit.BEAM, Lit.EDGE, Lit.OUTSIDE)
        lights = tuple(
            PlaceLight(p, {m.name: lits[i % 3] for m in self.mounts}, {m.name: "outside the beam by 12°" for m in self.mounts if i % 3}, lits[i % 3])
            for i, p in enumerate(places)
        )  # fmt: skip
        return Evaluation(
            scene, model, self.mounts, tuple(map(self.beam, self.mounts)), lights,
            FloorShare(0.5, 0.2, 0.2, 0.3, self.width * self.depth), self.findings(),
        )  # fmt: skip
