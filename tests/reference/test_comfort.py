"""Radiant field, mean radiant temperature and UTCI against standards and open data sets."""

from math import radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatcore.heat.people.bodies import F_EFF_SEATED, F_EFF_STANDING, projected_area_factor
from heatcore.heat.people.comfort import (
    LONG_WAVE,
    MOST_VAPOR,
    TO_10_M,
    absorptance,
    effective_radiant_field,
    field_for,
    radiant_temperature,
    saturation_pressure,
    utci,
    utci_notes,
    wind_at_10_m,
)
from heatcore.heat.radiation.blackbody import SIGMA, ZERO_CELSIUS, band_fraction


def f_p(seated, altitude, azimuth):
    return projected_area_factor(seated, np.radians(altitude), np.radians(azimuth))


class TestProjectedArea:
    # P. O. Fanger, Thermal Comfort, 1970, as tabulated in ANSI/ASHRAE 55 Appendix C.
    @pytest.mark.parametrize(
        ("seated", "altitude", "azimuth", "expected"),
        [
            (False, 90, 0, 0.082), (False, 0, 0, 0.350), (False, 0, 90, 0.230),
            (False, 45, 0, 0.258), (True, 90, 0, 0.177), (True, 0, 0, 0.290), (True, 60, 0, 0.262),
        ],
    )  # fmt: skip
    def test_entries(self, seated, altitude, azimuth, expected):
        assert f_p(seated, altitude, azimuth) == pytest.approx(expected, abs=1e-12)

    def test_effective_area(self):
        # ANSI/ASHRAE 55 Appendix C.
        assert (F_EFF_STANDING, F_EFF_SEATED) == (0.725, 0.696)

    def test_between_entries_it_is_bilinear(self):
        # By hand from the table: the mean of the four entries round 37.5 and 22.5 degrees.
        by_hand = (0.294 + 0.289 + 0.298 + 0.290) / 4
        assert f_p(True, 37.5, 37.5) == pytest.approx(by_hand, abs=1e-12)

    @given(st.booleans(), st.floats(-90, 90), st.floats(-720, 720))
    def test_left_is_right_below_is_above_and_a_whole_turn_is_none(self, seated, altitude, azimuth):
        found = f_p(seated, altitude, azimuth)
        assert 0.08 <= found <= 0.36
        for other in ((altitude, -azimuth), (-altitude, azimuth), (altitude, azimuth + 360)):
            assert f_p(seated, *other) == pytest.approx(found, abs=1e-9)

    def test_one_direction_or_many(self):
        seated, altitude, azimuth = np.array([True, False]), np.array([[10.0], [70.0]]), 33.0
        many = f_p(seated, altitude, azimuth)
        assert many.shape == (2, 2)
        assert many[1, 0] == f_p(True, 70.0, 33.0)

    def test_the_mean_over_the_sphere_is_that_of_a_convex_body(self):
        # Cauchy, 1841: over all directions, a convex body shows a quarter of its surface. People
        # are not quite convex; the effective area is defined so that they come out the same.
        altitude = np.degrees(np.arcsin(np.linspace(0.0005, 0.9995, 1000)))[:, None]
        azimuth = np.linspace(0, 180, 181)
        assert f_p(False, altitude, azimuth).mean() == pytest.approx(0.25, rel=0.03)
        assert f_p(True, altitude, azimuth).mean() == pytest.approx(0.25, rel=0.05)


# ANSI/ASHRAE 55-2017 Appendix C, its table of worked rows, in the open (MIT) data set
# FedericoTartarini/validation-data-comfort-models, ts_solar_gain.json, tolerance 0.1: altitude and
# azimuth of the sun, direct irradiance, transmittance, sky view, share of the body in the sun,
# short-wave absorptance, seated; ERF [W/m2], rise of the mean radiant temperature [K].
SOLAR = [
    (45, 0, 700, 0.8, 0.2, 0.5, 0.7, True, 64.9, 15.5),
    (0, 120, 800, 0.5, 0.5, 0.5, 0.7, True, 43.3, 10.4),
    (60, 120, 800, 0.5, 0.5, 0.5, 0.7, True, 63.2, 15.1),
    (90, 120, 800, 0.5, 0.5, 0.5, 0.7, True, 65.3, 15.6),
    (30, 0, 800, 0.5, 0.5, 0.5, 0.7, True, 63.1, 15.1),
    (30, 30, 800, 0.5, 0.5, 0.5, 0.7, True, 62.4, 14.9),
    (30, 60, 800, 0.5, 0.5, 0.5, 0.7, True, 60.5, 14.5),
    (30, 90, 800, 0.5, 0.5, 0.5, 0.7, True, 57.2, 13.7),
    (30, 150, 800, 0.5, 0.5, 0.5, 0.7, True, 51.7, 12.4),
    (30, 180, 800, 0.5, 0.5, 0.5, 0.7, True, 49.0, 11.7),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.7, False, 59.3, 13.6),
    (30, 120, 400, 0.5, 0.5, 0.5, 0.7, True, 27.4, 6.6),
    (30, 120, 600, 0.5, 0.5, 0.5, 0.7, True, 41.1, 9.8),
    (30, 120, 1000, 0.5, 0.5, 0.5, 0.7, True, 68.5, 16.4),
    (30, 120, 800, 0.1, 0.5, 0.5, 0.7, True, 11.0, 2.6),
    (30, 120, 800, 0.3, 0.5, 0.5, 0.7, True, 32.9, 7.9),
    (30, 120, 800, 0.7, 0.5, 0.5, 0.7, True, 76.7, 18.4),
    (30, 120, 800, 0.5, 0.1, 0.5, 0.7, True, 29.3, 7.0),
    (30, 120, 800, 0.5, 0.3, 0.5, 0.7, True, 42.1, 10.1),
    (30, 120, 800, 0.5, 0.7, 0.5, 0.7, True, 67.5, 16.2),
    (30, 120, 800, 0.5, 0.5, 0.1, 0.7, True, 36.4, 8.7),
    (30, 120, 800, 0.5, 0.5, 0.3, 0.7, True, 45.6, 10.9),
    (30, 120, 800, 0.5, 0.5, 0.7, 0.7, True, 64.0, 15.3),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.3, True, 23.5, 5.6),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.5, True, 39.1, 9.4),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.9, True, 70.4, 16.9),
    (30, 120, 800, 0.5, 0.5, 0.5, 0.7, True, 54.8, 13.1),
]


@pytest.mark.parametrize("row", SOLAR)
def test_effective_radiant_field_of_the_sun(row):
    altitude, azimuth, direct, transmitted, sky, in_sun, absorbed, seated, field, rise = row
    f_eff = F_EFF_SEATED if seated else F_EFF_STANDING
    # The standard's sun: a fifth of the direct beam comes from the sky, and 0.6 of both is
    # reflected by the floor; each fills half of what the body sees of it.
    from_sky = 0.2 * direct
    from_floor = 0.6 * (direct * np.sin(radians(altitude)) + from_sky)
    beam = f_p(seated, altitude, azimuth) * in_sun * direct
    projected = transmitted * (beam + 0.5 * sky * (from_sky + from_floor))
    found = effective_radiant_field(f_eff, projected, absorbed)
    assert found == pytest.approx(field, abs=0.05)
    # The standard's linear form takes h_r = 6.0 W/m2K, which reproduces all of its rows.
    assert found / (f_eff * 6.0) == pytest.approx(rise, abs=0.05)


class TestRadiantTemperature:
    @pytest.mark.parametrize(
        ("seated", "irradiance", "rise"),
        [(True, 100, 3.377), (True, 400, 12.849), (False, 100, 1.579), (False, 400, 6.166)],
    )
    def test_under_a_beam_from_overhead(self, seated, irradiance, rise):
        # Arithmetic on T**4 = T0**4 + f_p E / sigma at 10 C, all absorbed as long waves.
        f_eff = F_EFF_SEATED if seated else F_EFF_STANDING
        projected = f_p(seated, 90, 0) * irradiance
        field = effective_radiant_field(f_eff, projected, LONG_WAVE)
        found = radiant_temperature(10.0, field, f_eff)
        assert found - 10.0 == pytest.approx(rise, abs=5e-4)
        assert field_for(10.0, found, f_eff) == pytest.approx(field, rel=1e-9)

    def test_a_small_field_raises_it_by_the_linear_form_of_its_own_temperature(self):
        # 4 sigma T**3 is 5.149 W/m2K at 10 C (arithmetic).
        h_r = 4 * SIGMA * (10.0 + ZERO_CELSIUS) ** 3
        assert h_r == pytest.approx(5.149, abs=5e-4)
        found = radiant_temperature(10.0, 1e-3, F_EFF_SEATED) - 10.0
        assert found == pytest.approx(1e-3 / (F_EFF_SEATED * h_r), rel=1e-4)
        # With 6.012, the same of 25 C, the linear form comes out 14 % low here.
        low = 1e-3 / (F_EFF_SEATED * 6.012)
        assert low / found == pytest.approx(5.149 / 6.012, rel=1e-3)


class TestAbsorptance:
    def test_of_long_and_short_waves(self):
        # ANSI/ASHRAE 55 Appendix C: 0.95 for long waves, 0.7 the usual value for the sun's.
        assert absorptance(20.0) == pytest.approx(0.95, abs=2e-6)
        # The sun's share above 2.5 um, that of a blackbody of 5772 K, is 3.4 %.
        assert absorptance(5772.0 - ZERO_CELSIUS) == pytest.approx(0.7, abs=0.01)

    @pytest.mark.parametrize("kelvin", [900, 1123.15, 1500, 2200])
    def test_of_glowing_elements_is_weighted_by_the_bands(self, kelvin):
        short = band_fraction(2.5 * kelvin)
        by_hand = 0.7 * short + 0.95 * (1 - short)
        assert absorptance(kelvin - ZERO_CELSIUS) == pytest.approx(by_hand, rel=1e-12)

    def test_falls_with_the_temperature(self):
        assert np.all(np.diff(absorptance(np.linspace(100, 2600, 200))) < 0)


class TestUtci:
    # The open (MIT) data set FedericoTartarini/validation-data-comfort-models, ts_utci.json,
    # tolerance 0.1: air, radiant temperature, wind at 10 m, humidity.
    @pytest.mark.parametrize(
        ("air", "radiant", "wind", "expected"),
        [
            (25, 27, 1, 25.2), (19, 24, 1, 20.0), (19, 14, 1, 16.8), (27, 22, 1, 25.5),
            (27, 22, 10, 20.0), (27, 22, 16, 15.8), (30, 27, 1, 29.6), (9, 9, 1, 8.7),
            (25, 25, 1, 24.6),
        ],
    )  # fmt: skip
    def test_published(self, air, radiant, wind, expected):
        assert utci(air, radiant, wind, 0.5) == pytest.approx(expected, abs=0.1)

    # Two independent libraries (pythermalcomfort 4.8.1, ladybug-comfort), which agree to three
    # decimals; the polynomial of Broede et al. 2012 is the same, so this checks the transcription.
    @pytest.mark.parametrize(
        ("air", "radiant", "wind", "expected"),
        [(10, 10, 0.5, 10.631), (10, 20, 1, 13.295), (10, 30, 1, 16.880), (10, 30, 4, 8.581)],
    )
    def test_on_a_patio(self, air, radiant, wind, expected):
        assert utci(air, radiant, wind, 0.5) == pytest.approx(expected, abs=0.01)

    def test_wind_at_10_m(self):
        # Broede et al. 2012: log profile over a roughness length of 0.01 m.
        assert pytest.approx(1.4696, abs=5e-5) == TO_10_M
        assert wind_at_10_m(2.0) == pytest.approx(2.9392, abs=1e-4)

    def test_saturation(self):
        # W. Wagner and A. Pruss (IAPWS-95) saturation table, from memory: 12.28 hPa at 10 C,
        # 23.39 at 20 C, 42.47 at 30 C.
        assert saturation_pressure([10.0, 20.0, 30.0]) == pytest.approx(
            [12.28, 23.39, 42.47], rel=2e-3
        )

    @pytest.mark.parametrize(
        ("given_", "counted", "words"),
        [
            ((10, 20, 0.1, 0.5), (10, 20, 0.5, 0.5), "wind below 0.5 m/s at 10 m counts as 0.5"),
            ((10, 20, 20, 0.5), (10, 20, 17, 0.5), "wind above 17 m/s at 10 m counts as 17"),
            ((10, 90, 1, 0.5), (10, 80, 1, 0.5), "70 K above"),
            ((10, -30, 1, 0.5), (10, -20, 1, 0.5), "30 K below"),
            ((-60, -55, 1, 0.5), (-50, -45, 1, 0.5), "air below -50 °C"),
            ((55, 60, 1, 0.2), (50, 55, 1, 0.2), "air above 50 °C"),
            ((10, 20, 1, 0.0), (10, 20, 1, 0.05), "humidity below 5%"),
        ],
    )
    def test_beyond_its_range_the_end_counts_and_a_note_says_so(self, given_, counted, words):
        # The range of Broede et al. 2012.
        assert utci(*given_) == pytest.approx(utci(*counted), abs=1e-12)
        (note,) = utci_notes(*given_)
        assert words in note
        assert utci_notes(*counted) == ()

    def test_vapor_pressure_is_bounded(self):
        share = MOST_VAPOR / float(saturation_pressure(45.0))
        assert utci(45, 45, 1, 1.0) == pytest.approx(utci(45, 45, 1, share), abs=1e-9)
        assert utci_notes(45, 45, 1, 1.0) == ("vapor pressure above 50 hPa counts as 50",)

    def test_one_or_many(self):
        many = utci(10.0, np.array([10.0, 20.0, 30.0]), 1.0, 0.5)
        assert many == pytest.approx([float(utci(10.0, tr, 1.0, 0.5)) for tr in (10, 20, 30)])
