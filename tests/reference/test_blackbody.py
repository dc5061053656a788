"""Blackbody radiation against CODATA, Planck's integral and printed tables."""

from itertools import pairwise

import numpy as np
import pytest
from scipy import constants
from scipy.integrate import quad

from heatcore.heat.radiation.blackbody import (
    C2,
    SIGMA,
    WIEN,
    band_fraction,
    band_share,
    exitance,
    peak_wavelength_um,
)

FRACTION = 2e-5  # absolute, on fractions


def test_constants():
    # CODATA 2018 and 2022 (NIST): printed to ten digits; exact in h, c and k.
    assert pytest.approx(5.670374419e-8, rel=1e-9) == SIGMA
    assert pytest.approx(2.897771955e-3, rel=1e-9) == WIEN
    assert pytest.approx(1.438776877e-2, rel=1e-9) == C2
    # The same again from scipy, which carries CODATA's own table.
    assert pytest.approx(constants.sigma, rel=1e-9) == SIGMA
    assert pytest.approx(constants.Wien, rel=1e-9) == WIEN


@pytest.mark.parametrize(
    ("kelvin", "expected"),
    [
        (900, 37203.3), (1000, 56703.7), (1100, 83020.0), (1200, 117580.9), (1500, 287062.7),
        (1800, 595253.2), (2000, 907259.9), (2200, 1328319.2),
    ],
)  # fmt: skip
def test_exitance(kelvin, expected):
    # Arithmetic on CODATA's sigma, printed to a tenth of a watt.
    assert exitance(kelvin) == pytest.approx(expected, abs=0.05)


def test_net_exitance_of_a_grey_element():
    # Arithmetic: emissivity 0.85, 1100 K against surroundings of 283 K.
    assert 0.85 * (exitance(1100) - exitance(283)) == pytest.approx(70257.8, abs=0.05)


@pytest.mark.parametrize(
    ("kelvin", "expected"),
    [(900, 3.2197), (1100, 2.6343), (1500, 1.9318), (1800, 1.6099), (2200, 1.3172)],
)
def test_peak_wavelength(kelvin, expected):
    # Wien's displacement law, printed to four decimals.
    assert peak_wavelength_um(kelvin) == pytest.approx(expected, abs=5e-5)


PLANCK = {
    1000: 0.000321, 2000: 0.066730, 2200: 0.100890, 3000: 0.273229,
    4000: 0.480865, 5000: 0.633726, 6000: 0.737789,
}  # fmt: skip
# Incropera, Table 12.x, and Modest, App. C, with an older c2, from memory: 3e-5 off at the worst.
PRINTED = {
    1000: 0.000321, 2000: 0.066728, 2200: 0.100888, 3000: 0.273232,
    4000: 0.480877, 5000: 0.633747, 6000: 0.737818,
}  # fmt: skip


@pytest.mark.parametrize("product", PLANCK)
def test_fraction_below_a_wavelength(product):
    # Planck's integral, recomputed by series and by quadrature.
    assert band_fraction(product) == pytest.approx(PLANCK[product], abs=FRACTION)
    assert band_fraction(product) == pytest.approx(PRINTED[product], abs=4e-5)


@pytest.mark.parametrize("product", [300.0, 1500.0, 2897.8, 14000.0, 14388.0, 14500.0, 1e5, 1e6])
def test_fraction_is_plancks_integral(product):
    # By scipy's quadrature, on both sides of where the two series meet (x = 1 at 14388 um K).
    x = C2 * 1e6 / product
    # 15 / pi**4 times the integral from x up is the fraction below the wavelength.
    above, _ = quad(lambda t: t**3 / np.expm1(t) if t else 0.0, 0.0, x, epsabs=1e-13)
    assert band_fraction(product) == pytest.approx(1 - 15 / np.pi**4 * above, abs=1e-9)


def test_a_band_of_a_published_example():
    # EES library, worked example of its blackbody function: 1000 K between 4 and 5 um, 0.1529.
    assert band_share(4, 5, 1000) == pytest.approx(0.1529, abs=5e-5)
    assert band_share(4, 5, 1000) == pytest.approx(0.152861, abs=FRACTION)


@pytest.mark.parametrize(
    ("kelvin", "shares"),
    [
        (900, (0.000002, 0.003305, 0.202050, 0.794643)),
        (1100, (0.000046, 0.015325, 0.324735, 0.659895)),
        (1500, (0.001682, 0.081371, 0.481250, 0.435697)),
        (2200, (0.030130, 0.261152, 0.491885, 0.216833)),
    ],
)
def test_light_and_the_infrared_bands(kelvin, shares):
    # Planck's integral: below 0.78 um, IR-A to 1.4 um, IR-B to 3 um, IR-C.
    edges = (0.0, 0.78, 1.4, 3.0, np.inf)
    found = [band_share(a, b, kelvin) for a, b in pairwise(edges)]
    assert found == pytest.approx(shares, abs=FRACTION)
    assert sum(found) == pytest.approx(1.0, abs=1e-12)


def test_one_value_or_many_and_the_ends():
    many = np.array([[0.0, 1e-3, 1000.0], [3000.0, 1e7, np.inf]])
    found = band_fraction(many)
    assert found.shape == many.shape
    assert found == pytest.approx(np.array([[band_fraction(v) for v in row] for row in many]))
    assert found[0, 0] == pytest.approx(0.0, abs=1e-200)
    assert found[1, 2] == pytest.approx(1.0, abs=1e-15)
    assert np.all(np.diff(band_fraction(np.linspace(1, 1e5, 5000))) >= 0.0)
