"""Lengths, pitches and conversion factors against published values."""

import math

import pytest

from heatcore.units import (
    format_length,
    format_pitch,
    parse_angle,
    parse_duration,
    parse_irradiance,
    parse_length,
    parse_pitch,
    parse_power,
    parse_speed,
    parse_temperature,
)
from tests.reference.rafters import RAFTERS

INCH_M = 0.0254


@pytest.mark.parametrize(("rise", "slope_deg", "factor"), RAFTERS)
def test_rafter_table(rise: int, slope_deg: float, factor: float) -> None:
    for text in (f"{rise}:12", f"{rise}/12", f"{rise} in 12"):
        slope_rad = parse_pitch(text)
        assert math.degrees(slope_rad) == pytest.approx(slope_deg, abs=5e-5)
        assert 1 / math.cos(slope_rad) == pytest.approx(factor, abs=5e-7)
    assert format_pitch(math.radians(slope_deg)) == f"{rise}:12"


@pytest.mark.parametrize(
    ("rise", "length_in"),
    [(6, 13.42), (7, 13.89)],
    ids=["Griffith, Carpentry, framing table", "US Navy, Builder NAVEDTRA 14044, fig. 2-17"],
)
def test_length_of_common_rafters_per_foot_run(rise: int, length_in: float) -> None:
    """The line of that name on a framing square, as read in the two manuals named."""
    assert 12 / math.cos(parse_pitch(f"{rise}:12")) == pytest.approx(length_in, abs=0.005)


def test_four_in_twelve_is_a_third_and_not_33_degrees() -> None:
    """Arithmetic: 4/12 is 33.3 % and 18.43 degrees."""
    assert format_pitch(parse_pitch("4:12"), "%") == "33.3%"
    assert format_pitch(parse_pitch("4:12"), "deg") == "18.4 deg"


@pytest.mark.parametrize(
    ("rise", "drop_in", "along_slope_in"),
    [
        (1, 3, 36.1248),
        (2, 6, 36.4966),
        (3, 9, 37.1080),
        (4, 12, 37.9473),
        (6, 18, 40.2492),
        (8, 24, 43.2666),
        (12, 36, 50.9117),
    ],
)
def test_points_36_in_apart_under_a_slope(rise: int, drop_in: int, along_slope_in: float) -> None:
    """Arithmetic: 36 in level by the rise in 12, and by hypot(rise, 12)/12 along the slope."""
    apart_m, slope_rad = parse_length("36 in"), parse_pitch(f"{rise}:12")
    assert format_length(apart_m * math.tan(slope_rad), "imperial") == format_length(
        drop_in * INCH_M, "imperial"
    )
    assert apart_m / math.cos(slope_rad) / INCH_M == pytest.approx(along_slope_in, abs=5e-5)


@pytest.mark.parametrize(
    ("pitch", "square_in"), [("3:12", 11.6417), ("6:12", 10.7331), ("12:12", 8.4853)]
)
def test_a_vertical_foot_of_gap_square_to_the_slope(pitch: str, square_in: float) -> None:
    """Arithmetic: 12 in times the cosine of the slope."""
    gap_in = parse_length("12 in") * math.cos(parse_pitch(pitch)) / INCH_M
    assert gap_in == pytest.approx(square_in, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("7'6 3/8\"", 2295.525),
        ("7' 6-3/8\"", 2295.525),
        ("7'-6 3/8\"", 2295.525),
        ('90.375"', 2295.525),
        ("7\u2032 6\u215c\u2033", 2295.525),
        ("8'", 2438.4),
    ],
)
def test_the_inch_is_25_4_mm(text: str, length_mm: float) -> None:
    """International yard and pound agreement, 1959: the inch is 25.4 mm exactly."""
    assert parse_length(text) == length_mm / 1000


@pytest.mark.parametrize(
    ("text", "shown"),
    [("10 ft 0 in", "10' 0\""), ("6 in", '6"'), ("1/2 in", '1/2"'), ("12 3/4 in", "1' 0 3/4\"")],
)
def test_us_drawing_practice(text: str, shown: str) -> None:
    """Feet and inches from a foot up, the zero inches kept; inches alone under a foot.

    Drafting practice for construction drawings as handbooks give it (northernarchitecture.us,
    types of dimensions, items 2 and 3). The space where a drawing has a hyphen is our own choice.
    """
    assert format_length(parse_length(text), "imperial") == shown


# Factors to SI in UN/ECE Recommendation 20 (codes FOT, INH, HM, KNT, 2I, N50) and NIST SP 811,
# appendix B.8, which agree. N50 and 2I were read second-hand; the others are from memory.
@pytest.mark.parametrize(
    ("value", "factor"),
    [
        (parse_length("1 ft"), 0.3048),
        (parse_length("1 in"), 0.0254),
        (parse_speed("1 mph"), 0.44704),
        (parse_speed("1 kn"), 0.5144444),
        (parse_power("1 Btu/h"), 0.2930711),
        (parse_irradiance("1 Btu/h ft2"), 3.154591),
        (parse_angle("1 deg"), 0.01745329),
    ],
    ids=["foot", "inch", "mile per hour", "knot", "Btu per hour", "Btu per hour ft2", "degree"],
)
def test_conversion_factors(value: float, factor: float) -> None:
    assert value == pytest.approx(factor, rel=3e-7)


def test_a_kilowatt_hour_in_btu() -> None:
    """US Energy Information Administration, Btu conversion factors (2012): 3412.14 Btu."""
    assert parse_power("3412.14 Btu/h") == pytest.approx(1000, rel=1e-6)
    assert parse_power("3.41214 kBtu/h") == parse_power("3412.14 Btu/hr")


def test_gas_used_in_an_evening_in_therms() -> None:
    """EIA, as above: a therm is 100,000 Btu, so 40 kBtu/h for 3 h is 1.200 therms."""
    therm_j = parse_power("100,000 Btu/h") * parse_duration("1 h")
    used_j = parse_power("40 kBtu/h") * parse_duration("3 h")
    assert used_j / therm_j == pytest.approx(1.2, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "irradiance_w_m2"), [("500 Btu/h ft2", 1577.30), ("1500 Btu/(h·ft²)", 4731.89)]
)
def test_irradiance_in_us_units(text: str, irradiance_w_m2: float) -> None:
    """API Std 521 states these as 1.58 and 4.73 kW/m2; the digits are arithmetic."""
    assert parse_irradiance(text) == pytest.approx(irradiance_w_m2, abs=0.005)
    assert 1 / parse_irradiance("1 Btu/h ft2") == pytest.approx(0.316998, abs=5e-7)


@pytest.mark.parametrize(
    ("text", "temperature_c"),
    [
        ("32 °F", 0.0),
        ("212 °F", 100.0),
        ("-40 °F", -40.0),
        ("-459.67 °F", -273.15),
        ("0 K", -273.15),
    ],
)
def test_fixed_points_of_the_temperature_scales(text: str, temperature_c: float) -> None:
    """NIST SP 811, appendix B: t(C) = (t(F) - 32)/1.8 and t(C) = T(K) - 273.15."""
    assert parse_temperature(text) == temperature_c
