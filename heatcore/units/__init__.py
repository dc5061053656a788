"""Quantities read and written as people write them.

Inside, everything is SI: metres, radians, watts, degrees Celsius, metres per second, seconds.
Here text such as ``7' 6 3/8"``, ``4:12`` or ``40 kBtu/h`` becomes such a number, and a number
becomes text again. Reading and writing are inverse to each other to the precision shown.
"""

from heatcore.units.reading import (
    UnitWarning,
    parse_angle,
    parse_duration,
    parse_fraction,
    parse_irradiance,
    parse_length,
    parse_pitch,
    parse_power,
    parse_speed,
    parse_temperature,
    parse_temperature_step,
    parse_voltage,
)
from heatcore.units.writing import (
    Rounding,
    UnitSystem,
    format_angle,
    format_angle_miss,
    format_irradiance,
    format_length,
    format_miss,
    format_pitch,
    format_power,
    format_speed,
    format_temperature,
    format_temperature_step,
)

__all__ = [
    "Rounding",
    "UnitSystem",
    "UnitWarning",
    "format_angle",
    "format_angle_miss",
    "format_irradiance",
    "format_length",
    "format_miss",
    "format_pitch",
    "format_power",
    "format_speed",
    "format_temperature",
    "format_temperature_step",
    "parse_angle",
    "parse_duration",
    "parse_fraction",
    "parse_irradiance",
    "parse_length",
    "parse_pitch",
    "parse_power",
    "parse_speed",
    "parse_temperature",
    "parse_temperature_step",
    "parse_voltage",
]
