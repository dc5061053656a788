"""Solids with soft edges for furniture, made with Solid, in the piece's own coordinates.

Pieces stand on z = 0 and look along +X; +Y is on their left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import cos, sin
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Mesh
from heatcore.geometry.solids import Solid, hull, solid_of, to_mesh, union

Outline = Callable[[float], Floats]
"""A convex outline in plan, (m, 2) counter-clockwise, shrunk inward by a given distance [m]."""

TOLERANCE = 2e-5  # m; what simplifying may move a surface: far below anything seen


@dataclass(frozen=True, eq=False)
class Shape:
    """One solid of a piece: what it is called within the piece, what it is made of, its surface."""

    label: str
    material: str
    mesh: Mesh


def shape(label: str, material: str, solids: Iterable[Solid]) -> Shape:
    """Join overlapping or separate solids to one shape."""
    return Shape(label, material, to_mesh(union(solids).simplify(TOLERANCE)))


def placed(mesh: Mesh, at: Any, turn: float = 0.0) -> Mesh:
    """A copy turned about Z by `turn` [rad], then moved by `at`, (2,) or (3,) [m]."""
    c, s = cos(turn), sin(turn)
    x, y, z = mesh.vertices.T
    dx, dy, dz = (*map(float, at), 0.0)[:3]
    return Mesh(np.stack([c * x - s * y + dx, s * x + c * y + dy, z + dz], axis=1), mesh.triangles)


def rectangle(length_x: float, length_y: float, corner: float, segments: int = 6) -> Outline:
    """A rectangle about the origin with rounded corners [m]."""
    turns = np.concatenate([np.linspace(q, q + 1, segments + 1) for q in range(4)]) * np.pi / 2
    signs = np.repeat([(1, 1), (-1, 1), (-1, -1), (1, -1)], segments + 1, axis=0)
    centres = signs * (np.array([length_x, length_y]) / 2 - corner)
    unit = np.stack([np.cos(turns), np.sin(turns)], axis=1)

    def outline(inset: float) -> Floats:
        ring: Floats = centres + max(corner - inset, 1e-4) * unit
        return ring

    return outline


def circle(radius: float, segments: int = 48) -> Outline:
    """A circle about the origin [m]."""
    turns = np.arange(segments) * 2 * np.pi / segments
    unit = np.stack([np.cos(turns), np.sin(turns)], axis=1)

    def outline(inset: float) -> Floats:
        ring: Floats = (radius - inset) * unit
        return ring

    return outline


def loft(rings: Any) -> Solid:
    """The solid through rings of equally many points, (k, m, 3) [m].

    Each ring runs counter-clockwise seen from where the rings go; the ends are closed flat.
    """
    rings = np.asarray(rings, dtype=np.float64)
    count, around = rings.shape[:2]
    here = np.arange(around)
    there = np.roll(here, -1)
    walls = [
        np.concatenate(
            [
                np.stack([here, there, there + around], 1),
                np.stack([here, there + around, here + around], 1),
            ]
        )
        + ring * around
        for ring in range(count - 1)
    ]
    last = (count - 1) * around
    start = np.stack([there, here, np.full(around, count * around)], 1)
    end = np.stack([here + last, there + last, np.full(around, count * around + 1)], 1)
    centres = [rings[0].mean(axis=0), rings[-1].mean(axis=0)]
    surface = Mesh(
        np.concatenate([rings.reshape(-1, 3), centres]), np.concatenate([*walls, start, end])
    )
    return solid_of(surface, "a loft")


def plate(
    outline: Outline,
    bottom: float,
    top: float,
    edge: float,
    *,
    crown: float = 0.0,
    steps: int = 3,
    foot: float | None = None,
) -> Solid:
    """A plate, pad or cushion lying on `bottom`, with edges rounded by `edge`.

    Parameters
    ----------
    outline : in plan; where its corners are rounded, by more than `edge`
    bottom, top : heights of its faces at the edge [m]
    edge : radius of the upper edge, at most half the thickness [m]
    crown : how much higher the middle is than the edge [m]
    steps : facets of a rounded edge
    foot : radius of the lower edge, left out the same as the upper [m]
    """
    foot = edge if foot is None else foot
    quarter = np.linspace(0, np.pi / 2, steps + 1)
    profile = [(foot * (1 - np.sin(a)), bottom + foot * (1 - np.cos(a)), 1.0) for a in quarter]
    profile += [(edge * (1 - np.cos(a)), top - edge * (1 - np.sin(a)), 1.0) for a in quarter]
    if crown:
        profile += [(edge, top + crown * (1 - s * s), s) for s in (0.85, 0.65, 0.4, 0.2)]
    flat = [np.append(outline(inset) * scale, [[0, 0]], 0)[:-1] for inset, _, scale in profile]
    return loft(
        [np.insert(ring, 2, row[1], axis=1) for ring, row in zip(flat, profile, strict=True)]
    )


def box(low: Any, high: Any, edge: float) -> Solid:
    """A box between two corners (3,) [m] with all its edges rounded by `edge` [m]."""
    low, high = np.asarray(low, float) + edge, np.asarray(high, float) - edge
    corners = np.array(np.meshgrid(*zip(low, high, strict=True))).reshape(3, -1).T
    return hull(np.concatenate([ball(corner, edge) for corner in corners]))


def rod(
    start: Any, end: Any, radius: float, radius_end: float | None = None, around: int = 12
) -> Solid:
    """A round-ended rod between two points (3,), its radius running from one to the other [m]."""
    ends = [ball(start, radius, around), ball(end, radius_end or radius, around)]
    return hull(np.concatenate(ends))


def ball(centre: Any, radius: float, around: int = 12) -> Floats:
    """Points (n, 3) on a ball, for a hull [m]."""
    turns, rises = np.meshgrid(
        np.arange(around) * 2 * np.pi / around, np.linspace(-np.pi / 2, np.pi / 2, around // 2 + 1)
    )
    unit = np.stack([np.cos(rises) * np.cos(turns), np.cos(rises) * np.sin(turns), np.sin(rises)])
    points: Floats = np.asarray(centre, float) + radius * unit.reshape(3, -1).T
    return points


def leg(top: Any, foot: Any, radius: float, radius_foot: float) -> Solid:
    """A round tapered leg from `top` down to `foot` (3,), cut level at both ends [m]."""
    top, foot = np.asarray(top, float), np.asarray(foot, float)
    ring = np.insert(circle(1.0, 20)(0.0), 2, 0.0, axis=1)
    soft = 0.003
    rise = foot + (top - foot) * soft / (top[2] - foot[2])
    return loft(
        [
            foot + ring * (radius_foot - soft),
            rise + ring * radius_foot,
            top + ring * radius,
        ]
    )


def ring(radius: float, thick: float, height: float) -> Solid:
    """A level ring of round section, `thick` its radius, its middle at `height` [m]."""
    around = np.arange(40) * 2 * np.pi / 40
    section = circle(thick, 10)(0.0)
    rows = [
        np.stack(
            [(radius + s) * np.cos(around), (radius + s) * np.sin(around), 0 * around + height + z],
            1,
        )
        for s, z in section
    ]
    points = np.stack(rows, axis=1)
    here = np.arange(40)[:, None] * 10 + np.arange(10)
    along, over = np.roll(here, -1, axis=0), np.roll(here, -1, axis=1)
    both = np.roll(along, -1, axis=1)
    faces = [np.stack([here, along, both], -1), np.stack([here, both, over], -1)]
    return solid_of(Mesh(points.reshape(-1, 3), np.concatenate(faces).reshape(-1, 3)), "a ring")


def sweep(path: Any, section: Any, up: Any = (0.0, 0.0, 1.0), soft: float = 0.0) -> Solid:
    """A section carried along a path, with ends rounded by `soft`.

    Parameters
    ----------
    path : (k, 3) points [m]
    section : (m, 2) outline, counter-clockwise, x to the path's left and y along `up` [m]
    up : (3,) what stays upright
    soft : how far the ends are rounded [m]
    """
    path, section = np.asarray(path, float), np.asarray(section, float)
    ahead = np.gradient(path, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    left = np.cross(up, ahead)
    left /= np.linalg.norm(left, axis=1, keepdims=True)
    above = np.cross(ahead, left)
    half = float(np.ptp(section, axis=0).min()) / 2
    tip = [
        (soft * (1 - sin(a)), 1 - soft * (1 - cos(a)) / half)
        for a in np.radians([90, 60, 30, 0] if soft else [0])
    ]
    last = len(path) - 1
    rings = (
        [(0, along, scale) for along, scale in tip]
        + [(i, 0.0, 1.0) for i in range(1, last)]
        + [(last, -along, scale) for along, scale in reversed(tip)]
    )
    return loft(
        [
            path[i]
            + along * ahead[i]
            + scale * (section[:, :1] * left[i] + section[:, 1:] * above[i])
            for i, along, scale in rings
        ]
    )
