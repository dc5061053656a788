"""Reading and writing every quantity but lengths, which are in test_units.py."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore import units
from heatcore.errors import UnitError
from heatcore.units import UnitSystem


@pytest.mark.parametrize(
    ("read", "spellings"),
    [
        (units.parse_angle, ["18.4 deg", "18.4°", "18.4 º", "18.4 degrees", "18.40Deg"]),
        (units.parse_angle, ["0.3 rad", "0.3rad", "0.3 radians"]),
        (
            units.parse_pitch,
            ["4:12", "4/12", "4 in 12", "4-in-12", "4 : 12", "4\u223612", "1:3", "4.0:12", "⅓:1"],
        ),
        (units.parse_pitch, ["10.5:12", "10 1/2:12", "10½ in 12", "87.5%"]),
        (units.parse_pitch, ["33.3%", "33.3 %", "33.3 percent", "33.3:100"]),
        (units.parse_power, ["6 kW", "6kW", "6000 W", "6,000 W", "6 KW", "6000 watts"]),
        (units.parse_power, ["40 kBtu/h", "40000 BTU/h", "40,000 Btu/hr", "40000 btuh", "40 MBH"]),
        (units.parse_temperature, ["5 C", "5 °C", "5°C", "5 ℃", "41 F", "41 °F", "278.15 K"]),
        (units.parse_temperature, ["-40 °C", "\u221240 °F"]),
        (units.parse_speed, ["1.5 m/s", "5.4 km/h", "5.4 kph"]),
        (units.parse_speed, ["3 kn", "3 knots", "5.556 km/h"]),
        (units.parse_speed, ["5 mph", "5 mi/h", "440 ft/min"]),
        (units.parse_voltage, ["240 V", "240V", "240 VAC", "0.24 kV", "240 volts"]),
        (units.parse_duration, ["90 min", "1.5 h", "1 1/2 h", "5400 s", "1.5 hours"]),
        (
            units.parse_irradiance,
            ["68 Btu/h ft2", "68 Btu/(h·ft²)", "68 BTU/hr/ft^2", "68 Btu/(h*ft2)"],
        ),
        (units.parse_irradiance, ["215 W/m2", "215 W/m²", "215 W/m^2", "0.215 kW/m2"]),
        (units.parse_fraction, ["60 %", "60%", "0.6", ".6", "3/5", "60 percent"]),
    ],
)
def test_spellings_of_one_quantity_agree(
    read: Callable[[str], float], spellings: list[str]
) -> None:
    values = [read(text) for text in spellings]
    assert values == pytest.approx([values[0]] * len(values), rel=1e-15, abs=1e-15)


def test_a_pitch_takes_the_unit_given_to_a_bare_number() -> None:
    assert units.parse_pitch(4, ":12") == units.parse_pitch("4:12")
    assert units.parse_pitch(33.3, "%") == units.parse_pitch("33.3%")
    assert units.parse_pitch(18.4, "deg") == units.parse_pitch("18.4 deg")
    assert units.parse_pitch("4/12", "deg") == units.parse_pitch("4:12")
    with pytest.raises(UnitError, match="has no unit"):
        units.parse_pitch("4")


@pytest.mark.parametrize(
    ("read", "text", "said"),
    [
        (units.parse_pitch, "90 deg", "level and plumb"),
        (units.parse_pitch, "-4:12", "level and plumb"),
        (units.parse_pitch, "4:0", "not a pitch"),
        (units.parse_pitch, "4:1e-400", "too large"),
        (units.parse_pitch, "4/12/12", "not a pitch"),
        (units.parse_angle, "18.4 m", "not an angle"),
        (units.parse_power, "-1 W", "lower than a power can be"),
        (units.parse_power, "6", "has no unit"),
        (units.parse_power, "1,5 kW", "not a power"),
        (units.parse_temperature, "-1 K", "lower than a temperature can be"),
        (units.parse_temperature, "-274 °C", "lower than a temperature can be"),
        (units.parse_speed, "-5 mph", "lower than a speed can be"),
        (units.parse_voltage, "240 W", "not a voltage"),
        (units.parse_duration, "-1 s", "lower than a duration can be"),
        (units.parse_irradiance, "215 W", "not an irradiance"),
        (units.parse_fraction, "60 m", "not a fraction"),
        (units.parse_fraction, "0.6 1", "not a fraction"),
    ],
)
def test_what_is_no_such_quantity_is_refused(
    read: Callable[[str], float], text: str, said: str
) -> None:
    with pytest.raises(UnitError, match=said) as refused:
        read(text)
    assert refused.value.remedy.startswith(("write", "leave"))


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        (units.format_angle(math.radians(18.44)), "18.4 deg"),
        (units.format_angle(math.radians(-0.01)), "0 deg"),
        (units.format_pitch(math.atan(4 / 12)), "4:12"),
        (units.format_pitch(math.atan(10.5 / 12)), "10.5:12"),
        (units.format_pitch(math.atan(1 / 3), "deg"), "18.4 deg"),
        (units.format_pitch(math.atan(1 / 3), "%"), "33.3%"),
        (units.format_pitch(0), "0:12"),
        (units.format_pitch(math.radians(89.99), "deg"), "89.9 deg"),
        (units.format_power(450), "450 W"),
        (units.format_power(6000), "6 kW"),
        (units.format_power(4506.67), "4.51 kW"),
        (units.format_power(6000, "W"), "6,000 W"),
        (units.format_power(11722.84, "Btu/h"), "40,000 Btu/h"),
        (units.format_power(11722.84, "kBtu/h"), "40 kBtu/h"),
        (units.format_temperature(5, "metric"), "5 °C"),
        (units.format_temperature(5, "imperial"), "41 °F"),
        (units.format_temperature(-0.01, "metric"), "0 °C"),
        (units.format_speed(1.5, "metric"), "1.5 m/s"),
        (units.format_speed(2.2352, "imperial"), "5 mph"),
        (units.format_irradiance(215.2, "metric"), "215 W/m2"),
        (units.format_irradiance(215, "imperial"), "68.2 Btu/h ft2"),
    ],
)
def test_quantities_are_shown_as_people_read_them(shown: str, expected: str) -> None:
    assert shown == expected


@settings(deadline=None, derandomize=True, database=None, max_examples=300)
@given(st.floats(0, 1), st.sampled_from(UnitSystem))
def test_reading_undoes_writing_for_every_quantity(share: float, system: UnitSystem) -> None:
    imperial = system is UnitSystem.IMPERIAL
    angle_rad = share * math.radians(89.9)
    for value, write, read, step in [
        (angle_rad, units.format_angle, units.parse_angle, math.radians(0.1)),
        (angle_rad, lambda a: units.format_pitch(a, "deg"), units.parse_pitch, math.radians(0.1)),
        (angle_rad, units.format_pitch, units.parse_pitch, 0.01 / 12),
        (angle_rad, lambda a: units.format_pitch(a, "%"), units.parse_pitch, 0.001),
        (999 * share, units.format_power, units.parse_power, 1),
        (1e5 * share + 1000, units.format_power, units.parse_power, 10),
        (1e5 * share, lambda p: units.format_power(p, "Btu/h"), units.parse_power, 0.2931),
        (
            400 * share - 100,
            lambda t: units.format_temperature(t, system),
            units.parse_temperature,
            0.1,
        ),
        (
            40 * share,
            lambda v: units.format_speed(v, system),
            units.parse_speed,
            0.044704 if imperial else 0.1,
        ),
        (
            5000 * share,
            lambda e: units.format_irradiance(e, system),
            units.parse_irradiance,
            0.31546 if imperial else 1,
        ),
    ]:
        shown = write(value)
        again = read(shown)
        assert abs(again - value) <= step / 2 + 1e-9
        assert write(again) == shown
