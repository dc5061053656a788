"""Quantities read as people write them."""

from __future__ import annotations

import math
import re
import warnings

from heatcore.units.grammar import (
    DECIMAL,
    INTEGER,
    NUMBER,
    plain,
    read_number,
    read_quantity,
    refusal,
    rounded,
    split_unit,
    with_unit,
)
from heatcore.units.quantities import (
    ANGLE,
    DURATION,
    FRACTION,
    INCH_M,
    IRRADIANCE,
    LENGTH,
    PITCH,
    POWER,
    SPEED,
    TEMPERATURE,
    TEMPERATURE_STEP,
    VOLTAGE,
)

_FEET_INCHES = re.compile(rf"({INTEGER}) ?(?:'|ft\.?|foot|feet) ?-? ?([0-9.].*)")
_RATIO = re.compile(rf"({NUMBER}) ?(?::|-?in-?) ?({DECIMAL})")
_QUOTIENT = re.compile(rf"({DECIMAL}) ?/ ?({DECIMAL})")
_PER_CENT = re.compile(rf"({NUMBER}) ?(?:%|percent)")


class UnitWarning(UserWarning):
    """Text that was read, but hardly as its author meant it."""


def parse_length(text: str | float, unit: str | None = None) -> float:
    """Read a length.

    Parameters
    ----------
    text : str or float
        Such as ``7' 6 3/8"``, ``7'-6-3/8"``, ``7ft 6 3/8in``, ``90.375in``, ``6⅜"``, ``2.3 m``,
        ``230cm`` or ``2,300 mm``. A hyphen after the feet separates and is never a minus; a minus
        in front goes for the whole. Inches after feet may leave their mark out.
    unit : str, optional
        The unit of a number that has none of its own.

    Returns
    -------
    float
        The length [m], rounded once from its exact value.

    Raises
    ------
    UnitError
        If `text` is not a length, or a number without a unit.

    Warns
    -----
    UnitWarning
        If a fraction's denominator is no power of two, which no tape measure shows.

    Examples
    --------
    >>> parse_length("7ft 6 3/8in")
    2.295525
    """
    sign, body = plain(text)
    if parts := _FEET_INCHES.fullmatch(body):
        feet, rest = parts.groups()
        found = split_unit(with_unit(rest, "in"), LENGTH)
        if found is None or found[1].size != INCH_M:
            raise refusal(LENGTH, text)
        if found[0] >= 12:
            raise refusal(LENGTH, text, "has 12 inches or more after the feet")
        inches = 12 * int(feet.replace(",", "")) + found[0]
        length_m = rounded(LENGTH, text, sign * inches * INCH_M)
    else:
        length_m = read_quantity(LENGTH, text, unit)
    denominator = re.search("/ ?([0-9]+)", body)
    if denominator and int(denominator[1]).bit_count() != 1:
        warnings.warn(
            f'"{text}" has a fraction no tape measure shows; is the denominator right?',
            UnitWarning,
            stacklevel=2,
        )
    return length_m


def parse_angle(text: str | float, unit: str | None = None) -> float:
    """Read an angle such as ``18.4 deg``, ``18.4°`` or ``0.3 rad``.

    Parameters
    ----------
    text : str or float
    unit : str, optional
        The unit of a number that has none of its own.

    Returns
    -------
    float
        The angle [rad].

    Raises
    ------
    UnitError
        If `text` is not an angle, or a number without a unit.
    """
    return read_quantity(ANGLE, text, unit)


def parse_pitch(text: str | float, unit: str | None = None) -> float:
    """Read the slope of a roof such as ``4:12``, ``4/12``, ``4 in 12``, ``18.4 deg`` or ``33.3%``.

    Parameters
    ----------
    text : str or float
    unit : str, optional
        The unit of a number that has none of its own: ``deg``, ``rad``, ``%`` or ``:12``.

    Returns
    -------
    float
        The angle from the horizontal [rad], at least 0 and under pi/2.

    Raises
    ------
    UnitError
        If `text` is not a pitch, or is out of range.
    """
    sign, body = plain(text)
    slope = _rise_and_run(body) or _rise_and_run(with_unit(body, unit))
    if slope is None:
        angle_rad = read_quantity(PITCH, text, unit)
    else:
        rise, run = map(read_number, slope)
        if rise is None or not run:
            raise refusal(PITCH, text)
        angle_rad = math.atan(rounded(PITCH, text, sign * rise / run))
    if not 0 <= angle_rad < math.pi / 2:
        raise refusal(PITCH, text, "is not between level and plumb")
    return angle_rad


def _rise_and_run(body: str) -> tuple[str, str] | None:
    """Find the two numbers in 4:12, 4/12, 4 in 12 or 33.3%."""
    if found := _PER_CENT.fullmatch(body):
        return found[1], "100"
    if found := _RATIO.fullmatch(body) or _QUOTIENT.fullmatch(body):
        return found[1], found[2]
    return None


def parse_power(text: str | float, unit: str | None = None) -> float:
    """Read a power such as ``6 kW``, ``6,000 W`` or ``40 kBtu/h`` [W].

    As `parse_angle`; less than nothing is refused. MBH is a thousand Btu/h, as in the trade.
    """
    return read_quantity(POWER, text, unit)


def parse_temperature(text: str | float, unit: str | None = None) -> float:
    """Read a temperature such as ``5 °C``, ``41 F`` or ``278 K`` [degrees Celsius].

    As `parse_angle`; less than absolute zero is refused. Not for differences of temperature.
    """
    return read_quantity(TEMPERATURE, text, unit)


def parse_speed(text: str | float, unit: str | None = None) -> float:
    """Read a speed such as ``1.5 m/s``, ``5 mph``, ``10 km/h`` or ``3 kn`` [m/s].

    As `parse_angle`; less than nothing is refused.
    """
    return read_quantity(SPEED, text, unit)


def parse_voltage(text: str | float, unit: str | None = None) -> float:
    """Read a voltage such as ``240 V`` [V].

    As `parse_angle`; less than nothing is refused.
    """
    return read_quantity(VOLTAGE, text, unit)


def parse_duration(text: str | float, unit: str | None = None) -> float:
    """Read a duration such as ``90 s``, ``30 min`` or ``3 h`` [s].

    As `parse_angle`; less than nothing is refused.
    """
    return read_quantity(DURATION, text, unit)


def parse_irradiance(text: str | float, unit: str | None = None) -> float:
    """Read an irradiance such as ``215 W/m2`` or ``68 Btu/(h ft2)`` [W/m2].

    As `parse_angle`; less than nothing is refused.
    """
    return read_quantity(IRRADIANCE, text, unit)


def parse_temperature_step(text: str | float, unit: str | None = None) -> float:
    """Read a difference of temperature such as ``3 K`` or ``5 °F`` [K]; as `parse_angle`."""
    return read_quantity(TEMPERATURE_STEP, text, unit)


def parse_fraction(text: str | float) -> float:
    """Read a share such as ``60 %``, ``0.6`` or ``3/5``; it may lie outside 0 to 1.

    Raises
    ------
    UnitError
        If `text` is not a number, with or without a per cent sign.
    """
    return read_quantity(FRACTION, text, "parts")
