"""Meshes from plain numpy: vertices (n, 3) [m] and triangles (m, 3), counter-clockwise outside."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from heatcore.geometry.frames import Floats, heading_axes
from heatcore.geometry.parts import Mesh

_CORNERS = np.array([(x, y, z) for z in (0, 1) for y in (0, 1) for x in (0, 1)], dtype=float)
_FACES = np.array(
    [
        (0, 2, 3), (0, 3, 1), (4, 5, 7), (4, 7, 6), (0, 1, 5), (0, 5, 4),
        (2, 6, 7), (2, 7, 3), (0, 4, 6), (0, 6, 2), (1, 3, 7), (1, 7, 5),
    ]
)  # fmt: skip


def box(low: Sequence[float], high: Sequence[float]) -> Mesh:
    return Mesh(np.array(low) + _CORNERS * np.subtract(high, low), _FACES)


def block(middle: Sequence[float], size: Sequence[float]) -> Mesh:
    half = np.array(size) / 2
    return box(np.array(middle) - half, np.array(middle) + half)


def cylinder(foot: Sequence[float], radius: float, height: float, sides: int = 24) -> Mesh:
    turn = 2 * np.pi * np.arange(sides) / sides
    ring = np.column_stack([radius * np.cos(turn), radius * np.sin(turn), np.zeros(sides)])
    vertices = np.concatenate([ring, ring + np.array((0, 0, height)), [(0, 0, 0), (0, 0, height)]])
    i, j = np.arange(sides), (np.arange(sides) + 1) % sides
    low, high = np.full(sides, 2 * sides), np.full(sides, 2 * sides + 1)
    triangles = np.concatenate(
        [
            np.column_stack([i, j, j + sides]),
            np.column_stack([i, j + sides, i + sides]),
            np.column_stack([j, i, low]),
            np.column_stack([i + sides, j + sides, high]),
        ]
    )
    return Mesh(vertices + np.array(foot), triangles)


def ellipsoid(
    middle: Sequence[float], radii: Sequence[float], across: int = 32, up: int = 16
) -> Mesh:
    turn = 2 * np.pi * np.arange(across) / across
    rise = np.pi * (np.arange(1, up) / up - 0.5)
    rings = np.stack(
        np.broadcast_arrays(
            np.cos(rise)[:, None] * np.cos(turn),
            np.cos(rise)[:, None] * np.sin(turn),
            np.sin(rise)[:, None],
        ),
        axis=-1,
    ).reshape(-1, 3)
    vertices = np.concatenate([rings, [(0, 0, -1), (0, 0, 1)]])
    i, j = np.arange(across), (np.arange(across) + 1) % across
    south, north = np.full(across, len(rings)), np.full(across, len(rings) + 1)
    last = (up - 2) * across
    parts = [np.column_stack([j, i, south]), np.column_stack([i + last, j + last, north])]
    for row in range(up - 2):
        a, b = i + row * across, j + row * across
        parts += [np.column_stack([a, b, b + across]), np.column_stack([a, b + across, a + across])]
    return Mesh(vertices * np.array(radii) + np.array(middle), np.concatenate(parts))


def leaves(foot: Sequence[float], count: int, rng: np.random.Generator) -> Mesh:
    """A bush: folded leaves of four triangles, strewn in an egg above `foot`."""
    way = rng.normal(size=(count, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    radius = rng.uniform(0.2, 1.0, (count, 1)) ** (1 / 3)
    middle = np.array(foot) + [0, 0, 0.45] + way * radius * [0.38, 0.38, 0.5]
    size = rng.uniform(0.02, 0.04, (count, 1))
    along = rng.normal(size=(count, 3))
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    side = np.cross(along, rng.normal(size=(count, 3)))
    side /= np.linalg.norm(side, axis=1, keepdims=True)
    fold = np.cross(along, side) * 0.3
    outline = [
        middle - size * along,
        middle + size * 0.4 * (side + fold),
        middle + size * along,
        middle + size * 0.4 * (fold - side),
        middle,
    ]
    vertices = np.stack(outline, axis=1).reshape(-1, 3)
    one = np.array([(0, 1, 4), (1, 2, 4), (2, 3, 4), (3, 0, 4)])
    return Mesh(vertices, (one + 5 * np.arange(count)[:, None, None]).reshape(-1, 3))


def joined(parts: Sequence[Mesh]) -> Mesh:
    counts = np.cumsum([0, *(len(part.vertices) for part in parts)])
    return Mesh(
        np.concatenate([part.vertices for part in parts]),
        np.concatenate([part.triangles + n for part, n in zip(parts, counts, strict=False)]),
    )


def placed(mesh: Mesh, at: Sequence[float], heading: float) -> Mesh:
    return Mesh(mesh.vertices @ heading_axes(heading) + np.array(at), mesh.triangles)


def split(mesh: Mesh, pieces: int) -> Mesh:
    """Each triangle as `pieces` squared ones in its plane."""
    n = pieces
    steps = [(i, j) for i in range(n + 1) for j in range(n + 1 - i)]
    number = {step: k for k, step in enumerate(steps)}
    shares = np.array([(1 - (i + j) / n, i / n, j / n) for i, j in steps])
    upright = [(number[i, j], number[i + 1, j], number[i, j + 1]) for i, j in steps if i + j < n]
    turned = [
        (number[i + 1, j], number[i + 1, j + 1], number[i, j + 1])
        for i, j in steps
        if i + j < n - 1
    ]
    pattern = np.array(upright + turned)
    vertices = np.einsum("kc,mci->mki", shares, mesh.corners).reshape(-1, 3)
    offsets = len(steps) * np.arange(len(mesh.triangles))
    return Mesh(vertices, (pattern + offsets[:, None, None]).reshape(-1, 3))


def ten_times(meshes: Sequence[Mesh]) -> list[Mesh]:
    """The same surfaces in ten times the triangles, as nearly as whole meshes allow."""
    out, asked, made = [], 0, 0
    for mesh in meshes:
        asked += 10 * len(mesh.triangles)
        more = asked - made >= 12.5 * len(mesh.triangles)
        out.append(split(mesh, 4 if more else 3))
        made += len(out[-1].triangles)
    return out


def bounds(meshes: Sequence[Mesh]) -> Floats:
    corners = np.array([mesh.bounds for mesh in meshes])
    return np.array([corners[:, 0].min(axis=0), corners[:, 1].max(axis=0)])
