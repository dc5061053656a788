"""A porch of boxes with any number of heaters, evaluated by hand. Invented for tests of views."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, pi, radians, sin, tan

import numpy as np
import shapely

from heatcore.checks.electrical import electrical
from heatcore.checks.finding import Finding, Verdict
from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh, Model, Part, Place
from heatcore.heat import emitters_of, surroundings
from heatcore.heat.beams.beam import Beam, FloorShare, Landing, Lit, PlaceLight
from heatcore.heat.people.body import BodyHeat, Cause, Comfort, Reason
from heatcore.heat.planes.maps import PlaneMap, warmed_share
from heatcore.mounting.mount import BODY_TRIANGLES, Arm, Mount
from heatcore.scene.model import Heater, Scene, Site
from heatcore.scene.space import Floor, Roof
from heatcore.scene.types import BracketType, Distances, HeaterType
from heatcore.units import UnitSystem

EAVES = 2.6
LINEAR = HeaterType(
    name="linear", label="Linear heater", note="invented", input_power=3000.0, voltage=240.0,
    radiant_fraction=0.6, element_temperature=850.0, length=1.0, width=0.2, height=0.1,
    aperture_length=0.9, aperture_width=0.13, rods=1,
    combustible=Distances(above=0.2, sides=0.45, ends=0.35, below=0.9),
    noncombustible=Distances(above=0.1, sides=0.2, ends=0.2, below=0.5),
    spacing=0.6, least_spacing=0.5, most_spacing=0.9, least_height=2.0, most_height=3.5, mass=9.0,
)  # fmt: skip
BRACKET = BracketType(name="arm", label="Arm", note="invented", mount="ceiling", arm=0.15)
LITS = (Lit.BEAM, Lit.EDGE, Lit.OUTSIDE)
# What a person of each verdict feels [K], where 3 K are asked for.
GAINS = {Comfort.WARM: 4.2, Comfort.BORDERLINE: 2.8, Comfort.COLD: 0.4}
GRID = 0.1  # m

Height = float | Callable[[np.ndarray], np.ndarray]


class Porch:
    """A single-slope porch, its floor `width` by `depth`, moved and turned anywhere in the plan.

    Every third heater is too near to the roof and to the service door's swing where `failing`.
    """

    def __init__(
        self,
        heaters: int,
        *,
        width: float = 8.0,
        depth: float = 5.0,
        pitch: float = radians(12.0),
        turn: float = 0.0,
        at: tuple[float, float] = (0.0, 0.0),
        failing: bool = True,
        units: UnitSystem = UnitSystem.METRIC,
        prefix: str = "H",
    ) -> None:
        self.prefix = prefix
        self.width, self.depth, self.pitch = width, depth, pitch
        self.turn, self.origin, self.failing, self.units = (
            turn,
            np.array([*at, 0.0]),
            failing,
            units,
        )
        columns = max(1, round((heaters * width / depth) ** 0.5))
        rows = -(-heaters // columns)
        self.spots = [
            ((i % columns + 0.5) / columns * width, (i // columns + 0.5) / rows * depth)
            for i in range(heaters)
        ]
        self.seats = [
            (width / 2 - 0.9 + 0.6 * (i // 2), depth / 2 + (0.75 if i % 2 else -0.75))
            for i in range(8)
        ]

    def evaluation(self) -> Evaluation:
        w, d = self.width, self.depth
        places = [
            Place(f"chair {i + 1}", f"chair {i + 1}", self.world([x, y, 0.0]), pi / 2 + self.turn,
                  "upright", 0.45, True)
            for i, (x, y) in enumerate(self.seats)
        ]  # fmt: skip
        outline = self.world([(0, 0, 0), (w, 0, 0), (w, d, 0), (0, d, 0)])[:, :2]
        mounts = [self.mount(f"{self.prefix}{i + 1}", *spot) for i, spot in enumerate(self.spots)]
        roof = Roof(
            name="roof", form="single_slope", plate=EAVES, pitch=self.pitch,
            falls_toward=self.turn - pi / 2,
        )  # fmt: skip
        scene = Scene(
            site=Site(name="the porch", units=self.units),
            floor=Floor(outline=tuple((float(x), float(y)) for x, y in outline)),
            roof=(roof,),
            heater=tuple(mount.heater for mount in mounts),
        )
        model = Model(tuple(self.parts()), tuple(places), outline)
        floor = self.irradiance(mounts, outline)
        return Evaluation(
            scene=scene,
            model=model,
            mounts=tuple(mounts),
            beams=tuple(self.beam(m, *spot) for m, spot in zip(mounts, self.spots, strict=True)),
            emitters=emitters_of(mounts),
            surroundings=surroundings(mounts, model),
            floor_map=floor,
            seat_map=floor,
            warmed=warmed_share(floor, scene.site.target.irradiance),
            places=tuple(self.light(i, place, mounts) for i, place in enumerate(places)),
            people=tuple(self.body(i, place, mounts) for i, place in enumerate(places)),
            zones=(),
            heads=(),
            warm_up=None,
            floor=FloorShare(0.5, 0.2, 0.2, 0.3, w * d),
            electrical=electrical([(m.heater, m.type) for m in mounts], scene.site.supply),
            unknowns=(),
            findings=tuple(f for i, m in enumerate(mounts) for f in self.findings(i, m)),
        )

    def world(self, points: object) -> np.ndarray:
        c, s = cos(self.turn), sin(self.turn)
        return np.asarray(points) @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) + self.origin

    def ceiling(self, y: float | np.ndarray) -> float | np.ndarray:
        return EAVES + y * tan(self.pitch)

    def part(
        self,
        name: str,
        kind: Kind,
        plan: tuple[float, float, float, float],
        heights: tuple[Height, Height],
        owner: str = "",
        *,
        swept: bool = False,
    ) -> Part:
        """A solid over a rectangle in plan, its faces level or following the slope."""
        x0, y0, x1, y1 = plan
        ring = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
        z = [height(ring[:, 1]) if callable(height) else np.full(4, height) for height in heights]
        vertices = np.concatenate([np.column_stack([ring, level]) for level in z])
        mesh = Mesh(self.world(vertices), BODY_TRIANGLES)
        return Part(name, owner or name, kind, mesh, "timber", True, swept)

    def parts(self) -> list[Part]:
        w, d = self.width, self.depth
        door, table = "service door", (w / 2 - 1, d / 2 - 0.4, w / 2 + 1, d / 2 + 0.4)
        parts = [
            self.part("floor", Kind.FLOOR, (0, 0, w, d), (-0.1, 0.0)),
            self.part(
                "roof", Kind.ROOF, (-0.4, -0.4, w + 0.4, d),
                (self.ceiling, lambda y: self.ceiling(y) + 0.15),
            ),
            self.part("back wall", Kind.WALL, (0, d, w, d + 0.2), (0.0, self.ceiling(d))),
            self.part("front beam", Kind.BEAM, (0, 0, w, 0.12), (EAVES - 0.2, EAVES)),
            self.part(f"{door} leaf", Kind.DOOR, (1, d - 0.05, 1.9, d), (0.0, 2.05), door),
            self.part(
                f"{door} swing", Kind.DOOR, (1, d - 0.9, 1.9, d), (0.0, 2.05), door, swept=True
            ),
            self.part("table", Kind.FURNITURE, table, (0.7, 0.75)),
        ]  # fmt: skip
        for i, x in enumerate((0.07, w - 0.07)):
            plan = (x - 0.07, 0.0, x + 0.07, 0.14)
            parts.append(self.part(f"post {i + 1}", Kind.POST, plan, (0.0, EAVES - 0.2)))
        for i, (x, y) in enumerate(self.seats):
            name = f"chair {i + 1}"
            seat, body = (
                (x - 0.22, y - 0.22, x + 0.22, y + 0.22),
                (x - 0.2, y - 0.15, x + 0.2, y + 0.15),
            )
            parts.append(self.part(f"{name} seat", Kind.FURNITURE, seat, (0.4, 0.45), name))
            parts.append(self.part(f"{name} person", Kind.PERSON, body, (0.45, 1.25), name))
        return parts

    def mount(self, name: str, x: float, y: float) -> Mount:
        z = self.ceiling(y - 0.55) - 0.4
        frame = Frame(self.world([x, y, z]), heading_axes(self.turn))
        normal = self.world([0.0, -sin(self.pitch), cos(self.pitch)]) - self.origin
        corners = 0.05 * frame.x, 0.04 * np.cross(normal, frame.x)
        arms = []
        for side in (-0.3, 0.3):
            pivot = frame.to_world([side, 0.0, LINEAR.height + LINEAR.pivot_height])
            length = float(self.ceiling(y) - pivot[2]) * cos(self.pitch)
            foot = pivot + normal * length
            plate = [
                foot + a * corners[0] + b * corners[1]
                for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            ]
            arms.append(
                Arm(pivot, foot, normal, np.array(plate), normal, "roof", (), 0.0, length, 0.0, 0.0,
                    self.pitch)
            )  # fmt: skip
        gaps = [self.ceiling(y + dy) - z - LINEAR.height for dy in (-0.1, -0.1, 0.1, 0.1)]
        at = (float(frame.origin[0]), float(frame.origin[1]))
        return Mount(
            heater=Heater(name=name, type="linear", at=at, heading=self.turn),
            type=LINEAR, frame=frame, tilt=0.0, bracket=BRACKET, arms=tuple(arms),
            gaps=np.array(gaps), gap_surface=("roof",) * 4, spare=0.02, passed=(), faults=(),
            parts=("bracket",),
        )  # fmt: skip

    def beam(self, mount: Mount, x: float, y: float) -> Beam:
        plan = np.array([(-1, -1, 0), (1, -1, 0), (1, 1, 0), (-1, 1, 0)])
        foot = self.world([x, y, 0] + plan * [1.0, 0.8, 0.0])
        top = mount.frame.to_world(plan * [0.4, 0.06, 0.0])
        landings = tuple(
            Landing(
                mount.name, level, ((self.ring(x, y, 1.2, 0.9),),), ((self.ring(x, y, 1.9, 1.5),),)
            )
            for level in (0.0, 0.45)
        )
        solid = Mesh(np.concatenate([foot, top]), BODY_TRIANGLES)
        angles = (radians(80), radians(70)), (radians(110), radians(100))
        return Beam(mount.name, solid, *angles, landings, reach=4.0)

    def ring(self, x: float, y: float, a: float, b: float) -> np.ndarray:
        turns = np.arange(24) * 2 * pi / 24
        local = np.column_stack([x + a * np.cos(turns), y + b * np.sin(turns)])
        local = np.clip(local, [0, 0], [self.width, self.depth])
        return self.world(np.column_stack([local, np.zeros(24)]))[:, :2]

    def light(self, index: int, place: Place, mounts: list[Mount]) -> PlaceLight:
        lit = LITS[index % 3] if mounts else Lit.OUTSIDE
        why = {} if lit is Lit.BEAM else {mount.name: "outside the beam by 12°" for mount in mounts}
        return PlaceLight(place, {mount.name: lit for mount in mounts}, why, lit)

    def irradiance(self, mounts: list[Mount], outline: np.ndarray) -> PlaneMap:
        """A flat-topped hill of 240 W/m2 under each heater, longer along its body."""
        (x0, y0), (x1, y1) = outline.min(axis=0), outline.max(axis=0)
        x, y = np.arange(x0, x1 + GRID, GRID), np.arange(y0, y1 + GRID, GRID)
        at = np.stack(np.meshgrid(x, y), axis=-1)
        by_heater = {}
        for mount in mounts:
            local = np.concatenate([at, np.zeros((*at.shape[:2], 1))], -1) - mount.frame.origin
            along, across = local @ mount.frame.x, local @ mount.frame.y
            hill = 300.0 * (1.0 - (along / 1.5) ** 2 - (across / 1.2) ** 2)
            by_heater[mount.name] = np.clip(hill, 0.0, 240.0)
        plane = shapely.Polygon(outline)
        inside = shapely.contains_xy(plane, at[..., 0], at[..., 1])
        return PlaneMap(0.0, x, y, inside, outline, by_heater)

    def body(self, index: int, place: Place, mounts: list[Mount]) -> BodyHeat:
        comfort = tuple(Comfort)[index % 3] if mounts else Comfort.COLD
        cause = Cause.OUTSIDE if mounts else Cause.NO_HEATER
        reason = None if comfort is Comfort.WARM else Reason(cause, "Outside every beam.")
        gain = GAINS[comfort] if mounts else 0.0
        return BodyHeat(
            place=place, absorbed_w={mount.name: 20.0 * gain for mount in mounts},
            irradiance_w_m2=40.0 * gain, head_w_m2=45.0 * gain, radiant_temperature=10.0 + 5 * gain,
            utci_without=5.0, utci=5.0 + gain, needed_gain=3.0, comfort=comfort, reason=reason,
        )  # fmt: skip

    def findings(self, index: int, mount: Mount) -> list[Finding]:
        fails = self.failing and index % 3 == 0
        gap, top = 0.12 if fails else 0.3, mount.frame.to_world([0, 0.1, LINEAR.height])
        above = Finding(
            "clearance.above", Verdict.FAILS if fails else Verdict.HOLDS, mount.name, "roof",
            gap, 0.2, "m", top + np.array([0.0, 0.0, gap]), top, "above",
        )  # fmt: skip
        near, end = mount.frame.to_world([(-0.7, 0.0, 0.05), (-0.5, 0.0, 0.05)])
        beside = Finding(
            "clearance.end", Verdict.FAILS, mount.name, "service door swing", 0.2, 0.35, "m",
            near, end, "-end",
        )  # fmt: skip
        return [above, beside] if fails else [above]
