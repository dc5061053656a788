"""What radiation does to how warm it feels: absorptance, radiant temperature and UTCI.

The effective radiant field and its absorptances are those of ANSI/ASHRAE 55 Appendix C; the mean
radiant temperature takes the fourth power of it all (ISO 7726; M. La Gennusa et al., Building and
Environment 40, 2005, 367-375, from memory), for the linear form's h_r is good at 25 C only. The
Universal Thermal Climate Index is that of P. Broede et al., International Journal of Biometeorology
56, 2012, 481-494, through thermofeel's polynomial.
"""

from __future__ import annotations

from math import log

import numpy as np
from numpy.typing import ArrayLike
from thermofeel import calculate_utci

from heatcore.geometry.frames import Floats
from heatcore.heat.radiation.blackbody import SIGMA, ZERO_CELSIUS, band_fraction

SHORT_WAVE = 0.7
"""Absorptance of skin and clothing for short waves (ASHRAE 55 Appendix C's usual value)."""

LONG_WAVE = 0.95
"""Absorptance, and emissivity, of skin and clothing for long waves (ASHRAE 55 Appendix C)."""

PARTING_UM = 2.5
"""Where the two part [um]: the usual end of the solar band that the short-wave value is measured
in (common practice, no source)."""

CALMEST, WINDIEST = 0.5, 17.0  # m/s at 10 m
COLDEST_AIR, HOTTEST_AIR = -50.0, 50.0  # C
LEAST_ABOVE_AIR, MOST_ABOVE_AIR = -30.0, 70.0  # K, of the mean radiant temperature
DRIEST = 0.05
MOST_VAPOR = 50.0  # hPa

# UTCI's log profile over a roughness length of 0.01 m.
TO_10_M = log(10 / 0.01) / log(1.1 / 0.01)

WALKING = "UTCI is for a person who walks at 4 km/h; somebody who sits still feels colder"


def absorptance(element_temperature_c: ArrayLike) -> Floats:
    """Share of a glowing element's radiation that skin and clothing absorb.

    The element shines as a blackbody, with the short-wave absorptance below 2.5 um and the
    long-wave one above.

    Parameters
    ----------
    element_temperature_c : (...) [C]
    """
    kelvin = np.asarray(element_temperature_c, dtype=np.float64) + ZERO_CELSIUS
    short = band_fraction(PARTING_UM * kelvin)
    out: Floats = SHORT_WAVE * short + LONG_WAVE * (1.0 - short)
    return out


def effective_radiant_field(
    f_eff: ArrayLike, projected_w_m2: ArrayLike, absorbed_share: ArrayLike
) -> Floats:
    """What a body gains, for each square metre of its skin.

    Parameters
    ----------
    f_eff : (...) effective-area fraction
    projected_w_m2 : (...) irradiance square to each direction times the projected-area factor
        toward it, over all directions [W/m2]
    absorbed_share : (...) absorptance for this radiation

    Returns
    -------
    (...) ERF as ASHRAE 55 Appendix C counts it: of long waves, that a body with the long-wave
    absorptance would gain as much from [W/m2]
    """
    out: Floats = np.multiply(f_eff, projected_w_m2) * np.divide(absorbed_share, LONG_WAVE)
    return out


def radiant_temperature(background_c: ArrayLike, field_w_m2: ArrayLike, f_eff: ArrayLike) -> Floats:
    """Mean radiant temperature with a radiant field on top of the surroundings.

    ``T**4 = T0**4 + ERF / (f_eff sigma)``.

    Parameters
    ----------
    background_c : (...) mean radiant temperature without it [C]
    field_w_m2 : (...) effective radiant field [W/m2]
    f_eff : (...) effective-area fraction of the body

    Returns
    -------
    (...) [C]
    """
    kelvin = np.asarray(background_c, dtype=np.float64) + ZERO_CELSIUS
    out: Floats = (kelvin**4 + np.divide(field_w_m2, np.multiply(f_eff, SIGMA))) ** 0.25
    return out - ZERO_CELSIUS


def field_for(background_c: ArrayLike, radiant_c: ArrayLike, f_eff: ArrayLike) -> Floats:
    """Effective radiant field that brings the surroundings to a mean radiant temperature [W/m2]."""
    low = np.asarray(background_c, dtype=np.float64) + ZERO_CELSIUS
    high = np.asarray(radiant_c, dtype=np.float64) + ZERO_CELSIUS
    return np.asarray(np.multiply(f_eff, SIGMA) * (high**4 - low**4), dtype=np.float64)


def wind_at_10_m(wind_m_s: ArrayLike) -> Floats:
    """Wind at 10 m, as UTCI counts it, from that at 1.1 m [m/s]."""
    out: Floats = np.asarray(wind_m_s, dtype=np.float64) * TO_10_M
    return out


def saturation_pressure(air_c: ArrayLike) -> Floats:
    """Vapor pressure over water in saturated air, as UTCI counts it [hPa].

    Source: B. Hardy, ITS-90 formulations for vapor pressure, 1998, as in the UTCI's own program.
    """
    kelvin = np.asarray(air_c, dtype=np.float64) + ZERO_CELSIUS
    terms = (
        -2.8365744e3, -6.028076559e3, 1.954263612e1, -2.737830188e-2, 1.6261698e-5, 7.0229056e-10,
        -1.8680009e-13,
    )  # fmt: skip
    exponent = 2.7150305 * np.log(kelvin)
    exponent += sum(term * kelvin ** (power - 2) for power, term in enumerate(terms))
    out: Floats = np.exp(exponent) * 0.01
    return out


def utci(
    air_c: ArrayLike, radiant_c: ArrayLike, wind_10_m_m_s: ArrayLike, humidity: ArrayLike
) -> Floats:
    """Universal Thermal Climate Index [C].

    What lies outside the index' range counts as its end; `utci_notes` says so.

    Parameters
    ----------
    air_c : (...) air temperature, -50 to 50 C
    radiant_c : (...) mean radiant temperature, 30 K below to 70 K above the air
    wind_10_m_m_s : (...) wind at 10 m, 0.5 to 17 m/s
    humidity : (...) relative, 0.05 to 1; the vapor pressure is at most 50 hPa

    Returns
    -------
    (...) [C]
    """
    above = np.clip(np.subtract(radiant_c, air_c), LEAST_ABOVE_AIR, MOST_ABOVE_AIR)
    air = np.clip(np.asarray(air_c, dtype=np.float64), COLDEST_AIR, HOTTEST_AIR)
    wind = np.clip(np.asarray(wind_10_m_m_s, dtype=np.float64), CALMEST, WINDIEST)
    vapor = saturation_pressure(air) * np.clip(humidity, DRIEST, 1.0)
    out: Floats = calculate_utci(
        t2_k=air + ZERO_CELSIUS,
        va=wind,
        mrt=air + above + ZERO_CELSIUS,
        ehPa=np.minimum(vapor, MOST_VAPOR),
    )
    return out - ZERO_CELSIUS


def utci_notes(
    air_c: float, radiant_c: float, wind_10_m_m_s: float, humidity: float
) -> tuple[str, ...]:
    """What `utci` counted otherwise than it was given, one plain sentence each."""
    notes = []
    if wind_10_m_m_s < CALMEST:
        notes.append(f"wind below {CALMEST} m/s at 10 m counts as {CALMEST}")
    if wind_10_m_m_s > WINDIEST:
        notes.append(f"wind above {WINDIEST:.0f} m/s at 10 m counts as {WINDIEST:.0f}")
    if air_c < COLDEST_AIR:
        notes.append(f"air below {COLDEST_AIR:.0f} °C counts as {COLDEST_AIR:.0f}")
    if air_c > HOTTEST_AIR:
        notes.append(f"air above {HOTTEST_AIR:.0f} °C counts as {HOTTEST_AIR:.0f}")
    if radiant_c - air_c > MOST_ABOVE_AIR:
        notes.append(
            f"a mean radiant temperature more than {MOST_ABOVE_AIR:.0f} K above the air counts as "
            f"{MOST_ABOVE_AIR:.0f} K above it"
        )
    if radiant_c - air_c < LEAST_ABOVE_AIR:
        notes.append(
            f"a mean radiant temperature more than {-LEAST_ABOVE_AIR:.0f} K below the air counts "
            f"as {-LEAST_ABOVE_AIR:.0f} K below it"
        )
    if humidity < DRIEST:
        notes.append(f"humidity below {DRIEST:.0%} counts as {DRIEST:.0%}")
    air = min(max(air_c, COLDEST_AIR), HOTTEST_AIR)
    if float(saturation_pressure(air)) * humidity > MOST_VAPOR:
        notes.append(f"vapor pressure above {MOST_VAPOR:.0f} hPa counts as {MOST_VAPOR:.0f}")
    return tuple(notes)
