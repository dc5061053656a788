"""Radiant temperatures from readings, against ISO 7726 and worked examples."""

import numpy as np
import pytest

from heatcore.heat.people.radiant import (
    SEATED_WEIGHTS,
    STANDING_WEIGHTS,
    from_globe,
    from_six_planes,
    operative_temperature,
)


def test_weights():
    # ISO 7726:1998, its annex on plane radiant temperatures, quoted by a handbook of instruments.
    assert pytest.approx([0.08, 0.08, 0.23, 0.23, 0.35, 0.35]) == STANDING_WEIGHTS * 2 * 0.66
    assert pytest.approx([0.18, 0.18, 0.22, 0.22, 0.30, 0.30]) == SEATED_WEIGHTS * 1.40
    assert [STANDING_WEIGHTS.sum(), SEATED_WEIGHTS.sum()] == pytest.approx([1.0, 1.0])


@pytest.mark.parametrize(
    ("seated", "linear", "fourth"), [(False, 13.0303, 13.8523), (True, 16.4286, 17.9956)]
)
def test_a_warm_ceiling(seated, linear, fourth):
    # Arithmetic on those weights: 60 C above, 10 C all round; to 0.001 K.
    planes = np.array([60.0, 10, 10, 10, 10, 10])
    assert from_six_planes(planes, seated=seated) == pytest.approx(fourth, abs=0.001)
    weights = SEATED_WEIGHTS if seated else STANDING_WEIGHTS
    assert planes @ weights == pytest.approx(linear, abs=0.001)
    many = from_six_planes(np.stack([planes, np.full(6, 12.0)]), seated=seated)
    assert many == pytest.approx([fourth, 12.0], abs=0.001)


def test_globes():
    # pythermalcomfort's documentation: 74.8, and recomputed 74.77.
    assert from_globe(53.2, 30.0, 0.3, 0.10) == pytest.approx(74.77, abs=0.01)
    # Recomputed 74.62; the example printed in ISO 7726:1998 Annex B says 74.7, from memory.
    assert from_globe(55.0, 30.0, 0.3, 0.15) == pytest.approx(74.62, abs=0.01)
    assert from_globe(55.0, 30.0, 0.3, 0.15) == pytest.approx(74.7, abs=0.2)


def test_a_globe_as_warm_as_the_air_is_as_warm_as_the_surroundings():
    assert from_globe(12.0, 12.0, [0.0, 2.0]) == pytest.approx([12.0, 12.0])


def test_operative_temperature():
    # ISO 7726:1998 by hand, and as pythermalcomfort gives it: air at 10, radiation at 30 C.
    found = operative_temperature(10.0, 30.0, [0.1, 0.5, 1.0])
    assert found == pytest.approx([20.000, 16.180, 14.805], abs=5e-4)
