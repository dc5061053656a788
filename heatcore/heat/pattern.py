"""How the radiant intensity falls off from a heater's axis, and the beam that follows from it."""

from __future__ import annotations

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.scene.types import Pattern

# Shares of the peak intensity at which lighting practice measures a beam: the beam angle is the
# full angle at half of the peak, the field angle that at a tenth (ANSI/IES LS-1, from memory).
BEAM_SHARE = 0.5
FIELD_SHARE = 0.1


def relative_intensity(pattern: Pattern, directions: Floats) -> Floats:
    """Intensity in each direction as a share of that on the axis.

    Parameters
    ----------
    pattern : of the heater type
    directions : (..., 3) in the heater's frame, of any length; the axis is -Z

    Returns
    -------
    (...) from 0 to 1; 0 behind the aperture
    """
    x, y, down = directions[..., 0], directions[..., 1], -directions[..., 2]
    ahead = down > 0.0
    depth = np.where(ahead, down, 1.0)
    if pattern.kind == "uniform":
        share = depth / np.sqrt(x * x + y * y + depth * depth)
    else:
        # cos(atan(t))**n = (1 + t**2)**(-n / 2)
        share = (1.0 + (x / depth) ** 2) ** (-pattern.along / 2) * (1.0 + (y / depth) ** 2) ** (
            -pattern.across / 2
        )
    return np.where(ahead, share, 0.0)


def half_angles(pattern: Pattern, azimuths: Floats, share: float) -> Floats:
    """Angle from the axis at which the intensity has fallen to a share of the peak.

    Parameters
    ----------
    pattern : of the heater type
    azimuths : (n,) directions round the axis, from the body's X toward its Y [rad]
    share : of the peak intensity

    Returns
    -------
    (n,) [rad], by bisection to 1e-9 rad
    """
    c, s = np.cos(azimuths), np.sin(azimuths)
    low, high = np.zeros_like(azimuths), np.full_like(azimuths, np.pi / 2)
    for _ in range(32):
        middle = (low + high) / 2
        way = np.stack([np.sin(middle) * c, np.sin(middle) * s, -np.cos(middle)], axis=-1)
        inside = relative_intensity(pattern, way) >= share
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return (low + high) / 2


def full_angles(pattern: Pattern, share: float) -> tuple[float, float]:
    """Full angles along and across the body at a share of the peak [rad]."""
    along, across = 2 * half_angles(pattern, np.array([0.0, np.pi / 2]), share)
    return float(along), float(across)
