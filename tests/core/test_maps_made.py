"""Maps made: against closed forms of small sources, beside walls, moved, turned and kept up."""

from collections.abc import Sequence
from dataclasses import replace
from math import acos, cos, pi, sqrt, tan

import numpy as np
import pytest
import shapely
from manifold3d import Manifold

from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Mesh
from heatcore.geometry.rays import Obstacles
from heatcore.heat.planes import making as plane
from heatcore.heat.planes.making import plane_map, shaded_by, updated, without
from heatcore.heat.planes.maps import PlaneMap, bands, extremes, isolines, levels, warmed_share
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import PREVIEW, irradiance
from heatcore.scene.types import Pattern

LAMBERT = Pattern(kind="uniform")
EVEN = Pattern(along=1e-9, across=1e-9)  # as good as the same intensity everywhere ahead
SHAPED = Pattern(along=1.6, across=2.6)
POINT = 1e-3  # m; the aperture of a source that is to look like a point
NOTHING = Obstacles(())


def emitter(
    x=0.0, y=0.0, z=2.4, name="H1", power=1800.0, heading=0.0, tilt=0.0, pattern=SHAPED, **size
) -> Emitter:
    size = {"length": 0.9, "width": 0.13} | size
    frame = Frame(np.array([x, y, z]), heading_axes(heading, tilt))
    return Emitter(name, frame, size["length"], size["width"], power, pattern, 850.0)


def small(x=0.0, y=0.0, name="H1", pattern=LAMBERT, power=1800.0) -> Emitter:
    return emitter(x, y, name=name, pattern=pattern, power=power, length=POINT, width=POINT)


def rectangle(x0, x1, y0, y1) -> np.ndarray:
    return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def box(low, high) -> Mesh:
    mesh = Manifold.cube(np.subtract(high, low)).translate(low).to_mesh64()
    return Mesh(mesh.vert_properties, mesh.tri_verts)


def boxes(*corners) -> Obstacles:
    return Obstacles([(f"box {i}", box(*pair)) for i, pair in enumerate(corners)])


def shares(field: PlaneMap, values: Sequence[float]) -> list[float]:
    return [band.share for band in bands(field, values)]


class TestAgainstClosedForms:
    @pytest.mark.parametrize(("pattern", "power"), [(LAMBERT, 4), (EVEN, 3)])
    @pytest.mark.parametrize("part", [0.75, 0.5, 0.25])
    def test_isolines_under_a_small_source_are_circles(self, pattern, power, part):
        # E falls as cos**4 below a small Lambertian source and as cos**3 below one of even
        # intensity (textbook; check value a21), so it has the given part where
        # cos = part**(1/power).
        field = plane_map([small(pattern=pattern)], rectangle(-5, 5, -4, 4), 0.0, NOTHING)
        peak = field.at(np.zeros((1, 2)))[0]
        ((line,),) = (iso.lines for iso in isolines(field, [part * peak]))
        radius = 2.4 * tan(acos(part ** (1 / power)))
        assert np.hypot(*line.T) == pytest.approx(radius, abs=0.004)

    def test_the_peak_under_a_small_lambertian_source(self):
        # I0 = P / pi, E = I0 / h**2: textbook.
        found = extremes(plane_map([small()], rectangle(-3, 3, -3, 3), 0.4, NOTHING))
        # Read at one of the four points round the foot, 7 cm from it: cos**4 is 0.9975 there.
        assert found.highest == pytest.approx(0.9975 * 1800 / pi / 2.0**2, rel=1e-3)
        assert found.highest_at == pytest.approx([0.0, 0.0, 0.4], abs=0.051)
        # The corner, by cos**4.
        assert found.lowest == pytest.approx(1800 / pi * 2.0**2 / (2.0**2 + 18) ** 2, rel=2e-3)

    def test_the_warmed_share_is_that_of_the_circle(self):
        warmed = warmed_share(plane_map([small()], rectangle(-4, 4, -3, 3), 0.0, NOTHING), 40.0)
        # E0 h**4 / (h**2 + r**2)**2 = 40
        peak = 1800 / pi / 2.4**2
        circle = pi * 2.4**2 * (sqrt(peak / 40.0) - 1)
        assert warmed.warmed == pytest.approx(circle / 48, abs=3e-4)
        assert warmed.doubly == 0.0
        assert warmed.missed == pytest.approx(1 - circle / 48, abs=3e-4)

    def test_the_doubly_warmed_share_is_that_of_the_lens(self):
        # Two circles of radius r, d apart, share 2 r**2 acos(d / 2r) - d sqrt(4 r**2 - d**2) / 2.
        pair = [small(-0.8, name="A"), small(0.8, name="B")]
        warmed = warmed_share(plane_map(pair, rectangle(-4, 4, -3, 3), 0.0, NOTHING), 40.0)
        r2, d = 2.4**2 * (sqrt(1800 / pi / 2.4**2 / 40.0) - 1), 1.6
        lens = 2 * r2 * acos(d / 2 / sqrt(r2)) - d / 2 * sqrt(4 * r2 - d**2)
        assert warmed.doubly == pytest.approx(lens / 48, abs=5e-4)


class TestGrid:
    def test_the_parts_are_what_the_engine_says(self):
        pair = [emitter(1, 1, name="A", tilt=0.3), emitter(3, 2, name="B", heading=1.0)]
        table = boxes(((1.5, 1.2, 0.7), (2.7, 2.0, 0.75)))
        field = plane_map(pair, rectangle(0, 4, 0, 3), 0.45, table)
        grid = np.stack(np.meshgrid(field.x, field.y), -1)[field.inside]
        points = np.column_stack([grid, np.full(len(grid), 0.45)])
        for one in pair:
            direct = irradiance(one, points, np.array([0.0, 0.0, 1.0]), table)
            found = field.by_heater[one.name][field.inside]
            # On a grid the engine may share rays among neighbors.
            assert np.median(np.abs(found - direct)) <= 0.005 * direct.max()
        assert field.total == pytest.approx(field.by_heater["A"] + field.by_heater["B"])

    @pytest.mark.parametrize(
        "outline",
        [
            [(0, 0), (5, 0), (5, 1.5), (2, 1.5), (2, 4), (0, 4)],
            [(0, 0), (5, 0), (5, 4), (3.5, 4), (3.5, 1.3), (1.5, 1.3), (1.5, 4), (0, 4)],
            [(0, 0), (1, -1), (5, 3), (4, 4)],
            [(0, 4), (5, 4), (5, 0), (0, 0)],
            [(0, 0), (5, 0), (5, 0.02), (0, 0.02)],
            [(0, 0), (5, 4), (0, 0.002)],
        ],
        ids=["L", "U", "turned", "clockwise", "ribbon", "needle"],
    )
    def test_any_outline_is_filled_by_the_bands(self, outline):
        field = plane_map([emitter(2, 1)], np.array(outline, float), 0.0, NOTHING, quality=PREVIEW)
        assert shapely.LinearRing(field.outline).is_ccw
        assert field.inside.any()
        values = levels(field)
        assert sum(shares(field, values)) == pytest.approx(1.0, abs=1e-9)
        found = [shapely.Polygon(r[0], r[1:]) for b in bands(field, values) for r in b.areas]
        assert shapely.union_all(found, grid_size=1e-6).area == pytest.approx(
            field.plane.area, abs=1e-4
        )

    def test_ten_metres_by_a_hundred(self):
        row = [emitter(5 + 10 * i, 5, name=f"H{i}") for i in range(10)]
        long = plane_map(row, rectangle(0, 100, 0, 10), 0.0, NOTHING, quality=PREVIEW)
        assert np.count_nonzero(long.inside) == pytest.approx(plane.MOST_POINTS, rel=0.02)
        # Ten equal pieces, but for the stray light over their ends.
        one = plane_map(row, rectangle(40, 50, 0, 10), 0.0, NOTHING, quality=PREVIEW)
        assert warmed_share(long, 60.0).warmed == pytest.approx(
            warmed_share(one, 60.0).warmed, abs=0.001
        )

    def test_a_plane_of_any_size_keeps_to_its_memory(self):
        wide = plane_map(
            [emitter()], rectangle(-250, 250, -250, 250), 0.0, NOTHING, quality=PREVIEW
        )
        slanting = np.array([(0, 0), (300, 300), (299, 301), (-1, 1)], dtype=float)
        narrow = plane_map([emitter()], slanting, 0.0, NOTHING, quality=PREVIEW)
        assert wide.inside.size <= 1.1 * plane.MOST_POINTS
        assert narrow.inside.size <= 1.1 * plane.MOST_IN_GRID

    def test_no_heaters(self):
        walled = boxes(((4, 0, 0), (4.2, 3, 2.5)))
        field = plane_map([], rectangle(0, 4, 0, 3), 0.0, walled)
        assert levels(field, threshold=100.0) == ()
        assert shares(field, [100.0]) == [1.0, 0.0]
        assert warmed_share(field, 100.0).missed == 1.0


class TestBesideWalls:
    """A wall on the edge that shades nothing within it leaves every share as it is."""

    @pytest.mark.parametrize("thick", [0.003, 0.012, 0.1, 0.3, 2.0])
    @pytest.mark.parametrize("off", [0.0, 0.03, 0.13])
    def test_no_cold_fringe(self, thick, off):
        one, outline = emitter(2.0, 1.5), rectangle(0, 4, 0, 3)
        t, e = thick, off
        walls = boxes(
            ((-e - t, -e - t, 0), (-e, 3 + e + t, 2.5)),
            ((4 + e, -e - t, 0), (4 + e + t, 3 + e + t, 2.5)),
            ((-e, 3 + e, 0), (4 + e, 3 + e + t, 2.5)),
        )
        free = plane_map([one], outline, 0.0, NOTHING)
        walled = plane_map([one], outline, 0.0, walls)
        edge = np.column_stack([np.full(29, 3.999), np.linspace(0.1, 2.9, 29)])
        # Within half a step of the wall the value is that of the point before it.
        assert walled.at(edge) == pytest.approx(free.at(edge), rel=0.12)
        values = levels(free)
        assert shares(walled, values) == pytest.approx(shares(free, values), abs=0.006)
        assert extremes(walled).lowest >= 0.97 * extremes(free).lowest

    def test_a_post_on_the_floor_is_no_cold_spot(self):
        # Right below the heater, as thick as the aperture's shadow is nothing: a low block.
        field = plane_map([emitter()], rectangle(-2, 2, -2, 2), 0.0, boxes(((-0.2,) * 2 + (0,),
            (0.2, 0.2, 0.02))))  # fmt: skip
        assert field.at(np.zeros((1, 2)))[0] > 0.95 * extremes(field).highest

    def test_a_shadow_on_the_floor_stays(self):
        over = boxes(((-0.5, -0.4, 0.7), (0.5, 0.4, 0.75)))
        field = plane_map([emitter()], rectangle(-2, 2, -2, 2), 0.0, over)
        assert field.at(np.zeros((1, 2)))[0] == 0.0

    def test_a_wall_across_the_floor_keeps_its_dark_side(self):
        wall = boxes(((1.0, -2, 0), (1.1, 2, 3)))
        field = plane_map([emitter(0.0, 0.0)], rectangle(-2, 3, -2, 2), 0.0, wall)
        dark = np.column_stack([np.linspace(1.3, 2.9, 9), np.zeros(9)])
        assert np.all(field.at(dark) == 0.0)

    def test_a_plane_wholly_in_a_solid_is_dark(self):
        field = plane_map(
            [emitter()], rectangle(-1, 1, -1, 1), 0.1, boxes(((-3, -3, 0), (3, 3, 1)))
        )
        assert np.all(field.total == 0.0)


def turned(points, angle: float, by=(0.0, 0.0), *, mirror=False) -> np.ndarray:
    """Points (n, 2 or 3) mirrored in x, turned about Z and moved."""
    points = np.array(points, dtype=float)
    if mirror:
        points[..., 0] *= -1
    c, s = np.cos(angle), np.sin(angle)
    plan = points[..., :2] @ np.array([(c, s), (-s, c)]) + by
    return np.concatenate([plan, points[..., 2:]], axis=-1)


# Without a table, and with one: its sharp shadow takes a finer grid.
@pytest.fixture(scope="module", params=[(False, 0.1), (True, 0.025)], ids=["bare", "table"])
def patio(request) -> tuple[bool, float, list[float]]:
    return *request.param, scene_shares(*request.param, 0.0)


def scene_shares(
    table: bool, step: float, angle: float, by=(0.0, 0.0), *, mirror=False
) -> list[float]:
    """Shares [points of a hundred] of a patio with three heaters, a wall, posts and a table."""
    heaters = []
    for name, x, y, heading in (("A", 1.3, 1.2, 0.2), ("B", 3.9, 1.4, 1.5), ("C", 2.7, 3.1, 0.0)):
        at = turned([(x, y, 2.4)], angle, by, mirror=mirror)[0]
        way = (pi - heading if mirror else heading) + angle
        heaters.append(emitter(*at, name=name, heading=way))
    solids = [
        ((-0.3, 4.0, 0), (5.5, 4.2, 2.6)),
        ((0.0, 0.0, 0), (0.14, 0.14, 2.6)),
        ((5.06, 0.0, 0), (5.2, 0.14, 2.6)),
    ]
    if table:
        solids.append(((1.6, 1.4, 0.7), (3.4, 2.4, 0.75)))
    meshes = []
    for i, pair in enumerate(solids):
        mesh = box(*pair)
        order = [0, 2, 1] if mirror else [0, 1, 2]
        vertices = turned(mesh.vertices, angle, by, mirror=mirror)
        meshes.append((str(i), Mesh(vertices, mesh.triangles[:, order])))
    outline = turned(rectangle(0, 5.2, 0, 4.0), angle, by, mirror=mirror)
    field = plane_map(heaters, outline, 0.0, Obstacles(meshes), step=step)
    warmed = warmed_share(field, 60.0)
    found = [*shares(field, [50.0, 100.0, 150.0]), warmed.warmed, warmed.doubly]
    return [100 * share for share in found]


@pytest.mark.parametrize(
    ("angle", "by", "mirror"),
    [
        (0.0, (0.037, 0.061), False),
        (0.0, (4321.037, -987.6), False),
        (pi / 2, (0.0, 0.0), False),
        (0.3, (0.0, 0.0), False),
        (0.8, (1.0, 2.0), False),
        (2.2, (-30.0, 70.0), False),
        (0.0, (0.0, 0.0), True),
        (1.1, (0.0, 0.0), True),
    ],
)
def test_shares_are_the_same_wherever_the_patio_lies(patio, angle, by, mirror):
    table, step, straight = patio
    found = scene_shares(table, step, angle, by, mirror=mirror)
    assert found == pytest.approx(straight, abs=0.1)


KEPT = rectangle(0, 5, 0, 4)
WALLS = (((-0.2, 0, 0), (0, 4, 2.5)), ((2, 1.5, 0.7), (3, 2.3, 0.75)))
HIGH = emitter(1.5, 2.0, 2.6, "high", tilt=0.2)
LOW = emitter(3.2, 2.0, 1.9, "low")
THIRD = emitter(4.4, 3.0, 2.5, "third", heading=0.5)


def body(one: Emitter) -> tuple:
    """The corners of a body over a level aperture."""
    x, y, z = one.frame.origin
    return (x - 0.5, y - 0.1, z), (x + 0.5, y + 0.1, z + 0.1)


def around(*emitters: Emitter) -> Obstacles:
    """What is in the way; the bodies of the others are too high up to shade anything."""
    return boxes(*WALLS, *(body(e) for e in emitters if e.name == "low"))


def fresh(*emitters: Emitter) -> PlaneMap:
    return plane_map(emitters, KEPT, 0.0, around(*emitters))


def same(found: PlaneMap, made: PlaneMap) -> None:
    assert found.by_heater.keys() == made.by_heater.keys()
    for name, values in made.by_heater.items():
        assert np.abs(found.by_heater[name] - values).max() <= 1e-9, name
    assert {e.name: e for e in found.emitters} == {e.name: e for e in made.emitters}


@pytest.fixture(scope="module")
def before() -> PlaneMap:
    return fresh(HIGH, LOW, THIRD)


class TestUpdated:
    """A map kept up is the map made anew, to 1e-9."""

    def test_one_that_shades_nobody_moves(self, before):
        moved = replace(HIGH, frame=HIGH.frame.moved([0.2, 0.1, 0.0]))
        now = (moved, LOW, THIRD)
        same(updated(before, moved, around(*now)), fresh(*now))

    def test_the_others_are_not_asked_again(self, before, monkeypatch):
        asked = []
        monkeypatch.setattr(
            plane, "irradiance", lambda e, *rest: asked.append(e.name) or irradiance(e, *rest)
        )
        moved = replace(HIGH, frame=HIGH.frame.moved([0.2, 0.1, 0.0]))
        found = updated(before, moved, around(moved, LOW, THIRD))
        assert asked == ["high"]
        assert found.by_heater["low"] is before.by_heater["low"]

    def test_one_that_hangs_before_another_moves(self, before):
        moved = replace(LOW, frame=LOW.frame.moved([-1.0, 0.0, 0.0]))
        now = (HIGH, moved, THIRD)
        crossed = {
            name
            for one in (LOW, moved)
            for name in shaded_by(box(*body(one)).vertices, (HIGH, LOW, THIRD))
        }
        assert crossed == {"high", "third"}
        found = updated(before, moved, around(*now), shaded=crossed)
        same(found, fresh(*now))
        # And it does make a difference.
        assert not np.allclose(found.by_heater["high"], before.by_heater["high"])

    @pytest.mark.parametrize("output", [0.5, 0.0, 1.7])
    def test_dimming_asks_for_no_ray(self, before, monkeypatch, output):
        dimmed = replace(THIRD, radiant_power_w=output * THIRD.radiant_power_w)
        now = (HIGH, LOW, dimmed)
        made = fresh(*now)
        monkeypatch.delattr(plane, "irradiance")
        same(updated(before, dimmed, around(*now)), made)

    def test_switched_on_again(self, before):
        off = replace(THIRD, radiant_power_w=0.0)
        dark = updated(before, off, around(HIGH, LOW, THIRD))
        assert np.all(dark.by_heater["third"] == 0.0)
        same(updated(dark, THIRD, around(HIGH, LOW, THIRD)), before)

    def test_one_more(self, before):
        added = emitter(2.5, 3.5, 2.4, "more")
        now = (HIGH, LOW, THIRD, added)
        same(updated(before, added, around(*now)), fresh(*now))

    def test_one_less(self, before):
        same(
            without(before, "third", around(HIGH, LOW)),
            fresh(HIGH, LOW),
        )
        left = HIGH, THIRD
        found = without(before, "low", around(*left), shaded=["high", "third"])
        same(found, fresh(*left))

    def test_another_pattern_is_no_dimming(self, before):
        other = replace(HIGH, pattern=LAMBERT)
        now = (other, LOW, THIRD)
        same(updated(before, other, around(*now)), fresh(*now))

    def test_a_body_never_shades_its_own_heater_nor_one_that_is_as_low(self):
        tilted = emitter(1, 1, 2.4, "tilted", tilt=0.4)
        corners = tilted.frame.to_world(
            [(x, y, z) for x in (-0.5, 0.5) for y in (-0.1, 0.1) for z in (0.0, 0.1)]
        )
        level = emitter(3, 1, 2.4, "level")
        beside = box(*body(emitter(1, 1, 2.4)))
        assert "tilted" not in shaded_by(corners, [tilted, level])
        assert shaded_by(beside.vertices, [level]) == ()


def test_a_point_in_a_solid_is_told_from_one_outside():
    # A hollow box: its inside is no solid.
    hollow = Manifold.cube((2, 2, 2)) - Manifold.cube((1, 1, 1)).translate((0.5, 0.5, 0.5))
    mesh = hollow.to_mesh64()
    solids = Obstacles([("hollow", Mesh(mesh.vert_properties, mesh.tri_verts)),
                        ("through it", box((-0.2, 0.9, 0.2), (3, 1.1, 0.3)))])  # fmt: skip
    points = np.array(
        [
            (0.25, 1, 1),
            (1, 1, 1),
            (1, 1, 1.75),
            (3, 1, 1),
            (1, 1, 2.1),
            (1, 1, 0.25),
            (2.5, 1, 0.25),
        ]
    )
    assert solids.encloses(points).tolist() == [True, False, True, False, False, True, True]
    assert NOTHING.encloses(points).tolist() == [False] * 7


def test_a_source_of_even_intensity_is_even():
    # The pattern that the circles are held against: cos(60 degrees)**1e-9 is one.
    assert cos(pi / 3) ** EVEN.along == pytest.approx(1.0, abs=1e-8)
