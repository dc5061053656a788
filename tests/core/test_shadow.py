"""What faces cover in plan, against shapely's own union of every face."""

import numpy as np
import pytest
import shapely
import trimesh

from heatcore.geometry.clip import clip
from heatcore.geometry.shadow import shadow

RANDOM = np.random.default_rng(11)


def joined(faces):
    flat = shapely.polygons(faces[..., :2])
    return shapely.union_all(flat[shapely.area(flat) > 0.0])


def looking_down(mesh):
    return np.asarray(mesh.triangles)[mesh.face_normals[:, 2] < -1e-9]


def same(faces):
    ours, theirs = shadow(faces), joined(faces)
    return ours.symmetric_difference(theirs).area < 1e-7 * max(theirs.area, 1.0)


@pytest.mark.parametrize("case", range(20))
def test_random_solids_that_overlap_in_plan(case):
    solids = [
        trimesh.creation.box(
            extents=RANDOM.uniform(0.1, 2.0, 3),
            transform=trimesh.transformations.random_rotation_matrix(RANDOM.random(3)),
        ).apply_translation(RANDOM.uniform(-1, 1, 3))
        for _ in range(5)
    ]
    assert same(looking_down(trimesh.util.concatenate(solids)))


def test_a_ring_keeps_its_hole():
    ring = trimesh.creation.annulus(r_min=0.5, r_max=1.0, height=0.2)
    found = shadow(looking_down(ring))
    assert len(found.interiors) == 1
    assert same(looking_down(ring))


def test_layers_over_each_other_do_not_hide_each_other():
    square = np.array([[(0, 0, 0), (1, 1, 0), (1, 0, 0)], [(0, 0, 0), (0, 1, 0), (1, 1, 0)]], float)
    for lifts in ((0, 1), (0, 1, 2)):
        stacked = np.concatenate([square + np.array((0, 0, z)) for z in lifts])
        assert shadow(stacked).area == pytest.approx(1.0)
    shifted = np.concatenate([square, square + np.array((0.5, 0.5, 1))])
    assert shadow(shifted).area == pytest.approx(1.75)


def test_an_edge_cut_on_one_side_only():
    one = np.array([[(0, 0, 0), (1, 1, 0), (1, 0, 0)]], float)
    cut = np.array(
        [[(0, 0, 0), (0, 1, 0), (0.5, 0.5, 0)], [(0.5, 0.5, 0), (0, 1, 0), (1, 1, 0)]], float
    )
    assert shadow(np.concatenate([one, cut])).area == pytest.approx(1.0)


def test_clipped_faces():
    ball = trimesh.creation.icosphere(subdivisions=3)
    faces = looking_down(ball)
    kept, _ = clip(faces, -0.6 - faces[..., 2])
    assert same(kept)


def test_nothing_covers_nothing():
    assert shadow(np.zeros((0, 3, 3))).is_empty
