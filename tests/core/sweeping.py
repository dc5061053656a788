"""Swept regions held against bodies that move, densely sampled; the motions are worked out anew."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from heatcore.geometry.parts import Part

Floats = NDArray[np.float64]
ALLOWED = 0.001  # m; how much larger than the truth a swept volume may be


@dataclass(frozen=True)
class Moving:
    """A rectangle that moves in a plane.

    Attributes
    ----------
    box : its lowest and highest corner, at rest: x0, y0, x1, y1 [m]
    pose : for times (n,) from 0 to 1 gives by how much it is turned about the origin (n,) [rad] and
        then shifted (n, 2) [m]
    """

    box: tuple[float, float, float, float]
    pose: Callable[[Floats], tuple[Floats, Floats]]

    def at(self, times: Floats, points: Floats) -> Floats:
        """(n, 2) where points (n, 2) of the rectangle at rest are at times (n,)."""
        turn, shift = self.pose(times)
        c, s = np.cos(turn), np.sin(turn)
        x, y = points.T
        return np.column_stack([c * x - s * y, s * x + c * y]) + shift

    def distance(self, points: Floats, times: Floats) -> Floats:
        """How far points (n, 2) are from it at times, (m,) for all or (n, m): (n, m) [m]."""
        turn, shift = self.pose(times.reshape(-1))
        turn = turn.reshape(times.shape)
        shift = shift.reshape(*times.shape, 2)
        away = points[:, None] - shift
        c, s = np.cos(turn), np.sin(turn)
        x, y = c * away[..., 0] + s * away[..., 1], c * away[..., 1] - s * away[..., 0]
        x0, y0, x1, y1 = self.box
        return np.hypot(x - np.clip(x, x0, x1), y - np.clip(y, y0, y1))

    def nearest(self, points: Floats) -> Floats:
        """How near it comes to points (n, 2), to a tenth of a millimetre from above (n,)."""
        times = np.linspace(0.0, 1.0, 500)
        best = np.empty(len(points))
        for start in range(0, len(points), 500):
            here = points[start : start + 500]
            coarse = times[self.distance(here, times).argmin(axis=1)]
            fine = coarse[:, None] + np.linspace(-1.0, 1.0, 101) / 500
            best[start : start + 500] = self.distance(here, np.clip(fine, 0.0, 1.0)).min(axis=1)
        return best


def hinged(box: tuple[float, float, float, float], hinge: Sequence[float], angle: float) -> Moving:
    """A rectangle that turns about a hinge by an angle, counter-clockwise."""
    pivot = np.asarray(hinge, dtype=np.float64)

    def pose(times: Floats) -> tuple[Floats, Floats]:
        turn = angle * times
        c, s = np.cos(turn), np.sin(turn)
        turned = np.column_stack([c * pivot[0] - s * pivot[1], s * pivot[0] + c * pivot[1]])
        return turn, pivot - turned

    return Moving(box, pose)


def sliding(box: tuple[float, float, float, float], by: Sequence[float]) -> Moving:
    """A rectangle that slides."""
    return Moving(box, lambda times: (np.zeros_like(times), times[:, None] * np.asarray(by)))


def assert_swept(region: shapely.Geometry, bodies: Sequence[Moving], seed: int = 0) -> None:
    """Hold a region against the bodies that sweep it: none leaves it, and it is no larger."""
    random = np.random.default_rng(seed)
    room = region.buffer(1e-9)
    shapely.prepare(room)
    for body in bodies:
        x0, y0, x1, y1 = body.box
        inside = random.uniform((x0, y0), (x1, y1), (4000, 2))
        edge = np.array(Polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]).exterior.coords)
        corners = edge[random.integers(0, 4, 4000)]
        share = random.uniform(0.0, 1.0, (4000, 1))
        which = random.integers(0, 4, 4000)
        sides = edge[which] + share * (edge[which + 1] - edge[which])
        for points in (inside, corners, sides):
            there = body.at(random.uniform(0.0, 1.0, len(points)), points)
            assert shapely.contains_xy(room, *there.T).all()
    around = [
        np.asarray(piece.exterior.segmentize(0.015).coords) for piece in shapely.get_parts(region)
    ]
    low, high = np.reshape(region.bounds, (2, 2))
    within = random.uniform(low, high, (1500, 2))
    within = within[shapely.contains_xy(region, *within.T)]
    points = np.concatenate([*around, within])
    away = np.min([body.nearest(points) for body in bodies], axis=0)
    assert away.max() <= ALLOWED


def seen(part: Part, direction: Any, axes: Any) -> shapely.Geometry:
    """A prism seen along its direction, as a region in the plane of two axes (2, 3)."""
    faces = part.mesh.corners[part.mesh.normals @ np.asarray(direction, float) > 0.5]
    return shapely.union_all([Polygon(t) for t in faces @ np.asarray(axes, float).T])


def plan(part: Part) -> shapely.Geometry:
    """A part seen from above."""
    return seen(part, (0, 0, 1), ((1, 0, 0), (0, 1, 0)))
