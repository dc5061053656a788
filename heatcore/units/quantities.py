"""Every unit that is read, one table for each quantity.

Sources of the factors: inch = 25.4 mm (international yard and pound, 1959); mile, knot, Btu
(International Table) and degree Fahrenheit as in NIST SP 811, appendix B.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple


class Unit(NamedTuple):
    """A unit by its `size` and the place of its `zero`, both in the unit used inside."""

    size: Fraction
    zero: Fraction = Fraction(0)


@dataclass(frozen=True)
class Quantity:
    """A kind of quantity, read in any of its units.

    Attributes
    ----------
    name, example : str
        What it is called, with its article, and how it is written; both for messages.
    units : mapping of str to Unit
        Every spelling, in lower case and without spaces.
    least : Fraction or None
        The least there can be, in the unit used inside.
    """

    name: str
    example: str
    units: Mapping[str, Unit]
    least: Fraction | None = None


def _spelled(rows: Mapping[str, Unit | Fraction | str | int]) -> dict[str, Unit]:
    """Give each spelling its unit; the spellings of one unit share a row."""
    return {
        spelling: unit if isinstance(unit, Unit) else Unit(Fraction(unit))
        for spellings, unit in rows.items()
        for spelling in spellings.split()
    }


INCH_M = Fraction("0.0254")
_MILE_M = Fraction("1609.344")
_BTU_J = Fraction("1055.05585262")
_BTU_H_W = _BTU_J / 3600
_BTU_H_FT2_W_M2 = _BTU_H_W / (12 * INCH_M) ** 2
_ABSOLUTE_ZERO_C = Fraction("-273.15")

# Case is not told apart, so there is no milliwatt and no megawatt.
LENGTH = Quantity(
    "a length",
    "7' 6 3/8\" or 2.3 m",
    _spelled(
        {
            "mm millimetre millimetres millimeter millimeters": "0.001",
            "cm centimetre centimetres centimeter centimeters": "0.01",
            "m metre metres meter meters": 1,
            '" in inch inches': INCH_M,
            "' ft foot feet": 12 * INCH_M,
        }
    ),
)
ANGLE = Quantity(
    "an angle",
    "18.4 deg or 0.3 rad",
    _spelled({"° deg degree degrees": Fraction(math.pi) / 180, "rad radian radians": 1}),
)
POWER = Quantity(
    "a power",
    "6 kW or 40,000 Btu/h",
    _spelled(
        {
            "w watt watts": 1,
            "kw kilowatt kilowatts": 1000,
            "btu/h btu/hr btuh": _BTU_H_W,
            "kbtu/h kbtu/hr kbtuh mbh": 1000 * _BTU_H_W,
        }
    ),
    least=Fraction(0),
)
TEMPERATURE = Quantity(
    "a temperature",
    "5 °C or 41 °F",
    _spelled(
        {
            "c °c degc celsius": 1,
            "f °f degf fahrenheit": Unit(Fraction(5, 9), Fraction(-160, 9)),
            "k kelvin": Unit(Fraction(1), _ABSOLUTE_ZERO_C),
        }
    ),
    least=_ABSOLUTE_ZERO_C,
)
SPEED = Quantity(
    "a speed",
    "1.5 m/s or 5 mph",
    _spelled(
        {
            "m/s mps": 1,
            "km/h kmh kph": Fraction(1000, 3600),
            "mph mi/h": _MILE_M / 3600,
            "ft/s fps": 12 * INCH_M,
            "ft/min fpm": 12 * INCH_M / 60,
            "kn kt knot knots": Fraction(1852, 3600),
        }
    ),
    least=Fraction(0),
)
FRACTION = Quantity(
    "a fraction", "60 % or 0.6", _spelled({"parts": 1, "% percent": Fraction(1, 100)})
)
VOLTAGE = Quantity("a voltage", "240 V", _spelled({"v vac volt volts": 1, "kv": 1000}), Fraction(0))
DURATION = Quantity(
    "a duration",
    "30 min or 3 h",
    _spelled(
        {
            "s sec second seconds": 1,
            "min minute minutes": 60,
            "h hr hrs hour hours": 3600,
        }
    ),
    least=Fraction(0),
)
IRRADIANCE = Quantity(
    "an irradiance",
    "215 W/m2 or 68 Btu/h ft2",
    _spelled(
        {
            "w/m2": 1,
            "kw/m2": 1000,
            "btu/hft2 btu/hrft2 btu/h/ft2 btu/hr/ft2": _BTU_H_FT2_W_M2,
        }
    ),
    least=Fraction(0),
)
TEMPERATURE_STEP = Quantity(
    "a difference of temperature",
    "3 K or 5 °F",
    _spelled({"k kelvin c °c degc celsius": 1, "f °f degf fahrenheit": Fraction(5, 9)}),
)
PITCH = Quantity("a pitch", "4:12, 18.4 deg or 33.3%", ANGLE.units)
