"""Irradiance of any point, with everything in the way, from any number of heaters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.geometry.parts import Mesh
from heatcore.geometry.rays import SKIN, Obstacles
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.unobstructed import unobstructed
from heatcore.heat.radiation.visibility import (
    FINAL,
    LIVE,
    PREVIEW,
    Quality,
    off_surface,
    visible_fraction,
)

__all__ = [
    "FINAL",
    "LIVE",
    "PREVIEW",
    "Arrivals",
    "Quality",
    "arrivals",
    "irradiance",
    "irradiances",
    "on_mesh",
]

ON_MESH = Quality(16, 256)
STEP = 0.1  # m; larger triangles are looked at in several places
AT_ONCE = 1 << 16  # points at once: bounds the memory


def irradiance(
    emitter: Emitter,
    points: Floats,
    normals: Floats,
    obstacles: Obstacles,
    quality: Quality = FINAL,
    grid: tuple[int, int] | None = None,
) -> Floats:
    """Irradiance of surfaces by one heater, direct radiation only.

    What reaches a point with nothing in the way (`unobstructed`), times the fraction of the
    aperture that it sees, weighted by what each part of the aperture would bring
    (`visible_fraction`).

    Parameters
    ----------
    emitter : the heater's
    points : (..., 3) in the world [m]; they may lie on a surface
    normals : (..., 3), or (3,) for all, outward from the surfaces, of any length
    obstacles : what is in the way
    quality : how finely the aperture is looked at
    grid : (ny, nx) where the points are those of a grid, row by row, near enough to each other that
        neighbours mostly see the same: rays are saved

    Returns
    -------
    (...) [W/m2]

    Raises
    ------
    InputError
        Where a point or normal has no three numbers, or a normal has no length.
    """
    shape = np.shape(points)[:-1]
    points, normals = _checked(points, normals)
    if grid is None and len(points) > AT_ONCE:
        parts = (slice(at, at + AT_ONCE) for at in range(0, len(points), AT_ONCE))
        return np.concatenate(
            [irradiance(emitter, points[part], normals[part], obstacles, quality) for part in parts]
        ).reshape(shape)
    local, facing = emitter.frame.to_local(points), normals @ emitter.frame.axes.T
    free = emitter.peak_w_sr * unobstructed(
        emitter.pattern, emitter.length, emitter.width, local, facing
    )
    seen = visible_fraction(emitter, points, normals, free, obstacles, quality, grid)
    return np.asarray(free * seen).reshape(shape)


def irradiances(
    emitters: Sequence[Emitter],
    points: Floats,
    normals: Floats,
    obstacles: Obstacles,
    quality: Quality = FINAL,
    grid: tuple[int, int] | None = None,
) -> dict[str, Floats]:
    """Irradiance by each heater, under its name; as `irradiance`. Their sum is the whole."""
    return {
        emitter.name: irradiance(emitter, points, normals, obstacles, quality, grid)
        for emitter in emitters
    }


def on_mesh(
    emitters: Sequence[Emitter],
    mesh: Mesh,
    obstacles: Obstacles,
    quality: Quality = ON_MESH,
    step: float = STEP,
) -> dict[str, Floats]:
    """Mean irradiance of each triangle's outer side, by each heater under its name.

    Parameters
    ----------
    emitters : of the heaters
    mesh : the surface; it shades itself only where it is one of the obstacles
    obstacles : what is in the way
    quality : how finely the aperture is looked at
    step : a triangle with longer edges is looked at in several places [m]

    Returns
    -------
    for each name (m,) [W/m2]; 0 for triangles without area
    """
    longest = np.linalg.norm(np.roll(mesh.corners, -1, axis=1) - mesh.corners, axis=2).max(axis=1)
    pieces = np.ceil(np.maximum(longest / step, 1.0)).astype(np.int64)
    real = np.flatnonzero(np.any(mesh.normals != 0.0, axis=1))
    out = {emitter.name: np.zeros(len(pieces)) for emitter in emitters}
    for count in np.unique(pieces[real]).tolist():
        shares = _centers(count)
        chosen = real[pieces[real] == count]
        together = max(1, AT_ONCE // len(shares))
        for at in range(0, len(chosen), together):
            some = chosen[at : at + together]
            means = np.zeros((len(emitters), len(some)))
            for first in range(0, len(shares), AT_ONCE):
                part = shares[first : first + AT_ONCE]
                points = np.einsum("kc,mci->mki", part, mesh.corners[some])
                normals = np.broadcast_to(mesh.normals[some][:, None], points.shape)
                found = irradiances(
                    emitters, points.reshape(-1, 3), normals.reshape(-1, 3), obstacles, quality
                )
                for mean, values in zip(means, found.values(), strict=True):
                    mean += values.reshape(len(some), -1).sum(axis=1) / len(shares)
            for emitter, mean in zip(emitters, means, strict=True):
                out[emitter.name][some] = mean
    return out


@dataclass(frozen=True, eq=False)
class Arrivals:
    """What arrives at points from one heater, by the place on its aperture where it left.

    Attributes
    ----------
    directions : (n, s, 3) unit vectors from the point toward each aperture sample
    flux_w_m2 : (n, s) on a surface square to that direction, nothing in the way; summed over s it
        is the whole heater's
    hit : (n, s) index of the obstacle first met on the way from the sample, -1 where it is free
    """

    directions: Floats
    flux_w_m2: Floats
    hit: Ints


def arrivals(emitter: Emitter, points: Floats, obstacles: Obstacles, samples: int = 32) -> Arrivals:
    """What arrives at points (n, 3) [m] from each of so many places on a heater's aperture.

    Raises
    ------
    InputError
        Where a point is not a number.
    """
    points, _ = _checked(points, np.array([0.0, 0.0, 1.0]))
    sources = emitter.samples(samples)
    way = sources - points[:, None]
    far = np.maximum(np.linalg.norm(way, axis=2), SKIN)
    flux = emitter.intensity(-way) / (samples * far**2)
    targets = obstacles.targets(off_surface(emitter, points))
    hit = np.empty((len(points), samples), dtype=np.int64)
    for i, source in enumerate(sources):
        hit[:, i] = obstacles.met(source, targets)
    return Arrivals(locked(way / far[..., None]), locked(flux), locked(hit, np.int64))


def _checked(points: Floats, normals: Floats) -> tuple[Floats, Floats]:
    """Points and unit normals (n, 3), refused where they are none."""
    for what, given in (("points", points), ("normals", normals)):
        if np.shape(given)[-1:] != (3,):
            message = f"an array of shape {np.shape(given)} holds no places in space"
            raise InputError(what, message, "give three coordinates for each: (..., 3)")
    points = np.asarray(points, dtype=np.float64).reshape(-1, 3)
    normals = np.asarray(normals, dtype=np.float64).reshape(-1, 3)
    if len(normals) not in (1, len(points)):
        message = f"{len(normals)} normals do not go with {len(points)} points"
        raise InputError("normals", message, "give one for each point, or one for all")
    for what, values in (("points", points), ("normals", normals)):
        if not np.isfinite(values).all():
            bad = int(np.flatnonzero(~np.isfinite(values).all(axis=1))[0])
            message = f"{tuple(values[bad].tolist())} is no place in space"
            raise InputError(f"{what}[{bad}]", message, "give three finite numbers")
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    if not length.all():
        bad = int(np.flatnonzero(length[:, 0] == 0.0)[0])
        raise InputError(f"normals[{bad}]", "has no length", "give the way the surface faces")
    return points, np.broadcast_to(normals / length, points.shape)


def _centers(count: int) -> Floats:
    """Centers (count**2, 3) of equal pieces of a triangle, as shares of its corners."""
    i, j = np.meshgrid(np.arange(count), np.arange(count), indexing="ij")
    upright, turned = i + j < count, i + j < count - 1
    a = np.concatenate([i[upright] + 1 / 3, i[turned] + 2 / 3]) / count
    b = np.concatenate([j[upright] + 1 / 3, j[turned] + 2 / 3]) / count
    return np.column_stack([a, b, 1.0 - a - b])
