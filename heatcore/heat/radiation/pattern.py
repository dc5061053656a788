"""How the radiant intensity falls off from a heater's axis, and the beam that follows from it."""

from __future__ import annotations

from functools import lru_cache
from math import acos, log, pi, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.scene.types import Pattern

Flags = NDArray[np.bool_]
Singles = NDArray[np.float32]

# Shares of the peak intensity at which lighting practice measures a beam: the beam angle is the
# full angle at half of the peak, the field angle that at a tenth (ANSI/IES LS-1, from memory).
BEAM_SHARE = 0.5
FIELD_SHARE = 0.1

SCAN = 361  # directions from the axis to square to it, in which a table's shares are looked for
NODES = 10  # of the quadrature, in each panel


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
    down = -directions[..., 2]
    ahead = down > 0.0
    depth = np.where(ahead, down, 1.0)
    share = over_tangents(pattern, directions[..., 0] / depth, directions[..., 1] / depth)
    return np.where(ahead, share, 0.0)


def over_tangents(pattern: Pattern, x: Singles | Floats, y: Singles | Floats) -> Any:
    """Relative intensity before the aperture, over the tangents of the two projected angles.

    Parameters
    ----------
    pattern : of the heater type
    x, y : tangents, of shapes that broadcast together; what depends on one only is computed once

    Returns
    -------
    from 0 to 1, in the precision of the tangents
    """
    if pattern.kind == "uniform":
        return 1.0 / np.sqrt(1.0 + x * x + y * y)
    if pattern.kind == "table":
        return _table(pattern, np.arctan(x), np.arctan(y))
    # cos(atan(t))**n = (1 + t**2)**(-n / 2)
    along = np.exp(np.log1p(x * x) * (-pattern.along / 2))
    return along * np.exp(np.log1p(y * y) * (-pattern.across / 2))


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

    Gauss-Legendre over the projected angle x of the pattern and the elevation e out of that plane
    toward Y, in which a solid angle is ``cos(e) dx de`` and the projected angle y is
    ``atan(tan(e) / cos(x))``. Panels end where a table has its entries, and close up toward 90
    degrees and about a narrow beam: to 1e-5 for every pattern that a scene may hold.
    """
    at, weight = gauss_legendre(NODES)
    x, wx = panels(_breaks(pattern, pattern.along, pattern.angles_along), at, weight)
    breaks = _breaks(pattern, pattern.across, pattern.angles_across)
    with np.errstate(over="ignore"):
        lifted = np.arctan(np.tan(breaks) * np.cos(x)[:, None])
    square = np.abs(breaks) >= pi / 2  # stays square, whatever x
    e, we = panels(np.where(square, breaks, lifted), at, weight)
    x = x[:, None]
    way = np.stack(
        [np.cos(e) * np.sin(x), np.sin(e), -np.cos(e) * np.cos(x)],
        axis=-1,
    )
    return float(wx @ (relative_intensity(pattern, way) * np.cos(e) * we).sum(axis=1))


@lru_cache(maxsize=64)
def gauss_legendre(order: int) -> tuple[Floats, Floats]:
    """Nodes and weights (order,) of Gauss-Legendre quadrature over -1 to 1, read-only."""
    nodes, weights = np.polynomial.legendre.leggauss(order)  # type: ignore[no-untyped-call]
    return locked(nodes), locked(weights)


def _table(pattern: Pattern, x: Singles | Floats, y: Singles | Floats) -> Any:
    """Linear between a table's entries, as a share of the highest; nothing beyond them."""
    values = np.array(pattern.intensities, dtype=x.dtype)
    row, low, high = _between(np.array(pattern.angles_along, dtype=x.dtype), x)
    column, left, right = _between(np.array(pattern.angles_across, dtype=y.dtype), y)
    columns = values.shape[1]
    flat, at = (values / values.max()).ravel(), row * columns + column
    return low * (left * flat[at] + right * flat[at + 1]) + high * (
        left * flat[at + columns] + right * flat[at + columns + 1]
    )


def _between(angles: Any, wanted: Any) -> tuple[Ints, Any, Any]:
    """Entry below each angle, and how much that one and the next one count; 0 off the table."""
    if angles[0] >= 0.0:
        wanted = np.abs(wanted)  # the table goes for both sides
    index = np.clip(np.searchsorted(angles, wanted, side="right") - 1, 0, len(angles) - 2)
    share = (wanted - angles[index]) / (angles[index + 1] - angles[index])
    inside = (share >= 0.0) & (share <= 1.0)
    return index, np.where(inside, 1 - share, 0), np.where(inside, share, 0)


def _breaks(pattern: Pattern, power: float, angles: tuple[float, ...]) -> Floats:
    """Angles from -90 to 90 degrees between which a pattern is smooth, ascending [rad]."""
    to_square = pi / 2 - pi / 2 * 2.0 ** -np.arange(1, 12)
    if pattern.kind == "table":
        half = to_square
        own = np.clip(np.concatenate([angles, np.negative(angles)]), -pi / 2, pi / 2)
    else:
        exponent = power if pattern.kind == "cosine" else 1.0
        # cos(x)**n = 1/2; for large n, where that is lost, exp(-n x**2 / 2) = 1/2
        fall = acos(0.5 ** (1 / exponent)) if exponent < 1e6 else sqrt(2 * log(2) / exponent)
        grown = fall * 2.0 ** np.arange(-1, 40)
        half, own = np.concatenate([grown[grown < pi / 4], to_square]), np.zeros(0)
    return np.asarray(np.unique([*-half, *half, *own, -pi / 2, 0.0, pi / 2]))


def panels(breaks: Floats, at: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """Nodes and weights (..., n) of a quadrature in panels between breaks (..., b)."""
    half: Floats = np.asarray(np.diff(breaks) / 2)
    middle: Floats = (breaks[..., 1:] + breaks[..., :-1]) / 2
    nodes: Floats = middle[..., None] + half[..., None] * at
    weights: Floats = half[..., None] * weight
    return nodes.reshape(*breaks.shape[:-1], -1), weights.reshape(*breaks.shape[:-1], -1)
