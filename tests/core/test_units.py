"""Reading and writing lengths, and any text at all.

Published values are in tests/reference/test_lengths.py.
"""

import itertools
import math
import re
import warnings
from collections.abc import Callable
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from heatcore import units
from heatcore.errors import UnitError
from heatcore.units import (
    UnitSystem,
    UnitWarning,
    format_length,
    format_temperature_step,
    parse_length,
)

# No run is timed and none draws other examples than the last: the same tests every time.
steady = settings(deadline=None, derandomize=True, database=None, max_examples=400)

READERS: list[Callable[[str], float]] = [
    units.parse_length,
    units.parse_angle,
    units.parse_pitch,
    units.parse_power,
    units.parse_temperature,
    units.parse_speed,
    units.parse_voltage,
    units.parse_duration,
    units.parse_irradiance,
    units.parse_fraction,
]

# A nanometre counts as on the step; see format_length.
SLACK_M = 1.0001e-9

lengths = st.floats(1e-6, 1e5) | st.floats(-1e5, -1e-6)
systems = st.sampled_from(UnitSystem)
roundings = st.sampled_from(["nearest", "up", "down"])


def read_quietly(text: str) -> float:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UnitWarning)
        return parse_length(text)


# ------------------------------------------------------------------------------ reading lengths


@steady
@given(st.integers(1, 400), st.integers(0, 11), st.integers(1, 6), st.data())
def test_every_spelling_of_feet_and_inches_gives_the_same_number(
    feet: int, inches: int, power: int, data: st.DataObject
) -> None:
    parts = 2**power
    part = data.draw(st.integers(1, parts - 1))
    exact_m = (12 * feet + inches + Fraction(part, parts)) * Fraction(254, 10_000)
    decimal = f"{inches + part / parts:.6f}"
    spellings = [
        f"{feet}{foot}{between}{shown}{inch}"
        for foot, between, shown, inch in itertools.product(
            ["'", "\u2032", "\u2019", "ft", " ft", " ft.", " feet", "\u00a0foot"],
            ["", " ", "-", " - ", " -", "\u2013", "\u00a0"],
            [
                f"{inches} {part}/{parts}",
                f"{inches}-{part}/{parts}",
                f"{inches}\u00a0{part}\u2044{parts}",
                decimal,
            ],
            ['"', "''", "\u2033", "\u201d", "in", " in", " in.", " inch", " inches", " IN", ""],
        )
    ]
    spellings += [f"{12 * feet + inches} {part}/{parts} in", f"{12 * feet + float(decimal)}in"]
    sampled = data.draw(st.lists(st.sampled_from(spellings), min_size=20, max_size=20))
    assert {parse_length(text) for text in sampled} == {float(exact_m)}
    assert {parse_length(f"-{text}") for text in sampled} == {-float(exact_m)}


@pytest.mark.parametrize("mark", "½¼¾⅛⅜⅝⅞")
def test_a_vulgar_fraction_is_read_alone_and_after_a_whole_number(mark: str) -> None:
    eighths = {"½": 4, "¼": 2, "¾": 6, "⅛": 1, "⅜": 3, "⅝": 5, "⅞": 7}[mark]
    for text in (f'6{mark}"', f"6 {mark} in", f"0'-6{mark}\""):
        assert parse_length(text) == float(Fraction(48 + eighths, 8) * Fraction(254, 10_000))
    assert parse_length(f"{mark}″") == float(Fraction(eighths, 8) * Fraction(254, 10_000))


@pytest.mark.parametrize(
    "text",
    [
        *("2.3 m", "2.3m", "230cm", "230 cm", "2300 mm", "2,300 mm", "2.3 metres", "2.3 meters"),
        *("2.3\u00a0m", "2.3 M", "  2.3  m ", "+2.3 m", "2,300.0 millimetres", "23e-1 m"),
    ],
)
def test_metric_lengths(text: str) -> None:
    assert parse_length(text) == 2.3


def test_the_hyphen_after_the_feet_is_never_a_minus() -> None:
    assert parse_length("7'-6\"") == parse_length("7' -6\"") == parse_length("7' 6\"")


@pytest.mark.parametrize("minus", ["-", "- ", "\u2212", "\u2013"])
def test_a_minus_in_front_goes_for_the_whole(minus: str) -> None:
    assert parse_length(f"{minus}7'-6\"") == -parse_length("7' 6\"")


def test_a_bare_number_takes_the_unit_given_and_no_other() -> None:
    assert parse_length(2.3, "m") == parse_length("2.3", "m") == 2.3
    assert parse_length(90, "in") == parse_length("90 in")
    assert parse_length(np.float64(2.3), "m") == 2.3
    assert parse_length("6 3/8", "in") == parse_length('6 3/8"')
    assert parse_length("2.3 m", "in") == 2.3
    for bare in ("2.3", 2.3, 2, "6 3/8"):
        with pytest.raises(UnitError, match="has no unit"):
            parse_length(bare)


def test_there_is_no_negative_zero() -> None:
    assert math.copysign(1, parse_length("-0 in")) == 1


@pytest.mark.parametrize("text", ["3/10 in", '6 1/3"', "7' 6⅓\"", "5 2/7 in"])
def test_a_fraction_no_tape_shows_is_read_with_a_warning(text: str) -> None:
    with pytest.warns(UnitWarning, match="no tape measure"):
        assert parse_length(text) > 0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is not a length"),
        ("3 fot", '"3 fot" is not a length. Write it as 7\' 6 3/8" or 2.3 m'),
        ("nan", "is not a length"),
        ("inf m", "is not a length"),
        ("-inf", "is not a length"),
        ("1/2/3 in", "is not a length"),
        ("1e999 m", "is too large"),
        ("9" * 501 + " m", "is not a length"),
        ("6 3/0 in", "not less than one"),
        ("7' 63/8\"", "leave a space before the fraction"),
        ("6.5 3/8 in", "is not a length"),
        ("7' 6 m", "is not a length"),
        ("7' 14\"", "12 inches or more after the feet"),
        ("7.5' 6\"", "is not a length"),
        ("7' --6\"", "is not a length"),
        ("7' 6' 3\"", "is not a length"),
        ("2,3 m", "write a decimal point"),
        ("23,00 mm", "write a decimal point"),
        ("5² m", "is not a length"),
        ("5 m²", "is not a length"),
        ("--5 m", "is not a length"),
        ("٣ m", "is not a length"),
        ("2 m 30 cm", "is not a length"),
        ("m", "is not a length"),
        (True, "is not a length"),
        (math.nan, "is not a length"),
        (math.inf, "is not a length"),
    ],
)
def test_what_is_not_a_length_is_refused_with_a_remedy(text: str | float, said: str) -> None:
    with pytest.raises(
        UnitError, match=re.escape(said).replace("leave", "[Ll]eave").replace("write", "[Ww]rite")
    ) as refused:
        parse_length(text)
    assert refused.value.remedy


def test_a_message_quotes_the_text_on_one_short_line() -> None:
    with pytest.raises(UnitError) as refused:
        parse_length("3\n\x00\tfot " + "and so on " * 20)
    assert refused.value.message.startswith('"3 fot and so on')
    assert "\n" not in str(refused.value)
    assert len(refused.value.message) < 70


# ------------------------------------------------------------------------------ writing lengths


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("7' 6 3/8\"", "7' 6 3/8\""),
        ("7 ft", "7' 0\""),
        ("12 in", "1' 0\""),
        ("84 3/8 in", "7' 0 3/8\""),
        ("6 3/8 in", '6 3/8"'),
        ("6 2/8 in", '6 1/4"'),
        ("3/8 in", '3/8"'),
        ("0 in", '0"'),
        ("11 15/16 in", "1' 0\""),
        ("23 31/32 in", "2' 0\""),
        ("-90.375 in", "-7' 6 3/8\""),
        ("-1/64 in", '0"'),
        ("1234 ft", "1234' 0\""),
    ],
)
def test_feet_and_inches_are_shown_as_on_a_us_drawing(text: str, shown: str) -> None:
    assert format_length(parse_length(text), UnitSystem.IMPERIAL) == shown


@pytest.mark.parametrize(
    ("length_m", "shown"),
    [
        (2.3, "2.300 m"),
        (0.45, "450 mm"),
        (0.9994, "999 mm"),
        (0.9996, "1.000 m"),
        (0.0, "0 mm"),
        (-0.0001, "0 mm"),
        (-2.3456, "-2.346 m"),
        (1234.5, "1234.500 m"),
    ],
)
def test_metric_lengths_are_shown_to_the_millimetre(length_m: float, shown: str) -> None:
    assert format_length(length_m, "metric") == shown


@steady
@given(lengths, systems, st.integers(1, 64), roundings)
@example(0.161925, UnitSystem.IMPERIAL, 8, "up")
@example(0.1 + 0.2, UnitSystem.METRIC, 8, "up")
@example(11.9375 * 0.0254, UnitSystem.IMPERIAL, 8, "nearest")
def test_reading_undoes_writing_to_the_step_shown(
    length_m: float, system: UnitSystem, denominator: int, rounding: units.Rounding
) -> None:
    step_m = 0.001 if system is UnitSystem.METRIC else 0.0254 / denominator
    shown = format_length(length_m, system, denominator, rounding)
    read_m = read_quietly(shown)
    error_m = read_m - length_m
    low, high = {"nearest": (-0.5, 0.5), "up": (0, 1), "down": (-1, 0)}[rounding]
    assert low * step_m - SLACK_M <= error_m <= high * step_m + SLACK_M
    assert format_length(read_m, system, denominator, rounding) == shown


@steady
@given(st.floats(allow_nan=False, allow_infinity=False), systems, st.sampled_from([2, 8, 64]))
@example(1.7976931348623157e308, UnitSystem.IMPERIAL, 8)
@example(5e-324, UnitSystem.METRIC, 8)
def test_any_finite_length_is_written_and_read_back(
    length_m: float, system: UnitSystem, denominator: int
) -> None:
    shown = format_length(length_m, system, denominator)
    assert format_length(parse_length(shown), system, denominator) == shown


@steady
@given(lengths, st.integers(1, 64))
@example(-0.015625, 33)
def test_feet_and_inches_have_the_form_of_a_drawing(length_m: float, denominator: int) -> None:
    shown = format_length(length_m, "imperial", denominator)
    whole, fraction = r"(?:(\d+)' (\d+)|(\d+))", r"(\d+)/(\d+)"
    form = re.fullmatch(f'-?(?:{whole}(?: {fraction})?|{fraction})"', shown)
    assert form, shown
    feet, inches_after, inches_alone, *parted = (int(group or 0) for group in form.groups())
    part, parts = max(parted[0], parted[2]), max(parted[1], parted[3])
    assert feet > 0 or form[1] is None
    assert inches_after < 12
    assert inches_alone < 12
    assert shown != '"'
    if parts:
        assert 0 < part < parts
        assert denominator % parts == 0
        assert math.gcd(part, parts) == 1


def test_rounding_outward_moves_only_what_lies_between_steps() -> None:
    foot_m = 0.3048
    assert format_length(foot_m, "imperial", rounding="up") == "1' 0\""
    assert format_length(foot_m, "imperial", rounding="down") == "1' 0\""
    assert format_length(foot_m + 1e-6, "imperial", rounding="up") == "1' 0 1/8\""
    assert format_length(foot_m - 1e-6, "imperial", rounding="down") == '11 7/8"'
    assert format_length(-2.3001, "metric", rounding="up") == "-2.300 m"
    assert format_length(-2.3001, "metric", rounding="down") == "-2.301 m"


@pytest.mark.parametrize("length_m", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_not_shown(length_m: float) -> None:
    with pytest.raises(UnitError, match="cannot be shown"):
        format_length(length_m, "metric")


def test_a_fraction_needs_a_denominator() -> None:
    with pytest.raises(UnitError, match="no denominator"):
        format_length(1.0, "imperial", 0)


# ---------------------------------------------------------------------------------- any text


near_misses = st.text(
    "0123456789 -'\"/.,:%°e⅜½\u2032\u2033\u2019\u00a0+mftincwkbuhrdegs²", max_size=24
)


@pytest.mark.filterwarnings("ignore::heatcore.units.UnitWarning")
@settings(steady, max_examples=2000)
@given(st.text(max_size=60) | near_misses, st.sampled_from([None, "m", "in", "%", "deg", "°C"]))
def test_any_text_is_read_or_refused_and_nothing_else(text: str, unit: str | None) -> None:
    for read in READERS:
        try:
            value = read(text) if read is units.parse_fraction else read(text, unit)
        except UnitError:
            continue
        assert math.isfinite(value)


@steady
@given(st.text(max_size=60))
def test_every_refusal_is_one_line_with_a_remedy(text: str) -> None:
    with pytest.raises(UnitError) as refused:
        parse_length(f"{text} furlongs")
    assert len(str(refused.value).splitlines()) == 1
    assert refused.value.remedy


@pytest.mark.filterwarnings("ignore::heatcore.units.UnitWarning")
@steady
@given(near_misses)
def test_a_length_that_is_read_is_the_same_with_its_minus(text: str) -> None:
    try:
        length_m = parse_length(text)
    except UnitError:
        return
    if text.lstrip()[0] not in "+-":
        assert parse_length(f"-{text}") == -length_m


def test_a_gain_that_falls_short_never_reads_as_reached():
    assert format_temperature_step(2.9905, "metric") == "3 K"
    assert format_temperature_step(2.9905, "metric", "down") == "2.9 K"
    assert format_temperature_step(1.5, "imperial", "down") == "2.7 °F"
    assert format_temperature_step(2.91, "metric", "up") == "3 K"
