"""Triangles against a box: the shortest distance, held against two outside references.

The first is the point of least norm in the Minkowski difference of the two, a convex hull of 24
points, by non-negative least squares (Lawson and Hanson, Solving Least Squares Problems, 1974, as
scipy has it). The second is the Flexible Collision Library on whole meshes.
"""

import fcl
import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import nnls

from heatcore.geometry.closest import triangle_box

LOW, HIGH = np.array([-0.6, -0.1, 0.0]), np.array([0.6, 0.1, 0.12])
CORNERS = np.array([[x, y, z] for x in (-0.6, 0.6) for y in (-0.1, 0.1) for z in (0.0, 0.12)])


def least_norm(triangle: NDArray[np.float64]) -> float:
    """Distance from the origin to the hull of all differences of corners."""
    return norm_of_hull((CORNERS[:, None] - triangle).reshape(-1, 3))


def norm_of_hull(points: NDArray[np.float64]) -> float:
    """Least norm in the convex hull of points (n, 3)."""
    points = np.unique(points, axis=0)  # the solver stalls on repeated columns
    weights, _ = nnls(np.vstack([points.T, np.ones(len(points))]), np.array([0.0, 0, 0, 1]))
    return float(np.linalg.norm(weights @ points / weights.sum()))


def random_triangles(rng: np.random.Generator, count: int, shape: str) -> NDArray[np.float64]:
    middle = rng.uniform(-1.2, 1.2, (count, 1, 3))
    spread = rng.normal(size=(count, 3, 3)) * 10.0 ** rng.uniform(-3, 0.5, (count, 1, 1))
    if shape == "sliver":
        spread[:, 2] = spread[:, 0] + (spread[:, 1] - spread[:, 0]) * rng.uniform(size=(count, 1))
        spread[:, 2] += rng.normal(size=(count, 3)) * 1e-7
    if shape == "needle":
        spread[:, 1] = spread[:, 0] + rng.normal(size=(count, 3)) * 1e-7
    if shape == "along the axes":
        spread = np.round(spread, 1)
        spread[np.arange(count), :, rng.integers(0, 3, count)] = 0.0
        middle = np.round(middle, 1)
    if shape == "a point":
        spread[:] = spread[:, :1]
    return middle + spread


@pytest.mark.parametrize("shape", ["any", "sliver", "needle", "along the axes", "a point"])
def test_distance_is_that_of_the_least_norm_point(shape):
    rng = np.random.default_rng(len(shape))
    triangles = random_triangles(rng, 1500, shape)
    distance, point, box_point = triangle_box(triangles, LOW, HIGH)
    expected = np.array([least_norm(t) for t in triangles])
    apart = expected > 1e-6
    assert apart.sum() > 300
    np.testing.assert_allclose(distance[apart], expected[apart], rtol=0, atol=1e-7)
    assert (distance[~apart] <= 1e-6).all()
    # The witnesses are where they should be, and that far apart.
    np.testing.assert_allclose(
        np.linalg.norm(point - box_point, axis=1), np.abs(distance), atol=1e-12
    )
    np.testing.assert_allclose(np.clip(box_point, LOW, HIGH), box_point, atol=1e-12)
    for which, triangle in zip(point[::10], triangles[::10], strict=True):
        assert norm_of_hull(triangle - which) < 1e-9 * max(1.0, np.abs(triangle).max())


def test_a_triangle_inside_is_as_deep_as_its_deepest_point():
    flat = np.array([[-2.0, -2, 0.09], [2, -2, 0.09], [0, 3, 0.09]])
    upright = np.array([[0.0, 0.08, -3], [0.0, 2, 1], [0.0, 0.08, 5]])
    small = np.array([[0.58, 0.0, 0.05], [0.59, 0.0, 0.05], [0.58, 0.01, 0.05]])
    pierces = np.array([[0.3, 0.0, -1.0], [0.3001, 0.0, 1.0], [0.3, 0.0001, 1.0]])
    triangles = np.array([flat, upright, small, pierces])
    distance, point, box_point = triangle_box(triangles, LOW, HIGH)
    # 30 mm under the top, 20 mm under +Y, 20 mm under +X; the last runs through the middle plane.
    assert distance[:3] == pytest.approx([-0.03, -0.02, -0.02], abs=1e-12)
    assert np.linalg.norm(point - box_point, axis=1) == pytest.approx(-distance, abs=1e-12)
    assert distance[3] == pytest.approx(-0.06, abs=1e-12)
    assert point[3, 2] == pytest.approx(0.06)


def test_depth_is_that_of_the_deepest_of_many_samples():
    rng = np.random.default_rng(8)
    triangles = rng.uniform(LOW - 0.1, HIGH + 0.1, (300, 3, 3))
    distance, _, _ = triangle_box(triangles, LOW, HIGH)
    share = rng.dirichlet((1, 1, 1), 20000)
    for triangle, measured in zip(triangles, distance, strict=True):
        samples = share @ triangle
        depth = np.minimum(samples - LOW, HIGH - samples).min(axis=1).max()
        if measured < 0.0:
            assert depth <= -measured + 1e-12
            assert depth > -measured - 0.02
        else:
            assert depth <= 0.0


def test_touching_is_no_distance_and_no_depth():
    on_top = np.array([[[-2.0, -2, 0.12], [2, -2, 0.12], [0, 3, 0.12]]])
    assert triangle_box(on_top, LOW, HIGH)[0][0] == 0.0


def fcl_distance(vertices, triangles) -> float:
    mesh = fcl.BVHModel()
    mesh.beginModel(len(triangles), len(vertices))
    mesh.addSubModel(vertices, triangles)
    mesh.endModel()
    body = fcl.CollisionObject(fcl.Box(*(HIGH - LOW)), fcl.Transform(np.eye(3), (LOW + HIGH) / 2))
    request = fcl.DistanceRequest(enable_nearest_points=False)
    result = fcl.DistanceResult()
    return fcl.distance(body, fcl.CollisionObject(mesh, fcl.Transform()), request, result)


def test_distance_is_that_of_the_flexible_collision_library():
    rng = np.random.default_rng(5)
    checked = 0
    for _ in range(1500):
        vertices = rng.normal(size=(12, 3)) * rng.uniform(0.05, 0.6) + rng.uniform(-1.5, 1.5, 3)
        triangles = rng.integers(0, 12, (20, 3))
        expected = fcl_distance(vertices, triangles)
        distance = triangle_box(vertices[triangles], LOW, HIGH)[0].min()
        if expected > 0.0:
            assert distance == pytest.approx(expected, abs=1e-7)
            checked += 1
        else:
            assert distance <= 1e-6
    assert 500 < checked < 1400
