"""Drop screens and curtains: what they sweep, and how they are drawn."""

import numpy as np
import pytest
from shapely.affinity import affine_transform

from heatcore.errors import InputError
from heatcore.geometry.parts import Kind
from heatcore.geometry.screens import screen_parts
from heatcore.geometry.solids import solid_of
from heatcore.scene.space import Screen
from tests.core.sweeping import assert_swept, plan, sliding


def screen(**given):
    thing = Screen(**{"name": "s", "from_": (0, 0), "to": (3, 4), "top": 2.5} | given)
    return {part.name: part for part in screen_parts(thing)}


def volume(part):
    return solid_of(part.mesh, part.name).volume()


def along(part):
    """A part's plan, seen along the line from (0, 0) to (3, 4)."""
    return affine_transform(plan(part), [0.6, 0.8, -0.8, 0.6, 0, 0])


def test_a_drop_screen():
    parts = screen(bottom=0.1, thickness=0.1, down=0.5)
    assert list(parts) == ["s cassette", "s curtain", "s drop"]
    cassette, curtain, drop = parts.values()
    assert [p.swept for p in parts.values()] == [False, False, True]
    assert all(p.combustible for p in parts.values())
    assert volume(cassette) == pytest.approx(5 * 0.1 * 0.1)
    assert curtain.mesh.bounds[:, 2] == pytest.approx([1.25, 2.4])
    assert volume(drop) == pytest.approx(5 * 0.1 * 2.3)
    assert list(screen()) == ["s cassette", "s drop"]


@pytest.mark.parametrize("down", [0.01, 0.4, 1.0])
def test_a_screen_stays_in_its_drop_however_far_it_is_down(down):
    parts = screen(bottom=0.1, down=down)
    drop = solid_of(parts["s drop"].mesh, "drop")
    assert (solid_of(parts["s curtain"].mesh, "curtain") - drop).volume() < 1e-12
    # The bar at its edge, as thick as cassette and track, from the cassette down to the bottom.
    assert parts["s drop"].mesh.bounds[:, 2] == pytest.approx([0.1, 2.38])
    bar = (0.0, -0.06, 5.0, 0.06)
    assert_swept(along(parts["s drop"]), [sliding(bar, (0.0, 0.0))])


def test_a_curtain_travels_between_its_ends():
    parts = screen(kind="curtain", bottom=0.05, thickness=0.14)
    assert list(parts) == ["s track", "s curtain", "s travel"]
    assert {p.kind for p in parts.values()} == {Kind.SCREEN}
    assert [p.swept for p in parts.values()] == [False, False, True]
    assert [p.combustible for p in parts.values()] == [False, True, True]
    assert parts["s track"].mesh.bounds[:, 2] == pytest.approx([2.46, 2.5])
    travel = parts["s travel"]
    assert travel.mesh.bounds[:, 2] == pytest.approx([0.05, 2.46])
    # The gathered cloth, 15 % of 5 m wide and as deep as its folds, from one end to the other.
    stack = (0.0, -0.07, 0.75, 0.07)
    assert_swept(along(travel), [sliding(stack, (4.25, 0.0))])
    assert screen(kind="curtain", material="glass")["s travel"].combustible is False
    stated = screen(kind="curtain", combustible=True)
    assert all(part.combustible for part in stated.values())


@pytest.mark.parametrize("down", [0.0, 0.3, 1.0])
@pytest.mark.parametrize("thickness", [0.002, 0.12, 0.25])
def test_a_curtain_stays_in_its_travel_however_far_it_is_drawn(down, thickness):
    parts = screen(kind="curtain", down=down, thickness=thickness)
    cloth, travel = (solid_of(parts[name].mesh, name) for name in ("s curtain", "s travel"))
    assert (cloth - travel).volume() < 1e-12
    x0, y0, x1, y1 = along(parts["s curtain"]).bounds
    assert x0 == pytest.approx(0.0, abs=1e-9)
    assert x1 == pytest.approx(5.0 * (0.15 + 0.85 * down))
    # Its folds are as deep as the screen is thick.
    assert np.array([y0, y1]) == pytest.approx([-thickness / 2, thickness / 2], abs=1e-4)


@pytest.mark.parametrize("kind", ["drop", "curtain"])
def test_an_impossible_screen_is_refused(kind):
    with pytest.raises(InputError, match="leaves no room between the"):
        screen(kind=kind, top=1.0, bottom=0.97, thickness=0.1)
    with pytest.raises(InputError, match="no length"):
        screen(kind=kind, to=(0, 0))
