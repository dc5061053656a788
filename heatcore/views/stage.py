"""The model as cameras see it: what stands in the way, and what there is to see."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.geometry.rays import Obstacles
from heatcore.geometry.soup import Soup
from heatcore.mounting.mount import BODY_TRIANGLES, Mount

CEILING, ROOF_TOP, FLOOR, WALL, POST, PERSON, HEATER, OTHER, NOTHING = range(9)
CLASSES = 9
CLASS_OF = {
    Kind.FLOOR: FLOOR,
    Kind.RAFTER: CEILING,
    Kind.BEAM: CEILING,
    Kind.WALL: WALL,
    Kind.WINDOW: WALL,
    Kind.DOOR: WALL,
    Kind.SCREEN: WALL,
    Kind.POST: POST,
    Kind.PERSON: PERSON,
}
ALONG_BODY = np.linspace(-0.46, 0.46, 5)  # where a heater's body is looked at, shares of its length


@dataclass(frozen=True, eq=False)
class Subject:
    """Something that a picture should show.

    Attributes
    ----------
    points : (n, 3) places on or in it [m]
    own : indices of the obstacles that are itself, and hide nothing of it
    weight : how much it matters
    """

    points: Floats
    own: Ints
    weight: float


class Stage:
    """The solids of an evaluation, heaters among them, ready to be looked at.

    Parameters
    ----------
    evaluation : what there is to see
    """

    def __init__(self, evaluation: Evaluation) -> None:
        self.evaluation = evaluation
        self.parts = [part for part in evaluation.model.parts if not part.swept]
        solids: list[tuple[str, Mesh, int]] = []
        for part in self.parts:
            solids += _faces_of(part)
        for mount in evaluation.mounts:
            solids.append((mount.name, Mesh(mount.body, BODY_TRIANGLES), HEATER))
        solids = [s for s in solids if len(s[1].triangles)]
        self.names = [name for name, _, _ in solids]
        self.obstacles = Obstacles((name, mesh) for name, mesh, _ in solids)
        # One more at the end, for rays that meet nothing.
        self.classes = np.array([kind for _, _, kind in solids] + [NOTHING])
        self.floor = shapely.Polygon(evaluation.model.floor_outline)

    def inside_solid(self, point: Floats) -> bool:
        """Whether a point (3,) is inside something."""
        bounds = ((part, part.mesh.bounds) for part in self.parts)
        around = [
            p.mesh for p, (low, high) in bounds if (low <= point).all() and (point <= high).all()
        ]
        return bool(len(Soup.of(around).holders(point)))

    def indices(self, names: Sequence[str]) -> Ints:
        """Indices of the named obstacles."""
        wanted = set(names)
        return np.array([i for i, name in enumerate(self.names) if name in wanted], dtype=np.int64)

    def first(self, origins: Floats, directions: Floats) -> tuple[Floats, Ints]:
        """What rays (n, 3) meet first: distances (n,), and indices (n,), -1 for nothing."""
        return self.obstacles.first(np.ascontiguousarray(origins), np.ascontiguousarray(directions))

    def sees(self, eyes: Floats, subject: Subject) -> Any:
        """Whether each eye (c, 3) sees each point of a subject, (c, n)."""
        way = subject.points[None] - eyes[:, None]
        far = np.linalg.norm(way, axis=-1)
        way = way / np.maximum(far, 1e-9)[..., None]
        origins = np.broadcast_to(eyes[:, None], way.shape)
        met, which = self.first(origins.reshape(-1, 3), way.reshape(-1, 3))
        met, which = met.reshape(far.shape), which.reshape(far.shape)
        return (met >= far - 0.01) | np.isin(which, subject.own)

    @cached_property
    def heaters(self) -> tuple[Subject, ...]:
        """Each heater's body, and the better part of its arms."""
        out = []
        for mount in self.evaluation.mounts:
            arms = [0.25 * arm.pivot + 0.75 * arm.foot for arm in mount.arms]
            points = np.concatenate([body_line(mount), np.reshape(arms, (-1, 3))])
            out.append(Subject(locked(points), self.indices([mount.name]), 1.0))
        return tuple(out)

    @cached_property
    def people(self) -> tuple[Subject, ...]:
        """Heads, chests and laps: of everybody who is there, and above the empty seats."""
        persons: dict[str, list[str]] = {}
        for part in self.parts:
            if part.kind is Kind.PERSON:
                persons.setdefault(part.owner, []).append(part.name)
        out = []
        for place in self.evaluation.model.places:
            _, waist, head = place.heights
            heights = np.array([head, (waist + head) / 2, waist - 0.1])
            points = place.point + np.outer(heights, [0.0, 0.0, 1.0])
            own = self.indices(persons.get(place.name, []))
            out.append(Subject(locked(points), own, 1.0 if place.occupied else 0.3))
        return tuple(out)


def body_line(mount: Mount) -> Floats:
    """(5, 3) points along the middle of a heater's body [m]."""
    kind = mount.type
    local = np.zeros((len(ALONG_BODY), 3))
    local[:, 0] = ALONG_BODY * kind.length
    local[:, 2] = kind.height / 2
    return locked(mount.frame.to_world(local))


def _faces_of(part: Part) -> list[tuple[str, Mesh, int]]:
    """A part with what it is to a camera; a roof is a ceiling from below and a roof from above."""
    if part.kind is not Kind.ROOF:
        return [(part.name, part.mesh, CLASS_OF.get(part.kind, OTHER))]
    below = part.mesh.normals[:, 2] < -0.05
    return [
        (part.name, Mesh(part.mesh.vertices, part.mesh.triangles[below]), CEILING),
        (part.name, Mesh(part.mesh.vertices, part.mesh.triangles[~below]), ROOF_TOP),
    ]
