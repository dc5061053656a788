"""The boxes over meshes: made once, only where something comes near, and gone with their mesh."""

import gc

import numpy as np
import pytest
import trimesh

from heatcore.checks.clearance import clearances, obstacles
from heatcore.geometry import tree
from heatcore.geometry.frames import Frame
from heatcore.geometry.parts import Mesh
from heatcore.geometry.soup import Soup
from heatcore.geometry.surfaces import stands_in, surface_distances
from heatcore.geometry.tree import WIDTH, levels, spans, tree_of
from tests.core.checks_site import block, model, mount, part


@pytest.mark.parametrize("count", [1, 2, WIDTH, WIDTH + 1, WIDTH**2, WIDTH**2 + 1, 5000])
def test_every_triangle_stands_in_every_box_above_it(count):
    rng = np.random.default_rng(count)
    corners = rng.uniform(-3, 3, (count, 1, 3)) + rng.normal(size=(count, 3, 3)) * 0.1
    mesh = Mesh(corners.reshape(-1, 3), np.arange(3 * count).reshape(-1, 3))
    found = tree_of(mesh)
    assert sorted(found.order.tolist()) == list(range(count))
    assert len(found.low) == sum(levels(count))
    low, high = spans(mesh.corners[found.order])

    def check(node: int) -> int:
        first, held = int(found.first[node]), int(found.count[node])
        inside = range(first, first + held)
        if node >= found.inner:
            np.testing.assert_array_equal(found.low[node], low[inside].min(axis=0))
            np.testing.assert_array_equal(found.high[node], high[inside].max(axis=0))
            return held
        assert (found.low[inside] >= found.low[node]).all()
        assert (found.high[inside] <= found.high[node]).all()
        return sum(check(child) for child in inside)

    assert check(0) == count


def test_trees_grow_only_over_what_comes_near_and_go_with_their_mesh():
    gc.collect()
    before = len(tree._TREES)
    ball = trimesh.creation.icosphere(3)
    meshes = [Mesh(ball.vertices + np.array([10.0 * i, 0, 0]), ball.faces) for i in range(5)]
    view = Soup.of(meshes).seen_from(Frame([20.0, 1.5, 0], np.eye(3)))
    low, high = np.array([[-0.1, -0.1, -0.1]]), np.array([[0.1, 0.1, 0.1]])
    assert surface_distances(view, low, high) == pytest.approx(0.4, abs=0.01)
    assert not stands_in(view, np.zeros(1, dtype=int), low, high)[0]
    assert len(tree._TREES) - before < len(meshes)
    del meshes, view
    gc.collect()
    assert len(tree._TREES) <= before


def test_a_model_with_one_part_changed_grows_no_other_tree_again(monkeypatch):
    parts = [part(f"post {i}", block((i - 2, 0.4, 0), (i - 1.5, 0.6, 3))) for i in range(4)]
    one = mount()
    clearances(one, model(*parts), [one])
    grown = []
    usual = tree._grown
    monkeypatch.setattr(tree, "_grown", lambda mesh: grown.append(mesh) or usual(mesh))
    changed = part("post 1", block((-1, 0.5, 0), (-0.5, 0.7, 3)))
    after = clearances(one, model(parts[0], changed, *parts[2:]), [one])
    assert [mesh for mesh in grown if mesh is not changed.mesh] == []
    obstacles.cache_clear()
    alike = [part(p.name, Mesh(p.mesh.vertices, p.mesh.triangles)) for p in parts]
    alike[1] = changed
    fresh = clearances(one, model(*alike), [one])
    assert [(f.object, f.measured) for f in after] == [(f.object, f.measured) for f in fresh]
