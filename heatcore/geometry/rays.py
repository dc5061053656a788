"""Rays against the model's solids. The only importer of Embree."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.geometry.parts import Mesh

# Embree counts in single precision, about 1e-7 of a coordinate; two millimetres at either end keep
# a ray off the surface that it leaves and off the one that it is sent to.
SKIN = 0.002
AT_ONCE = 1 << 20  # rays a call: bounds the memory, some 100 bytes a ray


class Obstacles:
    """Named solids that rays can meet.

    Parameters
    ----------
    solids : pairs of name and mesh
    """

    def __init__(self, solids: Iterable[tuple[str, Mesh]]) -> None:
        kept = [(name, mesh) for name, mesh in solids if len(mesh.triangles)]
        self.names: tuple[str, ...] = tuple(name for name, _ in kept)
        # Single precision is spent near the solids, wherever they lie in the world.
        bounds = [mesh.bounds for _, mesh in kept]
        self._middle = np.mean(bounds, axis=(0, 1)) if bounds else np.zeros(3)
        self._scene = EmbreeScene(robust=True) if kept else None
        # Embree answers with the number of the geometry, and numbers them as they come.
        self._held = [
            TriangleMesh(
                self._scene,
                (mesh.vertices - self._middle).astype(np.float32),
                mesh.triangles.astype(np.int32),
            )
            for _, mesh in kept
        ]

    def first(self, origins: Floats, directions: Floats) -> tuple[Floats, Ints]:
        """What each ray meets first.

        Parameters
        ----------
        origins : (n, 3) starting points [m]
        directions : (n, 3) unit vectors

        Returns
        -------
        distances : (n,) to the first solid [m]; infinite where there is none
        which : (n,) index into `names`; -1 where there is none
        """
        count = len(origins)
        distances, which = np.full(count, np.inf), np.full(count, -1, dtype=np.int64)
        if self._scene is None:
            return distances, which
        for part in _batches(count):
            start = (origins[part] + SKIN * directions[part] - self._middle).astype(np.float32)
            hit = self._scene.run(start, directions[part].astype(np.float32), output=True)
            met = hit["primID"] >= 0
            which[part] = np.where(met, hit["geomID"], -1)
            distances[part] = np.where(met, hit["tfar"].astype(np.float64) + SKIN, np.inf)
        return distances, which

    def sees(self, origins: Floats, targets: Floats) -> NDArray[np.bool_]:
        """Whether nothing stands between each origin (n, 3) and its target (n, 3)."""
        out = np.ones(len(origins), dtype=bool)
        if self._scene is None:
            return out
        for part in _batches(len(origins)):
            way = targets[part] - origins[part]
            length = np.linalg.norm(way, axis=1)
            far = np.maximum(length - 2 * SKIN, 0.0).astype(np.float32)
            way = way / np.maximum(length, 1e-12)[:, None]
            start = (origins[part] + SKIN * way - self._middle).astype(np.float32)
            met = self._scene.run(start, way.astype(np.float32), dists=far, query="OCCLUDED")
            out[part] = np.asarray(met) < 0
        return out

    def visible_share(self, sources: Floats, targets: Floats) -> Floats:
        """Share of the source points (s, 3) that each target (n, 3) sees, (n,) from 0 to 1."""
        seen = np.zeros(len(targets))
        for source in sources:
            seen += self.sees(np.broadcast_to(source, targets.shape), targets)
        return seen / len(sources)

    def blockers(self, sources: Floats, target: Floats) -> Sequence[str]:
        """Names of what hides a target (3,) from the sources (s, 3), what hides most first."""
        way = target - sources
        length = np.linalg.norm(way, axis=1)
        distances, which = self.first(sources, way / length[:, None])
        hit = which[(which >= 0) & (distances < length - SKIN)]
        found, counts = np.unique(hit, return_counts=True)
        return [self.names[i] for i in found[np.argsort(-counts, kind="stable")]]


def hammersley(count: int) -> Floats:
    """`count` well-spread points of the unit square, (count, 2), read-only.

    Source: Hammersley, "Monte Carlo methods for solving multivariable problems", 1960; the base-2
    radical inverse of van der Corput.
    """
    index = np.arange(count)
    inverse = np.zeros(count)
    scale, rest = 0.5, index.copy()
    while rest.any():
        inverse += scale * (rest & 1)
        rest >>= 1
        scale /= 2
    return locked(np.column_stack([(index + 0.5) / count, inverse + 0.5 / count]))


def _batches(count: int) -> Iterable[slice]:
    return (slice(at, min(at + AT_ONCE, count)) for at in range(0, count, AT_ONCE))
