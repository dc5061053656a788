"""How the radiant intensity falls off from a heater's axis, and the beam that follows from it."""

from __future__ import annotations

from functools import lru_cache
from math import acos, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.scene.types import Pattern

Flags = NDArray[np.bool_]

# Shares of the peak intensity at which lighting practice measures a beam: the beam angle is the
# full angle at half of the peak, the field angle that at a tenth (ANSI/IES LS-1, from memory).
BEAM_SHARE = 0.5
FIELD_SHARE = 0.1

SCAN = 361  # directions from the axis to square to it, in which a table's shares are looked for
NODES = 16  # of the quadrature, in each panel


def relative_intensity(pattern: Pattern, directions: Floats) -> Floats:
    """Intensity in each direction as a share of the pattern's peak.

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
    elif pattern.kind == "table":
        share = _table(pattern, np.arctan2(x, depth), np.arctan2(y, depth))
    else:
        # cos(atan(t))**n = (1 + t**2)**(-n / 2)
        share = (1.0 + (x / depth) ** 2) ** (-pattern.along / 2) * (1.0 + (y / depth) ** 2) ** (
            -pattern.across / 2
        )
    return np.where(ahead, share, 0.0)


def half_angles(pattern: Pattern, azimuths: Floats, share: float) -> Floats:
    """Outermost angle from the axis at which the intensity still is a share of the peak.

    Parameters
    ----------
    pattern : of the heater type
    azimuths : (n,) directions round the axis, from the body's X toward its Y [rad]
    share : of the peak intensity

    Returns
    -------
    (n,) [rad], by bisection to 1e-9 rad; 0 where the intensity nowhere is that share
    """

    def inside(angles: Floats) -> Flags:
        radius = np.sin(angles)
        way = np.stack([radius * np.cos(azimuths), radius * np.sin(azimuths), -np.cos(angles)], -1)
        return np.asarray(relative_intensity(pattern, way) >= share)

    if pattern.kind == "table":  # it may rise again further out
        steps = np.linspace(0.0, pi / 2, SCAN)
        found = inside(np.broadcast_to(steps[:, None], (SCAN, len(azimuths))))
        last = SCAN - 1 - np.argmax(found[::-1], axis=0)
        none = ~found.any(axis=0)
        low = np.where(none, 0.0, steps[last])
        high = np.where(none, 0.0, steps[np.minimum(last + 1, SCAN - 1)])
    else:
        low, high = np.zeros_like(azimuths), np.full_like(azimuths, pi / 2)
    for _ in range(32):
        middle = (low + high) / 2
        within = inside(middle)
        low, high = np.where(within, middle, low), np.where(within, high, middle)
    return np.asarray((low + high) / 2)


def full_angles(pattern: Pattern, share: float) -> tuple[float, float]:
    """Full angles along and across the body at a share of the peak [rad]."""
    ahead, left, behind, right = half_angles(
        pattern, np.array([0.0, pi / 2, pi, -pi / 2]), share
    ).tolist()
    return ahead + behind, left + right


@lru_cache(maxsize=256)
def solid_angle(pattern: Pattern) -> float:
    """Integral of the relative intensity over the hemisphere [sr]: radiant power over peak.

    Gauss-Legendre over the two projected angles x and y of the pattern, in which a solid angle is
    ``cos x cos y / (1 - sin(x)**2 sin(y)**2)**1.5 dx dy`` (from ``dtan(x) dtan(y)`` on the plane at
    unit distance). Panels end where a table has its entries, and close up toward 90 degrees and
    about a narrow beam: to 1e-5 for every pattern that a scene may hold.
    """
    x, wx = _nodes(pattern, pattern.along, pattern.angles_along)
    y, wy = _nodes(pattern, pattern.across, pattern.angles_across)
    gx, gy = np.meshgrid(x, y, indexing="ij")
    way = np.stack([np.tan(gx), np.tan(gy), np.full(gx.shape, -1.0)], axis=-1)
    weight = np.cos(gx) * np.cos(gy) / (1.0 - (np.sin(gx) * np.sin(gy)) ** 2) ** 1.5
    return float(wx @ (relative_intensity(pattern, way) * weight) @ wy)


@lru_cache(maxsize=64)
def gauss_legendre(order: int) -> tuple[Floats, Floats]:
    """Nodes and weights (order,) of Gauss-Legendre quadrature over -1 to 1, read-only."""
    nodes, weights = np.polynomial.legendre.leggauss(order)  # type: ignore[no-untyped-call]
    return locked(nodes), locked(weights)


def _table(pattern: Pattern, x: Floats, y: Floats) -> Floats:
    """Linear between a table's entries, as a share of the highest; nothing beyond them."""
    values = np.array(pattern.intensities)
    row, up, in_rows = _between(np.array(pattern.angles_along), x)
    column, right, in_columns = _between(np.array(pattern.angles_across), y)
    low = values[row, column] * (1.0 - right) + values[row, column + 1] * right
    high = values[row + 1, column] * (1.0 - right) + values[row + 1, column + 1] * right
    found = (low * (1.0 - up) + high * up) / values.max()
    return np.where(in_rows & in_columns, found, 0.0)


def _between(angles: Floats, wanted: Floats) -> tuple[Ints, Floats, Flags]:
    """Entry below each angle, how far it is to the next (0 to 1), whether it is in the table."""
    if angles[0] >= 0.0:
        wanted = np.abs(wanted)  # the table goes for both sides
    index = np.clip(np.searchsorted(angles, wanted, side="right") - 1, 0, len(angles) - 2)
    share = (wanted - angles[index]) / (angles[index + 1] - angles[index])
    return index, np.clip(share, 0.0, 1.0), (wanted >= angles[0]) & (wanted <= angles[-1])


def _nodes(pattern: Pattern, power: float, angles: tuple[float, ...]) -> tuple[Floats, Floats]:
    """Nodes and weights over -90 to 90 degrees, for a cosine power or between a table's angles."""
    if pattern.kind == "table":
        ends = np.array(angles if angles[0] < 0.0 else [-a for a in angles[:0:-1]] + list(angles))
    else:
        exponent = power if pattern.kind == "cosine" else 1.0
        # cos(x)**n = 1/2; for large n, where that is lost, exp(-n x**2 / 2) = 1/2
        half = acos(0.5 ** (1 / exponent)) if exponent < 1e6 else sqrt(2 * log(2) / exponent)
        grown = half * 2.0 ** np.arange(-1, 60)
        to_square = pi / 2 - pi / 2 * 2.0 ** -np.arange(1, 16)
        one_side = np.concatenate([grown[grown < pi / 4], to_square, [pi / 2]])
        ends = np.concatenate([-one_side[::-1], [0.0], one_side])
        ends = np.unique(ends)
    at, weight = gauss_legendre(NODES)
    half_width = np.diff(ends) / 2
    middle = (ends[1:] + ends[:-1]) / 2
    where: Floats = middle[:, None] + half_width[:, None] * at
    return where.ravel(), np.outer(half_width, weight).ravel()
