"""Distances from faces and corners before hard meshes, and what must change none of them.

The outside reference is the linear program for the least coordinate of a triangle within a region,
solved by HiGHS as scipy has it.
"""

import numpy as np
import pytest
from scipy.optimize import linprog

from heatcore.geometry.distance import Face, measure
from heatcore.geometry.frames import Frame
from heatcore.geometry.parts import Mesh
from heatcore.geometry.soup import Soup
from heatcore.geometry.surfaces import surface_distances
from heatcore.scene.types import Distances
from tests.core.hard_meshes import FAR, KINDS, placed, spoken

CLOSE = 1e-9  # m
BODY = (1.2, 0.2, 0.1)
NEED = Distances(above=0.2, sides=0.45, ends=0.35, below=0.9)
X, Y, TOP, BELOW = 0.6, 0.1, 0.1, 0.9
REGIONS = {
    Face.ABOVE: ((-X, -Y, TOP), (X, Y, np.inf), (0, 0, 1), TOP),
    Face.BELOW: ((-X, -Y, -np.inf), (X, Y, 0), (0, 0, -1), 0),
    Face.PLUS_SIDE: ((-X, Y, -BELOW), (X, np.inf, TOP), (0, 1, 0), Y),
    Face.MINUS_SIDE: ((-X, -np.inf, -BELOW), (X, -Y, TOP), (0, -1, 0), Y),
    Face.PLUS_END: ((X, -Y, -BELOW), (np.inf, Y, TOP), (1, 0, 0), X),
    Face.MINUS_END: ((-np.inf, -Y, -BELOW), (-X, Y, TOP), (-1, 0, 0), X),
}


def least(objective, triangle, low, high) -> float:
    """Least coordinate of a triangle along a direction, within a region."""
    rows, bounds = np.concatenate([triangle.T, -triangle.T]), np.concatenate([high, -low])
    finite = np.isfinite(bounds)
    found = linprog(
        objective @ triangle.T, rows[finite], bounds[finite], np.ones((1, 3)), [1.0], method="highs"
    )
    return found.fun if found.status == 0 else np.inf


@pytest.mark.parametrize("kind", KINDS, ids=spoken)
def test_faces_are_those_of_a_linear_program(kind):
    rng = np.random.default_rng(KINDS.index(kind) + 100)
    mesh = kind(rng)
    checked = 0
    for number in range(6):
        frame = placed(rng, kind, number)
        local = frame.to_local(mesh.vertices)[mesh.triangles]
        found = {r.face: r for r in measure(frame, BODY, NEED, Soup.of([mesh]), sight=3.0)}
        inside = len(Soup.of([mesh]).holders(frame.to_world([0, 0, TOP / 2])))
        for face, (low, high, way, base) in REGIONS.items():
            low, high, way = np.array(low), np.array(high), np.array(way, dtype=float)
            told = found[face].distance if face in found else 3.0
            nearest = (local @ way).min(axis=1) - base
            meets = (local.max(axis=1) >= low) & (local.min(axis=1) <= high)
            some = local[meets.all(axis=1) & (nearest <= told + 1e-6)]
            expected = min((least(way, t, low, high) - base for t in some), default=np.inf)
            if face not in found:
                # What only touches a region from beside does not stand in it.
                eased = low + 1e-6, high - 1e-6
                assert all(least(way, t, *eased) - base > 3.0 - 1e-6 for t in some)
            elif not (inside and told == 0.0):
                # The region is drawn in by a nanometre: a face in its boundary may not count.
                assert told >= expected - 1e-6
                eased = min((least(way, t, low + 2e-9, high - 2e-9) for t in some), default=np.inf)
                assert told <= eased - base + 1e-6
                checked += 1
    assert checked > 2


@pytest.mark.parametrize("kind", KINDS, ids=spoken)
def test_the_shortest_distance_is_the_same_for_one_heater_as_for_many(kind):
    rng = np.random.default_rng(KINDS.index(kind) + 200)
    mesh = kind(rng)
    soup, frames = Soup.of([mesh]), [placed(rng, kind, i) for i in range(25)]
    low, high = (np.tile(b, (25, 1)) for b in ((-X, -Y, 0.0), (X, Y, TOP)))
    many = surface_distances(soup.seen_from(*frames), low, high)
    for frame, distance in zip(frames, many, strict=True):
        (one,) = (r for r in measure(frame, BODY, NEED, soup) if r.face is Face.SHORTEST)
        if not len(soup.holders(frame.to_world([0, 0, TOP / 2]))):
            assert one.distance == pytest.approx(distance, abs=1e-12)
        ends = one.point - one.heater_point
        assert np.linalg.norm(ends) == pytest.approx(abs(one.distance), abs=1e-9)


def margins(frame, meshes) -> dict[tuple[Face, int], float]:
    found = measure(frame, BODY, NEED, Soup.of(meshes), sight=3.0, slack=0.2)
    # Of two that hold alike either may be told of.
    return {(r.face, r.owner if r.falls_short(0.2) else -1): r.margin for r in found}


@pytest.mark.parametrize("kind", KINDS, ids=spoken)
def test_nothing_changes_by_how_the_same_surface_is_given(kind):
    rng = np.random.default_rng(KINDS.index(kind) + 300)
    whole = kind(rng)
    half = rng.random(len(whole.triangles)) < 0.5
    meshes = [Mesh(whole.vertices, whole.triangles[part]) for part in (half, ~half)]
    for number in range(4):
        frame = placed(rng, kind, number)
        before = margins(frame, meshes)
        turn = np.linalg.qr(rng.normal(size=(3, 3)))[0]
        turn *= np.sign(np.linalg.det(turn))
        shift = rng.uniform(-20, 20, 3)
        others = {
            "moved": (
                Frame(frame.origin @ turn + shift, frame.axes @ turn),
                [Mesh(m.vertices @ turn + shift, m.triangles) for m in meshes],
            ),
            "in another order": (frame, [shuffled(rng, m) for m in meshes]),
            "inside out": (frame, [Mesh(m.vertices, m.triangles[:, ::-1]) for m in meshes]),
            "twice": (frame, [Mesh(m.vertices, np.tile(m.triangles, (2, 1))) for m in meshes]),
            "beside a far one": (frame, [*meshes, Mesh(whole.vertices + 5000.0, whole.triangles)]),
        }
        for how, given in others.items():
            after = margins(*given)
            assert set(after) == set(before), how
            assert max((abs(after[k] - before[k]) for k in before), default=0.0) < CLOSE, how


@pytest.mark.parametrize("kind", KINDS, ids=spoken)
def test_nothing_changes_by_cutting_triangles_up(kind):
    # At the middles of edges, which numbers hold exactly; rounding moves a new corner otherwise.
    rng = np.random.default_rng(KINDS.index(kind) + 400)
    mesh = kind(rng)
    corners = mesh.vertices[mesh.triangles]
    middles = (corners + np.roll(corners, -1, axis=1)) / 2
    a, b, c = (corners[:, i] for i in range(3))
    ab, bc, ca = (middles[:, i] for i in range(3))
    pieces = np.concatenate(
        [np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
    )
    finer = Mesh(pieces.reshape(-1, 3), np.arange(pieces.size // 3).reshape(-1, 3))
    for number in range(4):
        frame = placed(rng, kind, number)
        before, after = margins(frame, [mesh]), margins(frame, [finer])
        assert set(after) == set(before)
        assert max((abs(after[k] - before[k]) for k in before), default=0.0) < CLOSE


def shuffled(rng, mesh: Mesh) -> Mesh:
    order = rng.permutation(len(mesh.triangles))
    return Mesh(mesh.vertices, np.roll(mesh.triangles[order], rng.integers(3), axis=1))


def test_the_far_site_is_far():
    assert np.linalg.norm(FAR) > 9_999
