"""Walls out of a mesh: the upright face nearest to a place."""

from __future__ import annotations

import numpy as np

from heatcore.geometry.frames import Floats, Ints

_UPRIGHT = 0.5  # a face whose normal rises or falls by more than this is no wall
_ALIKE = 0.9  # cosine: faces that look to one side


def nearest_face(triangles: Floats, point: Floats, around: float) -> tuple[Floats, Floats] | None:
    """Find where a level plane meets the upright face nearest to a point.

    Parameters
    ----------
    triangles : (k, 3, 3) of a solid, counter-clockwise seen from outside [m]
    point : (3,) its height is that of the plane [m]
    around : so far on either side the wall's direction is averaged, where it is uneven [m]

    Returns
    -------
    foot : (2,) nearest point of the wall in the plane [m]; None where no upright face meets it
    out : (2,) unit vector in plan that points out of the wall there
    """
    triangles, cross = _upright(triangles)
    starts, ends, cut = _sections(triangles, float(point[2]))
    if not len(starts):
        return None
    along = ends - starts
    square = np.maximum((along * along).sum(axis=1), 1e-30)
    share = np.clip(((point - starts) * along).sum(axis=1) / square, 0.0, 1.0)
    feet = starts + share[:, None] * along
    away = np.linalg.norm(point - feet, axis=1)
    out = cross[cut, :2] / np.linalg.norm(cross[cut, :2], axis=1, keepdims=True)
    # Of faces that meet at an edge, the one that looks most toward the point.
    facing = ((point - feet)[:, :2] * out).sum(axis=1)
    nearest = int(np.lexsort((-np.round(facing, 9), np.round(away, 9)))[0])
    foot, looks = feet[nearest], out[nearest]
    middles = triangles.mean(axis=1)
    lateral = (middles - foot)[:, :2] @ np.array([-looks[1], looks[0]])
    alike = (cross[:, :2] @ looks > _ALIKE * np.linalg.norm(cross[:, :2], axis=1)) & (
        (np.abs(lateral) <= around) & (np.abs((middles - foot)[:, :2] @ looks) <= around)
    )
    total = cross[alike, :2].sum(axis=0) + 1e-12 * looks
    return foot[:2], total / np.linalg.norm(total)


def _upright(triangles: Floats) -> tuple[Floats, Floats]:
    """The upright ones of triangles, and twice their areas as vectors along their normals."""
    edges = np.roll(triangles, -1, axis=1) - triangles
    cross = np.cross(edges[:, 0], edges[:, 1])
    size = np.linalg.norm(cross, axis=1)
    some = (np.abs(cross[:, 2]) < _UPRIGHT * size) & (size > 0.0)
    return triangles[some], cross[some]


def _sections(triangles: Floats, height: float) -> tuple[Floats, Floats, Ints]:
    """Ends (n, 3) of the pieces that a level plane cuts out of triangles, and of which each is."""
    z = triangles[..., 2]
    cut = np.flatnonzero((z.min(axis=1) <= height) & (z.max(axis=1) > height))
    corners, above = triangles[cut], z[cut] > height
    # One corner lies alone on its side of the plane: both edges from it cross.
    alone = np.where(above.sum(axis=1) == 1, above.argmax(axis=1), (~above).argmax(axis=1))
    rows = np.arange(len(cut))
    tip = corners[rows, alone]
    ends = []
    for step in (1, 2):
        other = corners[rows, (alone + step) % 3]
        share = (height - tip[:, 2]) / (other[:, 2] - tip[:, 2])
        ends.append(tip + share[:, None] * (other - tip))
    return ends[0], ends[1], cut
