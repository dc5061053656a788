"""A planter with a shrub."""

from __future__ import annotations

from functools import cache
from math import pi

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.furniture.piece import Piece, Size
from heatcore.geometry.parts import Mesh
from heatcore.geometry.shapes import Shape, ball, loft, rectangle, rod, shape
from heatcore.geometry.solids import hull, to_mesh

LEAVES = 900
LEAF = (0.085, 0.038, 0.0025)  # m; length, width, thickness
GOLDEN = pi * (3 - 5**0.5)


@cache
def planter(size: Size, material: str, growth: int) -> Piece:
    """A tapered pot with a shrub.

    Parameters
    ----------
    size : width and depth of the shrub and the pot's rim, height of the whole [m]
    material : of the pot
    growth : which of several shrubs
    """
    width, depth, height = size
    rim = min(0.42 * height, 0.60)
    across, along = 0.74 * width, 0.74 * depth
    corner = min(across, along) * 0.22

    def section(share: float, z: float, inset: float) -> Floats:
        flat = rectangle(along * share - 2 * inset, across * share - 2 * inset, corner * share)(0.0)
        return np.insert(flat, 2, z, axis=1)

    wall = 0.022
    outer = loft(
        [
            section(0.76, 0, 0.008),
            section(0.762, 0.008, 0),
            section(0.99, rim - 0.01, 0),
            section(1, rim, 0.005),
        ]
    )
    inner = loft([section(0.9, rim - 0.06, wall), section(1, rim + 0.01, wall)])
    soil = loft([section(0.9, rim - 0.09, wall - 0.008), section(0.93, rim - 0.035, wall - 0.004)])
    low = np.array([-depth / 2, -width / 2, rim + 0.04])
    high = np.array([depth / 2, width / 2, height])
    middle, radii = (low + high) / 2, (high - low) / 2
    stems = [
        rod(
            (0.03 * x, 0.03 * y, rim - 0.06),
            middle + radii * (0.55 * x, 0.55 * y, 0.3),
            0.011,
            0.005,
        )
        for x, y in ((1, 0.2), (-0.6, 0.9), (-0.5, -0.8), (0.4, -0.9), (0.3, 0.8), (0, 0))
    ]
    return Piece(
        (
            shape("", material, [outer - inner]),
            shape("soil", "soil", [soil]),
            shape("stems", "bark", stems),
            Shape("foliage", "foliage", _foliage(low, high, growth)),
        )
    )


def _foliage(low: Floats, high: Floats, growth: int) -> Mesh:
    """Leaves that fill a box as a shrub does, each a closed lens, around a dense core."""
    draw = np.random.default_rng(growth)
    radii = (high - low) / 2
    i = np.arange(LEAVES)
    height = 1 - 2 * (i + 0.5) / LEAVES
    ring = np.sqrt(1 - height**2)
    outward = np.stack([ring * np.cos(i * GOLDEN), ring * np.sin(i * GOLDEN), height], axis=1)
    # A shrub is lumpy: its outline swells and shrinks slowly around it.
    lumps = draw.normal(size=(5, 3)) * 2.2
    swell = 1.0 + 0.05 * np.sin(outward @ lumps.T + draw.uniform(0, 2 * pi, 5)).sum(axis=1)
    at = radii * outward * (swell * draw.uniform(0.35, 1.0, LEAVES) ** (1 / 3))[:, None]
    ahead = outward + draw.normal(scale=0.6, size=(LEAVES, 3)) + np.array([0.0, 0.0, 0.3])
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    left = np.cross(np.array([0.0, 0.0, 1.0]) + draw.normal(scale=0.5, size=(LEAVES, 3)), ahead)
    left /= np.linalg.norm(left, axis=1, keepdims=True)
    up = np.cross(ahead, left)
    shape, faces = _leaf()
    size = draw.uniform(0.75, 1.2, LEAVES)[:, None, None]
    local = shape[None] * size
    points = (
        at[:, None]
        + local[..., :1] * ahead[:, None]
        + local[..., 1:2] * left[:, None]
        + local[..., 2:] * up[:, None]
    )
    leaves = points.reshape(-1, 3)
    # Grown to the box, whatever the lumps came to.
    reach = np.ptp(leaves, axis=0)
    leaves = low + (leaves - leaves.min(axis=0)) / reach * (high - low)
    core = to_mesh(hull((low + high) / 2 + 0.62 * radii * ball(np.zeros(3), 1.0, 16)))
    triangles = (faces[None] + len(shape) * i[:, None, None]).reshape(-1, 3)
    return Mesh(
        np.concatenate([leaves, core.vertices]),
        np.concatenate([triangles, core.triangles + len(leaves)]),
    )


def _leaf() -> tuple[Floats, Ints]:
    """One leaf: a pointed lens folded along its middle and drooping at its tip."""
    length, width, thick = LEAF
    rim = np.array([(0, 0), (0.30, -0.5), (0.68, -0.38), (1, 0), (0.68, 0.38), (0.30, 0.5)])
    droop = -0.16 * length * rim[:, 0] ** 2
    edge = np.column_stack(
        [rim[:, 0] * length, rim[:, 1] * width, droop + 0.18 * width * np.abs(rim[:, 1]) * 2]
    )
    middle = 0.45 * length
    sag = -0.16 * length * 0.45**2
    points = np.vstack([edge, [(middle, 0, sag + thick / 2), (middle, 0, sag - thick / 2 - 0.002)]])
    here = np.arange(6)
    after = np.roll(here, -1)
    upper = np.stack([here, after, np.full(6, 6)], axis=1)
    lower = np.stack([after, here, np.full(6, 7)], axis=1)
    return points, np.concatenate([upper, lower])
