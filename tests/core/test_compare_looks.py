"""How heaters look together, against pairings and lines counted out by hand or by scipy."""

from itertools import permutations

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from heatcore.compare.looks import Looks, looks
from heatcore.geometry.build import build
from heatcore.mounting import hang
from heatcore.scene import parse_scene
from tests.core.patio_texts import PATIO

HEAD = PATIO.partition("[[heater]]")[0]
GABLE = 'form = "gable"\nridge_direction = "0 deg"\npitch = "10 deg"'


def look(*heaters: tuple[float, float], heading: float = 0.0, roof: str = "", **more: str) -> Looks:
    text = HEAD.replace('form = "flat"', roof) if roof else HEAD
    for number, (x, y) in enumerate(heaters):
        text += f'[[heater]]\nname = "H{number}"\ntype = "short linear"\nat = ["{x} m", "{y} m"]\n'
        text += f'heading = "{heading} deg"\n'
        text += more.get(f"H{number}", "")
    scene = parse_scene(text)
    found = looks(scene, hang(scene, build(scene)))
    assert found is not None
    return found


def test_a_pair_about_the_ridge_is_even() -> None:
    found = look((2, 1), (2, 3), roof=GABLE)
    assert found.axis == "the ridge of roof"
    assert found.asymmetry == 0.0
    assert len(found.heights) == 1
    assert found.off_line == 0.0


def test_off_the_ridge_by_as_much_as_it_is_moved() -> None:
    found = look((2, 1), (2.3, 3), roof=GABLE)
    assert found.asymmetry == pytest.approx(0.3, abs=1e-6)


def test_without_a_ridge_the_floor_s_long_axis_counts() -> None:
    found = look((2, 1), (6, 3))
    assert found.axis == "the floor's long axis"
    # Mirrored about y = 2 they stand at (2, 3) and (6, 1).
    assert found.asymmetry == pytest.approx(2.0)


@pytest.mark.parametrize("seed", range(4))
def test_asymmetry_is_the_best_pairing_s_worst_pair(seed: int) -> None:
    """Against every pairing there is; scipy's assignment (least sum) is never better."""
    rng = np.random.default_rng(seed)
    points = np.column_stack([rng.uniform(1, 7, 4), rng.uniform(1, 3, 4)]).round(3)
    mirrored = points * [1, -1] + [0, 4]
    apart = np.linalg.norm(mirrored[:, None] - points, axis=2)
    best = min(max(apart[i, j] for i, j in enumerate(p)) for p in permutations(range(4)))
    found = look(*[(float(x), float(y)) for x, y in points])
    assert found.asymmetry == pytest.approx(best, abs=1e-6)
    rows, columns = linear_sum_assignment(apart)
    assert found.asymmetry <= apart[rows, columns].max() + 1e-6


def test_a_heater_beside_the_line_of_the_others() -> None:
    found = look((1.5, 2), (3.5, 2), (5.5, 2.2))
    # The best line lies midway, at 2.1 m.
    assert found.off_line == pytest.approx(0.1)
    assert look((1.5, 2), (3.5, 2), (5.5, 2)).off_line == 0.0
    # More than half a metre beside it is a line of its own.
    assert look((1.5, 1), (3.5, 1), (5.5, 3)).off_line == 0.0


def test_lines_are_counted_along_the_heading() -> None:
    turned = look((2, 1), (2.2, 3), heading=90.0)
    assert turned.off_line == pytest.approx(0.1)
    assert turned.off_line_heater in ("H0", "H1")


def test_heights_that_differ() -> None:
    found = look((2, 2), (5, 2), H1='height = "2.4 m"\n')
    assert found.heights == pytest.approx([2.4, found.highest])
    assert found.height_range == pytest.approx(found.highest - 2.4)


def test_no_heaters_have_no_looks() -> None:
    scene = parse_scene(HEAD)
    assert looks(scene, ()) is None
