"""A bake of direct diffuse light in Cycles, in a Blender process of its own."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from heatcore.geometry.frames import Floats
from tests.bench.patio import LENGTH, LEVELS, WIDTH, Patio
from tests.bench.shapes import joined

SCRIPT = Path(__file__).with_name("cycles_bake.py")


@dataclass(frozen=True, eq=False)
class Bake:
    """One bake of all planes: irradiance (n,) [W/m2] and CPU seconds."""

    samples: int
    seed: int
    irradiance: Floats
    seconds: float


def bakes(patio: Patio, wanted: Sequence[tuple[int, int]], folder: Path) -> list[Bake]:
    """Bakes with so many samples and so seeded, one after the other in one process.

    Their CPU seconds are those of the bakes alone, the scene's synchronisation included.
    """
    whole = joined([mesh for _, mesh in patio.solids])
    powers = [
        (e.pattern.along, e.pattern.across) if e.pattern.kind == "cosine" else (0.0, 0.0)
        for e in patio.emitters
    ]
    job, out = folder / "job.npz", folder / "baked.npz"
    np.savez(
        job,
        vertices=whole.vertices,
        triangles=whole.triangles,
        bounds=np.array([(-LENGTH / 2, -WIDTH / 2), (LENGTH / 2, WIDTH / 2)]),
        grid=patio.grid,
        levels=LEVELS,
        origins=[e.frame.to_world((0.0, 0.0, -0.002)) for e in patio.emitters],
        axes=[e.frame.axes for e in patio.emitters],
        sizes=[(e.length, e.width) for e in patio.emitters],
        powers=powers,
        peaks=[e.peak_w_sr for e in patio.emitters],
        bakes=wanted,
    )
    command = [sys.executable, str(SCRIPT), str(job), str(out)]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    found = np.load(out)
    return [
        Bake(samples, seed, values, float(seconds))
        for (samples, seed), values, seconds in zip(
            wanted, found["values"], found["seconds"], strict=True
        )
    ]
