"""Solids: exact, watertight, and refused with a reason where they are none."""

from itertools import pairwise
from math import cos, pi, sin

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Point, Polygon

from heatcore.errors import MeshError
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh
from heatcore.geometry.solids import (
    around_arc,
    box,
    hull,
    keep,
    lathe,
    part_of,
    pieces,
    prism,
    rounded_box,
    solid_of,
    to_mesh,
    union,
    upright_box,
)
from heatcore.scene.space import Post

WORLD = Frame(np.zeros(3), np.eye(3))
CUBE = to_mesh(box(WORLD, (0, 0, 0), (1, 1, 1)))
POST = Post(name="post", at=(0.0, 0.0))


@pytest.mark.parametrize(
    ("mesh", "words"),
    [
        (Mesh(CUBE.vertices, CUBE.triangles[1:]), "not closed"),
        (Mesh(CUBE.vertices, CUBE.triangles[:, ::-1]), "inside out"),
        (Mesh(np.where(CUBE.vertices > 0, np.nan, 0.0), CUBE.triangles), "not finite"),
        (Mesh(np.where(CUBE.vertices > 0, np.inf, 0.0), CUBE.triangles), "not finite"),
        (Mesh(CUBE.vertices * [1.0, 1.0, 0.0], CUBE.triangles), "no space"),
        (Mesh(np.zeros((0, 3)), np.zeros((0, 3))), "no space"),
        (
            Mesh(CUBE.vertices, np.vstack([CUBE.triangles[:1, ::-1], CUBE.triangles[1:]])),
            "not all point the same way",
        ),
    ],
)
def test_what_is_no_solid_is_refused_by_name(mesh, words):
    with pytest.raises(MeshError, match=words) as error:
        solid_of(mesh, 'furniture "sofa"')
    assert error.value.mistakes[0].where == 'furniture "sofa"'
    assert error.value.remedy


def test_vertices_in_one_place_are_one():
    # As mesh files store them: each triangle with corners of its own.
    soup = Mesh(CUBE.corners.reshape(-1, 3), np.arange(36).reshape(-1, 3))
    assert solid_of(soup, "cube").volume() == pytest.approx(1.0)


def test_there_and_back_again():
    mesh = to_mesh(solid_of(CUBE, "cube"))
    assert not mesh.vertices.flags.writeable
    assert {tuple(v) for v in mesh.vertices} == {tuple(v) for v in CUBE.vertices}


@settings(max_examples=40, deadline=None)
@given(
    turn=st.floats(-pi, pi),
    tilt=st.floats(-1.2, 1.2),
    at=st.tuples(st.floats(-100, 100), st.floats(-100, 100), st.floats(0, 5)),
)
def test_planes_stay_where_they_are_put(turn, tilt, at):
    frame = Frame(np.array(at), heading_axes(turn, tilt))
    solid = box(frame, (-1.0, -2.0, -0.5), (1.0, 2.0, 0.5))
    cut = keep(solid, frame.to_world([1.0, 1.0, 1.0]) - frame.origin, frame.to_world([0.1, 0, 0]))
    local = frame.to_local(to_mesh(cut).vertices)
    sides = np.stack(
        [np.abs(np.abs(local) - [1.0, 2.0, 0.5]).min(axis=1), np.abs(local.sum(axis=1) - 0.1)]
    )
    assert sides.min(axis=0).max() < 1e-9
    other = solid - cut
    assert cut.volume() + other.volume() == pytest.approx(8.0, abs=1e-9)


def test_a_prism_with_a_hole_and_a_second_piece():
    ring = Polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [[(1, 1), (3, 1), (3, 3), (1, 3)]])
    solid = prism(MultiPolygon([ring, Polygon([(9, 0), (9, 1), (10, 0)])]), 1.0, 3.0)
    assert solid.volume() == pytest.approx((12 + 0.5) * 2)
    assert len(pieces(solid)) == 2
    mesh = to_mesh(solid)
    independent = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    assert independent.is_watertight
    assert independent.volume == pytest.approx(25.0)
    # Either way round it is the same prism.
    assert upright_box([(0, 0), (0, 1), (1, 1), (1, 0)], 0, 1).volume() == pytest.approx(1.0)


# Frustum of a cone: pi h (R^2 + R r + r^2) / 3.
def test_a_lathe_makes_cones_and_cylinders():
    body = lathe(WORLD, [(2.0, 0.0), (1.0, 3.0), (1.0, 5.0)], 720)
    assert body.volume() == pytest.approx(pi * 3 * 7 / 3 + 2 * pi, rel=1e-4)
    oval = lathe(WORLD, [(1.0, 0.0), (1.0, 1.0)], 720, oval=(2.0, 0.5))
    assert oval.volume() == pytest.approx(pi, rel=1e-4)
    hollow = lathe(WORLD, [(1.0, 0.0), (0.2, 1.0), (1.0, 2.0)])
    assert hollow.hull().volume() > hollow.volume() > 0.0


def test_a_rounded_box_keeps_its_size():
    solid = rounded_box(WORLD, (0, 0, 0), (1, 2, 3), 0.1)
    assert np.reshape(solid.bounding_box(), (2, 3)) == pytest.approx(
        np.array([[0, 0, 0], [1, 2, 3]]), abs=1e-12
    )
    assert 6.0 > solid.volume() > 5.8
    assert rounded_box(WORLD, (0, 0, 0), (1, 1, 0.01), 0.1).volume() > 0.0


@given(radius=st.floats(0.2, 3.0), start=st.floats(-pi, pi), sweep=st.floats(1e-9, 4.0))
def test_a_polyline_round_an_arc_stays_outside_it(radius, start, sweep):
    points = around_arc(radius, start, start + sweep, 0.0005)
    assert np.hypot(*points.T).max() <= radius + 0.0005 + 1e-12
    for a, b in pairwise(points):
        along = np.linspace(a, b, 9)
        assert np.hypot(*along.T).min() >= radius - 1e-12
    ends = [[radius * cos(t), radius * sin(t)] for t in (start, start + sweep)]
    assert points[[0, -1]] == pytest.approx(np.array(ends), abs=1e-9)
    assert len(around_arc(radius, start, start, 0.0005)) == 1


def test_a_part_takes_name_and_material_from_its_thing():
    part = part_of(box(WORLD, (0, 0, 0), (1, 1, 1)), POST, Kind.POST)
    assert (part.name, part.owner, part.material) == ("post", "post", "timber")
    assert part.combustible
    other = part_of(
        box(WORLD, (0, 0, 0), (1, 1, 1)), POST, Kind.POST, "cap", material="steel", swept=True
    )
    assert (other.name, other.owner, other.combustible, other.swept) == (
        "cap", "post", False, True
    )  # fmt: skip
    with pytest.raises(MeshError, match=r'post "post": encloses no space'):
        part_of(union([]), POST, Kind.POST)
    with pytest.raises(MeshError, match="not a finite number"):
        part_of(box(WORLD, (0, 0, 0), (1, np.nan, 1)), POST, Kind.POST)


def test_a_hull_is_convex():
    points = np.random.default_rng(3).uniform(-1, 1, (60, 3))
    mesh = to_mesh(hull(points))
    assert (
        np.einsum("fk,pk->fp", mesh.normals, points).T
        - np.einsum("fk,fk->f", mesh.normals, mesh.corners[:, 0])
    ).max() < 1e-9
    assert Point(0, 0).within(Polygon(points[:3, :2]).convex_hull.buffer(3))
