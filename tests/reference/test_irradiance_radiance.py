"""Irradiance in a furnished place against Radiance, an independent ray tracer, direct light only.

Radiance (G. Ward, "The RADIANCE lighting simulation and rendering system", SIGGRAPH 1994) divides
each light and sends a shadow ray to the middle of every piece. Here each aperture is many lights,
each finely divided, without jitter and with every shadow tested, so that it has converged.
"""

import os
import subprocess
from pathlib import Path

import numpy as np
import pyradiance
import pytest

from heatcore.geometry.build import build
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh
from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import FINAL, irradiances
from heatcore.mounting.mount import BODY_TRIANGLES
from heatcore.scene import parse_scene
from heatcore.scene.types import Pattern

RADIANCE = Path(pyradiance.__file__).parent

SCENE = """
[site]
name = "A place for the test"

[floor]
outline = [["0 m", "0 m"], ["7 m", "0 m"], ["7 m", "5 m"], ["0 m", "5 m"]]

[[roof]]
name = "slats"
form = "slatted"
outline = [["0 m", "0 m"], ["3.4 m", "0 m"], ["3.4 m", "5 m"], ["0 m", "5 m"]]
plate = "2.2 m"
pitch = "0 deg"
slat_width = "60 mm"
slat_gap = "140 mm"
slat_direction = "0 deg"
thickness = "80 mm"

[[roof]]
name = "roof"
form = "flat"
outline = [["3.4 m", "0 m"], ["7 m", "0 m"], ["7 m", "5 m"], ["3.4 m", "5 m"]]
plate = "3 m"

[[wall]]
name = "wall"
from = ["7 m", "5 m"]
to = ["0 m", "5 m"]
height = "2.2 m"

[[wall]]
name = "half wall"
from = ["4.6 m", "0.3 m"]
to = ["4.6 m", "1.9 m"]
height = "1.1 m"

[[post]]
name = "post"
at = ["3.4 m", "2.5 m"]

[[fitting]]
name = "fan"
kind = "fan"
at = ["5.2 m", "3 m"]
height = "2.1 m"

[[furniture]]
name = "table"
kind = "table"
at = ["2 m", "2.4 m"]
chairs = 4

[[furniture]]
name = "bar"
kind = "bar"
at = ["5.6 m", "4.4 m"]
"""
PATTERNS = {
    "uniform": Pattern(kind="uniform"),
    "cosine": Pattern(along=1.6, across=2.6),
    "narrow": Pattern(along=2.0, across=7.0),
    "table": Pattern(
        kind="table",
        angles_along=tuple(np.radians([0.0, 20.0, 45.0, 70.0])),
        angles_across=tuple(np.radians([-70.0, -20.0, 0.0, 30.0, 75.0])),
        intensities=((0, 8, 9, 10, 0), (0, 7, 8, 9, 0), (0, 4, 5, 4, 0), (0, 0, 0, 0, 0)),
    ),
}
# Where each hangs, heading and tilt, length and width: turned, tilted, over the slats and the fan.
HUNG = (
    ((1.6, 1.4, 2.7), 0.2, 0.0, 1.4, 0.13, "cosine"),
    ((1.9, 3.9, 2.6), 0.5, 0.35, 1.0, 0.15, "uniform"),
    ((5.2, 2.2, 2.5), 1.2, -0.3, 0.8, 0.12, "table"),
    ((5.8, 3.6, 2.6), -0.4, 0.45, 1.1, 0.2, "narrow"),
)
PIECES = (24, 16)  # lights that stand for one aperture, along and across it
POINTS = 200
DIRECT = ("-h", "-I", "-ab", "0", "-dj", "0", "-dt", "0", "-dc", "1", "-dr", "0", "-ds", "0.01")

# Intensity over the projected angles, made a radiance: divided by the cosine toward the face. The
# ray runs from the point to the light: the radiation goes the other way.
CAL = """
ahead = Dx*A7 + Dy*A8 + Dz*A9;
tx = -(Dx*A1 + Dy*A2 + Dz*A3) / ahead;
ty = -(Dx*A4 + Dy*A5 + Dz*A6) / ahead;
cosine = if(ahead, exp(-arg(10)/2*log(1 + tx*tx) - arg(11)/2*log(1 + ty*ty)) / ahead, 0);
absolute(x) = if(x, x, -x);
inside(x, high) = if(high - x, 1, 0);
angle_along = absolute(atan(tx));
angle_across = atan(ty);
tabled(v) = if(ahead, inside(angle_along, arg(10)) * inside(angle_across, arg(12))
    * inside(arg(11), angle_across) * v / ahead, 0);
"""


@pytest.fixture(scope="module")
def emitters() -> list[Emitter]:
    return [
        Emitter(
            f"H{i}", Frame(np.array(at), heading_axes(heading, tilt)), length, width, 2000.0,
            PATTERNS[name], 850.0,
        )
        for i, (at, heading, tilt, length, width, name) in enumerate(HUNG)
    ]  # fmt: skip


@pytest.fixture(scope="module")
def solids(emitters) -> list[tuple[str, Mesh]]:
    """Everything in the way, people aside, and the heaters' bodies."""
    model = build(parse_scene(SCENE))
    parts = [(p.name, p.mesh) for p in model.parts if not p.swept and p.kind is not Kind.PERSON]
    corners = [(x, y, z) for z in (0.0, 0.1) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    bodies = [
        (
            e.name,
            Mesh(
                e.frame.to_world(corners * np.array([e.length / 2 + 0.05, e.width / 2 + 0.03, 1])),
                BODY_TRIANGLES,
            ),
        )
        for e in emitters
    ]
    return parts + bodies


def as_surfaces(solids) -> str:
    lines = ["void plastic grey 0 0 5 .5 .5 .5 0 0"]
    for number, (_, mesh) in enumerate(solids):
        for i, corners in enumerate(mesh.corners):
            values = " ".join(f"{value:.7g}" for value in corners.ravel())
            lines.append(f"grey polygon s{number}_{i} 0 0 9 {values}")
    return "\n".join(lines)


def as_lights(emitter: Emitter, folder: Path) -> str:
    frame, pattern = emitter.frame, emitter.pattern
    axes = " ".join(f"{v:.9g}" for v in [*frame.x, *frame.y, *frame.z])
    modifier, lines = "void", []
    radiance = emitter.peak_w_sr / (emitter.length * emitter.width)
    name = f"{emitter.name}_shape"
    if pattern.kind == "cosine":
        powers = f"{pattern.along} {pattern.across}"
        lines.append(f"void brightfunc {name} 2 cosine shape.cal 0 11 {axes} {powers}")
        modifier = name
    elif pattern.kind == "table":
        along, across = pattern.angles_along, pattern.angles_across
        rows = "\n".join(" ".join(map(str, row)) for row in pattern.intensities)
        sides = "\n".join(
            f"0 0 {len(a)} {' '.join(f'{v:.9g}' for v in a)}" for a in (along, across)
        )
        (folder / f"{name}.dat").write_text(f"2\n{sides}\n{rows}\n")
        radiance /= max(map(max, pattern.intensities))
        ends = f"{along[-1]:.9g} {across[0]:.9g} {across[-1]:.9g}"
        lines.append(
            f"void brightdata {name} 5 tabled {name}.dat shape.cal angle_along angle_across"
            f" 0 12 {axes} {ends}"
        )
        modifier = name
    lines.append(f"{modifier} light {emitter.name} 0 0 3 {radiance} {radiance} {radiance}")
    x = np.linspace(-emitter.length / 2, emitter.length / 2, PIECES[0] + 1)
    y = np.linspace(-emitter.width / 2, emitter.width / 2, PIECES[1] + 1)
    for i in range(PIECES[0]):
        for j in range(PIECES[1]):
            # A hair before the body; wound so that it looks along -Z.
            piece = [(x[i], y[j]), (x[i], y[j + 1]), (x[i + 1], y[j + 1]), (x[i + 1], y[j])]
            corners = frame.to_world([(*at, -5e-4) for at in piece])
            values = " ".join(f"{value:.9g}" for value in corners.ravel())
            lines.append(f"{emitter.name} polygon {emitter.name}_{i}_{j} 0 0 12 {values}")
    return "\n".join(lines)


def points_and_normals() -> tuple[np.ndarray, np.ndarray]:
    """Level and leaning receivers at heights from the floor to a standing head."""
    random = np.random.default_rng(11)
    points = random.uniform([0.2, 0.2, 0.0], [6.8, 4.8, 0.0], (POINTS, 3))
    points[:, 2] = random.choice([0.005, 0.005, 0.45, 1.1, 1.7], POINTS)
    normals = random.normal(size=(POINTS, 3)) * 0.35 + [0.0, 0.0, 1.0]
    normals[: POINTS // 2] = [0.0, 0.0, 1.0]
    return points, normals / np.linalg.norm(normals, axis=1, keepdims=True)


def test_the_whole_agrees_with_radiance(emitters, solids, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("RAYPATH", os.pathsep.join([".", str(RADIANCE / "lib")]))
    (tmp_path / "shape.cal").write_text(CAL)
    (tmp_path / "all.rad").write_text(
        "\n".join([as_surfaces(solids), *(as_lights(e, tmp_path) for e in emitters)])
    )
    (tmp_path / "all.oct").write_bytes(pyradiance.oconv("all.rad", warning=False))
    points, normals = points_and_normals()
    rows = "\n".join(" ".join(map(repr, row.tolist())) for row in np.hstack([points, normals]))
    traced = subprocess.run(
        [RADIANCE / "bin" / "rtrace", *DIRECT, "all.oct"],
        input=rows.encode(), capture_output=True, check=True,
    ).stdout  # fmt: skip
    expected = np.array([line.split()[0] for line in traced.decode().splitlines() if line], float)
    found = irradiances(emitters, points, normals, Obstacles(solids), FINAL)
    total = np.sum(list(found.values()), axis=0)
    high = expected >= 0.05 * expected.max()
    off = np.abs(total[high] / expected[high] - 1.0)
    assert high.sum() > POINTS / 2
    shaded = total[high] < 0.8 * np.sum(
        list(irradiances(emitters, points[high], normals[high], Obstacles([])).values()), axis=0
    )
    assert shaded.mean() > 0.3  # there is something to get wrong
    assert np.median(off) <= 0.005
    assert np.quantile(off, 0.95) <= 0.02
