"""The travels at which something is too near, against distances measured travel by travel."""

from __future__ import annotations

from math import pi, radians, sqrt

import numpy as np
import pytest

from heatcore.geometry.distance import clearance_margin
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.mounting.structure import Structure
from heatcore.mounting.sweep import Blocked, blocked
from heatcore.scene.types import Distances
from tests.core.mounting_site import LINEAR, block, heater_type

DOWN = np.array([0.0, 0.0, -1.0])
LEVEL = Frame(np.array([0.0, 0.0, 2.5]), np.eye(3))


def barred(
    parts: list[Part], frame: Frame = LEVEL, away: np.ndarray = DOWN, kind: object = LINEAR,
    first: float = -5.0, last: float = 5.0,
) -> Blocked:  # fmt: skip
    structure = Structure(tuple(parts))
    return blocked(kind, frame, away, structure, np.arange(len(parts)), first, last)  # type: ignore[arg-type]


def tetrahedron(corners: np.ndarray, name: str, *, burns: bool) -> Part:
    if np.linalg.det(corners[1:] - corners[0]) < 0.0:
        corners = corners[[0, 2, 1, 3]]
    faces = np.array([(0, 2, 1), (0, 1, 3), (1, 2, 3), (2, 0, 3)])
    return Part(name, name, Kind.ROOF, Mesh(corners, faces), "timber", burns)


@pytest.mark.parametrize("seed", range(6))
def test_free_travels_are_those_at_which_every_distance_holds(seed: int) -> None:
    random = np.random.default_rng(seed)
    parts = [
        tetrahedron(
            random.uniform(-1.2, 1.2, 3) + LEVEL.origin + random.uniform(-0.5, 0.5, (4, 3)),
            f"part {i}",
            burns=bool(i % 2),
        )
        for i in range(4)
    ]
    tilt = random.uniform(-0.6, 0.6)
    frame = Frame(np.array([0.0, 0.0, 2.5]), heading_axes(random.uniform(0, 2 * pi), tilt))
    away = random.normal(size=3)
    away /= np.linalg.norm(away)
    found = barred(parts, frame, away)
    size = (LINEAR.length, LINEAR.width, LINEAR.height)
    edges = np.concatenate(found.merged)
    tried = [*random.uniform(-4.0, 4.0, 40), *(edges + 1e-6), *(edges - 1e-6)]
    kept = 0
    for travel in tried:
        margin = min(
            clearance_margin(
                frame.moved(travel * away), size,
                LINEAR.combustible if part.combustible else LINEAR.noncombustible, part.mesh,
            )
            for part in parts
        )  # fmt: skip
        if abs(margin) < 1e-8:
            continue
        kept += 1
        assert (float(found.next(travel)) == travel) == (margin > 0.0), (travel, margin)
    assert kept > 40
    assert len(edges)


def test_exactly_at_the_required_distance_nothing_is_barred() -> None:
    side = LINEAR.width / 2 + LINEAR.combustible.sides
    for turn in (0.0, radians(33.0)):
        axes = heading_axes(turn)
        beside = block("beam", (-3.0, side, 2.0), (3.0, side + 0.1, 3.0))
        mesh = Mesh(beside.mesh.vertices @ axes + [100.0, -70.0, 0.0], beside.mesh.triangles)
        turned = Part("beam", "beam", Kind.BEAM, mesh, "timber", True)
        frame = Frame(np.array([100.0, -70.0, 2.5]), axes)
        assert not len(barred([turned], frame).enter)
        nearer = Mesh(mesh.vertices - 1e-6 * axes[1], mesh.triangles)
        found = barred([Part("beam", "beam", Kind.BEAM, nearer, "timber", True)], frame)
        assert float(found.next(0.0)) > 0.0


def test_the_least_distance_rounds_the_corner_off() -> None:
    """A knife edge beyond the body's upper edge: Pythagoras, where no volume reaches it."""
    least = 0.3
    kind = heater_type(combustible=Distances(above=least, sides=0.3, ends=0.3, below=0.9))
    out = 0.1  # beside the body, above its top
    edge_y, edge_z = kind.width / 2 + out, 3.0
    ring = np.array([(-9, edge_y, 3), (9, edge_y, 3), (0, edge_y + 9, 12), (0, edge_y + 9, 11.9)])
    part = tetrahedron(ring.astype(float), "knife", burns=True)
    found = barred([part], kind=kind)
    top = LEVEL.origin[2] + kind.height
    first_free = float(found.next(found.merged[0][-1] + 1e-6))
    assert edge_z - (top - first_free) == pytest.approx(sqrt(least**2 - out**2), abs=1e-9)


def test_intervals_are_joined_and_asked_like_numbers() -> None:
    some = Blocked(np.array([0.0, 1.0, 4.0]), np.array([1.0, 2.0, 5.0]), np.array([0, 1, 1]))
    assert some.merged[0].tolist() == [0.0, 4.0]
    assert some.merged[1].tolist() == [2.0, 5.0]
    assert some.next([-1.0, 0.0, 0.5, 1.0, 2.0, 3.0, 4.5]).tolist() == [-1, 0, 2, 2, 2, 3, 5]
    assert some.since(3.0) == 2.0
    assert some.since(-1.0) == -np.inf
    assert some.throughout(4.2, 4.8) == {1}
    assert some.throughout(0.5, 1.5) == frozenset()
    assert some.without([1]).next(1.5) == 1.5


def test_a_part_in_the_open_bars_nothing() -> None:
    assert not len(barred([block("far", (50, 50, 2), (51, 51, 3))]).enter)
    assert barred([]).next(0.3) == 0.3
