"""Rays against the model's solids. The only importer of Embree.

Embree counts in single precision, and its rays may be of any length: a direction that is the whole
way, traced to the parameter 1, costs nothing but the subtraction.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.geometry.parts import Mesh

# Single precision is about 1e-7 of a coordinate; two millimetres at either end keep a ray off the
# surface that it leaves and off the one that it is sent to.
SKIN = 0.002
AT_ONCE = 1 << 20  # rays a call: bounds the memory, some 100 bytes a ray

Flags = NDArray[np.bool_]
Singles = NDArray[np.float32]

# Up, and level to either side; no wall of a patio runs exactly along them.
_PROBES = locked([(0.0, 0.0, 1.0), (0.803, 0.596, 0.0), (-0.803, -0.596, 0.0)])


class _Layer:
    """Solids that Embree holds together, counted from their own middle.

    Single precision is spent near the solids, wherever they lie in the world.
    """

    def __init__(self, solids: Sequence[tuple[str, Mesh]]) -> None:
        self.names = tuple(name for name, _ in solids)
        bounds = np.array([mesh.bounds for _, mesh in solids])
        self.low: Floats = bounds[:, 0].min(axis=0)
        self.high: Floats = bounds[:, 1].max(axis=0)
        self.middle: Floats = bounds.mean(axis=(0, 1))
        self.scene = EmbreeScene(robust=True)
        # Embree answers with the number of the geometry, and numbers them as they come.
        self._held = [
            TriangleMesh(
                self.scene,
                (mesh.vertices - self.middle).astype(np.float32),
                mesh.triangles.astype(np.int32),
            )
            for _, mesh in solids
        ]

    def near(self, points: Floats) -> Singles:
        """World points (n, 3) as Embree counts them."""
        return (points - self.middle).astype(np.float32)

    def apart(self, low: Floats, high: Floats) -> bool:
        """Whether no ray within a box can meet anything of this layer."""
        return bool(np.any(low > self.high) or np.any(high < self.low))


@dataclass(frozen=True, eq=False)
class Targets:
    """Points that rays are sent to, as often as is wanted: made once by `Obstacles.targets`.

    Attributes
    ----------
    count : n
    points : for each layer of the obstacles, (n, 3) as Embree counts them
    low, high : (3,) corners of the box round them in the world [m]
    """

    count: int
    points: tuple[Singles, ...]
    low: Floats
    high: Floats

    def some(self, which: Ints) -> Targets:
        """The chosen ones (k,) of them; the box stays."""
        chosen = tuple(points[which] for points in self.points)
        return Targets(len(which), chosen, self.low, self.high)

    def part(self, which: slice) -> Targets:
        """Those in a row; the box stays."""
        chosen = tuple(points[which] for points in self.points)
        return Targets(len(range(*which.indices(self.count))), chosen, self.low, self.high)


class Obstacles:
    """Named solids that rays can meet.

    Parameters
    ----------
    solids : pairs of name and mesh
    """

    def __init__(self, solids: Iterable[tuple[str, Mesh]]) -> None:
        kept = [(name, mesh) for name, mesh in solids if len(mesh.triangles)]
        self._layers: tuple[_Layer, ...] = (_Layer(kept),) if kept else ()
        self.names: tuple[str, ...] = tuple(name for name, _ in kept)

    @classmethod
    def together(cls, *groups: Obstacles) -> Self:
        """Several groups of obstacles as one; what each holds is shared, not built anew."""
        out = cls(())
        out._layers = tuple(layer for group in groups for layer in group._layers)
        out.names = tuple(name for group in groups for name in group.names)
        return out

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
        origins, directions = np.asarray(origins), np.asarray(directions)
        count = len(origins)
        distances, which = np.full(count, np.inf), np.full(count, -1, dtype=np.int64)
        for layer, number in self._numbered():
            for part in _batches(count):
                start = layer.near(origins[part] + SKIN * directions[part])
                hit = layer.scene.run(start, directions[part].astype(np.float32), output=True)
                met = np.where(hit["primID"] >= 0, hit["tfar"].astype(np.float64) + SKIN, np.inf)
                nearer = met < distances[part]
                distances[part] = np.where(nearer, met, distances[part])
                which[part] = np.where(nearer, hit["geomID"] + number, which[part])
        return distances, which

    def sees(self, origins: Floats, targets: Floats) -> Flags:
        """Whether nothing stands between each origin (n, 3) and its target (n, 3)."""
        origins, targets = np.asarray(origins), np.asarray(targets)
        out = np.ones(len(origins), dtype=bool)
        for part in _batches(len(origins)):
            way = targets[part] - origins[part]
            length = np.linalg.norm(way, axis=1, keepdims=True)
            skin = np.minimum(SKIN / np.maximum(length, 1e-12), 0.5) * way
            ends = self.targets(targets[part] - skin)
            out[part] = ~self.hidden_between(self.targets(origins[part] + skin), ends)
        return out

    def targets(self, points: Floats) -> Targets:
        """Prepare points (n, 3) [m] to send rays to; they must lie off every surface by `SKIN`."""
        none = np.zeros(3)
        return Targets(
            len(points),
            tuple(layer.near(points) for layer in self._layers),
            points.min(axis=0) if len(points) else none,
            points.max(axis=0) if len(points) else none,
        )

    def hidden(self, origin: Floats, targets: Targets) -> Flags:
        """Whether something stands between an origin (3,), off every surface, and each target."""
        start = self.targets(origin.reshape(1, 3))
        return self.hidden_between(start, targets)

    def hidden_between(self, starts: Targets, ends: Targets) -> Flags:
        """Whether something stands between each start, or the only one, and each end, (n,)."""
        out = np.zeros(ends.count, dtype=bool)
        low, high = np.minimum(starts.low, ends.low), np.maximum(starts.high, ends.high)
        for layer, start, end in zip(self._layers, starts.points, ends.points, strict=True):
            if ends.count and not layer.apart(low, high):
                origins = np.broadcast_to(start, end.shape)
                met = layer.scene.run(origins, end - start, dists=1.0, query="OCCLUDED")
                out |= met >= 0
        return out

    def hidden_across(self, starts: Targets, ends: Targets) -> Flags:
        """Whether something stands between each start and each end, (starts, ends)."""
        shape = (starts.count, ends.count)
        out = np.zeros(shape, dtype=bool)
        low, high = np.minimum(starts.low, ends.low), np.maximum(starts.high, ends.high)
        for layer, start, end in zip(self._layers, starts.points, ends.points, strict=True):
            if out.size and not layer.apart(low, high):
                ways = (end - start[:, None]).reshape(-1, 3)
                origins = np.repeat(start, ends.count, axis=0)
                met = layer.scene.run(origins, ways, dists=1.0, query="OCCLUDED")
                out |= met.reshape(shape) >= 0
        return out

    def met(self, origin: Floats, targets: Targets) -> Ints:
        """What stands first on the way from an origin to each target.

        Parameters
        ----------
        origin : (3,) off every surface by `SKIN` [m]
        targets : n points from `targets`

        Returns
        -------
        (n,) index into `names`; -1 where the way is free
        """
        out = np.full(targets.count, -1, dtype=np.int64)
        nearest = np.full(targets.count, np.inf, dtype=np.float32)
        low, high = np.minimum(origin, targets.low), np.maximum(origin, targets.high)
        layers = zip(self._numbered(), targets.points, strict=True)
        for (layer, number), ends in layers:
            if not targets.count or layer.apart(low, high):
                continue
            start = np.broadcast_to(layer.near(origin), ends.shape)
            hit = layer.scene.run(start, ends - start, dists=1.0, output=True)
            nearer = (hit["primID"] >= 0) & (hit["tfar"] < nearest)
            out[nearer] = hit["geomID"][nearer] + number
            nearest[nearer] = hit["tfar"][nearer]
        return out

    def encloses(self, points: Floats) -> Flags:
        """Whether each point (n, 3) lies in a solid, or within `SKIN` of its surface.

        Every solid is closed, so only from within does a ray meet its surface from behind. Where
        solids overlap, one direction may meet the other's face first: three are tried.
        """
        out = np.zeros(len(points), dtype=bool)
        for layer in self._layers:
            for way in _PROBES:
                for part in _batches(len(points)):
                    start = layer.near(points[part] + SKIN * way)
                    ways = np.broadcast_to(way.astype(np.float32), start.shape)
                    hit = layer.scene.run(start, ways, output=True)
                    out[part] |= (hit["primID"] >= 0) & (hit["Ng"] @ way > 0.0)
        return out

    def _numbered(self) -> Iterator[tuple[_Layer, int]]:
        """Each layer, with the index at which its names begin."""
        number = 0
        for layer in self._layers:
            yield layer, number
            number += len(layer.names)


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
