"""Distances face by face: worked out by hand, and against linear programs solved by HiGHS."""

import numpy as np
import pytest
import trimesh
from scipy.optimize import linprog

from heatcore.errors import MeshError
from heatcore.geometry.distance import Face, clearance_margin, measure
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Mesh
from heatcore.geometry.soup import Soup
from heatcore.scene.types import Distances

# Invented, round: body 1.2 x 0.2 x 0.1 m, its lower face 2.4 m up.
BODY = (1.2, 0.2, 0.1)
NEED = Distances(above=0.2, sides=0.45, ends=0.35, below=0.9)
FRAME = Frame([0.0, 0.0, 2.4], np.eye(3))
INCH = 0.0254


def block(low, high) -> Mesh:
    box = trimesh.creation.box(bounds=[low, high])
    return Mesh(box.vertices, box.faces)


def readings(mesh, frame=FRAME, need=NEED, body=BODY):
    """The readings by face, of one mesh."""
    found = measure(frame, body, need, Soup.of([mesh]))
    assert len({r.face for r in found}) == len(found)
    return {r.face: r for r in found}


@pytest.mark.parametrize(
    ("low", "high", "face", "distance", "point", "heater_point"),
    [
        # ceiling 0.25 over the top at z = 2.5
        ((-3, -3, 2.75), (3, 3, 2.8), Face.ABOVE, 0.25, (0, 0, 2.75), (0, 0, 2.5)),
        # table top 1.65 under the lower face
        ((-0.4, -0.4, 0), (0.4, 0.4, 0.75), Face.BELOW, 1.65, (0, 0, 0.75), (0, 0, 2.4)),
        # a wall, a post lower than the body, a post at an end
        ((-3, 0.6, 0), (3, 0.8, 3), Face.PLUS_SIDE, 0.5, (0, 0.6, 2.45), (0, 0.1, 2.45)),
        ((-0.1, -0.5, 0), (0.1, -0.4, 2.1), Face.MINUS_SIDE, 0.3, (0, -0.4, 2.1), (0, -0.1, 2.1)),
        ((0.9, 0.0, 2.0), (1.0, 0.05, 2.43), Face.PLUS_END, 0.3, (0.9, 0, 2.43), (0.6, 0, 2.43)),
        ((-1.2, -3, 0), (-1.0, 3, 3), Face.MINUS_END, 0.4, (-1, 0, 2.45), (-0.6, 0, 2.45)),
    ],
)
def test_each_face_measures_outward(low, high, face, distance, point, heater_point):
    reading = readings(block(low, high))[face]
    assert reading.distance == pytest.approx(distance, abs=1e-12)
    # Of all the points that are as near, the one before the middle of the face.
    assert reading.point == pytest.approx(point, abs=1e-8)
    assert reading.heater_point == pytest.approx(heater_point, abs=1e-8)


def test_what_stands_elsewhere_is_not_measured():
    # Beside the upper volume, over the lower one; and under the lower one, beyond the plan.
    assert set(readings(block((-0.5, 0.2, 2.5), (0.5, 0.4, 2.6)))) == {Face.SHORTEST}
    assert set(readings(block((-0.5, 0.2, 0.0), (0.5, 0.4, 1.5)))) == {Face.SHORTEST}


def test_a_surface_that_touches_a_volume_from_beside_does_not_stand_in_it():
    # A floor exactly at the required distance below lies along the foot of every side's volume.
    floor = block((-3, -3, 1.0), (3, 3, 1.5))
    found = readings(floor)
    assert set(found) == {Face.BELOW, Face.SHORTEST}
    assert found[Face.BELOW].distance == pytest.approx(0.9, abs=1e-12)
    assert clearance_margin(FRAME, BODY, NEED, floor) == pytest.approx(0.0, abs=1e-9)


def test_a_triangle_that_crosses_a_face_reads_nothing():
    spike = Mesh([[0.1, 0, 2.4], [0.2, 0, 2.9], [0.1, 0.01, 2.9]], [[0, 1, 2]])
    assert readings(spike)[Face.ABOVE].distance == 0.0


def test_one_large_triangle_is_measured_where_it_passes():
    # A plane rising 1:2 along X, z = 2.85 + x / 2; its own corners are far away.
    slope = Mesh([[-20, -20, -7.15], [20, -20, 12.85], [-20, 60, -7.15]], [[0, 1, 2]])
    reading = readings(slope)[Face.ABOVE]
    assert reading.distance == pytest.approx(2.85 + 0.5 * -0.6 - 2.5, abs=1e-8)
    assert reading.point[0] == pytest.approx(-0.6, abs=1e-8)


def test_a_corner_is_reported_with_both_offsets():
    post = block((0.8, 0.4, 0.0), (0.9, 0.5, 3.0))
    corner = readings(post)[Face.CORNER]
    # 0.30 of 0.45 at the side, 0.20 of 0.35 at the end: short by 0.15 either way.
    assert corner.offsets == pytest.approx((0.3, 0.2), abs=1e-12)
    assert corner.margin == pytest.approx(-0.15, abs=1e-12)
    assert corner.heater_point[:2] == pytest.approx([0.6, 0.1])
    # Beyond the side's distance by 5 mm it holds, however near the end.
    far = readings(block((0.7, 0.555, 0.0), (0.9, 0.7, 3.0)))[Face.CORNER]
    assert far.margin == pytest.approx(0.005, abs=1e-12)
    assert far.offsets[0] == pytest.approx(0.455, abs=1e-12)


def test_the_deepest_point_of_a_corner_may_lie_inside_an_edge():
    # A brace across the corner: with offsets (end, side) from (0, 0.5) to (0.5, 0), the shortfalls
    # 0.35 - end and 0.45 - side are equal where end = 0.2 and side = 0.3.
    a, b = (0.6, 0.6), (1.1, 0.1)
    brace = Mesh([[*a, 2.3], [*b, 2.3], [*b, 2.31], [*a, 2.31]], [[0, 1, 2], [0, 2, 3]])
    corner = readings(brace)[Face.CORNER]
    assert corner.offsets == pytest.approx((0.3, 0.2), abs=1e-9)
    assert corner.margin == pytest.approx(-0.15, abs=1e-9)


def test_the_shortest_distance_closes_the_corner_between_the_volumes():
    # Over the lower volume and beside the upper one, 50 mm from the body's upper edge either way.
    timber = block((-1, 0.15, 2.55), (1, 0.3, 2.7))
    found = readings(timber)
    assert set(found) == {Face.SHORTEST}
    assert found[Face.SHORTEST].distance == pytest.approx(0.05 * 2**0.5, abs=1e-12)
    assert clearance_margin(FRAME, BODY, NEED, timber) == pytest.approx(0.05 * 2**0.5 - 0.2)


def test_common_practice_distances():
    # Common practice, no source: 18 in at sides and ends, 36 in below. Measured at exactly these.
    need = Distances(above=6 * INCH, sides=18 * INCH, ends=18 * INCH, below=36 * INCH)
    for low, high, face in (
        ((-3, 0.1 + 18 * INCH, 0), (3, 1, 3), Face.PLUS_SIDE),
        ((0.6 + 18 * INCH, -3, 0), (2, 3, 3), Face.PLUS_END),
        ((-3, -3, 0), (3, 3, 2.4 - 36 * INCH), Face.BELOW),
    ):
        surface = block(low, high)
        assert clearance_margin(FRAME, BODY, need, surface) == pytest.approx(0.0, abs=1e-9)
        nearer = readings(surface, Frame([0.0005, 0.0005, 2.3995], np.eye(3)), need)[face]
        assert nearer.margin == pytest.approx(-0.0005, abs=1e-9)
        assert not nearer.holds


def test_bodies_that_overlap_have_a_negative_margin_even_where_nothing_is_asked():
    nothing = Distances(above=0, sides=0, ends=0, below=0)
    ceiling = block((-3, -3, 2.49), (3, 3, 2.7))
    found = readings(ceiling, need=nothing)
    assert found[Face.SHORTEST].distance == pytest.approx(-0.01, abs=1e-12)
    # The solid stands in the body's top, though none of its triangles crosses the top's plane.
    assert found[Face.ABOVE].distance == 0.0
    assert clearance_margin(FRAME, BODY, nothing, ceiling) == pytest.approx(-0.01, abs=1e-12)
    flush = block((-3, -3, 2.5), (3, 3, 2.7))
    assert clearance_margin(FRAME, BODY, nothing, flush) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("inside_out", [False, True])
def test_a_body_wholly_inside_a_solid_is_no_distance_from_it(inside_out):
    solid = block((-2, -2, 0), (2, 2, 5))
    if inside_out:
        solid = Mesh(solid.vertices, solid.triangles[:, ::-1])
    found = readings(solid)
    assert all(r.distance == 0.0 for f, r in found.items() if f in list(Face)[:6])
    assert len(found) == 7
    # The deepest place in the body is its middle, half its height under the top.
    assert found[Face.SHORTEST].distance == pytest.approx(-0.05, abs=1e-12)


def test_the_deeper_a_body_sinks_in_the_less_the_margin():
    nothing = Distances(above=0, sides=0, ends=0, below=0)
    margins = [
        clearance_margin(FRAME, BODY, nothing, block((-3, -3, bottom), (3, 3, 3)))
        for bottom in (2.51, 2.5, 2.49, 2.46, 2.43, 2.4, 2.3)
    ]
    assert margins == pytest.approx([0.01, 0, -0.01, -0.04, -0.05, -0.05, -0.05], abs=1e-12)


def test_a_hollow_shell_does_not_hold_what_is_in_its_hollow():
    outer, inner = block((-2, -2, 0), (2, 2, 5)), block((-1.9, -1.9, 0.1), (1.9, 1.9, 4.9))
    shell = Mesh(
        np.concatenate([outer.vertices, inner.vertices]),
        np.concatenate([outer.triangles, inner.triangles[:, ::-1] + len(outer.vertices)]),
    )
    assert readings(shell)[Face.PLUS_SIDE].distance == pytest.approx(1.8, abs=1e-12)


def test_a_tilted_heater_takes_its_volumes_along():
    # Tilted 30 degrees, the beam leans toward +Y, so a wall on that side comes under the body.
    tilted = Frame([0, 0, 2.4], heading_axes(0.0, np.radians(30)))
    wall = block((-3, 0.6, 0), (3, 0.8, 3))
    found = readings(wall, tilted)
    # Along -Z of the heater, from the lower face's edge nearest to the wall (y = 0.1 cos 30).
    below = (0.6 - 0.1 * np.cos(np.pi / 6)) / np.sin(np.pi / 6)
    assert found[Face.BELOW].distance == pytest.approx(below, abs=1e-8)
    # Along +Y of the heater, from its lowest line within the volume, 0.9 below.
    side = (0.6 - 0.9 * np.sin(np.pi / 6)) / np.cos(np.pi / 6) - 0.1
    assert found[Face.PLUS_SIDE].distance == pytest.approx(side, abs=1e-8)


def test_no_mesh_no_margin():
    assert clearance_margin(FRAME, BODY, NEED, Mesh(np.zeros((0, 3)), np.zeros((0, 3)))) == np.inf
    assert measure(FRAME, BODY, NEED, Soup.of([])) == ()


def test_what_is_not_a_number_is_refused():
    with pytest.raises(MeshError, match="not a finite number"):
        Soup.of([Mesh([[0, 0, 0], [1, 0, 0], [0, np.nan, 0]], [[0, 1, 2]])])
    with pytest.raises(ValueError, match="finite"):
        measure(Frame([0, 0, np.nan], np.eye(3)), BODY, NEED, Soup.of([]))


def test_sight_ends_what_is_looked_for_but_not_what_is_required():
    wall = block((-3, 0.5, 0), (3, 0.8, 3))
    assert measure(FRAME, BODY, NEED, Soup.of([wall]), sight=0.1)[0].face is Face.PLUS_SIDE
    far = block((-3, 2.5, 0), (3, 2.8, 3))
    assert measure(FRAME, BODY, NEED, Soup.of([far]), sight=1.0) == ()


def least(objective, triangle, low, high):
    """Least of a linear objective over a triangle within a box, by a linear program."""
    rows = np.concatenate([triangle.T, -triangle.T])
    bounds = np.concatenate([high, -low])
    finite = np.isfinite(bounds)
    result = linprog(
        objective @ triangle.T, rows[finite], bounds[finite], np.ones((1, 3)), [1.0], method="highs"
    )
    return result.fun if result.status == 0 else np.inf


def test_faces_are_those_of_a_linear_program():
    rng = np.random.default_rng(11)
    x, y, top = 0.6, 0.1, 0.1
    regions = {
        Face.ABOVE: ((-x, -y, top), (x, y, np.inf), (0, 0, 1), top),
        Face.BELOW: ((-x, -y, -np.inf), (x, y, 0), (0, 0, -1), 0),
        Face.PLUS_SIDE: ((-x, y, -0.9), (x, np.inf, top), (0, 1, 0), y),
        Face.MINUS_SIDE: ((-x, -np.inf, -0.9), (x, -y, top), (0, -1, 0), y),
        Face.PLUS_END: ((x, -y, -0.9), (np.inf, y, top), (1, 0, 0), x),
        Face.MINUS_END: ((-np.inf, -y, -0.9), (-x, y, top), (-1, 0, 0), x),
    }
    checked = 0
    for _ in range(80):
        frame = Frame(rng.uniform(-50, 50, 3), heading_axes(*rng.uniform(-3, 3, 2)))
        corners = rng.uniform(-1, 1, 3) + rng.normal(size=(4, 3)) * rng.uniform(0.01, 1)
        tetrahedron = np.array([[0, 1, 2], [0, 2, 3], [0, 3, 1], [1, 3, 2]])
        local = corners[tetrahedron]
        mesh = Mesh(frame.to_world(corners), tetrahedron)
        found = {r.face: r for r in measure(frame, BODY, NEED, Soup.of([mesh]))}
        for face, (low, high, objective, base) in regions.items():
            limits = np.array(low), np.array(high)
            expected = min(least(np.array(objective), t, *limits) for t in local) - base
            checked += np.isfinite(expected)
            distance = found[face].distance if face in found else np.inf
            if distance == 0.0 and expected > 1e-7:
                # No triangle crosses the face, and all of it stands in the solid.
                middle = np.where(objective, np.array(objective) * base, (0, 0, top / 2))
                weights = np.linalg.solve(np.vstack([corners.T, np.ones(4)]), [*middle, 1.0])
                assert (weights > 0.0).all()
                continue
            assert distance == pytest.approx(expected, abs=1e-7)
    assert checked > 100


def test_corners_are_those_of_a_linear_program():
    rng = np.random.default_rng(12)
    checked = 0
    for _ in range(150):
        local = rng.uniform((0.5, 0, -1), (1.2, 0.8, 0.2), (3, 3))
        mirror = rng.choice([-1.0, 1.0], 3) * (1, 1, 0) + (0, 0, 1)
        mesh = Mesh(FRAME.to_world(local * mirror), [[0, 1, 2]])
        # Least t with t >= dx - ends, t >= dy - sides, over the triangle beside both faces.
        x, y, z = local.T
        rows = [[*-x, 0], [*-y, 0], [*z, 0], [*-z, 0], [*x, -1], [*y, -1]]
        limits = [-0.6, -0.1, 0.1, 0.9, 0.6 + NEED.ends, 0.1 + NEED.sides]
        result = linprog(
            [0, 0, 0, 1],
            rows,
            limits,
            [[1, 1, 1, 0]],
            [1.0],
            [(0, None)] * 3 + [(None, None)],
            method="highs",
        )
        found = readings(mesh)
        if result.status == 0 and result.fun < 0.0:
            assert found[Face.CORNER].margin == pytest.approx(result.fun, abs=1e-7)
            checked += 1
        else:
            assert Face.CORNER not in found or found[Face.CORNER].holds
    assert checked > 50
