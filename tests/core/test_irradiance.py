"""Irradiance: what must hold whatever the heater, and what happens at the edges."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Manifold

from heatcore.errors import InputError
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Mesh
from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import (
    FINAL,
    PREVIEW,
    Quality,
    arrivals,
    irradiance,
    irradiances,
    on_mesh,
)
from heatcore.heat.radiation.pattern import full_angles, half_angles, relative_intensity
from heatcore.scene.types import Pattern

OPEN = Obstacles([])
UP = np.array([0.0, 0.0, 1.0])
TABLE = Pattern(
    kind="table",
    angles_along=tuple(np.radians([0.0, 20.0, 45.0, 70.0])),
    angles_across=tuple(np.radians([-60.0, -20.0, 0.0, 30.0, 75.0])),
    intensities=((3, 8, 9, 10, 1), (2, 7, 8, 9, 1), (1, 4, 5, 4, 0.5), (0, 0, 0, 0, 0)),
)
PATTERNS = {
    "uniform": Pattern(kind="uniform"),
    "cosine": Pattern(along=1.6, across=2.6),
    "table": TABLE,
}
each_pattern = pytest.mark.parametrize("pattern", PATTERNS.values(), ids=PATTERNS)


def heater(at=(0.0, 0.0, 2.4), heading=0.0, tilt=0.0, **changes) -> Emitter:
    values = {
        "name": "H1", "frame": Frame(np.array(at), heading_axes(heading, tilt)), "length": 1.4,
        "width": 0.13, "radiant_power_w": 2400.0, "pattern": PATTERNS["cosine"],
        "element_temperature": 850.0,
    }  # fmt: skip
    return Emitter(**(values | changes))


def box(low, high) -> Mesh:
    mesh = Manifold.cube(np.subtract(high, low)).translate(low).to_mesh64()
    return Mesh(mesh.vert_properties, mesh.tri_verts)


def turned(mesh: Mesh) -> Mesh:
    """The same surface, seen from inside."""
    return Mesh(mesh.vertices, mesh.triangles[:, ::-1])


def plane(level=0.0, half=3.0, step=0.2) -> tuple[np.ndarray, tuple[int, int]]:
    x = np.arange(-half, half, step) + step / 2
    return np.stack([*np.meshgrid(x, x), np.full((len(x), len(x)), level)], -1).reshape(-1, 3), (
        len(x),
        len(x),
    )


BOARDS = [
    ("board", box((-1.0, -0.9, 1.5), (-0.4, 0.4, 1.52))),
    ("post", box((0.6, 0.5, 0.0), (0.7, 0.6, 2.6))),
    *((f"slat {i}", box((i * 0.2, -2.0, 2.0), (i * 0.2 + 0.08, 0.5, 2.1))) for i in range(6)),
]


class TestEnergy:
    @each_pattern
    def test_what_leaves_the_aperture_is_the_radiant_power(self, pattern):
        # Over the whole half-space before the face, by a rule other than the pattern's own.
        emitter = heater(tilt=0.4, heading=1.0, pattern=pattern)
        theta, phi = (np.arange(n) + 0.5 for n in (2000, 720))
        theta, phi = theta / 2000 * pi / 2, phi / 720 * 2 * pi
        theta, phi = np.meshgrid(theta, phi, indexing="ij")
        local = np.stack(
            [np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), -np.cos(theta)], -1
        )
        each = emitter.intensity(local @ emitter.frame.axes) * np.sin(theta)
        assert each.sum() * (pi / 2 / 2000) * (2 * pi / 720) == pytest.approx(2400.0, rel=1e-3)

    @each_pattern
    @pytest.mark.parametrize("tilt", [0.0, 0.6])
    def test_what_lands_on_a_closed_box_is_what_leaves_the_aperture(self, pattern, tilt):
        # The box is seen from inside; the heater hangs in it, off its walls.
        emitter = heater((0.3, -0.2, 1.1), heading=0.7, tilt=tilt, pattern=pattern)
        walls = turned(box((-2.0, -1.5, 0.0), (2.0, 1.8, 2.6)))
        obstacles = Obstacles([("box", walls)])
        (mean,) = on_mesh([emitter], walls, obstacles, PREVIEW, step=0.06).values()
        area = np.linalg.norm(
            np.cross(
                walls.corners[:, 1] - walls.corners[:, 0], walls.corners[:, 2] - walls.corners[:, 0]
            ),
            axis=1,
        )
        assert mean @ area / 2 == pytest.approx(2400.0, rel=5e-3)

    def test_what_a_table_takes_the_floor_misses(self):
        # A shelf hides floor, and catches just what the floor loses.
        emitter, floor = heater(), box((-8, -8, -0.1), (8, 8, 0))
        shelf = box((-0.6, -0.5, 0.9), (0.7, 0.4, 0.91))
        floor_alone, around = (
            Obstacles([("floor", floor)]),
            Obstacles([("floor", floor), ("shelf", shelf)]),
        )
        points, grid = plane(half=4.0, step=0.04)
        lost = (
            irradiance(emitter, points, UP, floor_alone, FINAL, grid)
            - irradiance(emitter, points, UP, around, FINAL, grid)
        ).sum() * 0.04**2
        (caught,) = on_mesh([emitter], shelf, around, FINAL, step=0.04).values()
        upward = shelf.normals[:, 2] > 0.9
        assert lost == pytest.approx(caught[upward].mean() * 1.3 * 0.9, rel=5e-3)


class TestSymmetry:
    @settings(max_examples=15, deadline=None)
    @given(st.floats(0, 6.2), st.floats(-0.7, 0.7), st.sampled_from(list(PATTERNS)))
    def test_turned_and_moved_with_everything_it_is_the_same(self, turn, tilt, name):
        emitter, shift = heater(tilt=tilt, pattern=PATTERNS[name]), np.array([40.0, -70.0, 3.0])
        turning = heading_axes(turn)  # rows: where X, Y and Z go
        there = replace(
            emitter,
            frame=Frame(emitter.frame.origin @ turning + shift, emitter.frame.axes @ turning),
        )
        points, _ = plane(step=0.6)
        boards = [(n, Mesh(m.vertices @ turning + shift, m.triangles)) for n, m in BOARDS]
        here = irradiance(emitter, points, UP, Obstacles(BOARDS), PREVIEW)
        moved = irradiance(there, points @ turning + shift, UP, Obstacles(boards), PREVIEW)
        # An edge of a shadow may pick up another ray here and there, single precision being single.
        assert np.abs(moved - here).max() < 0.02 * here.max()
        assert np.median(np.abs(moved - here)) < 1e-6 * here.max()

    @pytest.mark.parametrize("name", ["uniform", "cosine"])
    def test_mirrored_it_is_the_same(self, name):
        points, _ = plane(step=0.3)
        found = irradiance(heater(pattern=PATTERNS[name]), points, UP, OPEN).reshape(20, 20)
        assert found == pytest.approx(found[::-1], rel=1e-9)
        assert found == pytest.approx(found[:, ::-1], rel=1e-9)

    def test_a_tilted_beam_mirrored(self):
        points, _ = plane(step=0.3)
        left, right = (
            irradiance(heater(tilt=tilt), points, UP, OPEN).reshape(20, 20) for tilt in (0.4, -0.4)
        )
        assert left == pytest.approx(right[::-1], rel=1e-9)

    @each_pattern
    def test_power_scales_it_and_heaters_add(self, pattern):
        points, _ = plane(step=0.3)
        one = heater(pattern=pattern)
        two = heater((1.0, 0.5, 2.2), tilt=0.3, name="H2", radiant_power_w=4800.0, pattern=pattern)
        around = Obstacles(BOARDS)
        both = irradiances([one, two], points, UP, around)
        assert list(both) == ["H1", "H2"]
        assert both["H1"] == pytest.approx(irradiance(one, points, UP, around), rel=1e-12)
        half = irradiance(replace(two, radiant_power_w=2400.0), points, UP, around)
        assert both["H2"] == pytest.approx(2 * half, rel=1e-12)


class TestInTheWay:
    @each_pattern
    @pytest.mark.parametrize("on_grid", [False, True])
    def test_taking_an_obstacle_away_never_lowers_a_value(self, pattern, on_grid):
        points, grid = plane(step=0.15 if on_grid else 0.4)
        emitter = heater((0.2, 0.1, 2.4), heading=0.3, tilt=0.2, pattern=pattern)
        for quality in (PREVIEW, FINAL):
            before = np.zeros(len(points))
            for count in range(len(BOARDS), -1, -1):
                around = Obstacles(BOARDS[:count])
                found = irradiance(emitter, points, UP, around, quality, grid if on_grid else None)
                assert np.all(found >= before - 1e-9)
                before = found

    def test_half_of_the_aperture_hidden_by_a_board_under_its_near_half(self):
        # A board close under the half x < 0, as wide as it takes: what remains is the other half,
        # and its view factor is exact.
        emitter = heater(pattern=PATTERNS["uniform"])
        board = Obstacles([("board", box((-3, -3, 2.39), (0.0, 3, 2.395)))])
        half = heater((0.35, 0.0, 2.4), length=0.7, radiant_power_w=1200.0,
                      pattern=PATTERNS["uniform"])  # fmt: skip
        points = np.array([[-1.5, 0.0, 0.0], [-0.7, 0.3, 0.0], [0.0, 0.0, 0.0], [1.2, -0.4, 0.5]])
        found = irradiance(emitter, points, UP, board)
        # Seen from -x under the board's edge, a little of the open half is hidden too.
        assert found == pytest.approx(irradiance(half, points, UP, OPEN), rel=0.02)

    def test_quality_is_what_it_says(self):
        points, grid = plane(step=0.15)
        emitter, around = heater(tilt=0.2), Obstacles(BOARDS)
        true = irradiance(emitter, points, UP, around, Quality(64, 16384))
        high = true >= 0.05 * true.max()
        for on in (None, grid):
            fine = irradiance(emitter, points, UP, around, FINAL, on)
            off = np.abs(fine[high] / true[high] - 1)
            assert np.median(off) <= 0.005
            assert np.quantile(off, 0.95) <= 0.02
            rough = irradiance(emitter, points, UP, around, PREVIEW, on) - true
            assert np.sqrt(np.mean(rough**2)) <= 0.012 * true.max()  # slats all over: a hard case

    def test_bodies_behind_the_aperture_shade_nothing(self):
        emitter, points = heater(), plane()[0]
        body = box((-0.75, -0.1, 2.4), (0.75, 0.1, 2.5))
        around = Obstacles([("H1", body), ("lamp", box((1.0, 1.0, 2.45), (1.3, 1.3, 2.6)))])
        assert np.array_equal(
            irradiance(emitter, points, UP, around), irradiance(emitter, points, UP, OPEN)
        )

    def test_a_heater_inside_a_solid_warms_nothing_outside(self):
        around = Obstacles([("crate", box((-1, -1, 2.0), (1, 1, 3.0)))])
        assert np.all(irradiance(heater(), plane()[0], UP, around) == 0.0)

    def test_arrivals_add_up_and_name_what_is_hit(self):
        emitter, around = (
            heater(tilt=0.2),
            Obstacles([("roof", box((8, 8, 3), (9, 9, 4))), *BOARDS]),
        )
        points, normal = np.array([[0.5, 0.3, 0.6], [-0.7, 0.0, 0.0]]), UP
        found = arrivals(emitter, points, around, samples=256)
        cosine = np.maximum(found.directions @ normal, 0.0)
        free = (found.flux_w_m2 * cosine).sum(axis=1)
        assert free == pytest.approx(irradiance(emitter, points, normal, OPEN), rel=2e-3)
        seen = (found.flux_w_m2 * cosine * (found.hit < 0)).sum(axis=1)
        assert seen == pytest.approx(
            irradiance(emitter, points, normal, around), abs=0.01 * free.max()
        )
        assert {around.names[i] for i in np.unique(found.hit[1]) if i >= 0} >= {"board"}
        assert np.linalg.norm(found.directions, axis=-1) == pytest.approx(1.0)


class TestEdges:
    def test_above_and_beside_the_heater_and_facing_away(self):
        points = np.array([[0.0, 0.0, 3.0], [2.0, 0.0, 2.4], [0.0, 0.0, 1.0]])
        found = irradiance(heater(), points, np.array([UP, [-1.0, 0, 0], -UP]), OPEN)
        assert np.array_equal(found, [0.0, 0.0, 0.0])

    @each_pattern
    def test_under_the_aperture_itself(self, pattern):
        # A hair before it nearly all of the exitance arrives, and nothing is infinite.
        emitter = heater(pattern=pattern)
        close = irradiance(emitter, np.array([[0.0, 0.0, 2.4 - 1e-4]]), UP, OPEN)[0]
        exitance = emitter.radiant_power_w / (emitter.length * emitter.width)
        assert np.isfinite(close)
        if pattern.kind == "uniform":
            assert close == pytest.approx(exitance, rel=1e-3)

    def test_an_aperture_seen_edge_on(self):
        # Level with a vertical strip's edge almost nothing arrives, and it falls smoothly to 0.
        points = np.column_stack([np.full(4, 2.0), np.zeros(4), 2.4 - np.array([1, 1e-2, 1e-4, 0])])
        found = irradiance(heater(pattern=PATTERNS["uniform"]), points, [-1.0, 0.0, 0.0], OPEN)
        assert np.all(np.diff(found) < 0.0)
        assert found[-1] == 0.0

    def test_a_point_on_a_surface_is_not_in_its_own_shadow(self):
        floor, wall = box((-5, -5, -0.2), (5, 5, 0)), box((-5, 2, 0), (5, 2.2, 3))
        around = Obstacles([("floor", floor), ("wall", wall)])
        points = np.array([[0.3, 1.0, 0.0], [0.3, 2.0, 1.0], [3.0, 2.0, 0.0]])
        normals = np.array([UP, [0.0, -1.0, 0.0], UP])
        seen = irradiance(heater(), points, normals, around)
        assert seen == pytest.approx(irradiance(heater(), points, normals, OPEN), rel=1e-12)

    def test_no_power_warms_nothing_and_reaches_nowhere(self):
        off = heater(radiant_power_w=0.0)
        assert np.all(irradiance(off, plane()[0], UP, Obstacles(BOARDS)) == 0.0)
        assert off.reach(100.0) == 0.0

    def test_no_points_no_values(self):
        assert irradiance(heater(), np.empty((0, 3)), UP, Obstacles(BOARDS)).shape == (0,)
        assert irradiances([], plane()[0], UP, OPEN) == {}

    @pytest.mark.parametrize(
        ("point", "normal", "where"),
        [
            ((np.nan, 0, 0), UP, "points[1]"),
            ((np.inf, 0, 0), UP, "points[1]"),
            ((0, 0, 0), (0, 0, 0), "normals[1]"),
            ((0, 0, 0), (np.nan, 0, 1), "normals[1]"),
        ],
    )
    def test_what_is_no_point_or_normal_is_refused(self, point, normal, where):
        points, normals = np.array([(0, 0, 0), point], float), np.array([UP, normal], float)
        with pytest.raises(InputError) as error:
            irradiance(heater(), points, normals, OPEN)
        assert error.value.mistakes[0].where == where

    def test_a_triangle_without_area_gets_nothing(self):
        mesh = Mesh(np.array([[0, 0, 0], [1, 0, 0], [2, 0, 0], [0, 1, 0]]), [(0, 1, 2), (0, 1, 3)])
        (found,) = on_mesh([heater()], mesh, OPEN).values()
        assert found[0] == 0.0
        assert found[1] > 0.0

    @pytest.mark.parametrize(
        ("first", "most", "scan"), [(12, 64, 2), (8, 4, 2), (8, 64, 4), (8, 0, 2)]
    )
    def test_a_quality_that_is_none_is_refused(self, first, most, scan):
        with pytest.raises(ValueError, match=r"power of 2|does not hold"):
            Quality(first, most, scan)


class TestReach:
    @each_pattern
    def test_there_the_irradiance_is_the_value(self, pattern):
        emitter = heater(tilt=0.5, heading=2.0, pattern=pattern)
        reach = emitter.reach(100.0)
        at = emitter.frame.origin - reach * emitter.frame.z
        assert irradiance(emitter, at[None], emitter.frame.z, OPEN)[0] == pytest.approx(100.0)
        beyond = emitter.frame.origin - 1.01 * reach * emitter.frame.z
        assert irradiance(emitter, beyond[None], emitter.frame.z, OPEN)[0] < 100.0

    def test_far_off_it_goes_by_the_inverse_square(self):
        emitter = heater(radiant_power_w=1e5)
        assert emitter.reach(10.0) == pytest.approx(np.sqrt(emitter.peak_w_sr / 10.0), rel=1e-3)

    def test_what_is_nowhere_so_warm_has_no_reach(self):
        assert heater(pattern=PATTERNS["uniform"]).reach(1e6) == 0.0


class TestTable:
    def test_between_its_entries_it_is_linear_and_beyond_them_nothing(self):
        def at(x, y):
            way = np.array([np.tan(np.radians(x)), np.tan(np.radians(y)), -1.0])
            return 10.0 * relative_intensity(TABLE, way)

        assert at(0, 30) == pytest.approx(10.0)
        assert at(10, 0) == pytest.approx(8.5)
        assert at(-10, 0) == pytest.approx(8.5)  # angles that begin at 0 go for both sides
        assert at(0, -40) == pytest.approx(5.5)
        assert at(32.5, 15) == pytest.approx((8 + 9 + 5 + 4) / 4)
        assert [at(71, 0), at(0, -61), at(0, 76)] == [0.0, 0.0, 0.0]

    def test_angles_are_the_outermost(self):
        # Peak 10 at y = 30 degrees. Across, half of it: between 0 and 30 no more, but out at
        # 30 + 45 * 5 / 9 = 55 degrees; the other way at -20 - 40 * 3 / 5 = -44 degrees.
        along, across = full_angles(TABLE, 0.5)
        assert np.degrees(across) == pytest.approx(55 + 44, abs=1e-6)
        # Along: 9, 8 at 20, 5 at 45 degrees.
        assert np.degrees(along) == pytest.approx(90.0, abs=1e-6)

    def test_a_dip_on_the_axis_does_not_end_the_beam(self):
        bat = Pattern(
            kind="table",
            angles_along=tuple(np.radians([0.0, 60.0])),
            angles_across=tuple(np.radians([-60.0, -40.0, 0.0, 40.0, 60.0])),
            intensities=((0, 10, 1, 10, 0), (0, 5, 0.5, 5, 0)),
        )
        half = half_angles(bat, np.array([pi / 2, 0.0]), 0.5)
        assert np.degrees(half) == pytest.approx([50.0, 0.0], abs=1e-6)
