"""The beam as a solid: from the aperture to where it lands, or to its reach."""

from __future__ import annotations

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Mesh
from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.pattern import BEAM_SHARE, half_angles

TURN = 8  # steps round each corner of the aperture
EDGE = 0.1  # m between rays along the aperture's edges
RINGS = 20  # from the axis out to the beam angle


def beam_solid(emitter: Emitter, reach: float, obstacles: Obstacles) -> Mesh:
    """The closed solid that a heater's beam fills.

    Its rays leave the aperture together: those on its rim start from the aperture's rim and lean
    out by half the beam angle, those within in proportion. Each ends where it first meets
    something or the ground, or at the beam's reach; a beam without reach has no solid.

    Parameters
    ----------
    emitter : of the hung heater
    reach : of the beam [m]
    obstacles : what is in the way, the floor included
    """
    if reach <= 0.0:
        return Mesh(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64))
    rim, azimuths = _rim(emitter.length / 2, emitter.width / 2)
    lean = half_angles(emitter.pattern, azimuths, BEAM_SHARE)
    shares = np.arange(1, RINGS + 1) / RINGS
    starts = shares[:, None, None] * np.column_stack([rim, np.zeros(len(rim))])
    angle = shares[:, None] * lean
    way = np.stack(
        [np.sin(angle) * np.cos(azimuths), np.sin(angle) * np.sin(azimuths), -np.cos(angle)], -1
    )
    starts = np.concatenate([np.zeros((1, 3)), starts.reshape(-1, 3)])
    way = np.concatenate([[[0.0, 0.0, -1.0]], way.reshape(-1, 3)])
    frame = emitter.frame
    origins, directions = frame.to_world(starts), way @ frame.axes
    met, _ = obstacles.first(origins, directions)
    length = np.minimum(np.minimum(met, to_ground(origins, directions)), reach)
    ends = starts + length[:, None] * way
    vertices = np.concatenate([starts[-len(rim) :], ends])
    return Mesh(frame.to_world(vertices), _faces(len(rim)))


def to_ground(origins: Floats, directions: Floats) -> Floats:
    """Distances (n,) to the ground round the patio, which lies level with its floor [m]."""
    down = np.maximum(-directions[:, 2], 1e-12)
    return np.asarray(np.maximum(origins[:, 2], 0.0) / down)


def _rim(x: float, y: float) -> tuple[Floats, Floats]:
    """Starting points (n, 2) round a rectangle of half sizes x, y, and the azimuths (n,) there.

    At a corner the azimuth turns through its quarter; along an edge it stays square to the edge.
    Corners are counted a hair apart, so that no face is without area.
    """
    points, azimuths = [], []
    corners = [(x, -y), (x, y), (-x, y), (-x, -y)]
    for i, (corner, after) in enumerate(zip(corners, corners[1:] + corners[:1], strict=True)):
        square = i * np.pi / 2  # outward across the edge from this corner to the next
        steps = max(1, round(float(np.hypot(after[0] - corner[0], after[1] - corner[1])) / EDGE))
        for k in range(TURN):
            points.append(np.array(corner))
            azimuths.append(square - np.pi / 2 * (1 - k / TURN))
        for k in range(steps):
            points.append(np.array(corner) + (np.array(after) - corner) * (k / steps))
            azimuths.append(square)
    return np.array(points), np.array(azimuths)


def _faces(count: int) -> Ints:
    """Triangles over the rim's starting points, then the axis' end, then the rings' ends."""
    a = np.arange(count)
    b = (a + 1) % count
    axis = count

    def ring(k: int) -> Ints:
        return np.asarray(count + 1 + (k - 1) * count)

    outer = ring(RINGS)
    faces = [
        np.stack([np.zeros(count - 2, dtype=int), a[1:-1], a[2:]], -1),  # the aperture, facing up
        np.stack([a, outer + a, outer + b], -1),
        np.stack([a, outer + b, b], -1),
        np.stack([np.full(count, axis), ring(1) + b, ring(1) + a], -1),
    ]
    for k in range(1, RINGS):
        inner, outer = ring(k), ring(k + 1)
        faces += [
            np.stack([inner + a, inner + b, outer + b], -1),
            np.stack([inner + a, outer + b, outer + a], -1),
        ]
    return np.concatenate(faces)
