"""Blackbody radiation: how much a glowing surface sends out, and in which band.

Constants: CODATA 2018 and 2022, where h, c and k are exact.
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import ArrayLike

from heatcore.geometry.frames import Floats

PLANCK = 6.62607015e-34  # J s
LIGHT = 299792458.0  # m/s
BOLTZMANN = 1.380649e-23  # J/K

SIGMA = 2 * pi**5 * BOLTZMANN**4 / (15 * PLANCK**3 * LIGHT**2)
"""Stefan-Boltzmann constant [W/m2 K4]."""

C2 = PLANCK * LIGHT / BOLTZMANN
"""Second radiation constant [m K]."""

WIEN = C2 / 4.965114231744276
"""Wavelength of the most radiation times temperature [m K]; the root of x = 5 (1 - exp(-x))."""

ZERO_CELSIUS = 273.15  # K

_TERMS = np.arange(1, 31)
# Of x**3 / (exp(x) - 1), integrated from 0: x**3 times these powers of x.
_POWERS = (
    (0, 1 / 3),
    (1, -1 / 8),
    (2, 1 / 60),
    (4, -1 / 5040),
    (6, 1 / 272160),
    (8, -1 / 13305600),
)


def exitance(temperature_k: ArrayLike) -> Floats:
    """What a blackbody sends out over all wavelengths [W/m2] (Stefan-Boltzmann)."""
    out: Floats = SIGMA * np.asarray(temperature_k, dtype=np.float64) ** 4
    return out


def peak_wavelength_um(temperature_k: ArrayLike) -> Floats:
    """Wavelength at which a blackbody sends out most [um] (Wien)."""
    out: Floats = WIEN * 1e6 / np.asarray(temperature_k, dtype=np.float64)
    return out


def band_fraction(wavelength_temperature_um_k: ArrayLike) -> Floats:
    """Share of a blackbody's radiation below a wavelength.

    Planck's integral by its two standard series, to better than 1e-9 (R. Siegel and J. R. Howell,
    Thermal Radiation Heat Transfer; from memory): in exp(-n x) where x = c2 / (wavelength *
    temperature) is 1 or more, in powers of x below.

    Parameters
    ----------
    wavelength_temperature_um_k : (...) wavelength times temperature [um K], 0 to infinite

    Returns
    -------
    (...) from 0 to 1
    """
    product = np.asarray(wavelength_temperature_um_k, dtype=np.float64)
    with np.errstate(divide="ignore"):
        x = np.minimum(C2 * 1e6 / product, 700.0)[..., None]  # exp(-700) is nothing
    far = np.maximum(x, 1.0)
    series = np.exp(-_TERMS * far) / _TERMS
    series = series * (far**3 + 3 * far**2 / _TERMS + 6 * far / _TERMS**2 + 6 / _TERMS**3)
    near = np.minimum(x[..., 0], 1.0)
    rest = near**3 * sum(share * near**power for power, share in _POWERS)
    out: Floats = 15 / pi**4 * np.where(x[..., 0] >= 1.0, series.sum(axis=-1), pi**4 / 15 - rest)
    return out


def band_share(low_um: float, high_um: float, temperature_k: ArrayLike) -> Floats:
    """Share of a blackbody's radiation between two wavelengths.

    Parameters
    ----------
    low_um, high_um : the two wavelengths [um]; the higher may be infinite
    temperature_k : (...) of the body [K]

    Returns
    -------
    (...) from 0 to 1
    """
    temperature = np.asarray(temperature_k, dtype=np.float64)
    out: Floats = band_fraction(high_um * temperature) - band_fraction(low_um * temperature)
    return out
