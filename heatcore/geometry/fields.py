"""Smooth solids from distance fields, for what has no edges: bodies and clothes.

A field takes points (n, 3) and gives their signed distance (n,) from a surface, negative inside.
Fields blend: `blend` runs one surface into the next as flesh and cloth do. The formulas are those
of I. Quilez's published distance functions, from memory; the round cone is exact, the squashed
ones are bounds, which `solid_in` corrects for by stepping along the gradient.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Mesh
from heatcore.geometry.solids import Solid, solid_of

Field = Callable[[Floats], Floats]


def round_cone(start: Any, end: Any, radius: float, radius_end: float) -> Field:
    """The hull of two balls, exact wherever neither ball holds the other [m]."""
    a, b = np.asarray(start, float), np.asarray(end, float)
    axis = b - a
    length2 = float(axis @ axis)
    fall = radius - radius_end
    side2 = length2 - fall * fall

    def field(points: Floats) -> Floats:
        rel = points - a
        y = rel @ axis
        z = y - length2
        across = rel * length2 - y[:, None] * axis
        x2 = np.einsum("ij,ij->i", across, across)
        y2, z2 = y * y * length2, z * z * length2
        k = np.sign(fall) * fall * fall * x2
        side = (np.sqrt(x2 * side2 / length2) + y * fall) / length2 - radius
        beyond = np.sqrt(x2 + z2) / length2 - radius_end
        before = np.sqrt(x2 + y2) / length2 - radius
        return np.where(
            np.sign(z) * side2 * z2 > k,
            beyond,
            np.where(np.sign(y) * side2 * y2 < k, before, side),
        )

    return field


def ellipsoid(centre: Any, radii: Any) -> Field:
    """An ellipsoid along the axes [m]."""
    middle, size = np.asarray(centre, float), np.asarray(radii, float)

    def field(points: Floats) -> Floats:
        unit = (points - middle) / size
        k0 = np.linalg.norm(unit, axis=1)
        k1 = np.linalg.norm(unit / size, axis=1)
        distance: Floats = k0 * (k0 - 1) / np.maximum(k1, 1e-9)
        return distance

    return field


def column(origin: Any, axes: Any, stations: Any, squareness: float = 2.3) -> Field:
    """A trunk of oval sections along the Z of a frame.

    Parameters
    ----------
    origin, axes : (3,) and (3, 3), rows X ahead, Y left, Z along the trunk
    stations : (k, 4) rows of height, half depth, half width, shift ahead [m], from low to high
    squareness : exponent of the sections; 2 is an ellipse, more is squarer
    """
    base, frame, rows = np.asarray(origin, float), np.asarray(axes, float), np.asarray(stations)
    low, high = rows[0, 0], rows[-1, 0]
    # The profile between the stations, rounded off so that no ring shows.
    heights = np.linspace(low - 0.1, high + 0.1, 200)
    window = np.hanning(31)[1:-1] / np.hanning(31).sum()
    profile = [
        np.convolve(np.pad(np.interp(heights, rows[:, 0], rows[:, i]), 14, "edge"), window, "valid")
        for i in (1, 2, 3)
    ]

    def field(points: Floats) -> Floats:
        x, y, z = ((points - base) @ frame.T).T
        depth, width, shift = (np.interp(z, heights, row) for row in profile)
        p = squareness
        size = (np.abs((x - shift) / depth) ** p + np.abs(y / width) ** p) ** (1 / p)
        side = (size - 1) * np.minimum(depth, width)
        end = np.maximum(low - z, z - high)
        return blunt(side, end, 0.03)

    return field


def blunt(a: Floats, b: Floats, radius: float) -> Floats:
    """The intersection of two fields' values with a rounded edge."""
    return -soft_least(-a, -b, radius)


def soft_least(a: Floats, b: Floats, radius: float) -> Floats:
    """The smaller of two fields' values, run together over about `radius` [m]."""
    h = np.maximum(radius - np.abs(a - b), 0.0)
    least: Floats = np.minimum(a, b) - h * h / (4 * radius)
    return least


def blend(radius: float, *fields: Field) -> Field:
    """The union of fields, their joints filled over about `radius` [m]."""

    def field(points: Floats) -> Floats:
        return reduce(lambda a, b: soft_least(a, b, radius), (f(points) for f in fields))

    return field


def cut(field: Field, normal: Any, offset: float, radius: float) -> Field:
    """What of a field lies where normal . p < offset, its edge rounded by `radius` [m]."""
    n = np.asarray(normal, float)
    return lambda points: blunt(field(points), points @ n - offset, radius)


def less(field: Field, hollow: Field, radius: float) -> Field:
    """A field without another, the edge rounded by `radius` [m]."""
    return lambda points: blunt(field(points), -hollow(points), radius)


def grown(field: Field, by: float) -> Field:
    """A field grown outward [m]."""
    return lambda points: field(points) - by


def solid_in(field: Field, low: Any, high: Any, cell: float, tolerance: float) -> Solid:
    """The solid inside a field, by surface nets with every vertex moved onto the surface.

    Parameters
    ----------
    field : negative inside
    low, high : (3,) a box that holds the solid with a cell to spare [m]
    cell : edge of the sampling cells [m]
    tolerance : how far thinning the triangles may move the surface [m]

    Raises
    ------
    ValueError
        If the solid reaches out of the box.
    """
    vertices, triangles = _surface_nets(
        field, np.asarray(low, float), np.asarray(high, float), cell
    )
    for _ in range(3):
        vertices = vertices - np.clip(_step(field, vertices), -cell / 2, cell / 2)
    return solid_of(Mesh(vertices, triangles), "a field").simplify(tolerance)


def _step(field: Field, points: Floats) -> Floats:
    """The Newton step from points (n, 3) to the surface."""
    h = 1e-4
    value = field(points)
    gradient = np.stack([(field(points + h * e) - value) / h for e in np.eye(3)], axis=1)
    size2 = np.einsum("ij,ij->i", gradient, gradient)
    step: Floats = gradient * (value / np.maximum(size2, 0.05))[:, None]
    return step


def _surface_nets(field: Field, low: Floats, high: Floats, cell: float) -> tuple[Floats, Ints]:
    """One vertex in each cell that the surface passes, one quad across each edge it crosses.

    S. F. F. Gibson, Constrained elastic surface nets, 1998.
    """
    shape = tuple(np.ceil((high - low) / cell).astype(int) + 1)
    grid = np.stack(np.meshgrid(*(np.arange(n) for n in shape), indexing="ij"), axis=-1)
    value = field((low + grid * cell).reshape(-1, 3)).reshape(shape)
    inside = value < 0
    corners = [np.array(c) for c in np.ndindex(2, 2, 2)]
    views = [
        value[tuple(slice(o, n - 1 + o) for o, n in zip(c, shape, strict=True))] for c in corners
    ]
    stack = np.stack(views, axis=-1)
    mixed = (stack < 0).any(-1) & (stack >= 0).any(-1)
    if any(np.take(inside, i, axis).any() for axis in range(3) for i in (0, -1)):
        raise ValueError("the solid reaches out of its box")

    at, corner_values = np.argwhere(mixed), stack[mixed]
    total, count = np.zeros((len(at), 3)), np.zeros(len(at))
    for i, a in enumerate(corners):
        for j, b in enumerate(corners):
            if i < j and np.abs(a - b).sum() == 1:
                va, vb = corner_values[:, i], corner_values[:, j]
                crossed = (va < 0) != (vb < 0)
                share = np.divide(va, va - vb, out=np.zeros_like(va), where=crossed)
                total += np.where(crossed[:, None], a + share[:, None] * (b - a), 0.0)
                count += crossed
    vertices = low + (at + total / count[:, None]) * cell

    number = np.full(mixed.shape, -1)
    number[mixed] = np.arange(len(at))
    quads = []
    for axis in range(3):
        u, v = np.eye(3, dtype=int)[[(axis + 1) % 3, (axis + 2) % 3]]
        along = np.eye(3, dtype=int)[axis]
        first = inside[tuple(slice(0, n - d) for n, d in zip(shape, along, strict=True))]
        second = inside[tuple(slice(d, n) for n, d in zip(shape, along, strict=True))]
        for leaving in (True, False):
            e = np.argwhere(first & ~second if leaving else ~first & second)
            around = [number[tuple((e - o).T)] for o in (0 * u, u, u + v, v)]
            quads.append(np.stack(around if leaving else around[::-1], axis=1))
    q = np.concatenate(quads)
    return vertices, np.concatenate([q[:, [0, 1, 2]], q[:, [0, 2, 3]]])
