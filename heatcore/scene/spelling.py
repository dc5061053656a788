"""Quantities as the scene file spells them: read from text, written to text that reads back."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import chain

from heatcore.errors import UnitError
from heatcore.scene.kinds import Number, Quantity
from heatcore.units import (
    UnitSystem,
    format_length,
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

_PARSE: dict[str, Callable[[str | float], float]] = {
    "length": parse_length,
    "angle": parse_angle,
    "pitch": parse_pitch,
    "power": parse_power,
    "temperature": parse_temperature,
    "speed": parse_speed,
    "share": parse_fraction,
    "voltage": parse_voltage,
    "temperature step": parse_temperature_step,
    "irradiance": parse_irradiance,
    "duration": parse_duration,
}

# As a file shows them, quotes included.
EXAMPLE = {
    "length": '"2.4 m" or "7\' 10"',
    "angle": '"90 deg"',
    "pitch": '"4:12" or "18.4 deg"',
    "power": '"3 kW"',
    "temperature": '"8 C" or "46 F"',
    "speed": '"1.5 m/s" or "3 mph"',
    "share": '0.6 or "60 %"',
    "voltage": '"240 V"',
    "temperature step": '"3 K" or "5 F"',
    "irradiance": '"100 W/m2"',
    "duration": '"30 min" or "4 h"',
}

# The unit used inside, in which every value can be spelled exactly.
_INSIDE = {
    "length": "m",
    "angle": "rad",
    "pitch": "rad",
    "power": "W",
    "temperature": "C",
    "speed": "m/s",
    "voltage": "V",
    "temperature step": "K",
    "irradiance": "W/m2",
    "duration": "s",
}

# Dimensions whose zero is the same in every unit.
ZERO_NEEDS_NO_UNIT = frozenset({"length", "angle", "pitch"})
_ZERO = (0, "0")

_HUGE = 10**300  # TOML's whole numbers may be larger than any float


def a(noun: str) -> str:
    """Give a noun its article: 'an angle'."""
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def parse(dimension: str, written: str | float) -> float:
    """Read a quantity as a scene file may write it.

    Parameters
    ----------
    dimension : a `Quantity.dimension`
    written : text with a unit; a number for a share, or for a zero that needs no unit

    Returns
    -------
    float
        The value [SI].

    Raises
    ------
    UnitError
        If it is no such quantity, or has no unit.
    """
    if written in _ZERO and dimension in ZERO_NEEDS_NO_UNIT:
        return 0.0
    if isinstance(written, str) or dimension == "share":
        return _PARSE[dimension](written)
    number = float(written) if abs(written) < _HUGE else math.inf
    if not math.isfinite(number):
        raise UnitError(f"is not {a(dimension)}", f"write one such as {EXAMPLE[dimension]}")
    example = f"write it as text with its unit, such as {EXAMPLE[dimension]}"
    raise UnitError(f"{number:g} has no unit", example)


def spell(dimension: str, value: float, units: UnitSystem) -> str | float:
    """Write a quantity so that `parse` gives back the identical value.

    In the site's units where they can say it exactly, else in the unit used inside.

    Raises
    ------
    UnitError
        If the value is not finite.
    """
    value = float(value)  # whatever kind of float it was
    if not math.isfinite(value):
        raise UnitError(f"{value} cannot be written", "give a finite number")
    if dimension == "share":
        return value
    if value == 0 and dimension in ZERO_NEEDS_NO_UNIT:
        return 0
    for text in _spellings(dimension, value, units):
        if _says(dimension, text, value):
            return text
    return f"{value!r} {_INSIDE[dimension]}"


def limit(shape: Quantity | Number, bound: float) -> str:
    """Write a bound of a quantity or a number, for people."""
    if isinstance(shape, Number) or shape.dimension == "share" or bound == 0:
        return f"{bound:g}"
    if shape.dimension in ("angle", "pitch"):
        return f"{math.degrees(bound):.4g} deg"
    return f"{bound:g} {_INSIDE[shape.dimension]}"


def _says(dimension: str, text: str, value: float) -> bool:
    try:
        return _PARSE[dimension](text) == value
    except UnitError:
        return False


def _spellings(dimension: str, value: float, units: UnitSystem) -> Iterator[str]:
    """Ways in which people would write it, the likeliest first; not all of them exact."""
    imperial = units is UnitSystem.IMPERIAL
    match dimension:
        case "length" if imperial:
            yield from chain(_feet_inches(value), _decimals(value / 0.0254, "in", 3))
        case "length":
            metres = _decimals(value, "m", 3)
            yield from _decimals(value * 1000, "mm", 1) if abs(value) < 1 else metres
        case "angle":
            yield from _decimals(math.degrees(value), "deg", 9)
        case "pitch":
            yield from (f"{text}:12" for text in _decimals(12 * math.tan(value), "", 4))
            yield from _decimals(math.degrees(value), "deg", 9)
        case "power":
            kilowatts, watts = _decimals(value / 1000, "kW", 3), _decimals(value, "W", 1)
            yield from kilowatts if value >= 1000 else watts
        case "temperature":
            celsius = _decimals(value, "C", 2)
            yield from chain(_decimals(value * 1.8 + 32, "F", 2), celsius) if imperial else celsius
        case "speed":
            metric = _decimals(value, "m/s", 3)
            yield from chain(_decimals(value / 0.44704, "mph", 2), metric) if imperial else metric
        case "voltage":
            yield from _decimals(value, "V", 1)
        case "temperature step":
            kelvin = _decimals(value, "K", 2)
            yield from chain(_decimals(value * 1.8, "F", 2), kelvin) if imperial else kelvin
        case "irradiance":
            yield from _decimals(value, "W/m2", 1)
        case "duration":
            hours, minutes = _decimals(value / 3600, "h", 2), _decimals(value / 60, "min", 2)
            yield from hours if value >= 7200 else minutes


def _feet_inches(length_m: float) -> Iterator[str]:
    """Feet and inches in ever finer fractions; after feet, the inches need no mark of their own."""
    for denominator in (8, 16, 32, 64):
        text = format_length(length_m, UnitSystem.IMPERIAL, denominator).removesuffix('"')
        yield text if "'" in text else f"{text} in"


def _decimals(value: float, unit: str, most: int) -> Iterator[str]:
    """Write a number with ever more decimals."""
    for decimals in range(most + 1):
        yield f"{value:.{decimals}f} {unit}".rstrip()
