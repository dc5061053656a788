"""A scene of a million triangles, evaluated whole: how much memory and time it takes.

Run as a program of its own, so that its peak is its own: `python -m tests.soak.million`.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import trimesh

from heatcore.evaluate import evaluate
from heatcore.scene import read_scene
from tests.soak.memory import peak
from tests.soak.pool import one_thread

LEAST = 1_000_000  # triangles
MOST = 2_000_000_000  # bytes

SCENE = """\
[site]
name = "A million triangles"

[floor]
outline = [[0, 0], ["9 m", 0], ["9 m", "7 m"], [0, "7 m"]]

[[roof]]
name = "slats"
form = "slatted"
outline = [[0, 0], ["4.5 m", 0], ["4.5 m", "7 m"], [0, "7 m"]]
plate = "3.2 m"
pitch = "0 deg"
slat_width = "8 mm"
slat_gap = "8 mm"

[[roof]]
name = "roof"
form = "gable"
outline = [["4.5 m", 0], ["9 m", 0], ["9 m", "7 m"], ["4.5 m", "7 m"]]
plate = "2.8 m"
pitch = "6:12"
ridge_direction = "90 deg"

[[rafters]]
name = "rafters"
roof = "roof"
spacing = "40 mm"
width = "10 mm"

[[beam]]
name = "beam"
from = ["2.2 m", 0]
to = ["2.2 m", "7 m"]
underside = "2.9 m"

[[furniture]]
name = "sculpture"
kind = "table"
at = ["3 m", "2 m"]
mesh = "ball.ply"
size = ["1.5 m", "1.5 m", "1.2 m"]

[[furniture]]
name = "other sculpture"
kind = "table"
at = ["6 m", "2 m"]
mesh = "ball.ply"
size = ["1.2 m", "1.2 m", "2 m"]

[[solid]]
name = "rock"
mesh = "hills.ply"
at = ["2 m", "5.5 m"]

[[person]]
name = "guest"
at = ["4.5 m", "3.5 m"]

[[heater]]
name = "B1"
type = "wall linear"
at = ["2.2 m", "3 m"]
mount = "beam"

[[heater]]
name = "R1"
type = "long linear"
at = ["6 m", "3 m"]
heading = "90 deg"

[[heater]]
name = "R2"
type = "long linear"
at = ["7.7 m", "3 m"]
heading = "90 deg"
"""


def main() -> int:
    """Evaluate it, and say what that took; 1 where it took too much, or has too few triangles."""
    one_thread()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "scene.toml").write_text(SCENE)
        ball().export(folder / "ball.ply")
        hills().export(folder / "hills.ply")
        start = time.process_time()
        evaluation = evaluate(read_scene(folder / "scene.toml"))
        seconds = time.process_time() - start
    triangles = sum(len(part.mesh.triangles) for part in evaluation.model.parts)
    used = peak()
    sys.stdout.write(
        f"{triangles:,} triangles, {len(evaluation.mounts)} heaters, "
        f"{len(evaluation.findings)} findings: {seconds:.0f} s of CPU, peak memory "
        f"{used / 1e6:,.0f} MB\n"
    )
    return int(triangles < LEAST or used >= MOST)


def ball() -> trimesh.Trimesh:
    """A rough ball of 327,680 triangles."""
    mesh = trimesh.creation.icosphere(subdivisions=7)
    rough = 1.0 + 0.02 * np.sin(40.0 * mesh.vertices).prod(axis=1)
    mesh.vertices = mesh.vertices * rough[:, None]
    return mesh


def hills() -> trimesh.Trimesh:
    """A ball of the same kind, pressed flat: 327,680 triangles."""
    mesh = ball()
    mesh.vertices = mesh.vertices * (1.2, 1.0, 0.4) + (0.0, 0.0, 0.4)
    return mesh


if __name__ == "__main__":
    sys.exit(main())
