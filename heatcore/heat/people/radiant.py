"""Radiant temperatures from readings: what somebody measures on site before there are heaters.

A climate takes the mean radiant temperature of the surroundings; it comes from a globe's reading or
from six plane radiant temperatures.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from heatcore.geometry.frames import Floats, locked
from heatcore.heat.radiation.blackbody import SIGMA, ZERO_CELSIUS

# ISO 7726:1998, second-hand: weights of up and down, left and right, front and back, each pair
# divided by twice their sum. They follow the areas that a body shows each way.
STANDING_WEIGHTS = locked(np.repeat([0.08, 0.23, 0.35], 2) / (2 * 0.66))
SEATED_WEIGHTS = locked(np.repeat([0.18, 0.22, 0.30], 2) / (2 * 0.70))


def from_six_planes(plane_radiant_c: ArrayLike, *, seated: bool) -> Floats:
    """Mean radiant temperature of a person from six plane radiant temperatures [C].

    The fourth powers are averaged, as radiation adds up; ISO 7726's linear mean of the temperatures
    is lower, the more so the more they differ.

    Parameters
    ----------
    plane_radiant_c : (..., 6) up, down, left, right, front, back [C]
    seated : whether the person sits
    """
    kelvin = np.asarray(plane_radiant_c, dtype=np.float64) + ZERO_CELSIUS
    mean = kelvin**4 @ (SEATED_WEIGHTS if seated else STANDING_WEIGHTS)
    out: Floats = mean**0.25 - ZERO_CELSIUS
    return out


def from_globe(
    globe_c: ArrayLike,
    air_c: ArrayLike,
    wind_m_s: ArrayLike,
    diameter: float = 0.15,
    emissivity: float = 0.95,
) -> Floats:
    """Mean radiant temperature from a globe thermometer [C].

    Natural or forced convection, whichever is the stronger (ISO 7726:1998 Annex B).

    Parameters
    ----------
    globe_c, air_c : (...) readings of globe and air [C]
    wind_m_s : (...) air speed at the globe [m/s]
    diameter : of the globe [m]
    emissivity : of the globe
    """
    globe, air = np.asarray(globe_c, dtype=np.float64), np.asarray(air_c, dtype=np.float64)
    natural = 1.4 * (np.abs(globe - air) / diameter) ** 0.25
    forced = 6.3 * np.asarray(wind_m_s, dtype=np.float64) ** 0.6 / diameter**0.4
    convected = np.maximum(natural, forced) * (globe - air)
    fourth = (globe + ZERO_CELSIUS) ** 4 + convected / (emissivity * SIGMA)
    out: Floats = np.maximum(fourth, 0.0) ** 0.25 - ZERO_CELSIUS
    return out


def operative_temperature(air_c: ArrayLike, radiant_c: ArrayLike, wind_m_s: ArrayLike) -> Floats:
    """Temperature of still surroundings that would take as much heat as air and radiation do [C].

    ISO 7726:1998's form, which weighs the air with ``sqrt(10 v)``. ASHRAE 55's steps are not meant
    for more than some 1 m/s, and are left out.

    Parameters
    ----------
    air_c, radiant_c : (...) air and mean radiant temperature [C]
    wind_m_s : (...) air speed at the person [m/s]
    """
    root = np.sqrt(10.0 * np.asarray(wind_m_s, dtype=np.float64))
    out: Floats = (np.multiply(air_c, root) + radiant_c) / (1.0 + root)
    return out
