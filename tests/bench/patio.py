"""The patio that is timed: rich in shadows, seeded, of some 450,000 triangles.

Twelve metres by seven and a half, a house wall behind it. The heaters hang over beams, lattices,
pendants and a fan, and shine past tables, chairs, people and planters: hardly a place on the floor
sees all six of them whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, radians

import numpy as np

from heatcore.geometry.frames import Floats, Frame, heading_axes
from heatcore.geometry.parts import Mesh
from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.emitter import Emitter
from heatcore.mounting.mount import BODY_TRIANGLES
from heatcore.scene.types import Pattern
from tests.bench.shapes import block, box, cylinder, ellipsoid, joined, leaves, placed, ten_times

LENGTH, WIDTH = 12.0, 7.5  # m
STEP = 0.1  # m
# Off every surface, so that no method's way of leaving one counts: a slab's top lies at 0, a
# seat's at 0.44.
LEVELS = (0.01, 0.46)
SEED = 2024

Solids = list[tuple[str, Mesh]]


@dataclass(frozen=True, eq=False)
class Patio:
    """What is timed.

    Attributes
    ----------
    solids : names and meshes of what is in the way, the heaters' bodies among them
    emitters : six heaters
    planes : for each level (n, 3) points of a grid, row by row [m]
    grid : (ny, nx) of each plane
    """

    solids: Solids
    emitters: tuple[Emitter, ...]
    planes: tuple[Floats, ...]
    grid: tuple[int, int]

    @property
    def points(self) -> Floats:
        return np.concatenate(self.planes)

    @property
    def triangles(self) -> int:
        return sum(len(mesh.triangles) for _, mesh in self.solids)

    def obstacles(self) -> Obstacles:
        return Obstacles(self.solids)


def patio(heaters: int = 6, step: float = STEP, finer: bool = False) -> Patio:
    """Build it.

    Parameters
    ----------
    heaters : how many; more than six hang beside the first ones
    step : of the grids [m]
    finer : the same surfaces in ten times the triangles
    """
    rng = np.random.default_rng(SEED)
    solids = [*_space(), *_furniture(rng), *_planters(rng)]
    emitters = _emitters(heaters)
    solids += [(emitter.name, body(emitter)) for emitter in emitters]
    if finer:
        names, meshes = zip(*solids, strict=True)
        solids = list(zip(names, ten_times(meshes), strict=True))
    nx, ny = round(LENGTH / step), round(WIDTH / step)
    planes = tuple(plane(level, nx, ny) for level in LEVELS)
    return Patio(solids, emitters, planes, (ny, nx))


def plane(level: float, nx: int, ny: int) -> Floats:
    x = ((np.arange(nx) + 0.5) / nx - 0.5) * LENGTH
    y = ((np.arange(ny) + 0.5) / ny - 0.5) * WIDTH
    plan = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    return np.column_stack([plan, np.full(len(plan), level)])


def _space() -> Solids:
    x, y = LENGTH / 2, WIDTH / 2
    out = [
        ("slab", box((-x - 1, -y - 1, -0.15), (x + 1, y + 0.2, 0.0))),
        ("house", box((-x - 1, y + 0.01, 0.0), (x + 1, y + 0.2, 3.4))),
    ]
    for i, at in enumerate(np.linspace(-x + 0.1, x - 0.1, 5)):
        out.append((f"post {i}", block((at, -y + 0.1, 1.5), (0.14, 0.14, 3.0))))
        out.append((f"beam {i}", block((at, 0.0, 2.2), (0.12, WIDTH, 0.2))))
    for i, at in enumerate(np.linspace(-x, x, 31)):
        out.append((f"rafter {i}", block((at, 0.0, 2.9), (0.05, WIDTH, 0.14))))
    for i, at in enumerate(np.linspace(-y, y, 60)):
        out.append((f"slat {i}", block((0.0, at, 3.0), (LENGTH, 0.07, 0.03))))
    # Lattices under the heaters, and screens between the tables.
    for i, at in enumerate(np.linspace(-4.6, -2.4, 23)):
        out.append((f"lattice {i}", block((at, 1.2, 2.05), (0.03, 2.2, 0.05))))
    for i, at in enumerate(np.linspace(1.8, 5.2, 18)):
        out.append((f"lattice b {i}", block((at, -1.9, 2.1), (0.05, 1.6, 0.04))))
    for i, at in enumerate(np.linspace(-1.8, 1.8, 25)):
        out.append((f"screen {i}", block((at, 0.3, 0.85), (0.06, 0.02, 1.6))))
        out.append((f"screen b {i}", block((-2.0, at - 1.9, 0.8), (0.02, 0.05, 1.5))))
    for k in range(5):
        turn = 2 * pi * k / 5
        blade = block((0.42, 0.0, 0.0), (0.62, 0.14, 0.01))
        out.append((f"blade {k}", placed(blade, (0.4, -0.6, 2.15), turn)))
    out.append(("fan", cylinder((0.4, -0.6, 2.1), 0.1, 0.8, 48)))
    for i in range(12):
        at = (-5.2 + 0.95 * i, -1.0 + 1.9 * (i % 2), 1.95)
        out.append((f"pendant {i}", ellipsoid(at, (0.12, 0.12, 0.1), 40, 20)))
    return out


def _furniture(rng: np.random.Generator) -> Solids:
    out: Solids = []
    for i, (x, y) in enumerate((x, y) for y in (-2.1, 1.5) for x in (-4.2, 0.0, 4.2)):
        heading = rng.uniform(-0.5, 0.5)
        out.append((f"table {i}", placed(_table(rng), (x, y, 0.0), heading)))
        for k in range(4):
            turn = heading + pi / 2 * k
            at = (x + 0.85 * np.sin(turn), y - 0.85 * np.cos(turn), 0.0)
            out.append((f"chair {i}.{k}", placed(_chair(), at, turn)))
            if k != i % 4:
                out.append((f"guest {i}.{k}", placed(_guest(), at, turn)))
    return out


def _table(rng: np.random.Generator) -> Mesh:
    parts = [cylinder((0, 0, 0.71), 0.5, 0.03, 64), cylinder((0, 0, 0.0), 0.05, 0.71)]
    parts += [cylinder((0, 0, 0.0), 0.28, 0.02, 64)]
    for _ in range(10):
        turn, far = rng.uniform(0, 2 * pi), rng.uniform(0.1, 0.42)
        foot = (far * np.cos(turn), far * np.sin(turn), 0.74)
        parts.append(cylinder(foot, 0.035, rng.uniform(0.1, 0.28), 32))
    return joined(parts)


def _chair() -> Mesh:
    """A slatted chair at the origin that faces +Y."""
    parts = [block((0.0, at, 0.43), (0.44, 0.06, 0.02)) for at in np.linspace(-0.19, 0.19, 5)]
    parts += [block((at, -0.22, 0.68), (0.05, 0.02, 0.44)) for at in np.linspace(-0.19, 0.19, 5)]
    parts += [block((0.0, -0.22, 0.9), (0.46, 0.03, 0.05))]
    parts += [block((x, y, 0.21), (0.04, 0.04, 0.42)) for x in (-0.2, 0.2) for y in (-0.2, 0.2)]
    return joined(parts)


def _guest() -> Mesh:
    """Somebody on a chair at the origin, facing +Y."""
    parts = [
        ellipsoid((0.0, -0.04, 1.24), (0.085, 0.1, 0.125)),
        ellipsoid((0.0, -0.08, 0.8), (0.2, 0.13, 0.34)),
        cylinder((0.0, -0.06, 1.05), 0.055, 0.12),
    ]
    for side in (-1, 1):
        parts += [
            ellipsoid((0.1 * side, 0.14, 0.53), (0.085, 0.3, 0.08)),
            ellipsoid((0.1 * side, 0.42, 0.27), (0.06, 0.07, 0.26)),
            ellipsoid((0.1 * side, 0.5, 0.04), (0.045, 0.13, 0.04)),
            ellipsoid((0.24 * side, -0.04, 0.88), (0.055, 0.06, 0.2)),
            ellipsoid((0.22 * side, 0.14, 0.76), (0.045, 0.19, 0.05)),
        ]
    return joined(parts)


def _planters(rng: np.random.Generator) -> Solids:
    out: Solids = []
    places = [(x, 3.35) for x in (-5.4, -2.2, 2.2, 5.4)]
    places += [(x, -3.3) for x in (-4.4, -1.5, 1.5, 4.4)]
    places += [(-2.1, -0.4), (2.2, 0.2)]
    for i, (x, y) in enumerate(places):
        out.append((f"planter {i}", block((x, y, 0.25), (0.5, 0.5, 0.5))))
        out.append((f"bush {i}", leaves((x, y, 0.5), 6000, rng)))
    return out


# Where, turned and tilted [deg], length and width [m], pattern.
_HEATERS: Sequence[tuple[tuple[float, float, float], float, float, float, float, Pattern]] = (
    ((-3.6, 1.4, 2.45), 0, 20, 1.2, 0.13, Pattern(along=1.6, across=2.6)),
    ((0.2, 2.2, 2.5), 15, -15, 0.8, 0.12, Pattern(kind="uniform")),
    ((3.6, 1.7, 2.45), 90, 20, 1.1, 0.2, Pattern(along=1.2, across=4.0)),
    ((-3.9, -1.9, 2.5), 30, 10, 1.4, 0.13, Pattern(along=1.6, across=2.6)),
    ((0.3, -1.8, 2.6), 0, 30, 0.9, 0.15, Pattern(along=3.0, across=3.0)),
    ((3.6, -2.2, 2.45), -20, -20, 1.4, 0.13, Pattern(along=1.4, across=2.0)),
)


def _emitters(count: int) -> tuple[Emitter, ...]:
    out = []
    for i in range(count):
        place, heading, tilt, length, width, pattern = _HEATERS[i % len(_HEATERS)]
        at = np.array(place) + i // len(_HEATERS) * np.array([0.33, 0.27, 0.02])
        frame = Frame(at, heading_axes(radians(heading), radians(tilt)))
        out.append(Emitter(f"heater {i}", frame, length, width, 2000.0, pattern, 850.0))
    return tuple(out)


def body(emitter: Emitter) -> Mesh:
    """The heater's body, from its emitting face up."""
    x, y = emitter.length / 2 + 0.05, emitter.width / 2 + 0.04
    plan = ((-x, -y), (x, -y), (x, y), (-x, y))
    local = [(*corner, z) for z in (0.0, 0.09) for corner in plan]
    return Mesh(emitter.frame.to_world(local), BODY_TRIANGLES)
