"""Half-shadows shared by the neighbors of a grid, against looking from each point by itself."""

from math import radians

import numpy as np
import pytest

from heatcore.geometry.parts import Mesh
from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.irradiance import FINAL, LIVE, irradiance
from tests.core.test_irradiance import BOARDS, OPEN, UP, box, each_pattern, heater, plane

POINTS, GRID = plane(half=3.0, step=0.1)


def slab(z: float, half: float = 9.0) -> tuple[str, Mesh]:
    return "slab", box((-half, -half, z), (half, half, z + 0.05))


@each_pattern
def test_with_nothing_in_the_way_it_is_what_leaves_the_aperture(pattern):
    emitter = heater(tilt=radians(30), pattern=pattern)
    assert irradiance(emitter, POINTS, UP, OPEN, LIVE, GRID) == pytest.approx(
        irradiance(emitter, POINTS, UP, OPEN), rel=1e-5
    )


def test_under_a_slab_there_is_nothing():
    assert not irradiance(heater(), POINTS, UP, Obstacles([slab(1.0)]), LIVE, GRID).any()


@each_pattern
@pytest.mark.parametrize("tilt", [0.0, 0.3])
def test_among_slats_and_boards_it_is_near_what_each_point_finds(pattern, tilt):
    emitter, around = heater((0.2, 0.1, 2.4), 0.3, tilt, pattern=pattern), Obstacles(BOARDS)
    true = irradiance(emitter, POINTS, UP, around, FINAL)
    off = (irradiance(emitter, POINTS, UP, around, LIVE, GRID) - true) / true.max()
    assert np.sqrt(np.mean(off**2)) <= 0.018  # slats all over: a hard case
    assert abs(off.mean()) <= 0.003


def test_a_sharp_edge_stays_where_it_is():
    # A board a hand over the floor: what lies well under it gets nothing, what lies beside all.
    board = Obstacles([("board", box((-2.0, -3.0, 0.05), (0.0, 3.0, 0.07)))])
    free = irradiance(heater(), POINTS, UP, OPEN)
    found = irradiance(heater(), POINTS, UP, board, LIVE, GRID)
    under = (POINTS[:, 0] > -1.9) & (POINTS[:, 0] < -0.1)
    beside = (POINTS[:, 0] > 0.1) | (POINTS[:, 0] < -2.2)
    assert np.all(found[under] <= 0.005 * free.max())
    assert found[beside] == pytest.approx(free[beside], rel=0.02, abs=0.005 * free.max())


@pytest.mark.parametrize("grid", [(1, 60), (60, 1), (2, 30), (30, 2)])
def test_a_narrow_grid_is_one_too(grid):
    row = np.column_stack([np.linspace(-2.9, 2.9, 60), np.zeros((60, 2))])
    points = row.reshape(30, 2, 3).transpose(1, 0, 2).reshape(-1, 3) if grid == (2, 30) else row
    found = irradiance(heater(), points, UP, OPEN, LIVE, grid)
    assert found == pytest.approx(irradiance(heater(), points, UP, OPEN), rel=1e-5)


def test_points_above_the_heater_get_nothing():
    high = POINTS + np.array([0.0, 0.0, 3.0])
    assert not irradiance(heater(), high, UP, Obstacles(BOARDS), LIVE, GRID).any()
