"""What stands in six heaters' clearance volumes and how near it comes, against FCL and coal.

The engines hold all triangles in one tree, which is how both are plainly used; their boxes are made
beforehand. All three must agree before anything is timed.
"""

from __future__ import annotations

import importlib
import importlib.util
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import fcl
import numpy as np

from heatcore.geometry.distance import measure
from heatcore.geometry.frames import Floats, Frame
from heatcore.geometry.parts import Mesh
from heatcore.geometry.soup import Soup
from heatcore.geometry.surfaces import stands_in, surface_distances
from heatcore.scene.types import Distances
from tests.bench.cpu import timed, typical
from tests.bench.patio import Patio, patio
from tests.bench.report import Row
from tests.bench.shapes import joined

NEED = Distances(above=0.2, sides=0.45, ends=0.35, below=0.9)  # invented, the usual size
SIGHT = 5.0  # m, as the checks look
TOGETHER = 20  # calls timed as one: a single one is shorter than a clock's step

Found = tuple[list[bool], Floats]


@dataclass(frozen=True, eq=False)
class Boxes:
    """Six heaters: a body each, and its upper and its lower clearance volume."""

    frames: Sequence[Frame]
    bodies: Floats  # (n, 2, 3) lowest and highest corners, in the frames
    volumes: Floats  # (2 n, 2, 3), the upper and the lower one of each heater in turn

    @classmethod
    def of(cls, usual: Patio) -> Boxes:
        bodies, volumes = [], []
        for emitter in usual.emitters:
            x, y, z = emitter.length / 2 + 0.05, emitter.width / 2 + 0.04, 0.09
            far_x, far_y = x + NEED.ends, y + NEED.sides
            bodies.append(((-x, -y, 0.0), (x, y, z)))
            volumes.append(((-x, -y, z), (x, y, z + NEED.above)))
            volumes.append(((-far_x, -far_y, -NEED.below), (far_x, far_y, z)))
        frames = [emitter.frame for emitter in usual.emitters]
        return cls(frames, np.array(bodies), np.array(volumes))

    def placed(self) -> tuple[list[Any], list[Any]]:
        """Sides, axes as columns and middles of volumes and of bodies, in the world."""
        twice = [frame for frame in self.frames for _ in range(2)]
        return (
            [_placed(frame, box) for frame, box in zip(twice, self.volumes, strict=True)],
            [_placed(frame, box) for frame, box in zip(self.frames, self.bodies, strict=True)],
        )


def _placed(frame: Frame, box: Floats) -> tuple[Floats, Floats, Floats]:
    low, high = box
    return high - low, frame.axes.T.copy(), frame.to_world((low + high) / 2)


class Ours:
    def __init__(self, meshes: Sequence[Mesh], boxes: Boxes) -> None:
        self.soup, self.boxes = Soup.of(meshes), boxes

    def hits(self) -> list[bool]:
        view, volumes = self.soup.seen_from(*self.boxes.frames), self.boxes.volumes
        which = np.repeat(np.arange(len(self.boxes.frames)), 2)
        return [bool(hit) for hit in stands_in(view, which, volumes[:, 0], volumes[:, 1])]

    def distances(self) -> Floats:
        view, bodies = self.soup.seen_from(*self.boxes.frames), self.boxes.bodies
        return surface_distances(view, bodies[:, 0], bodies[:, 1])


class Fcl:
    def __init__(self, mesh: Mesh, boxes: Boxes) -> None:
        model = fcl.BVHModel()
        model.beginModel(len(mesh.triangles), len(mesh.vertices))
        model.addSubModel(np.array(mesh.vertices), np.array(mesh.triangles))
        model.endModel()
        self.mesh = fcl.CollisionObject(model, fcl.Transform())
        self.volumes, self.bodies = (
            [fcl.CollisionObject(fcl.Box(*sides), fcl.Transform(*at)) for sides, *at in some]
            for some in boxes.placed()
        )

    def hits(self) -> list[bool]:
        asked = fcl.CollisionRequest
        return [
            bool(fcl.collide(box, self.mesh, asked(), fcl.CollisionResult()))
            for box in self.volumes
        ]

    def distances(self) -> Floats:
        asked = fcl.DistanceRequest
        return np.array(
            [fcl.distance(box, self.mesh, asked(), fcl.DistanceResult()) for box in self.bodies]
        )


class Coal:
    def __init__(self, mesh: Mesh, boxes: Boxes) -> None:
        self.coal = coal = importlib.import_module("coal")
        self.mesh, self.here = coal.BVHModelOBBRSS(), coal.Transform3s()
        self.mesh.beginModel(len(mesh.triangles), len(mesh.vertices))
        self.mesh.addVertices(np.asfortranarray(mesh.vertices))
        self.mesh.addTriangles(np.asfortranarray(mesh.triangles))
        self.mesh.endModel()
        self.volumes, self.bodies = (
            [(coal.Box(*sides), coal.Transform3s(*at)) for sides, *at in some]
            for some in boxes.placed()
        )

    def hits(self) -> list[bool]:
        coal = self.coal
        asked, told = coal.CollisionRequest, coal.CollisionResult
        return [
            bool(coal.collide(*box, self.mesh, self.here, asked(), told())) for box in self.volumes
        ]

    def distances(self) -> Floats:
        coal = self.coal
        asked, told = coal.DistanceRequest, coal.DistanceResult
        return np.array(
            [coal.distance(*box, self.mesh, self.here, asked(), told()) for box in self.bodies]
        )


def clearances(usual: Patio) -> list[Row]:
    """Warm and cold against the better engine, and how ours grows."""
    boxes, meshes = Boxes.of(usual), _around(usual)
    whole = joined(meshes)
    engines: dict[str, Callable[[], Any]] = {"FCL": lambda: Fcl(whole, boxes)}
    if importlib.util.find_spec("coal") is not None:
        engines["coal"] = lambda: Coal(whole, boxes)
    cold = {name: timed(lambda make=make: _first(make())) for name, make in engines.items()}
    spent, (ours, found) = timed(lambda: _first(Ours(_anew(meshes), boxes)))
    spent_whole, (as_one, found_whole) = timed(lambda: _first(Ours(_anew([whole]), boxes)))
    for name, (_, (_, theirs)) in cold.items():
        for one in (found, found_whole):
            if one[0] != theirs[0] or np.abs(one[1] - theirs[1]).max() > 1e-6:
                raise RuntimeError(f"heatcore and {name} do not agree on six clearance boxes")
    best = min(cold, key=lambda name: cold[name][0])
    asked = f"against {' and '.join(engines)}"
    if "coal" not in engines:
        asked += " (coal is not installed)"
    rows = [
        _against("six clearance boxes, cold", spent, cold[best][0], 8, f"{best}, {asked}"),
        _against(
            "the same, the patio as one mesh", spent_whole, cold[best][0], None, f"{best}, {asked}"
        ),
    ]
    for what, target in (("hits", 4), ("distances", 8)):
        times = {name: _warm(getattr(one, what)) for name, (_, (one, _)) in cold.items()}
        best = min(times, key=lambda name: times[name])
        mine = _warm(getattr(ours, what))
        note = f"{best}, {asked}; ours with the patio as one mesh {_ms(getattr(as_one, what))}"
        name = {"hits": "hit or miss", "distances": "exact distances"}[what]
        rows.append(_against(f"six clearance boxes, warm: {name}", mine, times[best], target, note))
    larger = _around(patio(finer=True))
    grown = Ours(larger, boxes)
    _first(grown)
    count = sum(len(mesh.triangles) for mesh in larger)
    for what in ("hits", "distances"):
        base, more = _warm(getattr(ours, what)), _warm(getattr(grown, what))
        name = f"growth with ten times the triangles: clearance {what}"
        note = f"{count:,} triangles"
        rows.append(Row(name, more, base, more / base, 1.5, at_most=True, note=note))
    rows.append(_all_faces(boxes, ours.soup))
    return rows


def _all_faces(boxes: Boxes, soup: Soup) -> Row:
    """What the checks ask of one kind of material: no engine answers that."""

    def whole() -> None:
        for frame, (low, high) in zip(boxes.frames, boxes.bodies, strict=True):
            length, width, height = (high - low).tolist()
            measure(frame, (length, width, height), NEED, soup, SIGHT)

    spent = typical(whole) / len(boxes.frames)
    note = "each face, the corners and the shortest way, of everything too near and the nearest"
    return Row("all clearances of a heater", spent, None, 1e3 * spent, None, " ms", note=note)


def _against(what: str, ours: float, theirs: float, target: float | None, note: str) -> Row:
    return Row(what, ours, theirs, theirs / ours, target, note=note)


def _first(one: Any) -> tuple[Any, Found]:
    return one, (one.hits(), one.distances())


def _warm(work: Callable[[], Any]) -> float:
    return typical(lambda: [work() for _ in range(TOGETHER)]) / TOGETHER


def _ms(work: Callable[[], Any]) -> str:
    return f"{1e3 * _warm(work):.2f} ms"


def _around(usual: Patio) -> list[Mesh]:
    """All but the heaters themselves."""
    names = {emitter.name for emitter in usual.emitters}
    return [mesh for name, mesh in usual.solids if name not in names]


def _anew(meshes: Sequence[Mesh]) -> list[Mesh]:
    """Copies of which nothing has been worked out yet."""
    return [Mesh(mesh.vertices, mesh.triangles) for mesh in meshes]
