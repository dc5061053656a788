"""Quantities written as people read them."""

from __future__ import annotations

import math
from enum import StrEnum
from fractions import Fraction
from typing import Literal

from heatcore.errors import UnitError
from heatcore.units.grammar import spelling
from heatcore.units.quantities import (
    INCH_M,
    IRRADIANCE,
    POWER,
    SPEED,
    TEMPERATURE,
    TEMPERATURE_STEP,
    Quantity,
)

Rounding = Literal["nearest", "up", "down"]

_NANOMETRE = Fraction(1, 10**9)


class UnitSystem(StrEnum):
    """The units a site is shown in."""

    IMPERIAL = "imperial"
    METRIC = "metric"


def format_length(
    length_m: float,
    system: UnitSystem | str,
    denominator: int = 8,
    rounding: Rounding = "nearest",
) -> str:
    """Write a length.

    Imperial as US drawings show it: feet from 12 in up, whole inches, a reduced fraction, as in
    ``7' 6 3/8"``, ``7' 0"``, ``6 3/8"`` and ``0"``. Metric in whole millimetres: ``450 mm`` under a
    metre and ``2.300 m`` from there.

    Parameters
    ----------
    length_m : float
        Any finite length [m].
    system : UnitSystem or str
    denominator : int
        Inches are shown in this fraction.
    rounding : {"nearest", "up", "down"}
        Which way to go between two steps; up is toward plus infinity, and nearest takes a half
        away from zero. A length within a nanometre of a step or of a half, or within a float's own
        resolution of a step, is on it.

    Returns
    -------
    str
        Text that `parse_length` reads back to within the step shown, and from which the same text
        comes again.

    Raises
    ------
    UnitError
        If the length is not finite, or the denominator less than one.
    ValueError
        If there is no such system.
    """
    if denominator < 1:
        raise UnitError(f"{denominator} is no denominator", "show inches in halves to 64ths")
    metric = UnitSystem(system) is UnitSystem.METRIC
    step_m = Fraction(1, 1000) if metric else INCH_M / denominator
    steps = _steps(length_m, step_m, rounding)
    shown = _metres(abs(steps)) if metric else _feet_inches(abs(steps), denominator)
    return f"-{shown}" if steps < 0 else shown


def format_miss(measured_m: float, required_m: float, system: UnitSystem | str) -> tuple[str, str]:
    """Write a length that misses what is required of it, and what is required.

    Rounding never hides the miss: the measured length is rounded away from the required one, and
    the required one to the nearest step, or away too where both would read alike.
    """
    away: Rounding = "down" if measured_m < required_m else "up"
    back: Rounding = "up" if away == "down" else "down"
    measured = format_length(measured_m, system, rounding=away)
    required = format_length(required_m, system)
    if measured == required:
        required = format_length(required_m, system, rounding=back)
    return measured, required


def _steps(length_m: float, step_m: Fraction, rounding: Rounding) -> int:
    """Round a length to a number of steps; halves go away from zero."""
    exact = Fraction(_finite(length_m)) / step_m
    # 11 15/16 in is a half only before it became a float.
    nearest = math.floor(abs(exact) + Fraction(1, 2) + _NANOMETRE / step_m)
    nearest = -nearest if exact < 0 else nearest
    slack = max(_NANOMETRE, Fraction(math.ulp(length_m))) / step_m
    if rounding == "nearest" or abs(exact - nearest) <= slack:
        return nearest
    return math.ceil(exact) if rounding == "up" else math.floor(exact)


def _metres(millimetres: int) -> str:
    if millimetres < 1000:
        return f"{millimetres} mm"
    return f"{millimetres // 1000}.{millimetres % 1000:03d} m"


def _feet_inches(steps: int, denominator: int) -> str:
    whole, part = divmod(steps, denominator)
    feet, inches = divmod(whole, 12)
    shown = [f"{feet}'"] if feet else []
    if inches or feet or not part:
        shown.append(str(inches))
    if part:
        shown.append(str(Fraction(part, denominator)))
    return " ".join(shown) + '"'


def format_angle(angle_rad: float, rounding: Rounding = "nearest") -> str:
    """Write an angle [rad] to a tenth of a degree: ``18.4 deg``.

    Rounded up or down, an angle within a billionth of a degree of a step is on it.
    """
    shown = math.degrees(_finite(angle_rad))
    if rounding != "nearest" and abs(shown - round(shown, 1)) > 1e-9:
        shown = (math.ceil if rounding == "up" else math.floor)(10 * shown) / 10
    return f"{_decimal(shown, 1)} deg"


def format_angle_miss(measured_rad: float, required_rad: float) -> tuple[str, str]:
    """Write an angle that misses what is required of it, and what is required [rad].

    Both to the nearest tenth of a degree; where they would read alike, the measured one is rounded
    away from the required one.
    """
    measured, required = format_angle(measured_rad), format_angle(required_rad)
    if measured == required:
        measured = format_angle(measured_rad, "down" if measured_rad < required_rad else "up")
    return measured, required


def format_pitch(angle_rad: float, style: Literal["x:12", "deg", "%"] = "x:12") -> str:
    """Write the slope of a roof: ``4:12`` or ``10.25:12``, ``18.4 deg`` or ``33.3%``.

    Parameters
    ----------
    angle_rad : float
        The angle from the horizontal [rad], at least 0 and under pi/2.
    style : {"x:12", "deg", "%"}

    Raises
    ------
    UnitError
        If the angle is out of range.
    """
    if not 0 <= angle_rad < math.pi / 2:
        raise UnitError(f"{angle_rad} rad is no pitch", "give an angle between level and plumb")
    if style == "deg":
        # 90 deg is no pitch, so the steepest is not rounded up to it.
        return format_angle(min(angle_rad, math.radians(89.9)))
    slope = math.tan(angle_rad)
    return f"{_decimal(12 * slope, 2)}:12" if style == "x:12" else f"{_decimal(100 * slope, 1)}%"


def format_power(power_w: float, unit: Literal["W", "kW", "Btu/h", "kBtu/h"] | None = None) -> str:
    """Write a power [W]: ``450 W`` and ``4.51 kW``, or in the unit asked for: ``40,000 Btu/h``."""
    shown = unit or ("kW" if abs(power_w) >= 1000 else "W")
    decimals = {"W": 0, "kW": 2, "Btu/h": 0, "kBtu/h": 1}[shown]
    return _in_unit(power_w, POWER, shown, decimals)


def format_temperature(temperature_c: float, system: UnitSystem | str) -> str:
    """Write a temperature [degrees Celsius] to a tenth of a degree: ``5 °C`` or ``41 °F``."""
    return _in_unit(temperature_c, TEMPERATURE, _of(system, "°F", "°C"), 1)


def format_temperature_step(
    step_k: float, system: UnitSystem | str, rounding: Rounding = "nearest"
) -> str:
    """Write a difference of temperature [K] to a tenth: ``3 K`` or ``5.4 °F``.

    Rounded down, what falls short of a figure never reads as having reached it.
    """
    unit = _of(system, "°F", "K")
    if rounding != "nearest":
        tenth = float(TEMPERATURE_STEP.units[spelling(unit)].size) / 10.0
        tenths = step_k / tenth
        if abs(tenths - round(tenths)) > 1e-9:
            step_k = (math.floor if rounding == "down" else math.ceil)(tenths) * tenth
    return _in_unit(step_k, TEMPERATURE_STEP, unit, 1)


def format_speed(speed_m_s: float, system: UnitSystem | str) -> str:
    """Write a speed [m/s] to a tenth: ``1.5 m/s`` or ``3.4 mph``."""
    return _in_unit(speed_m_s, SPEED, _of(system, "mph", "m/s"), 1)


def format_irradiance(irradiance_w_m2: float, system: UnitSystem | str) -> str:
    """Write an irradiance [W/m2]: ``215 W/m2`` or ``68.2 Btu/h ft2``."""
    if UnitSystem(system) is UnitSystem.METRIC:
        return _in_unit(irradiance_w_m2, IRRADIANCE, "W/m2", 0)
    return _in_unit(irradiance_w_m2, IRRADIANCE, "Btu/h ft2", 1)


def _of(system: UnitSystem | str, imperial: str, metric: str) -> str:
    return metric if UnitSystem(system) is UnitSystem.METRIC else imperial


def _in_unit(inside: float, quantity: Quantity, unit: str, decimals: int) -> str:
    """Write a value, given in the unit used inside, in another unit."""
    size, zero = quantity.units[spelling(unit)]
    return f"{_decimal(float((Fraction(_finite(inside)) - zero) / size), decimals)} {unit}"


def _decimal(value: float, decimals: int) -> str:
    """Write a number with at most so many decimals, thousands grouped, and no minus zero."""
    shown = f"{round(_finite(value), decimals) + 0.0:,.{decimals}f}"
    return shown.rstrip("0").rstrip(".") if decimals else shown


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise UnitError(f"{value} cannot be shown", "give a finite number")
    return float(value)
