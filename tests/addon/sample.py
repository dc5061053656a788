"""A small porch, evaluated by hand: every shape that the writer has to turn into Blender.

Invented for these tests. Its figures are written down, not computed, so that a test of the writer
depends on nothing but the writer.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, pi, radians, sin, tan

import numpy as np

from heatcore.checks.electrical import electrical
from heatcore.checks.finding import Finding, Verdict
from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh, Model, Part, Place
from heatcore.heat import emitters_of, surroundings
from heatcore.heat.beams.beam import Beam, FloorShare, Landing, Lit, PlaceLight
from heatcore.heat.people.body import BodyHeat, Cause, Comfort, Reason
from heatcore.heat.planes.maps import PlaneMap, warmed_share
from heatcore.mounting.mount import Arm, Mount
from heatcore.scene.model import Heater, Scene, Site
from heatcore.scene.space import Floor
from heatcore.scene.types import BracketType, Distances, HeaterType
from heatcore.views.view import FloorShows, Label, Layer, Line, Tone, View

WIDTH, DEPTH, EAVES, SLOPE = 7.0, 4.5, 2.45, radians(18.0)
OUTLINE = np.array([[0.0, 0.0], [WIDTH, 0.0], [WIDTH, DEPTH], [0.0, DEPTH]])

LINEAR = HeaterType(
    name="linear",
    label="Linear heater",
    note="invented for tests",
    input_power=3000.0,
    voltage=240.0,
    radiant_fraction=0.6,
    element_temperature=850.0,
    length=1.2,
    width=0.2,
    height=0.1,
    aperture_length=1.1,
    aperture_width=0.13,
    rods=2,
    combustible=Distances(above=0.2, sides=0.45, ends=0.35, below=0.9),
    noncombustible=Distances(above=0.1, sides=0.2, ends=0.2, below=0.5),
    spacing=0.8,
    least_spacing=0.6,
    most_spacing=1.0,
    least_height=2.0,
    most_height=3.5,
    mass=9.0,
)
BRACKET = BracketType(
    name="arm", label="Arm", note="invented for tests", mount="ceiling", arm=0.15, extensions=(0.1,)
)


def prism(corners: np.ndarray, top: np.ndarray) -> Mesh:
    """A closed solid between two rings of as many corners, both counter-clockwise seen from top."""
    n = len(corners)
    faces = [(0, b + 1, b) for b in range(1, n - 1)]
    faces += [(n, n + b, n + b + 1) for b in range(1, n - 1)]
    for a in range(n):
        b = (a + 1) % n
        faces += [(a, b, n + b), (a, n + b, n + a)]
    return Mesh(np.concatenate([corners, top]), np.array(faces))


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Mesh:
    (x0, y0, z0), (x1, y1, z1) = low, high
    ring = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    return prism(np.column_stack([ring, np.full(4, z0)]), np.column_stack([ring, np.full(4, z1)]))


def ceiling(y: float) -> float:
    return EAVES + y * tan(SLOPE)


def sloped(x0: float, x1: float, y0: float, y1: float, under: float, thick: float) -> Mesh:
    """A slab along the ceiling's slope, `under` below its underside and `thick` thick."""
    ring = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    low = ceiling(ring[:, 1]) - under
    return prism(np.column_stack([ring, low]), np.column_stack([ring, low + thick]))


def space() -> list[Part]:
    parts = [
        Part("floor", "floor", Kind.FLOOR, box((0, 0, -0.1), (WIDTH, DEPTH, 0)), "stone", False),
        Part(
            "roof",
            "roof",
            Kind.ROOF,
            sloped(-0.4, WIDTH + 0.4, -0.5, DEPTH, 0, 0.15),
            "timber boards",
            True,
        ),
        Part(
            "back wall",
            "back wall",
            Kind.WALL,
            box((0, DEPTH, 0), (WIDTH, DEPTH + 0.2, ceiling(DEPTH))),
            "stucco",
            False,
        ),
        Part(
            "east wall",
            "east wall",
            Kind.WALL,
            box((WIDTH, 1.6, 0), (WIDTH + 0.2, DEPTH, 2.4)),
            "stone",
            False,
        ),
        Part(
            "door leaf",
            "door",
            Kind.DOOR,
            box((1.0, DEPTH - 0.9, 0.02), (1.05, DEPTH, 2.05)),
            "oak",
            True,
        ),
        Part(
            "door swing",
            "door",
            Kind.DOOR,
            box((0.2, DEPTH - 0.9, 0.02), (1.05, DEPTH, 2.05)),
            "oak",
            True,
            swept=True,
        ),
        Part(
            "front beam",
            "front beam",
            Kind.BEAM,
            box((0, 0.02, EAVES - 0.22), (WIDTH, 0.14, EAVES)),
            "timber",
            True,
        ),
    ]
    for i, x in enumerate((0.07, WIDTH - 0.07)):
        mesh = box((x - 0.07, 0.01, 0), (x + 0.07, 0.15, EAVES - 0.22))
        parts.append(Part(f"post {i + 1}", f"post {i + 1}", Kind.POST, mesh, "timber", True))
    for i, x in enumerate(np.arange(0.4, WIDTH, 0.62)):
        mesh = sloped(x - 0.03, x + 0.03, 0.0, DEPTH, 0.15, 0.15)
        parts.append(Part(f"rafter {i + 1}", "rafters", Kind.RAFTER, mesh, "timber", True))
    return parts


def furniture() -> list[Part]:
    parts = [
        Part("table", "table", Kind.FURNITURE, box((2.2, 1.9, 0.72), (4.6, 2.8, 0.76)), "oak", True)
    ]
    for i, (x, y) in enumerate([(2.3, 2.0), (4.5, 2.0), (2.3, 2.7), (4.5, 2.7)]):
        mesh = box((x - 0.03, y - 0.03, 0), (x + 0.03, y + 0.03, 0.72))
        parts.append(Part(f"table leg {i + 1}", "table", Kind.FURNITURE, mesh, "oak", True))
    for i, (x, y, back) in enumerate(SEATS):
        seat = box((x - 0.23, y - 0.23, 0.4), (x + 0.23, y + 0.23, 0.45))
        parts.append(
            Part(f"chair {i + 1} seat", f"chair {i + 1}", Kind.FURNITURE, seat, "fabric", True)
        )
        yb = y + back * 0.23
        rest = box((x - 0.23, yb - 0.025, 0.45), (x + 0.23, yb + 0.025, 0.9))
        parts.append(
            Part(f"chair {i + 1} back", f"chair {i + 1}", Kind.FURNITURE, rest, "fabric", True)
        )
    body = box((2.75, 3.0, 0.45), (3.05, 3.2, 1.05))
    parts.append(Part("guest", "chair 3", Kind.PERSON, body, "knit", False))
    head = box((2.81, 3.02, 1.1), (2.99, 3.2, 1.32))
    parts.append(Part("guest head", "chair 3", Kind.PERSON, head, "skin", False))
    return parts


SEATS = [(2.9, 1.5, -1), (3.9, 1.5, -1), (2.9, 3.2, 1), (3.9, 3.2, 1)]


def mount(name: str, x: float, y: float, z: float) -> Mount:
    frame = Frame(np.array([x, y, z]), heading_axes(0.0))
    arms = []
    normal = np.array([0.0, -sin(SLOPE), cos(SLOPE)])
    for side in (-0.4, 0.4):
        pivot = frame.to_world([side, 0.0, LINEAR.height + LINEAR.pivot_height])
        length = (ceiling(pivot[1]) - pivot[2]) * cos(SLOPE)
        foot = pivot + normal * length
        down = np.array([0.0, cos(SLOPE), sin(SLOPE)])
        across = np.array([1.0, 0.0, 0.0])
        plate = [
            foot + across * a * 0.05 + down * b * 0.04
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        arms.append(
            Arm(
                pivot,
                foot,
                normal,
                np.array(plate),
                normal,
                "roof",
                (0.1,),
                0.01,
                length,
                0.0,
                0.0,
                SLOPE,
            )
        )
    gaps = np.array([0.3, 0.3, 0.36, 0.36])
    heater = Heater(name=name, type="linear", at=(x, y))
    return Mount(
        heater,
        LINEAR,
        frame,
        0.0,
        BRACKET,
        tuple(arms),
        gaps,
        ("roof",) * 4,
        0.02,
        (),
        (),
        ("bracket",),
    )


def beam(m: Mount) -> Beam:
    x, y, z = m.frame.origin
    near = np.array(
        [
            [x - 0.55, y - 0.07, z],
            [x + 0.55, y - 0.07, z],
            [x + 0.55, y + 0.07, z],
            [x - 0.55, y + 0.07, z],
        ]
    )
    land = ring(x, y, 1.7, 1.1)
    solid = prism(np.column_stack([land, np.zeros(4)]), near)
    floor = Landing(m.name, 0.0, ((land,),), ((ring(x, y, 2.3, 1.7),),))
    return Beam(
        m.name,
        solid,
        (radians(70), radians(55)),
        (radians(100), radians(85)),
        (floor,),
        reach=3.0,
    )


def ring(x: float, y: float, a: float, b: float) -> np.ndarray:
    out = np.array([[x - a, y - b], [x + a, y - b], [x + a, y + b], [x - a, y + b]])
    return np.clip(out, [0.0, 0.0], [WIDTH, DEPTH])


def evaluation() -> Evaluation:
    """Evaluate the porch: two heaters, the first of which has the open door's leaf too near."""
    parts = tuple(space() + furniture())
    places = tuple(
        Place(
            f"chair {i + 1}",
            f"chair {i + 1}",
            np.array([x, y, 0.0]),
            -back * pi / 2,
            "upright",
            0.45,
            i == 2,
        )
        for i, (x, y, back) in enumerate(SEATS)
    )
    mounts = (mount("H1", 1.9, 3.35, 2.35), mount("H2", 4.6, 2.6, 2.35))
    verdicts = (Lit.BEAM, Lit.EDGE, Lit.BEAM, Lit.OUTSIDE)
    lights = tuple(
        PlaceLight(p, {"H1": v}, {"H1": ""}, v) for p, v in zip(places, verdicts, strict=True)
    )
    findings = (
        Finding(
            "clearance.end",
            Verdict.FAILS,
            "H1",
            "door leaf",
            0.25,
            0.35,
            "m",
            np.array([1.05, 3.6, 2.0]),
            np.array([1.3, 3.4, 2.35]),
            "-end",
        ),
        Finding(
            "clearance.side",
            Verdict.HOLDS,
            "H2",
            "back wall",
            1.8,
            0.45,
            "m",
            np.array([4.6, 4.5, 2.4]),
            np.array([4.6, 2.7, 2.4]),
            "+side",
        ),
    )
    scene = Scene(
        site=Site(name="Sample porch"), floor=Floor(outline=tuple(map(tuple, OUTLINE.tolist())))
    )
    share = FloorShare(0.5, 0.2, 0.3, 0.2, WIDTH * DEPTH)
    model = Model(parts, places, OUTLINE)
    beams, emitters, around = (
        tuple(map(beam, mounts)),
        emitters_of(mounts),
        surroundings(mounts, model),
    )
    floor = irradiance(mounts)
    return Evaluation(
        scene=scene,
        model=model,
        mounts=mounts,
        beams=beams,
        emitters=emitters,
        surroundings=around,
        floor_map=floor,
        seat_map=floor,
        warmed=warmed_share(floor, scene.site.target.irradiance),
        places=lights,
        people=tuple(map(body, places, COMFORTS)),
        zones=(),
        heads=(),
        warm_up=None,
        floor=share,
        electrical=electrical([(m.heater, m.type) for m in mounts], scene.site.supply),
        unknowns=(),
        findings=findings,
    )


def irradiance(mounts: tuple[Mount, ...]) -> PlaneMap:
    """A cone of 160 W/m2 under each heater, none of it beyond 2 m."""
    x, y = np.linspace(0.0, WIDTH, 71), np.linspace(0.0, DEPTH, 46)
    at = np.stack(np.meshgrid(x, y), axis=-1)
    far = {m.name: np.linalg.norm(at - m.frame.origin[:2], axis=-1) for m in mounts}
    by_heater = {name: np.clip(160.0 * (1.0 - away / 2.0), 0.0, None) for name, away in far.items()}
    return PlaneMap(0.0, x, y, np.ones(at.shape[:2], dtype=bool), OUTLINE, by_heater)


COMFORTS = (Comfort.WARM, Comfort.BORDERLINE, Comfort.WARM, Comfort.COLD)
GAINS = {Comfort.WARM: 4.2, Comfort.BORDERLINE: 2.8, Comfort.COLD: 0.4}


def body(place: Place, comfort: Comfort) -> BodyHeat:
    reason = Reason(Cause.OUTSIDE, "Outside every beam: the nearest, of H2, ends 9° short of here.")
    return BodyHeat(
        place=place,
        absorbed_w={"H1": 15.0, "H2": 20.0},
        irradiance_w_m2=90.0,
        head_w_m2=110.0,
        radiant_temperature=18.0,
        utci_without=5.0,
        utci=5.0 + GAINS[comfort],
        needed_gain=3.0,
        comfort=comfort,
        reason=None if comfort is Comfort.WARM else reason,
    )


def looking(at: tuple[float, float, float], heading: float) -> Frame:
    """A level camera at a place, looking in a direction of the plan."""
    back = np.array([-cos(heading), -sin(heading), 0.0])
    right = np.array([sin(heading), -cos(heading), 0.0])
    return Frame(np.array(at), np.stack([right, [0.0, 0.0, 1.0], back]))


def views() -> tuple[View, ...]:
    """Three stills: the porch, the same with everything on, and its plan."""
    eye = (5.2, -3.6, 1.55)
    heading = atan2(2.6 - eye[1], 3.2 - eye[0])
    base = frozenset({Layer.SPACE, Layer.HEATERS, Layer.PEOPLE})
    camera = looking(eye, heading)
    labels = (
        Label("H1", np.array([1.9, 3.3, 2.62]), 0.12, Tone.WARM, np.array([1.9, 3.3, 2.45])),
        Label(
            "9 7/8 in of 13 3/4 in",
            np.array([1.2, 3.0, 2.0]),
            0.09,
            Tone.ALARM,
            np.array([1.1, 3.5, 2.0]),
        ),
    )
    lines = (
        Line(np.array([[1.05, 3.55, 2.0], [1.3, 3.55, 2.0]]), 0.02, Tone.ALARM, arrows=True),
        Line(np.array([[4.6, 2.6, 0.02], [4.6, 2.6, 2.35]]), 0.015, Tone.MEASURE, arrows=True),
    )
    plan = Frame(np.array([WIDTH / 2, DEPTH / 2, 6.0]), np.eye(3))
    pose = Line(
        np.array([[0, DEPTH, 2], [WIDTH, DEPTH, 2], [WIDTH, DEPTH + 0.2, 2], [0, DEPTH + 0.2, 2]]),
        0.02,
        closed=True,
        filled=True,
    )
    outline = Line(
        np.array([[1.3, 3.25, 2.1], [2.5, 3.25, 2.1], [2.5, 3.45, 2.1], [1.3, 3.45, 2.1]]),
        0.02,
        Tone.WARM,
        closed=True,
    )
    drawn = View(
        "plan",
        "The plan.",
        plan,
        0.0,
        9.0,
        (0.0, 0.0),
        (4.0, 20.0),
        16 / 9,
        frozenset(Layer) - {Layer.BEAMS, Layer.CLEARANCES},
        labels=(Label("Porch 7.00 m", np.array([3.5, -0.4, 1.9]), 0.14, Tone.QUIET),),
        lines=(
            pose,
            outline,
            Line(np.array([[0, -0.2, 1.9], [7, -0.2, 1.9]]), 0.015, Tone.MEASURE, arrows=True),
        ),
        dusk=0.0,
        floor=FloorShows.IRRADIANCE,
    )
    other = replace(
        drawn, labels=(replace(drawn.labels[0], text="by beams"),), floor=FloorShows.LANDING
    )
    return (
        View(
            "hero",
            "The porch.",
            camera,
            24.0,
            0.0,
            (0.0, 0.06),
            (0.05, 200.0),
            16 / 9,
            base,
            dusk=0.7,
        ),
        View(
            "clearances",
            "What is too near.",
            camera,
            24.0,
            0.0,
            (0.0, 0.06),
            (0.05, 200.0),
            16 / 9,
            frozenset(Layer),
            frozenset({"post 2"}),
            labels,
            lines,
            0.6,
        ),
        replace(drawn, other=other),
    )
