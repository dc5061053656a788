"""Heat conducted into a floor: closed forms for plain bodies, and a solver for layered ones.

All of it is linear, so everything is told as the rise above a body that was at the temperature of
its surroundings all through.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, erfc, log1p, pi, sqrt

import numpy as np
from numpy.typing import ArrayLike

from heatcore.geometry.frames import Floats, locked

_erfc = np.vectorize(erfc, otypes=[np.float64])
_ASYMPTOTIC = 10.0  # from here on, ten terms of the asymptotic series are exact to 1e-14
_TERMS = 10
_FINE = 40  # cells at the surface to how far the heat has come
_GROWTH = 0.05  # of a cell, with depth
_LEAST_CELLS = 8  # of a layer
_FAR = 6.5  # in units of 2 sqrt(diffusivity * time): erfc is under 1e-19 there


@dataclass(frozen=True)
class Solid:
    """What a material does with heat.

    Attributes
    ----------
    conductivity_w_mk : thermal conductivity [W/m K]
    density_kg_m3 : density [kg/m3]
    heat_capacity_j_kgk : specific heat capacity [J/kg K]
    """

    conductivity_w_mk: float
    density_kg_m3: float
    heat_capacity_j_kgk: float

    @property
    def volumetric_capacity_j_m3k(self) -> float:
        """Heat that a cubic metre takes up for each kelvin [J/m3 K]."""
        return self.density_kg_m3 * self.heat_capacity_j_kgk

    @property
    def diffusivity_m2_s(self) -> float:
        """Thermal diffusivity [m2/s]."""
        return self.conductivity_w_mk / self.volumetric_capacity_j_m3k

    @property
    def effusivity(self) -> float:
        """Thermal effusivity [W s^0.5/m2 K]."""
        return sqrt(self.conductivity_w_mk * self.volumetric_capacity_j_m3k)


@dataclass(frozen=True)
class Layer:
    """One layer of a floor.

    Attributes
    ----------
    solid : what it is of
    thickness : [m]
    """

    solid: Solid
    thickness: float


@dataclass(frozen=True, eq=False)
class Heated:
    """A layered body after a time.

    Attributes
    ----------
    depths : (n,) below the surface, from 0 down to the back [m], read-only
    rise_k : (n,) rise of the temperature there [K], read-only
    lost_share : share of the absorbed heat that surface and back have given off by then
    """

    depths: Floats
    rise_k: Floats
    lost_share: float

    @property
    def surface_k(self) -> float:
        """Rise of the surface's temperature [K]."""
        return float(self.rise_k[0])


def erfcx(x: ArrayLike) -> Floats:
    """Scaled complementary error function, exp(x**2) * erfc(x), of x (...) of 0 or more.

    The asymptotic series for large x: M. Abramowitz and I. A. Stegun, 7.1.23 (from memory).
    """
    value = np.asarray(x, dtype=np.float64)
    near = np.minimum(value, _ASYMPTOTIC)
    far = np.maximum(value, _ASYMPTOTIC)
    series = term = np.ones_like(far)
    for n in range(1, _TERMS):
        term = -term * (2 * n - 1) / (2 * far**2)
        series = series + term
    out: Floats = np.where(
        value < _ASYMPTOTIC, np.exp(near**2) * _erfc(near), series / (far * sqrt(pi))
    )
    return out


def semi_infinite(
    solid: Solid,
    flux_w_m2: ArrayLike,
    seconds: ArrayLike,
    depth: ArrayLike = 0.0,
    loss_w_m2k: float = 0.0,
) -> Floats:
    """Rise in a deep body whose surface absorbs a constant flux.

    H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, sections 2.8 and 2.9 (number from
    memory); without losses also F. P. Incropera et al., Fundamentals of Heat and Mass Transfer,
    7th ed., eq. 5.62. A floor counts as deep until its back has warmed.

    Parameters
    ----------
    solid : what the body is of
    flux_w_m2 : (...) absorbed [W/m2]
    seconds : (...) for how long [s], above 0
    depth : (...) below the surface [m]
    loss_w_m2k : what the surface gives off to its surroundings for each kelvin [W/m2 K]

    Returns
    -------
    (...) [K]
    """
    flux = np.asarray(flux_w_m2, dtype=np.float64)
    time = np.asarray(seconds, dtype=np.float64)
    spread = 2 * np.sqrt(solid.diffusivity_m2_s * time)
    x = np.asarray(depth, dtype=np.float64) / spread
    if loss_w_m2k > 0.0:
        lost = loss_w_m2k * spread / (2 * solid.conductivity_w_mk)
        # exp(h x / k + h2 a t / k2) erfc(x + lost), written so that nothing overflows
        kept = _erfc(x) - np.exp(-(x**2)) * erfcx(x + lost)
        with_losses: Floats = flux / loss_w_m2k * kept
        return with_losses
    # The integral of erfc from x on.
    mean = np.exp(-(x**2)) / sqrt(pi) - x * _erfc(x)
    out: Floats = flux * spread / solid.conductivity_w_mk * mean
    return out


def insulated_slab(
    solid: Solid,
    thickness: float,
    flux_w_m2: ArrayLike,
    seconds: ArrayLike,
    depth: ArrayLike = 0.0,
) -> Floats:
    """Rise in a slab that absorbs a constant flux and loses nothing, its back insulated.

    The deep body's answer, mirrored at the back and again at the surface (method of images;
    Carslaw and Jaeger, section 3.8, number from memory).

    Parameters
    ----------
    solid : what the slab is of
    thickness : [m]
    flux_w_m2 : (...) absorbed [W/m2]
    seconds : (...) for how long [s], above 0
    depth : (...) below the surface, at most the thickness [m]

    Returns
    -------
    (...) [K]
    """
    x = np.asarray(depth, dtype=np.float64)
    spread = 2 * sqrt(solid.diffusivity_m2_s * float(np.max(seconds)))
    images = ceil(_FAR * spread / (2 * thickness)) + 1
    shape = np.broadcast_shapes(np.shape(flux_w_m2), np.shape(seconds), x.shape)
    out: Floats = np.zeros(shape)
    for n in range(images):
        for image in (2 * n * thickness + x, 2 * (n + 1) * thickness - x):
            out = out + semi_infinite(solid, flux_w_m2, seconds, image)
    return out


def layered(
    layers: Sequence[Layer],
    flux_w_m2: float,
    seconds: float,
    loss_w_m2k: float = 0.0,
    back_loss_w_m2k: float = 0.0,
) -> Heated:
    """Rise in a body of layers whose surface absorbs a constant flux.

    Finite differences across the layers, fine at the surface and coarser below, with nodes on
    every interface; in time it is exact, by the modes of the network that they make. Within
    0.1 % of the closed forms on the surface.

    Parameters
    ----------
    layers : from the surface down, at least one
    flux_w_m2 : absorbed [W/m2]
    seconds : for how long [s]
    loss_w_m2k, back_loss_w_m2k : what the surface and the back give off to surroundings that keep
        their temperature, for each kelvin [W/m2 K]
    """
    steps, conductivity, capacity = _cells(layers, seconds)
    depths = np.concatenate([[0.0], np.cumsum(steps)])
    heat = np.zeros(len(depths))  # what each node takes up for each kelvin [J/m2 K]
    heat[:-1] += capacity * steps / 2
    heat[1:] += capacity * steps / 2
    flow = conductivity / steps
    network = np.diag(np.r_[flow, back_loss_w_m2k] + np.r_[loss_w_m2k, flow])
    network -= np.diag(flow, 1) + np.diag(flow, -1)
    # heat dT/dt = q - network T, made symmetric by the roots of `heat`.
    root = np.sqrt(heat)
    rates, modes = np.linalg.eigh(network / np.outer(root, root))
    decay = np.maximum(rates, 0.0) * seconds
    drive = modes[0] / root[0]
    still = np.maximum(decay, 1e-9)
    # Integrals over the time of exp(-rate t), and of that again; both 1 and 1/2 where decay is 0.
    once = -np.expm1(-still) / still
    twice = np.where(decay > 1e-4, (1.0 - once) / still, 0.5 - still / 6)
    rise = flux_w_m2 * seconds * ((modes * once) @ drive) / root
    mean = ((modes * twice) @ drive) / root * seconds
    return Heated(
        depths=locked(depths),
        rise_k=locked(rise),
        lost_share=float(loss_w_m2k * mean[0] + back_loss_w_m2k * mean[-1]),
    )


def _cells(layers: Sequence[Layer], seconds: float) -> tuple[Floats, Floats, Floats]:
    """Thickness (n,) of each cell [m], its conductivity [W/m K] and capacity [J/m3 K].

    At the surface a cell is a small share of how far the heat has come in its solid by then, or of
    its layer; further down it grows with the depth.
    """
    steps: list[Floats] = []
    solids: list[Solid] = []
    top = 0.0
    for layer in layers:
        reach = sqrt(layer.solid.diffusivity_m2_s * seconds)
        finest = min(reach, layer.thickness) / _FINE
        bottom = top + layer.thickness
        first, last = (log1p(_GROWTH * depth / finest) for depth in (top, bottom))
        count = max(_LEAST_CELLS, ceil((last - first) / _GROWTH))
        edges = finest / _GROWTH * np.expm1(np.linspace(first, last, count + 1))
        steps.append(np.diff(edges))
        solids += count * [layer.solid]
        top = bottom
    conductivity = np.array([solid.conductivity_w_mk for solid in solids])
    capacity = np.array([solid.volumetric_capacity_j_m3k for solid in solids])
    return np.concatenate(steps), conductivity, capacity
