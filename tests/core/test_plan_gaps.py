"""Distances in plan and straight down, against linear programs and pairs of edges."""

from itertools import product

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from heatcore.geometry.parts import Mesh
from heatcore.geometry.plan_gaps import beside, plan_of, under

RANDOM = np.random.default_rng(4)
CUBE = np.array(list(product((-0.5, 0.5), repeat=3)))
HULL = ConvexHull(CUBE)
# Counter-clockwise seen from outside.
FACES = np.array(
    [s if np.linalg.det(CUBE[s] - [0.01, 0.02, 0.03]) > 0 else s[::-1] for s in HULL.simplices]
)


def box(size, middle):
    turn = Rotation.random(random_state=int(RANDOM.integers(1 << 30))).as_matrix()
    return CUBE * size @ turn + middle


def drop_by_program(body, thing):
    """Least z of body less z of thing over one place in plan; None where there is none."""
    n = len(body)
    z = np.concatenate([body[:, 2], -thing[:, 2]])
    same = np.concatenate([body[:, :2].T, -thing[:, :2].T], axis=1)
    whole = np.zeros((2, 2 * n))
    whole[0, :n] = whole[1, n:] = 1.0
    found = linprog(z, A_eq=np.vstack([same, whole]), b_eq=[0, 0, 1, 1], bounds=(0, None))
    return found.fun if found.status == 0 else None


def gap_by_edges(one, other):
    """Distance of two convex plans: of every corner from every edge, 0 where they overlap."""
    rings = [points[ConvexHull(points).vertices] for points in (one[:, :2], other[:, :2])]
    outside = []
    for ring, rest in (rings, rings[::-1]):
        edges = np.roll(ring, -1, axis=0) - ring
        normals = np.stack([edges[:, 1], -edges[:, 0]], axis=1)
        normals /= np.linalg.norm(normals, axis=1, keepdims=True)
        outside.append((((rest[:, None] - ring) * normals).sum(axis=2).min(axis=0)).max())
    if max(outside) <= 0.0:
        return 0.0
    best = np.inf
    for ring, rest in (rings, rings[::-1]):
        edges = np.roll(ring, -1, axis=0) - ring
        to = rest[:, None] - ring
        share = np.clip((to * edges).sum(axis=2) / (edges * edges).sum(axis=1), 0.0, 1.0)
        best = min(best, np.linalg.norm(to - share[..., None] * edges, axis=2).min())
    return best


@pytest.mark.parametrize("case", range(60))
def test_beside_agrees_with_pairs_of_edges(case):
    body = box((1.2, 0.2, 0.1), (0, 0, 2.4))
    thing = box(RANDOM.uniform(0.01, 1.0, 3), RANDOM.uniform(-1.5, 1.5, 3))
    (gap,) = beside(body, [Mesh(thing, FACES)])
    assert gap.distance == pytest.approx(gap_by_edges(body, thing), abs=1e-9)
    assert np.hypot(*(gap.point - gap.body_point)[:2]) == pytest.approx(gap.distance, abs=1e-9)


@pytest.mark.parametrize("case", range(60))
def test_under_agrees_with_a_linear_program(case):
    body = box((1.2, 0.4, 0.2), (0, 0, 3.0))
    thing = box(RANDOM.uniform(0.05, 1.0, 3), (*RANDOM.uniform(-0.9, 0.9, 2), 1.0))
    found = list(under(body[FACES], [Mesh(thing, FACES)]))
    asked = drop_by_program(body, thing)
    if asked is None:
        assert found == []
    elif found:
        assert found[0].distance == pytest.approx(asked, abs=1e-7)
        assert found[0].point[:2] == pytest.approx(found[0].body_point[:2], abs=1e-9)
    else:  # they only touch in plan
        assert gap_by_edges(body, thing) == 0.0
        assert plan_of(body).intersection(plan_of(thing)).area < 1e-6


def test_meshes_keep_their_numbers_and_one_without_triangles_is_passed_over():
    empty = Mesh(np.zeros((0, 3)), np.zeros((0, 3)))
    thing = Mesh(CUBE * 0.2 + (0, 2, 0), FACES)
    body = CUBE + np.array((0, 0, 3))
    assert [gap.owner for gap in beside(body, [empty, thing])] == [1]
    over = Mesh(CUBE * 0.2, FACES)
    assert [gap.owner for gap in under(body[FACES], [empty, thing, over])] == [2]


def test_far_from_the_origin_the_same():
    far = np.array([5000.0, -3000.0, 0.0])
    body, thing = CUBE + np.array((0, 0, 3)), CUBE * 0.4 + (0.3, 0.1, 1)
    here, there = (
        next(under((body + at)[FACES], [Mesh(thing + at, FACES)])) for at in (np.zeros(3), far)
    )
    assert there.distance == pytest.approx(here.distance, abs=1e-9)
    near, away = (
        next(beside(body + at, [Mesh(thing + at + (2, 1, 0), FACES)])) for at in (np.zeros(3), far)
    )
    assert away.distance == pytest.approx(near.distance, abs=1e-9)
