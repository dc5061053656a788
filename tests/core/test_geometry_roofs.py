"""Roofs: every height against the plane equation, every volume against a closed form."""

from dataclasses import replace
from functools import cache
from math import atan, cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate

from heatcore.errors import InputError
from heatcore.geometry.overhead import ceiling_height
from heatcore.geometry.parts import Kind
from heatcore.geometry.rafters import rafter_parts
from heatcore.geometry.roofs import roof_part, roof_shape
from heatcore.geometry.solids import prism, solid_of
from heatcore.scene.space import Floor, Rafters, Roof

RECTANGLE = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
ELL = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (3.0, 2.0), (3.0, 4.0), (0.0, 4.0))
SLOPED = ("single_slope", "gable", "hip", "valley")
PLATE = 2.5
HALF = atan(0.5)


def shape_of(form, outline=RECTANGLE, pitch=HALF, **more):
    given_ = {"pitch": pitch} if form != "flat" else {}
    return roof_shape(
        Roof(name="roof", form=form, plate=PLATE, **given_, **more), Floor(outline=outline)
    )


def volume(part):
    return solid_of(part.mesh, part.name).volume()


def sampled(polygon, count, seed):
    """Return points inside a polygon."""
    x0, y0, x1, y1 = polygon.bounds
    points = np.random.default_rng(seed).uniform((x0, y0), (x1, y1), (8 * count, 2))
    return points[shapely.contains_xy(polygon.buffer(-1e-6), *points.T)][:count]


# On a rectangle of 6 x 4 m, 0.5 of rise over run, by hand: the underside over a point.
@pytest.mark.parametrize(
    ("form", "more", "point", "height"),
    [
        ("flat", {}, (1.0, 3.0), 2.5),
        ("gable", {}, (1.0, 0.5), 2.75),
        ("gable", {}, (1.0, 2.0), 3.5),
        ("gable", {}, (0.0, 2.0), 3.5),
        ("gable", {"ridge_direction": pi / 2}, (1.0, 0.5), 3.0),
        ("hip", {}, (0.5, 2.0), 2.75),
        ("hip", {}, (3.0, 2.0), 3.5),
        ("hip", {}, (5.5, 2.0), 2.75),
        ("hip", {"hip_ends": "first"}, (0.5, 2.0), 2.75),
        ("hip", {"hip_ends": "first"}, (5.5, 2.0), 3.5),
        ("hip", {"hip_ends": "last"}, (5.5, 2.0), 2.75),
        ("hip", {"hip_ends": "first", "ridge_direction": pi}, (5.5, 2.0), 2.75),
        ("valley", {}, (1.0, 2.0), 2.5),
        ("valley", {}, (1.0, 0.5), 3.25),
        ("single_slope", {}, (6.0, 1.0), 2.5),
        ("single_slope", {}, (0.0, 1.0), 5.5),
        ("single_slope", {"falls_toward": -pi / 2}, (1.0, 1.0), 3.0),
        # Over an overhang the planes go on, down from an eave and up from a valley roof's edge.
        ("gable", {"overhang": 0.4}, (1.0, -0.4), 2.3),
        ("hip", {"overhang": 0.4}, (-0.4, 2.0), 2.3),
        ("valley", {"overhang": 0.4}, (1.0, -0.4), 3.7),
        ("single_slope", {"overhang": 0.4}, (6.4, 1.0), 2.3),
    ],
)
def test_heights_by_hand(form, more, point, height):
    shape = shape_of(form, **more)
    assert shape.underside(np.array(point)) == pytest.approx(height, abs=1e-12)
    inner = np.array([3.0, 2.0]) + (1 - 1e-12) * (np.array(point) - [3.0, 2.0])
    assert ceiling_height([roof_part(shape)], inner) == pytest.approx(height, abs=1e-9)


# Half the roof's base times the rise, and what a pyramid leaves of it: solid geometry.
@pytest.mark.parametrize(
    ("form", "more", "attic"),
    [
        ("gable", {}, 6 * 4 * 1 / 2),
        ("gable", {"ridge_direction": pi / 2}, 6 * 4 * 1.5 / 2),
        ("hip", {}, 4 * 1 * (3 * 6 - 4) / 6),  # hip roof b h (3 a - b) / 6
        ("hip", {"hip_ends": "last"}, (4 * 1 * (3 * 6 - 4) / 6 + 6 * 4 * 1 / 2) / 2),
        ("valley", {}, 6 * 4 * 1 / 2),
        ("single_slope", {}, 6 * 4 * 3 / 2),
    ],
)
def test_the_space_below_a_roof(form, more, attic):
    shape = shape_of(form, **more)
    below = shape.below(prism(shape.outline, 0.0, 9.0))
    assert below.volume() == pytest.approx(6 * 4 * PLATE + attic, rel=1e-12)
    above = shape.above(prism(shape.outline, 0.0, 9.0))
    assert below.volume() + above.volume() == pytest.approx(6 * 4 * 9, rel=1e-12)


@cache
def outline(seed, corners):
    """Return a random simple polygon: corners at rising angles round a middle, some near it."""
    draw = np.random.default_rng(seed)
    angles = 2 * pi * (np.arange(corners) + draw.uniform(0.1, 0.9, corners)) / corners
    radii = draw.uniform(1.0, 6.0, corners)
    return tuple(zip(radii * np.cos(angles), radii * np.sin(angles), strict=True))


@settings(max_examples=60, deadline=None)
@given(
    form=st.sampled_from((*SLOPED, "flat", "slatted")),
    seed=st.integers(0, 10**6),
    corners=st.integers(3, 9),
    pitch=st.floats(0.02, 1.1),
    turn=st.floats(-pi, pi),
    overhang=st.sampled_from([0.0, 0.4]),
    far=st.booleans(),
)
def test_any_polygon_any_form_any_pitch(form, seed, corners, pitch, turn, overhang, far):
    shift = np.array([100.0, -80.0]) if far else np.zeros(2)
    corners = tuple(map(tuple, np.array(outline(seed, corners)) + shift))
    more = {"ridge_direction": turn, "falls_toward": turn, "overhang": overhang}
    if form == "slatted":
        more["slat_direction"] = turn + 0.7
    shape = shape_of(form, corners, pitch, **more)
    part = roof_part(shape)
    # Square to the planes it is as thick as it says, so plumb it is thicker.
    rise = shape.roof.thickness / cos(0.0 if form == "flat" else pitch)
    assert part.kind is Kind.ROOF
    assert np.isfinite(part.mesh.vertices).all()
    points = sampled(shape.outline, 60, seed)
    found = ceiling_height([part], points)
    if form == "slatted":
        assert 0.0 < volume(part) < shape.outline.area * rise
        covered = np.isfinite(found)
        # Over a slat's edge its plumb end or its side can be met, above the plane.
        assert (found[covered] > shape.underside(points)[covered] - 1e-9).all()
        return
    assert volume(part) == pytest.approx(shape.outline.area * rise, rel=1e-9)
    assert found == pytest.approx(shape.underside(points), abs=1e-9)


@pytest.mark.parametrize("form", SLOPED)
def test_each_height_is_that_of_the_plane_through_the_support_rectangle(form):
    turn, at = radians(33), np.array([100.0, 50.0])
    axes = np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    corners = tuple(map(tuple, np.array(ELL) @ axes + at))
    shape = shape_of(form, corners, ridge_direction=turn, falls_toward=turn, overhang=0.3)
    points = sampled(shape.outline, 300, 5)
    x, y = ((points - at) @ axes.T).T
    # Independent of the code: distances from the edges of the rectangle 6 x 4.
    rise = {
        "single_slope": 6 - x,
        "gable": np.minimum(y, 4 - y),
        "hip": np.minimum.reduce([x, 6 - x, y, 4 - y]),
        "valley": np.abs(y - 2),
    }[form]
    assert ceiling_height([roof_part(shape)], points) == pytest.approx(PLATE + 0.5 * rise, abs=1e-9)


def test_the_upper_face_is_parallel_and_as_far_as_the_thickness():
    part = roof_part(shape_of("gable", thickness=0.2))
    n = np.array([0.0, -0.5, 1.0]) / sqrt(1.25)
    near = part.mesh.corners[part.mesh.normals @ n > 1 - 1e-12]
    far = part.mesh.corners[part.mesh.normals @ n < -1 + 1e-12]
    assert len(near)
    assert len(far)
    assert (near @ n).max() - (far @ n).min() == pytest.approx(0.2, abs=1e-12)


def test_an_overhang_is_mitred():
    assert roof_part(shape_of("gable", overhang=0.5)).mesh.bounds[:, :2] == pytest.approx(
        np.array([[-0.5, -0.5], [6.5, 4.5]]), abs=1e-12
    )
    shape = shape_of("flat", ELL, overhang=0.5)
    # Area of an L grown by d with square corners: A + d P + 4 d^2 - (one inner corner) d^2
    assert shape.outline.area == pytest.approx(18 + 0.5 * 20 + 4 * 0.25, abs=1e-12)
    assert shape.outline.covers(shapely.Point(6.5, 2.5))
    assert not shape.outline.covers(shapely.Point(3.51, 2.51))


def test_a_level_gable_is_one_plane():
    part = roof_part(shape_of("gable", pitch=0.0))
    assert volume(part) == pytest.approx(6 * 4 * 0.15, rel=1e-12)


def test_slats_are_as_many_as_fit_and_even():
    shape = shape_of("slatted", pitch=0.0, slat_width=0.05, slat_gap=0.1, thickness=0.09)
    part = roof_part(shape)
    shells = solid_of(part.mesh, "slats").decompose()
    assert len(shells) == 27  # 27 slats and 26 gaps take 3.95 of 4 m
    assert volume(part) == pytest.approx(27 * 6 * 0.05 * 0.09, rel=1e-12)
    lows = sorted(shell.bounding_box()[1] for shell in shells)
    assert np.diff(lows) == pytest.approx(0.15, abs=1e-12)
    assert lows[0] == pytest.approx(0.025, abs=1e-12)


def test_slats_follow_the_fall_and_keep_their_direction():
    shape = shape_of("slatted", falls_toward=0.0, slat_direction=pi / 2, thickness=0.05)
    part = roof_part(shape)
    points = sampled(shape.outline, 400, 1)
    found = ceiling_height([part], points)
    hit = np.isfinite(found) & (found < shape.underside(points) + 1e-6)
    assert 0.2 < hit.mean() < 0.5
    assert found[hit] == pytest.approx(shape.underside(points)[hit], abs=1e-9)
    # Whatever their direction, an upper face lies a thickness above, square to the slope.
    up = shape.slopes[0].upward / shape.slopes[0].steepness
    top = part.mesh.corners[part.mesh.normals @ up > 1 - 1e-9] @ up
    low = part.mesh.corners[part.mesh.normals @ up < -1 + 1e-9] @ up
    assert top.max() - low.min() == pytest.approx(0.05, abs=1e-12)


def test_too_many_slats_or_timbers_are_a_slip():
    with pytest.raises(InputError, match="slat_gap"):
        roof_part(shape_of("slatted", slat_width=0.001, slat_gap=0.0005))
    with pytest.raises(InputError, match="spacing"):
        rafter_parts(Rafters(name="r", roof="roof", spacing=0.001), shape_of("gable"))


# Rafter factors: length on the slope over run, hypot(12, x) / 12, as framing tables print them.
@pytest.mark.parametrize(
    ("rise", "factor"), [(3, 1.030776), (4, 1.054093), (8, 1.201850), (12, 1.414214)]
)
def test_rafters_are_as_long_as_the_framing_table_says(rise, factor):
    shape = shape_of("gable", pitch=atan(rise / 12))
    timbers = rafter_parts(Rafters(name="rafters", roof="roof", depth=0.14), shape)
    assert [t.name for t in timbers[:2]] == ["rafters 1", "rafters 2"]
    assert {t.owner for t in timbers} == {"rafters"}
    assert {t.kind for t in timbers} == {Kind.RAFTER}
    # Set out from the ridge's start: 0.3, 0.9 ... 5.7, on both planes.
    middles = [t.mesh.bounds[:, 0].mean() for t in timbers]
    assert middles == pytest.approx(2 * [0.3 + 0.6 * i for i in range(10)], abs=1e-9)
    for timber in timbers:
        # Plumb ends: the volume is run x plumb depth x width.
        slope_length = volume(timber) / (0.14 * 0.045)
        assert slope_length == pytest.approx(2.0 * factor, rel=1e-6)


@pytest.mark.parametrize("form", SLOPED)
@pytest.mark.parametrize("run", ["down_slope", "across_slope"])
def test_timbers_lie_under_their_plane_and_inside_the_roof(form, run):
    shape = shape_of(form, ELL, overhang=0.3)
    timbers = rafter_parts(Rafters(name="t", roof="roof", run=run, depth=0.1), shape)
    assert [t.name for t in timbers] == [f"t {i + 1}" for i in range(len(timbers))]
    roomy = shape.outline.buffer(1e-9)
    for timber in timbers:
        corners = timber.mesh.vertices
        assert shapely.covers(roomy, shapely.points(corners[:, :2])).all()
        over = shape.underside(corners[:, :2]) - corners[:, 2]
        # In the cell of its own plane no other plane is nearer, so this holds square to it too.
        assert over.min() == pytest.approx(0.0, abs=1e-9)
        assert over.max() == pytest.approx(0.1 * hypot(1, 0.5), abs=1e-9)


def test_purlins_are_level_and_spaced_along_the_slope_from_the_eaves():
    shape = shape_of("gable", overhang=0.4)
    timbers = rafter_parts(
        Rafters(name="p", roof="roof", run="across_slope", spacing=0.9, first=0.4, width=0.1),
        shape,
    )
    # The slope is 2.4 hypot(1, 1/2) = 2.683 m long: three purlins on either plane.
    assert len(timbers) == 6
    along = np.array([0.0, 1.0, 0.5]) / hypot(1, 0.5)
    eaves = np.array([0.0, -0.4, PLATE - 0.2])
    for number, timber in enumerate(timbers[:3]):
        top = (timber.mesh.vertices - eaves) @ along
        assert top.min() == pytest.approx(0.4 + 0.9 * number - 0.05, abs=1e-9)
        assert top.max() == pytest.approx(0.4 + 0.9 * number + 0.05, abs=1e-9)
        assert volume(timber) == pytest.approx(6.8 * 0.1 * 0.145, rel=1e-9)


def test_rafters_of_a_hipped_end_are_set_out_from_the_ridge_line():
    shape = shape_of("hip")
    timbers = rafter_parts(Rafters(name="r", roof="roof", spacing=0.5), shape)
    ends = [
        t.mesh.bounds[:, 1].mean()
        for t in timbers
        if np.ptp(t.mesh.bounds[:, 1]) == pytest.approx(0.045)
    ]
    assert sorted(set(np.round(ends, 6))) == pytest.approx([0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5])


def test_no_peg_is_left_in_the_corner_of_a_hip():
    # A rafter 2 m from the ridge line would end in the corner, where the end is no higher.
    shape = shape_of("hip", pitch=HALF)
    timbers = rafter_parts(Rafters(name="r", roof="roof", spacing=2.0, first=1.0), shape)
    assert len(timbers) == 2 * 3 + 2 * 1
    assert all(np.ptp(t.mesh.bounds[:, :2], axis=0).max() > 0.145 for t in timbers)


def test_a_jog_cuts_a_timber_in_two():
    notched = (
        (0.0, 0.0),
        (6.0, 0.0),
        (6.0, 4.0),
        (4.0, 4.0),
        (4.0, 1.0),
        (2.0, 1.0),
        (2.0, 4.0),
        (0.0, 4.0),
    )
    shape = shape_of("single_slope", notched, falls_toward=-pi / 2)
    timbers = rafter_parts(
        Rafters(name="r", roof="roof", run="across_slope", spacing=9.0, first=2.0), shape
    )
    assert [t.mesh.bounds[:, 0].tolist() for t in timbers] == [
        pytest.approx([0.0, 2.0]),
        pytest.approx([4.0, 6.0]),
    ]


@settings(max_examples=25, deadline=None)
@given(
    form=st.sampled_from(SLOPED),
    run=st.sampled_from(["down_slope", "across_slope"]),
    turn=st.floats(-pi, pi),
)
def test_timbers_turn_and_mirror_with_the_roof(form, run, turn):
    corners = ((0.1, 0.0), (6.0, 0.3), (5.5, 4.0), (0.0, 3.6))
    rafters = Rafters(name="r", roof="roof", run=run, spacing=0.7, first=0.2)
    roof = Roof(
        name="roof", form=form, plate=PLATE, pitch=0.4, ridge_direction=0.2, falls_toward=0.5
    )
    plain = rafter_parts(rafters, roof_shape(roof, Floor(outline=corners)))
    flip = np.array([[1.0, 0.0], [0.0, -1.0]])
    axes = flip @ np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    at = np.array([70.0, -40.0])
    turned = replace(roof, ridge_direction=turn - 0.2, falls_toward=turn - 0.5)
    floor = Floor(outline=tuple(map(tuple, np.array(corners) @ axes + at)))
    image = rafter_parts(rafters, roof_shape(turned, floor))
    assert [p.name for p in image] == [p.name for p in plain]
    for one, other in zip(plain, image, strict=True):
        flat = one.mesh.vertices[:, :2] @ axes + at
        assert volume(other) == pytest.approx(volume(one), rel=1e-6)
        assert other.mesh.bounds[0] == pytest.approx(
            [*flat.min(axis=0), one.mesh.bounds[0, 2]], abs=1e-9
        )


def test_ceiling_heights_of_one_point_of_many_and_from_above():
    low, high = (
        shape_of("flat"),
        roof_shape(Roof(name="high", form="flat", plate=5.0), Floor(outline=RECTANGLE)),
    )
    parts = [roof_part(high), roof_part(low)]
    assert ceiling_height(parts, np.array([1.0, 1.0])) == pytest.approx(2.5)
    assert ceiling_height(parts, np.array([1.0, 1.0]), 2.5) == pytest.approx(5.0)
    assert ceiling_height(parts, np.array([1.0, 1.0]), 5.0) == np.inf
    grid = ceiling_height(parts, np.array([[[1.0, 1.0], [9.0, 9.0]]]), np.array([[1.0, 1.0]]))
    assert grid.shape == (1, 2)
    assert grid[0].tolist() == [2.5, np.inf]
    assert ceiling_height([], np.zeros((3, 2))).tolist() == [np.inf] * 3
    # On the edge between two of its faces.
    assert ceiling_height([parts[1]], np.array([3.0, 2.0])) == pytest.approx(2.5)


def test_a_roof_far_away_is_the_same_roof():
    here = roof_part(shape_of("hip", ELL))
    there = roof_part(
        roof_shape(
            Roof(name="roof", form="hip", plate=PLATE, pitch=atan(0.5)),
            Floor(outline=tuple(translate(shapely.Polygon(ELL), 100, 70).exterior.coords)[:-1]),
        )
    )
    assert volume(there) == pytest.approx(volume(here), rel=1e-9)
    assert there.mesh.bounds - [100, 70, 0] == pytest.approx(here.mesh.bounds, abs=1e-9)
