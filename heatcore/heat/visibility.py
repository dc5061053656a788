"""What fraction of an aperture a point sees."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.rays import SKIN, Obstacles
from heatcore.heat.emitter import Emitter
from heatcore.heat.pattern import relative_intensity


@dataclass(frozen=True)
class Quality:
    """How finely an aperture is looked at.

    Attributes
    ----------
    samples : rays to every point
    more : rays to points that see a part of it only; 0 for no second look
    """

    samples: int
    more: int = 0


PREVIEW = Quality(32)
FINAL = Quality(96, 512)


def visible_fraction(
    emitter: Emitter,
    points: Floats,
    normals: Floats,
    free: Floats,
    obstacles: Obstacles,
    quality: Quality,
    grid: tuple[int, int] | None = None,
) -> Floats:
    """Fraction of what would reach each point that finds its way (n,)."""
    out = np.zeros(len(points))
    asked = np.flatnonzero(free > 0.0)
    out[asked] = _fraction(emitter, points[asked], normals[asked], obstacles, quality.samples)
    if quality.more:
        partly = asked[(out[asked] > 0.0) & (out[asked] < 1.0)]
        out[partly] = _fraction(emitter, points[partly], normals[partly], obstacles, quality.more)
    return out


def off_surface(emitter: Emitter, points: Floats) -> Floats:
    """Points (n, 3) moved by `SKIN` toward a heater, off whatever surface they lie on [m]."""
    way = emitter.frame.origin - points
    far = np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-12)
    return np.asarray(points + np.minimum(SKIN / far, 0.5) * way)


def _fraction(
    emitter: Emitter, points: Floats, normals: Floats, obstacles: Obstacles, samples: int
) -> Floats:
    targets = obstacles.targets(off_surface(emitter, points))
    seen, whole = np.zeros(len(points)), np.zeros(len(points))
    for source in emitter.samples(samples):
        kernel = _kernel(emitter, source, points, normals)
        whole += kernel
        seen += kernel * ~obstacles.hidden(source, targets)
    return np.divide(seen, whole, out=np.zeros_like(seen), where=whole > 0.0)


def _kernel(emitter: Emitter, source: Floats, points: Floats, normals: Floats) -> Floats:
    """What one place of the aperture brings to each point, on any scale: I cos / d**2."""
    way = points - source
    d2 = np.maximum(np.einsum("ni,ni->n", way, way), SKIN**2)
    height = np.maximum(-np.einsum("ni,ni->n", way, normals), 0.0)
    share = relative_intensity(emitter.pattern, way @ emitter.frame.axes.T)
    return np.asarray(share * height / d2**1.5)
