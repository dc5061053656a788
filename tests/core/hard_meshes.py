"""Meshes that are hard on distances: slivers, needles, faces in one plane, far and huge ones."""

import numpy as np
import trimesh

from heatcore.geometry.frames import Floats, Frame
from heatcore.geometry.parts import Mesh


def loose(corners: Floats) -> Mesh:
    corners = np.reshape(corners, (-1, 3))
    return Mesh(corners, np.arange(len(corners)).reshape(-1, 3))


def scattered(rng: np.random.Generator, count: int, size: float, room: float = 2.0) -> Floats:
    return rng.uniform(-room, room, (count, 1, 3)) + rng.normal(size=(count, 3, 3)) * size


def across(rng: np.random.Generator, count: int, size: float) -> Floats:
    """Large triangles, each through a place among the heaters."""
    corners = rng.normal(size=(count, 3, 3)) * size
    share = rng.dirichlet((1, 1, 1), count)[..., None]
    corners -= (share * corners).sum(axis=1, keepdims=True)
    return corners + rng.uniform(-2, 2, (count, 1, 3))


def any_shape(rng):
    return loose(scattered(rng, 400, 1.0) * 10.0 ** rng.uniform(-1, 0, (400, 1, 1)))


def slivers(rng):
    corners = scattered(rng, 200, 0.7)
    share = rng.uniform(size=(200, 1))
    corners[:, 2] = corners[:, 0] + (corners[:, 1] - corners[:, 0]) * share
    return loose(corners + rng.normal(size=corners.shape) * 1e-7)


def needles(rng):
    corners = scattered(rng, 200, 0.7)
    corners[:, 1] = corners[:, 0] + rng.normal(size=(200, 3)) * 1e-7
    return loose(corners)


def without_area(rng):
    corners = scattered(rng, 200, 0.7)
    corners[:100, 1] = corners[:100, 0]
    corners[100:150, 1:] = corners[100:150, :1]
    corners[150:, 2] = (corners[150:, 0] + corners[150:, 1]) / 2
    return loose(corners)


def coplanar(rng):
    # A slab of planks: many faces in each of few planes, whole ones in one another's.
    planks = []
    for i in range(24):
        low = np.array([-2.0, -1.2 + 0.1 * i, 0.5 * (i % 3)])
        planks.append(trimesh.creation.box(bounds=[low, low + np.array([4.0, 0.1, 0.5])]))
    mesh = trimesh.util.concatenate(planks)
    return Mesh(mesh.vertices, mesh.faces)


def one_that_pierces(rng):
    return loose([[-0.03, 0.01, -4.0], [0.05, -0.02, 4.0], [0.01, 0.04, 3.0]])


def thousands_of_tiny(rng):
    return loose(scattered(rng, 6000, 2e-3, 1.5))


def inside_out(rng):
    solids = []
    for _ in range(12):
        ball = trimesh.creation.icosphere(2, rng.uniform(0.1, 0.6))
        solids.append(ball.apply_translation(rng.uniform(-1.5, 1.5, 3)))
    mesh = trimesh.util.concatenate(solids)
    return Mesh(mesh.vertices, mesh.faces[:, ::-1])


def doubled(rng):
    mesh = any_shape(rng)
    return Mesh(mesh.vertices, np.concatenate([mesh.triangles, mesh.triangles[:, ::-1]]))


def ten_kilometres_away(rng):
    mesh = any_shape(rng)
    return Mesh(mesh.vertices + FAR, mesh.triangles)


def a_kilometre_large(rng):
    return loose(across(rng, 12, 600.0))


def large_among_tiny(rng):
    return loose(np.concatenate([scattered(rng, 2000, 3e-3, 1.5), across(rng, 8, 30.0)]))


FAR = np.array([7000.0, -7000.0, 1500.0])
KINDS = (
    any_shape, slivers, needles, without_area, coplanar, one_that_pierces, thousands_of_tiny,
    inside_out, doubled, ten_kilometres_away, a_kilometre_large, large_among_tiny,
)  # fmt: skip


def placed(rng: np.random.Generator, kind, number: int) -> Frame:
    """A frame among the triangles of a kind of mesh; some in line with its faces."""
    axes = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    axes *= np.sign(np.linalg.det(axes))
    room = 0.9 if kind is one_that_pierces else 2.5
    at = rng.uniform(-room, room, 3) + (FAR if kind is ten_kilometres_away else 0.0)
    if kind is coplanar and number % 2:
        axes = np.eye(3)[np.roll(np.arange(3), rng.integers(3))]
    if kind is coplanar and number % 4 == 1:
        at = np.round(at, 1)  # faces in the planes of faces
    return Frame(at, axes)


def spoken(kind) -> str:
    return kind.__name__.replace("_", " ")
