"""Exposure limits against the standards they come from; band shares against Planck's integral."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from heatcore.checks.exposure import CEILING, EYE, HEAT_STRESS, eye_seconds, pain_seconds
from heatcore.geometry.frames import Frame
from heatcore.geometry.rays import Obstacles
from heatcore.heat.people.exposure import EYE_BAND_UM, eye_irradiances
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import FINAL, irradiances
from heatcore.scene.types import Pattern

NOTHING = Obstacles(())
UP = np.array([0.0, 0.0, 1.0])


def panel(height: float, power: float = 1800.0, kelvin: float = 1100.0) -> Emitter:
    """A Lambertian aperture of 1.00 x 0.15 m that looks straight down."""
    return Emitter(
        name="H",
        frame=Frame((0.0, 0.0, height), np.eye(3)),
        length=1.0,
        width=0.15,
        radiant_power_w=power,
        pattern=Pattern(kind="uniform"),
        element_temperature=kelvin - 273.15,
    )


@pytest.mark.parametrize(
    ("irradiance", "seconds"), [(3200.9, 10.0), (569.2, 100.0), (101.2, 1000.0)]
)
def test_how_long_an_eye_may_be_exposed(irradiance: float, seconds: float) -> None:
    """18000 t**-0.75: Directive 2006/25/EC, Annex I, Table 1.1, m; ICNIRP 2013."""
    assert eye_seconds(irradiance) == pytest.approx(seconds, rel=5e-4)


def test_an_eye_may_be_exposed_for_ever_to_100_w_m2() -> None:
    """Directive 2006/25/EC, Annex I, Table 1.1, n."""
    assert EYE.value == 100.0
    assert eye_seconds(100.0) == eye_seconds(0.0) == inf
    assert eye_seconds(100.1) == 1000.0


@pytest.mark.parametrize(
    ("kw_m2", "seconds"),
    [(1, 115), (2, 45), (3, 27), (4, 18), (5, 13), (6, 11), (8, 7), (10, 5), (12, 4)],
)
def test_time_to_pain(kw_m2: float, seconds: float) -> None:
    """Handbook of Chemical Hazard Analysis Procedures (FEMA, DOT, EPA 1989), Table 4.2."""
    assert pain_seconds(1000.0 * kw_m2) == pytest.approx(seconds)


@pytest.mark.parametrize(("kw_m2", "seconds"), [(1.74, 60), (2.33, 40), (2.90, 30), (4.73, 16)])
def test_time_to_pain_between_the_entries(kw_m2: float, seconds: float) -> None:
    """API Std 521's own table of the same, from memory: another set of people and of tests."""
    assert pain_seconds(1000.0 * kw_m2) == pytest.approx(seconds, rel=0.15)


def test_the_longest_exposure_of_clothed_personnel() -> None:
    """API Std 521: 500 Btu/h ft2, rounded to 1.58 kW/m2."""
    assert pytest.approx(500.0 * 3.15459, rel=2e-3) == CEILING.value


def test_moderate_heat_stress() -> None:
    """UTCI's assessment scale: 26 to 32 C (Broede et al. 2012)."""
    assert HEAT_STRESS.value == 26.0


@pytest.mark.parametrize(
    ("kelvin", "total"), [(900.0, 487.0), (1100.0, 294.0), (1500.0, 178.0), (2200.0, 133.0)]
)
def test_the_total_that_puts_100_w_m2_into_the_eye_band(kelvin: float, total: float) -> None:
    """Of a blackbody: 100 W/m2 over the share between 0.78 and 3 um by Planck's integral."""
    # A small panel 50 m ahead that looks level toward the eye, which gets the beam square on.
    ahead = Frame((50.0, 0.0, 0.0), np.array([[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]]))
    heater = replace(panel(0.0, 1e6, kelvin), frame=ahead, length=0.01, width=0.01)
    whole = 1e6 / (np.pi * 50.0**2)
    into = float(eye_irradiances([heater], np.zeros((1, 3)), NOTHING)[0, 0])
    assert 100.0 * whole / into == pytest.approx(total, rel=3e-3)
    assert EYE_BAND_UM == (0.78, 3.0)


@pytest.mark.parametrize(("head", "expected"), [(0.0, 96.64), (0.6, 168.14), (1.7, 888.75)])
def test_heads_below_a_panel(head: float, expected: float) -> None:
    """1800 W from 1.0 x 0.15 m at 2.4 m: Howell's catalogue B-3, four corners, by 12 kW/m2."""
    heater = panel(2.4)
    found = irradiances([heater], np.array([[0.0, 0.0, head]]), UP, NOTHING, FINAL)["H"]
    assert float(found[0]) == pytest.approx(expected, rel=1e-4)


def test_an_upright_eye_beside_a_panel() -> None:
    """1 m along from below it and 2 m under: 0.003592 (Howell B-8, tilted by 90 degrees)."""
    share = 0.015325 + 0.324735  # 1100 K: 0.78 to 1.4 um and 1.4 to 3 um, by Planck's integral
    into = eye_irradiances([panel(2.0)], np.array([[-1.0, 0.0, 0.0]]), NOTHING, samples=256)
    assert float(into[0, 0]) == pytest.approx(12000.0 * 0.003592 * share, rel=4e-3)


def test_an_eye_right_below_still_gets_something() -> None:
    """Half the panel lies before it, at a grazing angle: an upright element and a level rectangle.

    B-4 of Howell's catalogue, turned: by plain quadrature of the half that lies ahead.
    """
    x, y = np.meshgrid((np.arange(400) + 0.5) / 800, (np.arange(120) + 0.5) / 800 - 0.075)
    d2 = x**2 + y**2 + 0.7**2
    factor = float(np.sum(x * 0.7 / (np.pi * d2**2)) * (0.5 / 400) * (0.15 / 120))
    into = eye_irradiances([panel(2.4)], np.array([[0.0, 0.0, 1.7]]), NOTHING, samples=512)
    share = 0.015325 + 0.324735
    assert float(into[0, 0]) == pytest.approx(12000.0 * factor * share, rel=1e-2)
