"""Simple closed forms, as meshes in a frame: boxes, tubes, balls."""

from __future__ import annotations

from math import cos, pi, sin
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Frame
from heatcore.geometry.parts import Mesh

FACES = np.array(
    [[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7], [0, 1, 5], [0, 5, 4],
     [1, 2, 6], [1, 6, 5], [2, 3, 7], [2, 7, 6], [3, 0, 4], [3, 4, 7]]
)  # fmt: skip


def box(low: Any, high: Any, frame: Frame | None = None) -> Mesh:
    """A box between two corners [m], in a frame."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    corners = np.array(
        [(x, y, z) for z in (z0, z1) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
    )
    return Mesh(corners if frame is None else frame.to_world(corners), FACES)


def tube(start: Any, end: Any, radius: float, sides: int = 16) -> Mesh:
    """A closed round bar between two points [m]."""
    frame = along(start, end)
    length = float(np.linalg.norm(np.subtract(end, start)))
    circle = np.array(
        [(radius * cos(t), radius * sin(t)) for t in np.arange(sides) * 2.0 * pi / sides]
    )
    rings = [np.column_stack([circle, np.full(sides, z)]) for z in (0.0, length)]
    return bridged(frame.to_world(np.concatenate(rings)), sides)


def bar(start: Any, end: Any, width: float, depth: float, across: Any) -> Mesh:
    """A closed bar of rectangular section between two points [m], its width along `across`."""
    frame = along(start, end, across)
    length = float(np.linalg.norm(np.subtract(end, start)))
    return box((-width / 2, -depth / 2, 0.0), (width / 2, depth / 2, length), frame)


def slab(corners: Floats, thickness: Floats) -> Mesh:
    """A closed slab on a plane polygon (n, 3) [m], thick by a vector (3,) [m] that leaves it."""
    ring = np.asarray(corners)
    normal = np.cross(ring[1] - ring[0], ring[2] - ring[1])
    if normal @ thickness < 0:
        ring = ring[::-1]
    return bridged(np.concatenate([ring, ring + thickness]), len(ring))


def bridged(points: Floats, sides: int) -> Mesh:
    """Close two rings of points, the second ahead of the first, into a solid."""
    faces = [(0, b + 1, b) for b in range(1, sides - 1)]
    faces += [(sides, sides + b, sides + b + 1) for b in range(1, sides - 1)]
    for a in range(sides):
        b = (a + 1) % sides
        faces += [(a, b, sides + b), (a, sides + b, sides + a)]
    return Mesh(points, np.array(faces))


def along(start: Any, end: Any, across: Any = None) -> Frame:
    """A frame at a point whose Z leads to another, its X near `across`."""
    z = np.subtract(end, start)
    z = z / np.linalg.norm(z)
    guide = np.asarray(
        across if across is not None else np.eye(3)[np.argmin(np.abs(z))], dtype=np.float64
    )
    x = guide - (guide @ z) * z
    x = x / np.linalg.norm(x)
    return Frame(np.asarray(start), np.stack([x, np.cross(z, x), z]))


def joined(*meshes: Mesh) -> Mesh:
    """Several meshes as one."""
    counts = np.cumsum([0, *(len(m.vertices) for m in meshes)])
    triangles = [m.triangles + n for m, n in zip(meshes, counts, strict=False)]
    return Mesh(np.concatenate([m.vertices for m in meshes]), np.concatenate(triangles))
