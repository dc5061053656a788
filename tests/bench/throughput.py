"""How much of Embree's raw ray throughput visibility keeps."""

from __future__ import annotations

import statistics
from typing import Any

import numpy as np

from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.irradiance import Quality
from heatcore.heat.radiation.unobstructed import unobstructed
from heatcore.heat.radiation.visibility import visible_fraction
from tests.bench.cpu import timed
from tests.bench.patio import Patio
from tests.bench.reference import UP
from tests.bench.report import Row

REPEATS = 5


class _Recorder:
    """Stands before an Embree scene and keeps the rays that it is asked."""

    def __init__(self, scene: Any) -> None:
        self.scene = scene
        self.kept: list[tuple[Any, Any]] = []

    def run(self, origins: Any, directions: Any, **how: Any) -> Any:
        self.kept.append((np.array(origins), np.array(directions)))
        return self.scene.run(origins, directions, **how)


def share(patio: Patio, obstacles: Obstacles, quality: Quality, what: str) -> Row:
    """Raw time of the very rays that are cast, prepared beforehand, over the time of visibility."""
    jobs = []
    for points in patio.planes:
        normals = np.broadcast_to(UP, points.shape)
        for e in patio.emitters:
            facing = normals @ e.frame.axes.T
            local = e.frame.to_local(points)
            free = e.peak_w_sr * unobstructed(e.pattern, e.length, e.width, local, facing)
            jobs.append((e, points, normals, free, obstacles, quality, patio.grid))

    def look() -> None:
        for job in jobs:
            visible_fraction(*job)

    (layer,) = obstacles._layers
    scene = layer.scene
    layer.scene = recorder = _Recorder(scene)
    look()
    layer.scene = scene

    def raw() -> None:
        for origins, directions in recorder.kept:
            scene.run(origins, directions, dists=1.0, query="OCCLUDED")

    pairs = [(timed(look)[0], timed(raw)[0]) for _ in range(REPEATS)]
    whole, bare = (statistics.median(column) for column in zip(*pairs, strict=True))
    count = sum(len(origins) for origins, _ in recorder.kept)
    note = f"{count / 1e6:.2f} million rays, {1e9 * bare / count:.0f} ns each when raw"
    return Row(
        f"raw Embree throughput kept, {what}", whole, bare, 100 * bare / whole, 90, " %", note=note
    )
