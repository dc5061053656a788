"""What must not change a distance: moving all together, mirroring, subdividing, far objects."""

import numpy as np
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from heatcore.geometry.closest import meets_box
from heatcore.geometry.distance import Face, Reading, measure
from heatcore.geometry.frames import Floats, Frame, heading_axes
from heatcore.geometry.parts import Mesh
from heatcore.geometry.soup import RAYS, Soup
from heatcore.geometry.tree import WIDTH
from heatcore.scene.types import Distances

BODY = (1.2, 0.2, 0.1)
NEED = Distances(above=0.2, sides=0.45, ends=0.35, below=0.9)
FRAME = Frame([0.0, 0.0, 2.4], np.eye(3))
SEED = st.integers(0, 2**32 - 1)


def solids(rng: np.random.Generator, count: int = 6) -> list[Mesh]:
    """Blocks, balls and needles round the heater, some touching it."""
    found = []
    for _ in range(count):
        shape = (
            trimesh.creation.box((1, 1, 1)) if rng.integers(2) else trimesh.creation.icosphere(1)
        )
        size = 10.0 ** rng.uniform(-2.5, 0.3, 3)
        turn = heading_axes(*rng.uniform(-3, 3, 2))
        place = rng.uniform((-1.5, -1, 1), (1.5, 1, 3.2))
        found.append(Mesh(shape.vertices * size @ turn + place, shape.faces))
    return found


def turned(frame: Frame, turn: Floats, shift: Floats) -> Frame:
    return Frame(frame.origin @ turn + shift, frame.axes @ turn)


def by_face(readings: tuple[Reading, ...]) -> dict[tuple[Face, int], float]:
    return {(r.face, r.owner): r.margin for r in readings}


def same(a: dict[tuple[Face, int], float], b: dict[tuple[Face, int], float]) -> None:
    assert set(a) == set(b)
    for key, margin in a.items():
        assert abs(b[key] - margin) < 1e-9, key


@settings(max_examples=30, deadline=None)
@given(SEED)
def test_moving_all_together_changes_nothing(seed):
    rng = np.random.default_rng(seed)
    meshes, frame = solids(rng), Frame([0, 0, 2.2], heading_axes(*rng.uniform(-1, 1, 2)))
    turn, shift = heading_axes(*rng.uniform(-3, 3, 2)), rng.uniform(-100, 100, 3)
    moved = [Mesh(m.vertices @ turn + shift, m.triangles) for m in meshes]
    same(
        by_face(measure(frame, BODY, NEED, Soup.of(meshes))),
        by_face(measure(turned(frame, turn, shift), BODY, NEED, Soup.of(moved))),
    )


@settings(max_examples=30, deadline=None)
@given(SEED, st.sampled_from([0, 1]))
def test_a_mirror_swaps_two_faces_and_nothing_else(seed, axis):
    meshes = solids(np.random.default_rng(seed))
    flip = np.ones(3)
    flip[axis] = -1.0
    mirrored = [Mesh(m.vertices * flip, m.triangles[:, ::-1]) for m in meshes]
    swap = {0: (Face.PLUS_END, Face.MINUS_END), 1: (Face.PLUS_SIDE, Face.MINUS_SIDE)}[axis]
    names = dict(zip(swap, reversed(swap), strict=True))
    there = by_face(measure(FRAME, BODY, NEED, Soup.of(mirrored)))
    same(
        by_face(measure(FRAME, BODY, NEED, Soup.of(meshes))),
        {(names.get(face, face), owner): m for (face, owner), m in there.items()},
    )


@settings(max_examples=20, deadline=None)
@given(SEED)
def test_subdividing_triangles_changes_nothing(seed):
    rng = np.random.default_rng(seed)
    meshes = solids(rng)
    finer = []
    for mesh in meshes:
        vertices, faces = trimesh.remesh.subdivide(mesh.vertices, mesh.triangles)
        faces = np.roll(rng.permutation(faces), rng.integers(3), axis=1)
        finer.append(Mesh(vertices, faces))
    same(
        by_face(measure(FRAME, BODY, NEED, Soup.of(meshes))),
        by_face(measure(FRAME, BODY, NEED, Soup.of(finer))),
    )


@settings(max_examples=20, deadline=None)
@given(SEED, st.floats(30.0, 1000.0))
def test_a_far_object_changes_nothing(seed, distance):
    meshes = solids(np.random.default_rng(seed))
    far = Mesh(meshes[0].vertices + np.full(3, distance), meshes[0].triangles)
    near = by_face(measure(FRAME, BODY, NEED, Soup.of(meshes), sight=5.0))
    same(near, by_face(measure(FRAME, BODY, NEED, Soup.of([*meshes, far]), sight=5.0)))


@settings(max_examples=20, deadline=None)
@given(SEED)
def test_each_mesh_alone_reads_as_it_does_among_the_others(seed):
    meshes = solids(np.random.default_rng(seed))
    for reading in measure(FRAME, BODY, NEED, Soup.of(meshes)):
        if reading.face is Face.CORNER and reading.holds:
            continue
        alone = measure(FRAME, BODY, NEED, Soup.of([meshes[reading.owner]]))
        found = {r.face: r.margin for r in alone}
        assert abs(found[reading.face] - reading.margin) < 1e-9


@settings(max_examples=20, deadline=None)
@given(SEED)
def test_no_mesh_that_falls_short_is_left_out(seed):
    meshes = solids(np.random.default_rng(seed))
    together = {(r.face, r.owner) for r in measure(FRAME, BODY, NEED, Soup.of(meshes))}
    for owner, mesh in enumerate(meshes):
        for reading in measure(FRAME, BODY, NEED, Soup.of([mesh])):
            assert reading.holds or (reading.face, owner) in together


def test_culling_misses_no_triangle():
    rng = np.random.default_rng(3)
    corners = rng.uniform(-10, 10, (80 * WIDTH, 1, 3)) + rng.normal(
        size=(80 * WIDTH, 3, 3)
    ) * 10.0 ** rng.uniform(-3, 1, (80 * WIDTH, 1, 1))
    mesh = Mesh(corners.reshape(-1, 3), np.arange(corners[..., 0].size).reshape(-1, 3))
    soup = Soup.of([mesh])
    for _ in range(50):
        frame = Frame(rng.uniform(-5, 5, 3), heading_axes(*rng.uniform(-3, 3, 2)))
        low = rng.uniform(-3, 2, 3)
        high = low + rng.uniform(0, 3, 3)
        local = frame.to_local(corners)
        box = (np.broadcast_to(b, (len(local), 3)) for b in (low, high))
        found, _ = soup.seen_from(frame).near(low, high)
        nearly = ((local.min(axis=1) <= high) & (local.max(axis=1) >= low)).all(axis=1)
        for some, among in ((local[meets_box(local, *box)], found), (found, local[nearly])):
            away, _ = cKDTree(among.reshape(-1, 9)).query(some.reshape(-1, 9))
            assert away.max(initial=0.0) < 1e-9


def test_holders_are_the_solids_round_a_point():
    rng = np.random.default_rng(4)
    balls = [(rng.uniform(-1, 1, 3), rng.uniform(0.3, 1.2)) for _ in range(8)]
    ball = trimesh.creation.icosphere(3)
    sense = [1 if rng.integers(2) else -1 for _ in balls]
    soup = Soup.of(
        [
            Mesh(ball.vertices * radius + middle, ball.faces[:, ::s])
            for (middle, radius), s in zip(balls, sense, strict=True)
        ]
    )
    for point in rng.uniform(-1.5, 1.5, (200, 3)):
        away = [np.linalg.norm(point - middle) / radius for middle, radius in balls]
        # The facets lie up to 1 % inside the ball.
        if min(abs(a - 0.99) for a in away) > 0.01:
            assert soup.holders(point).tolist() == [i for i, a in enumerate(away) if a < 0.98]


def test_an_open_mesh_holds_only_what_it_nearly_closes_round():
    ball = trimesh.creation.icosphere(3)
    height = ball.triangles_center[:, 2]
    cup = Soup.of([Mesh(ball.vertices, ball.faces[height < 0.2])])
    pinhole = Soup.of([Mesh(ball.vertices, ball.faces[height < 0.97])])
    assert not len(cup.holders([0.0, 0.0, -0.1]))
    assert pinhole.holders([0.0, 0.0, -0.1]).tolist() == [0]
    assert not len(pinhole.holders([0.0, 0.0, 1.1]))


def test_a_ray_through_a_corner_decides_nothing():
    # A fan of faces whose common corner lies exactly along the first ray from the middle.
    tip = np.array(RAYS[0]) * 3
    base = np.array([[-3, -3, -3], [3, -3, -3], [3, 3, -3], [-3, 3, -3]], dtype=float)
    faces = [[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4], [0, 2, 1], [0, 3, 2]]
    soup = Soup.of([Mesh([*base, tip], faces)])
    assert soup.holders([0.0, 0.0, 0.0]).tolist() == [0]
    assert not len(soup.holders(-2.0 * tip))
    assert not len(soup.holders([0.0, -2.9, 2.0]))
