"""Beams: where they land, what cuts them, who is in them."""

from dataclasses import replace
from math import acos, pi, radians, tan

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from manifold3d import Error, Manifold, Mesh64

from heatcore import heat
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh, Model, Part, Place
from heatcore.geometry.rays import Obstacles
from heatcore.heat import emitters_of, floor_share, surroundings
from heatcore.heat.beams.beam import Lit
from heatcore.heat.beams.landing import STEP, shape
from heatcore.heat.radiation.pattern import BEAM_SHARE, full_angles, half_angles, relative_intensity
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater
from heatcore.scene.types import BracketType, Distances, HeaterType, Pattern

CLEAR = Distances(above=0.1, sides=0.1, ends=0.1, below=0.1)
FAR = 1e-3  # m; the aperture of a heater that is to look like a point


def box(low, high) -> Mesh:
    """An axis-parallel box."""
    size = np.subtract(high, low)
    mesh = Manifold.cube(size).translate(low).to_mesh64()
    return Mesh(mesh.vert_properties, mesh.tri_verts)


def manifold(mesh) -> Manifold:
    solid = Manifold(Mesh64(mesh.vertices.copy(), mesh.triangles.astype(np.uint64)))
    assert solid.status() == Error.NoError
    return solid


def part(name, kind, low, high) -> Part:
    return Part(name, name, kind, box(low, high), "timber", combustible=True)


def heater_type(**changes) -> HeaterType:
    values = {
        "name": "t", "label": "t", "note": "made up for this test", "input_power": 1000.0,
        "voltage": 240.0,
        "radiant_fraction": 0.6, "element_temperature": 850.0,
        "length": 1.0, "width": 0.2, "height": 0.1,
        "aperture_length": 0.8, "aperture_width": 0.1, "combustible": CLEAR,
        "noncombustible": CLEAR,
        "spacing": 0.6,
        "least_spacing": 0.5, "most_spacing": 0.7,
        "least_height": 2.0, "most_height": 3.0, "mass": 5.0,
        "pattern": Pattern(along=1.6, across=2.6),
    }  # fmt: skip
    return HeaterType(**(values | changes))


def mount(at=(0.0, 0.0, 2.4), heading=0.0, tilt=0.0, name="H1", **changes) -> Mount:
    bracket = BracketType(
        name="b", label="b", note="made up for this test", mount="ceiling", arm=0.1
    )
    return Mount(
        heater=Heater(name=name, type="t", at=at[:2]),
        type=heater_type(**changes),
        frame=Frame(np.array(at), heading_axes(heading, tilt)),
        tilt=tilt, bracket=bracket, arms=(), gaps=np.full(4, np.inf), gap_surface=("",) * 4,
        spare=0.0, passed=(), faults=(), parts=(),
    )  # fmt: skip


def model(*parts, places=(), half=6.0) -> Model:
    floor = part("floor", Kind.FLOOR, (-half, -half, -0.1), (half, half, 0.0))
    outline = np.array([(-half, -half), (half, -half), (half, half), (-half, half)])
    return Model((floor, *parts), tuple(places), outline)


def seat(x, y, name="seat") -> Place:
    return Place(name, name, np.array([x, y, 0.0]), 0.0, "upright", 0.45, occupied=True)


FAINT = 0.1  # W/m2; so low that no reach ends a beam before the floor does


def cast(mounts, site, reached=FAINT):
    return heat.cast(emitters_of(mounts), site, surroundings(mounts, site), reached)


def lit_places(mounts, site, reached=FAINT):
    return heat.lit_places(emitters_of(mounts), site, surroundings(mounts, site), reached)


class TestPattern:
    @given(st.floats(0.3, 12.0), st.floats(0.3, 12.0), st.floats(0.05, 0.95))
    def test_angles_along_and_across_are_those_of_the_cosine_power(self, along, across, share):
        # I = I0 cos(x)**n, so the share is met where cos(x) = share**(1/n): the definition itself.
        angles = full_angles(Pattern(along=along, across=across), share)
        assert angles == pytest.approx(
            [2 * acos(share ** (1 / n)) for n in (along, across)], abs=1e-8
        )

    def test_a_lambertian_aperture_has_a_beam_angle_of_120_degrees(self):
        # cos 60 degrees = 1/2: textbook identity.
        along, across = full_angles(Pattern(kind="uniform"), BEAM_SHARE)
        assert (along, across) == pytest.approx((radians(120), radians(120)))

    def test_nothing_leaves_behind_the_face(self):
        way = np.array([(0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.3, 0.1, 0.2)])
        assert np.all(relative_intensity(Pattern(), way) == 0.0)

    def test_half_angles_lie_on_the_contour_all_round(self):
        pattern, azimuths = Pattern(along=1.3, across=3.7), np.linspace(0, 2 * pi, 37)
        angle = half_angles(pattern, azimuths, 0.5)
        way = np.stack(
            [np.sin(angle) * np.cos(azimuths), np.sin(angle) * np.sin(azimuths), -np.cos(angle)], -1
        )
        assert relative_intensity(pattern, way) == pytest.approx(0.5, abs=1e-7)


class TestLanding:
    def test_a_level_beam_lands_as_wide_as_its_angle_says(self):
        (beam,) = cast([mount(aperture_length=0.8, aperture_width=0.1)], model())
        landed = shape(beam.landings[0].beam)
        along, across = (a / 2 for a in beam.angles)
        x0, y0, x1, y1 = landed.bounds
        assert (x1, y1) == pytest.approx(
            (0.4 + 2.4 * tan(along), 0.05 + 2.4 * tan(across)), abs=0.01
        )
        assert (x0, y0) == pytest.approx((-x1, -y1), abs=0.01)

    def test_a_small_lambertian_aperture_lands_as_a_disc(self):
        (beam,) = cast(
            [mount(aperture_length=FAR, aperture_width=FAR, pattern=Pattern(kind="uniform"))],
            model(),
        )
        radius = 2.4 * tan(radians(60))
        assert shape(beam.landings[0].beam).area == pytest.approx(pi * radius**2, rel=2e-3)

    def test_the_reach_ends_a_landing(self):
        hung = mount(aperture_length=FAR, aperture_width=FAR)
        on_axis = emitters_of([hung])[0].intensity(np.array([0.0, 0.0, -1.0]))
        (beam,) = cast([hung], model(), on_axis / 2.5**2)  # the inverse-square law
        assert beam.reach == pytest.approx(2.5, rel=1e-6)
        radius = np.sqrt(2.5**2 - 2.4**2)
        assert shape(beam.landings[0].beam).area == pytest.approx(pi * radius**2, rel=0.01)

    def test_a_board_in_the_way_casts_its_shadow(self):
        # A board at half height, seen from a small aperture, shades twice its size on the floor.
        board = part("board", Kind.BEAM, (0.2, -0.3, 1.2), (0.6, 0.3, 1.21))
        (beam,) = cast([mount(aperture_length=FAR, aperture_width=FAR)], model(board))
        shadow = shapely.box(0.4, -0.6, 1.2, 0.6).buffer(-STEP / 2)
        assert shape(beam.landings[0].beam).intersection(shadow).area < 1e-3 * shadow.area

    @settings(max_examples=5, deadline=None)
    @given(st.floats(0, 2 * pi), st.floats(-0.4, 0.4))
    def test_turning_the_heater_turns_the_landing_with_it(self, turn, tilt):
        here, there = (
            shape(cast([mount(heading=heading, tilt=tilt)], model())[0].landings[0].beam)
            for heading in (0.0, turn)
        )
        turned = shapely.affinity.rotate(here, turn, origin=(0, 0), use_radians=True)
        assert turned.symmetric_difference(there).area < 0.02 * here.area

    def test_a_hundred_metres_off_the_same_shares_come_out(self):
        far, floor = np.array([100.0, -80.0, 0.0]), model().parts[0]
        mesh = Mesh(floor.mesh.vertices + far, floor.mesh.triangles)
        moved = replace(floor, mesh=mesh)
        there = Model((moved,), (), model().floor_outline + far[:2])
        a, b = (
            floor_share(cast([mount(at=at)], site), site)
            for at, site in [((0.3, 0.2, 2.4), model()), ((100.3, -79.8, 2.4), there)]
        )
        assert (a.beam, a.edge) == pytest.approx((b.beam, b.edge), abs=1e-4)

    def test_a_tilted_beam_leans_to_the_left_of_its_heading(self):
        (beam,) = cast([mount(tilt=radians(25))], model())
        middle = shape(beam.landings[0].beam).centroid
        assert middle.y > 0.8
        assert middle.x == pytest.approx(0.0, abs=0.02)


class TestFloorShare:
    def test_shares_add_up(self):
        mounts = [mount(), mount(at=(1.0, 0.5, 2.4), name="H2")]
        share = floor_share(cast(mounts, model()), model())
        assert share.beam + share.edge + share.missed == pytest.approx(1.0)
        assert 0 < share.doubled < share.beam
        assert share.area == pytest.approx(144.0)

    def test_a_bare_floor_is_missed(self):
        share = floor_share((), model())
        assert (share.beam, share.doubled, share.edge, share.missed) == (0, 0, 0, 1)


class TestSolid:
    @pytest.mark.parametrize("tilt", [0.0, 0.4])
    def test_the_solid_is_closed_and_faces_outward(self, tilt):
        (beam,) = cast([mount(tilt=tilt)], model())
        solid = manifold(beam.solid)
        assert solid.num_tri() > 0
        assert solid.volume() > 0

    def test_its_volume_is_that_of_the_truncated_solid(self):
        # Volume between two level planes by Simpson over the exact cross sections: a rounded
        # contour grown by the aperture's rectangle (Steiner's formula for a convex sum).
        (beam,) = cast([mount()], model())
        solid = manifold(beam.solid)
        azimuths = np.linspace(0, 2 * pi, 4001)
        radius = np.tan(half_angles(heater_type().pattern, azimuths, BEAM_SHARE))
        xy = np.column_stack([radius * np.cos(azimuths), radius * np.sin(azimuths)])
        unit, w, d = shapely.Polygon(xy), *np.ptp(xy, axis=0)
        # A(h) = a b + h (w b + d a) + h**2 U, from the face to the floor at h = 2.4 m.
        a, b, h = 0.8, 0.1, 2.4
        volume = a * b * h + (w * b + d * a) * h**2 / 2 + unit.area * h**3 / 3
        assert solid.volume() == pytest.approx(volume, rel=0.02)


class TestPlaces:
    def test_below_beside_and_far_off(self):
        at = model(places=[seat(0, 0, "under"), seat(0, 2.4, "beside"), seat(5.5, 5.5, "far")])
        under, beside, far = lit_places([mount()], at)
        assert (under.best, under.why) == (Lit.BEAM, {})
        assert beside.best is Lit.EDGE
        assert "outside the beam by" in beside.why["H1"]
        assert far.best is Lit.OUTSIDE

    def test_what_shades_a_seat_is_named(self):
        board = part("joist", Kind.BEAM, (-0.8, -0.8, 1.6), (0.8, 0.8, 1.65))
        (light,) = lit_places([mount()], model(board, places=[seat(0, 0)]))
        assert light.best is Lit.OUTSIDE
        assert light.why["H1"] == "shaded by joist"

    def test_too_far_is_said_with_both_distances(self):
        hung = mount()
        (light,) = lit_places([hung], model(places=[seat(0, 0)]), 200.0)
        reach = emitters_of([hung])[0].reach(200.0)
        assert light.best is Lit.OUTSIDE
        assert 0.5 < reach < 1.3
        assert light.why["H1"] == f"beyond its reach: 1.8 m of {reach:.1f} m"

    def test_a_person_is_not_shaded_by_the_own_chair(self):
        back = part("seat", Kind.FURNITURE, (-0.3, -0.3, 0.2), (0.3, 0.3, 1.2))
        (light,) = lit_places([mount()], model(back, places=[seat(0, 0)]))
        assert light.best is Lit.BEAM

    def test_above_the_heater_is_behind_its_face(self):
        (light,) = lit_places([mount(at=(0, 0, 0.05))], model(places=[seat(0, 0)]))
        assert light.why["H1"] == "behind its face"

    def test_the_own_figure_shades_nobody_and_another_guest_does(self):
        me, guest = (
            replace(
                part(f"{name} figure", Kind.PERSON, (x - 0.4, -0.4, 0.1), (x + 0.4, 0.4, 2.1)),
                owner=name,
            )
            for name, x in (("me", 0.0), ("guest", 1.0))
        )
        lamp = mount(at=(3.2, 0, 2.4), tilt=-0.9, heading=pi / 2 + pi)
        alone, crowded = (
            lit_places([lamp], model(*parts, places=[seat(0, 0, "me")]))[0]
            for parts in ([me], [me, guest])
        )
        assert alone.why.get("H1", "") != "shaded by me figure"
        assert crowded.why["H1"] == "shaded by guest figure"

    def test_ten_thousand_seats_get_the_same_answers_as_one_by_one(self):
        boards = [
            part(f"board {i}", Kind.BEAM, (i - 3, -1, 1.6), (i - 2.5, 1, 1.65)) for i in range(6)
        ]
        random = np.random.default_rng(5)
        seats = [seat(*random.uniform(-5, 5, 2), f"seat {i}") for i in range(10_000)]
        mounts = [mount(at=(-2, 0, 2.4)), mount(at=(2, 1, 2.4), heading=0.5, name="H2")]
        lights = lit_places(mounts, model(*boards, places=seats))
        assert len(lights) == 10_000
        assert {light.best for light in lights} == set(Lit)
        for i in (0, 1023, 1024, 9_999):
            (alone,) = lit_places(mounts, model(*boards, places=[seats[i]]))
            assert (alone.by_heater, alone.why) == (lights[i].by_heater, lights[i].why)


class TestSwitchedOffAndLopsided:
    def test_a_heater_without_power_has_no_beam(self):
        off = replace(mount(), heater=Heater(name="H1", type="t", at=(0, 0), output=0.0))
        (beam,) = cast([off], model())
        assert beam.reach == 0.0
        assert len(beam.solid.triangles) == 0
        assert [(at.beam, at.field) for at in beam.landings] == [((), ())] * 2
        (light,) = lit_places([off], model(places=[seat(0, 0)]))
        assert light.best is Lit.OUTSIDE

    def test_a_table_with_its_peak_off_the_axis_lands_there(self):
        lopsided = Pattern(
            kind="table",
            angles_along=tuple(np.radians([0.0, 30.0])),
            angles_across=tuple(np.radians([-10.0, 10.0, 40.0, 50.0])),
            intensities=((0, 1, 10, 0), (0, 0, 5, 0)),
        )
        (beam,) = cast([mount(pattern=lopsided, aperture_length=FAR, aperture_width=FAR)], model())
        # Half of the peak at 10 + 30 * 4 / 9 and at 45 degrees, the axis itself in the dark.
        _, y0, _, y1 = shape(beam.landings[0].beam).bounds
        expected = [2.4 * tan(radians(a)) for a in (10 + 30 * 4 / 9, 45)]
        assert [y0, y1] == pytest.approx(expected, abs=0.06)


class TestSurroundings:
    def test_people_stand_in_the_peopled_one_only_and_everything_has_its_owner(self):
        leaf = Part("door leaf", "door", Kind.DOOR, box((0, 0, 0), (1, 0.1, 2)), "timber", True)
        swing = Part("door swing", "door", Kind.DOOR, box((0, 0, 0), (1, 1, 2)), "", True, True)
        guest = Part("guest figure", "guest", Kind.PERSON, box((2, 2, 0), (3, 3, 2)), "skin", True)
        around = surroundings([mount()], model(leaf, swing, guest))
        assert around.space.names == ("floor", "door leaf", "H1")
        assert around.peopled.names == ("floor", "door leaf", "H1", "guest figure")
        assert around.owners(around.peopled) == ("floor", "door", "H1", "guest")

    def test_hung_anew_it_is_as_if_built_anew(self):
        site = model(part("board", Kind.BEAM, (-1, -0.5, 1.5), (0, 0.5, 1.6)))
        moved = [mount(at=(0.5, 0.2, 2.2), heading=0.4), mount(at=(1, 1, 2), name="H2")]
        once, anew = surroundings([mount()], site).hung_anew(moved), surroundings(moved, site)
        down = np.tile([0.0, 0.0, -1.0], (400, 1))
        x = np.linspace(-1.5, 1.5, 20) + 0.003
        eyes = np.stack([*np.meshgrid(x, x), np.full((20, 20), 3.0)], -1).reshape(-1, 3)
        for a, b in zip(once.space.first(eyes, down), anew.space.first(eyes, down), strict=True):
            assert np.array_equal(a, b)
        assert once.space.names == anew.space.names


class TestObstacles:
    def test_nothing_there_hides_nothing(self):
        empty = Obstacles([])
        assert empty.sees(np.zeros((3, 3)), np.ones((3, 3))).all()
        assert np.isinf(empty.first(np.zeros((2, 3)), np.tile([0.0, 0.0, 1.0], (2, 1)))[0]).all()

    @given(st.floats(-500, 500), st.floats(-500, 500))
    def test_far_from_the_origin_it_is_as_exact(self, x, y):
        wall = box((x - 1, y - 1, 0.0), (x + 1, y + 1, 1.0))
        ray = np.array([[x, y, 3.0]])
        distance, which = Obstacles([("wall", wall)]).first(ray, np.array([[0.0, 0.0, -1.0]]))
        assert distance[0] == pytest.approx(2.0, abs=1e-5)
        assert which[0] == 0

    def test_a_grazing_place_behind_an_edge(self):
        wall = Obstacles([("wall", box((-1, 0, 0), (1, 0.1, 1.0)))])
        eye = np.array([[0.0, -1.0, 0.5]])
        over, behind = np.array([[0.0, 1.0, 1.7]]), np.array([[0.0, 1.0, 1.3]])
        assert wall.sees(eye, over)[0]
        assert not wall.sees(eye, behind)[0]
