"""Cables against the parabola they hang along."""

import numpy as np
import pytest
import trimesh

from heatcore.errors import InputError
from heatcore.geometry.cables import cable_part
from heatcore.geometry.parts import Kind
from heatcore.geometry.solids import solid_of
from heatcore.scene.space import Cable


def cable(**given):
    return Cable(**{"name": "string", "from_": (0, 0, 2.5), "to": (4, 3, 2.8)} | given)


@pytest.mark.parametrize("sag", [0.0, 0.05, 0.4, 1.5])
@pytest.mark.parametrize("diameter", [0.006, 0.012, 0.1])
def test_a_cable_is_a_round_tube_along_a_parabola(sag, diameter):
    part = cable_part(cable(sag=sag, diameter=diameter))
    assert (part.name, part.kind, part.swept) == ("string", Kind.CABLE, False)
    radius = diameter / 2
    # z = straight line - 4 sag s (1 - s), from the parabola through both ends whose middle hangs
    # `sag` under the line's.
    s = np.linspace(0.0, 1.0, 6001)[:, None]
    start, end = np.array([0, 0, 2.5]), np.array([4, 3, 2.8])
    curve = start + s * (end - start) - 4 * sag * s * (1 - s) * [0, 0, 1]
    sides = trimesh.Trimesh(part.mesh.vertices, part.mesh.triangles).sample(500, seed=1)
    far = np.array([np.linalg.norm(curve - p, axis=1).min() for p in sides])
    assert far.max() < radius + 0.001
    # Its ends are flat; everywhere else its surface is at the radius.
    away = sides[(np.linalg.norm(sides - start, axis=1) > 1.01 * radius + 0.001)
                 & (np.linalg.norm(sides - end, axis=1) > 1.01 * radius + 0.001)]  # fmt: skip
    near = np.array([np.linalg.norm(curve - p, axis=1).min() for p in away])
    assert near.min() > radius - 0.001
    assert solid_of(part.mesh, "cable").volume() > 0.0


def test_a_cable_that_hangs_straight_down():
    part = cable_part(cable(from_=(1, 1, 2.5), to=(1, 1, 2.0)))
    low, high = part.mesh.bounds
    assert (low[2], high[2]) == pytest.approx((2.0, 2.5))
    assert np.ptp(part.mesh.bounds[:, 0]) == pytest.approx(0.012, abs=0.001)


def test_its_material_decides():
    assert cable_part(cable()).combustible
    assert not cable_part(cable(material="steel")).combustible


def test_a_mirrored_cable_is_the_mirrored_tube():
    one = cable_part(cable(sag=0.3))
    other = cable_part(cable(sag=0.3, from_=(0, 0, 2.5), to=(-4, 3, 2.8)))
    assert other.mesh.bounds == pytest.approx(
        np.sort(one.mesh.bounds * [-1.0, 1.0, 1.0], axis=0), abs=1e-9
    )
    turned = cable_part(cable(sag=0.3, from_=(4, 3, 2.8), to=(0, 0, 2.5)))
    assert turned.mesh.bounds == pytest.approx(one.mesh.bounds, abs=1e-9)


@pytest.mark.parametrize(
    ("given", "where", "words"),
    [
        ({"to": (0, 0, 2.5)}, 'cable "string"', "has no length"),
        ({"to": (0, 0, 2.0), "sag": 0.1}, 'cable "string".sag', "straight down"),
        ({"to": (0.2, 0, 2.5), "sag": 1.0}, 'cable "string".sag', "more sharply"),
    ],
)
def test_an_impossible_cable_is_refused(given, where, words):
    with pytest.raises(InputError, match=words) as error:
        cable_part(cable(**given))
    assert error.value.mistakes[0].where == where
