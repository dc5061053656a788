"""How far things are from a convex body in plan, and how far straight under it: exactly."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot, inf
from typing import Any

import numpy as np
import shapely

from heatcore.geometry.clip import clip, clip_to_box
from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.parts import Mesh
from heatcore.geometry.reading import NOISE
from heatcore.geometry.soup import Soup
from heatcore.geometry.tree import spans

_THREAD = 1e-7  # m; half the width of a plumb line
_UPRIGHT = 1e-9  # rise of a face's normal below which it stands upright


@dataclass(frozen=True, eq=False)
class Gap:
    """How far one mesh is from a body.

    Attributes
    ----------
    owner : number of the mesh
    distance : [m]; straight under a body that the mesh reaches into it is negative
    point : (3,) where, on the mesh [m]
    body_point : (3,) where, on the body [m]
    """

    owner: int
    distance: float
    point: Floats
    body_point: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", locked(self.point))
        object.__setattr__(self, "body_point", locked(self.body_point))


def plan_of(corners: Any) -> shapely.Polygon:
    """Plan of the convex body with the given corners (n, 3), as a polygon [m]."""
    hull = shapely.MultiPoint(np.asarray(corners)[:, :2]).convex_hull
    return hull if isinstance(hull, shapely.Polygon) else hull.buffer(NOISE)


def beside(body: Floats, meshes: Sequence[Mesh]) -> Iterator[Gap]:
    """Least distance of each mesh from a body in plan, at whatever height.

    Parameters
    ----------
    body : (n, 3) corners of a convex body [m]
    meshes : what stands round it; one without triangles is passed over

    Yields
    ------
    Gap
        0 m where one lies over or under the other.
    """
    plan = plan_of(body)
    low, high = body.min(axis=0), body.max(axis=0)
    for owner, mesh in enumerate(meshes):
        if not len(mesh.triangles):
            continue
        triangles = _worth_measuring(mesh.corners, low, high)
        flat = shapely.polygons(triangles[:, :, :2])
        distances = shapely.distance(plan, flat)
        nearest = int(distances.argmin())
        line = shapely.shortest_line(plan, flat[nearest])
        own, its = shapely.get_coordinates(line)
        point = _over(triangles[nearest], its, float((low + high)[2] / 2))
        yield Gap(
            owner,
            float(distances[nearest]),
            point,
            np.array([*own, np.clip(point[2], low[2], high[2])]),
        )


def under(faces: Floats, meshes: Sequence[Mesh]) -> Iterator[Gap]:
    """Least distance straight down from a body to each mesh under its plan.

    Parameters
    ----------
    faces : (k, 3, 3) triangles of a convex body, counter-clockwise seen from outside [m]
    meshes : what may stand under it; what is above the body's top does not count

    Yields
    ------
    Gap
        For each mesh of which anything is there. In the midst of a solid it is minus half the
        body's height.
    """
    low, high = faces.min(axis=(0, 1)), faces.max(axis=(0, 1))
    low[2] = -inf
    normals = np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    lower = normals[:, 2] < -_UPRIGHT
    middle = (faces.min(axis=(0, 1)) + high) / 2
    for owner, mesh in enumerate(meshes):
        if _holds(mesh, middle):
            bottom = np.array([*middle[:2], faces[..., 2].min()])
            yield Gap(owner, float(bottom[2] - middle[2]), middle, bottom)
            continue
        lowest, highest = spans(mesh.corners)
        met = ((lowest[:, :2] < high[:2]) & (highest[:, :2] > low[:2])).all(axis=1)
        pieces, _ = clip_to_box(mesh.corners[met], low, high)
        best: Gap | None = None
        for face, normal in zip(faces[lower], normals[lower], strict=True):
            points = _within(pieces, face).reshape(-1, 3)
            if not len(points):
                continue
            level = face[0, 2] - ((points - face[0])[:, :2] @ normal[:2]) / normal[2]
            drop = level - points[:, 2]
            k = int(drop.argmin())
            if best is None or drop[k] < best.distance:
                best = Gap(owner, float(drop[k]), points[k], np.array([*points[k, :2], level[k]]))
        if best is not None:
            yield best


def _holds(mesh: Mesh, point: Floats) -> bool:
    """Whether a point lies inside a closed surface."""
    if not len(mesh.triangles) or not (
        (mesh.bounds[0] <= point).all() and (point <= mesh.bounds[1]).all()
    ):
        return False
    return bool(len(Soup.of([mesh]).holders(point)))


def _within(polygons: Floats, face: Floats) -> Floats:
    """What of polygons lies in the upright prism over a triangle, what only touches it left out."""
    for start, end in zip(face, np.roll(face, -1, axis=0), strict=True):
        along = end - start
        # Seen from above a face that looks down runs clockwise: its inside is on the right.
        outward = np.array([-along[1], along[0]]) / hypot(along[0], along[1])
        polygons, _ = clip(polygons, (polygons - start)[..., :2] @ outward + NOISE)
    return polygons


def _worth_measuring(triangles: Floats, low: Floats, high: Floats) -> Floats:
    """Triangles that may be the nearest in plan to what a box holds."""
    lowest, highest = (corner[:, :2] for corner in spans(triangles))
    gap = np.maximum(np.maximum(low[:2] - highest, lowest - high[:2]), 0.0)
    least = np.hypot(gap[:, 0], gap[:, 1])
    most = least + np.hypot(*(highest - lowest).T) + hypot(*(high - low)[:2])
    out: Floats = triangles[least <= most.min() + NOISE]
    return out


def _over(triangle: Floats, at: Floats, level: float) -> Floats:
    """(3,) the point of a triangle on the plumb line through a place in plan, nearest a level."""
    low, high = np.array([*(at - _THREAD), -inf]), np.array([*(at + _THREAD), inf])
    pieces, _ = clip_to_box(triangle[None], low, high)
    z = pieces[..., 2] if len(pieces) else triangle[:, 2]
    return np.array([*at, np.clip(level, z.min(), z.max())])
