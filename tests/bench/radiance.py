"""Radiance's rtrace on the same patio: what the map is compared with at equal error.

G. W. Ward, "The RADIANCE lighting simulation and rendering system", SIGGRAPH 1994. Direct light
only (-ab 0), every source tested (-dt 0), samples on the sources jittered (-dj) and as many as the
subdivision asks for (-ds, the sources' size over their distance).
"""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
import pyradiance

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Mesh
from heatcore.heat.radiation.emitter import Emitter
from tests.bench.cpu import timed
from tests.bench.patio import Patio

FRONT = 0.002  # m that a source hangs before its heater's body
JITTER = 0.9

# Radiance of an aperture whose intensity is cos(x)**A1 cos(y)**A2 of the two projected angles;
# A3-A5 and A6-A8 are its X and Y in the world. D points from the eye to the source.
COSINES = """
right = -(A3*Dx + A4*Dy + A5*Dz);
ahead = -(A6*Dx + A7*Dy + A8*Dz);
down = sqrt(1 - right*right - ahead*ahead);
shape = (1 + (right/down)^2)^(-A1/2) * (1 + (ahead/down)^2)^(-A2/2) / down;
"""


@dataclass(frozen=True)
class Radiance:
    """An octree of a patio, ready to be traced."""

    octree: Path

    @classmethod
    def of(cls, patio: Patio, folder: Path, pieces: int = 1) -> Radiance:
        """Built in a folder; each source in so many pieces along it, as rtrace's own subdivision
        ends at 64 parts.
        """
        (folder / "shape.cal").write_text(COSINES)
        scene = folder / "patio.rad"
        with scene.open("w") as file:
            file.write("void plastic black\n0\n0\n5 0 0 0 0 0\n")
            for number, (_, mesh) in enumerate(patio.solids):
                file.write(_polygons(mesh, number))
            for emitter in patio.emitters:
                file.write(_source(emitter, pieces))
        octree = folder / "patio.oct"
        with octree.open("wb") as out:
            subprocess.run(
                [Path(pyradiance.BINPATH) / "oconv", "-f", "-w", scene.name],
                stdout=out, cwd=folder, check=True,
            )  # fmt: skip
        return cls(octree)

    def trace(self, points: Floats, subdivision: float, jitter: float = JITTER) -> Floats:
        """Irradiance (n,) of upward surfaces at points (n, 3) [W/m2]."""
        up = np.broadcast_to([0.0, 0.0, 1.0], points.shape)
        options = (
            "-h -I -ab 0 -aa 0 -dt 0 -dc 1 -dr 0 -dp 0 -st 1 -lr 0 "
            f"-ds {subdivision:g} -dj {jitter:g} -ov -fdf"
        )
        done = subprocess.run(
            [Path(pyradiance.BINPATH) / "rtrace", *options.split(), self.octree.name],
            input=np.hstack([points, up]).astype(np.float64).tobytes(),
            stdout=subprocess.PIPE, cwd=self.octree.parent, check=True,
        )  # fmt: skip
        return np.frombuffer(done.stdout, dtype=np.float32).reshape(-1, 3)[:, 0].astype(float)

    def loading(self, points: Floats) -> float:
        """CPU seconds that reading the octree takes, without any point of note."""
        return min(timed(lambda: self.trace(points[:1], 1.0))[0] for _ in range(2))


def _polygons(mesh: Mesh, number: int) -> str:
    lines: list[str] = []
    for k, corners in enumerate(mesh.corners.reshape(-1, 9).tolist()):
        numbers = " ".join(f"{value:.7g}" for value in corners)
        lines.append(f"black polygon s{number}.{k}\n0\n0\n9 {numbers}\n")
    return "".join(lines)


def _source(emitter: Emitter, pieces: int) -> str:
    name, pattern = emitter.name.replace(" ", "_"), emitter.pattern
    area = emitter.length * emitter.width
    axes = " ".join(f"{value:.9g}" for value in emitter.frame.axes[:2].ravel())
    light = f"{emitter.peak_w_sr / area:.9g}"
    shape = "void"
    head = ""
    if pattern.kind == "cosine":
        shape = f"{name}_shape"
        head = (
            f"void brightfunc {shape}\n2 shape shape.cal\n0\n"
            f"8 {pattern.along:g} {pattern.across:g} {axes}\n"
        )
    ends = (np.linspace(-0.5, 0.5, pieces + 1) * emitter.length).tolist()
    faces = "".join(
        f"{name} polygon {name}_{k}\n0\n0\n12 {_corners(emitter, low, high)}\n"
        for k, (low, high) in enumerate(pairwise(ends))
    )
    return f"{head}{shape} light {name}\n0\n0\n3 {light} {light} {light}\n{faces}"


def _corners(emitter: Emitter, low: float, high: float) -> str:
    """Clockwise seen from behind, so that the face looks along the beam."""
    y = emitter.width / 2
    local: Sequence[tuple[float, float, float]] = [
        (high, y, -FRONT), (high, -y, -FRONT), (low, -y, -FRONT), (low, y, -FRONT),
    ]  # fmt: skip
    return " ".join(f"{value:.9g}" for value in emitter.frame.to_world(local).ravel())
