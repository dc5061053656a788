"""The loop that one would write with trimesh and Embree: what the map must beat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import trimesh
from trimesh.ray.ray_pyembree import RayMeshIntersector

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Mesh
from heatcore.geometry.rays import SKIN, hammersley
from heatcore.heat.radiation.emitter import Emitter
from tests.bench.patio import Patio
from tests.bench.shapes import joined

UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, eq=False)
class Loop:
    """A patio as one mesh, its ray tracer built."""

    mesh: trimesh.Trimesh
    rays: RayMeshIntersector

    @classmethod
    def of(cls, patio: Patio) -> Loop:
        whole: Mesh = joined([mesh for _, mesh in patio.solids])
        mesh = trimesh.Trimesh(whole.vertices, whole.triangles, process=False, validate=False)
        rays = RayMeshIntersector(mesh)
        loop = cls(mesh, rays)
        loop.seen(patio.points[0] + UP, patio.points[:1])  # builds what is built late
        return loop

    def seen(self, source: Floats, points: Floats) -> Floats:
        """Whether each point sees a place on an aperture: nothing is met on the way there.

        `intersects_any` follows a ray on through the point, into whatever lies beyond it, and so
        cannot be asked; what is met first is, and the distance to its plane.
        """
        way = points - source
        origins = np.broadcast_to(source, points.shape)
        first = self.rays.intersects_first(origins, way)
        hit = np.flatnonzero(first >= 0)
        corners = self.mesh.triangles[first[hit], 0]
        normals = self.mesh.face_normals[first[hit]]
        share = np.einsum("ij,ij->i", corners - source, normals)
        share /= np.einsum("ij,ij->i", way[hit], normals)
        seen = np.ones(len(points), dtype=bool)
        seen[hit] = share > 1.0 - 1e-3
        return seen

    def irradiance(self, emitter: Emitter, points: Floats, samples: int) -> Floats:
        """Irradiance (n,) of upward surfaces by one heater, so many places of it looked at."""
        total = np.zeros(len(points))
        plan = (hammersley(samples) - 0.5) * [emitter.length, emitter.width]
        for source in emitter.frame.to_world(np.column_stack([plan, np.full(samples, -SKIN)])):
            way = points - source
            squared = np.einsum("ij,ij->i", way, way)
            height = np.maximum(-way[:, 2], 0.0)
            flux = emitter.intensity(way) * height / squared**1.5
            total += flux * self.seen(source, points)
        return total / samples
