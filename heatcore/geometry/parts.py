"""What the geometry hands on: named solids, seats, and the model that holds them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from math import cos, sin

import numpy as np

from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.scene.model import Posture

USUAL_STATURE = 1.72  # m

# Ankles, waist and head of somebody on a lounger: ahead of the hips and above the seat [m], as the
# figures lie (see `people.pose`).
LOUNGING = ((0.83, 0.09), (-0.11, 0.19), (-0.43, 0.60))


class Kind(StrEnum):
    """What a part is to the checks and to the pictures."""

    FLOOR = "floor"
    ROOF = "roof"
    RAFTER = "rafter"
    BEAM = "beam"
    POST = "post"
    WALL = "wall"
    DOOR = "door"
    WINDOW = "window"
    SCREEN = "screen"
    FITTING = "fitting"
    CABLE = "cable"
    PLATFORM = "platform"
    SOLID = "solid"
    FURNITURE = "furniture"
    PERSON = "person"


@dataclass(frozen=True, eq=False)
class Mesh:
    """A triangle mesh.

    Attributes
    ----------
    vertices : (n, 3) world coordinates [m], read-only
    triangles : (m, 3) vertex indices, counter-clockwise seen from outside, read-only
    """

    vertices: Floats
    triangles: Ints

    def __post_init__(self) -> None:
        object.__setattr__(self, "vertices", locked(self.vertices).reshape(-1, 3))
        object.__setattr__(self, "triangles", locked(self.triangles, np.int64).reshape(-1, 3))

    @cached_property
    def corners(self) -> Floats:
        """(m, 3, 3) the corners of each triangle [m], read-only."""
        return locked(self.vertices[self.triangles])

    @cached_property
    def normals(self) -> Floats:
        """(m, 3) outward unit normals; a triangle without area has a zero normal. Read-only."""
        a, b, c = (self.corners[:, i] for i in range(3))
        cross = np.cross(b - a, c - a)
        size = np.linalg.norm(cross, axis=1, keepdims=True)
        return locked(np.divide(cross, size, out=np.zeros_like(cross), where=size > 0.0))

    @cached_property
    def bounds(self) -> Floats:
        """(2, 3) lowest and highest corner of the box around it [m], read-only."""
        return locked([self.vertices.min(axis=0), self.vertices.max(axis=0)])


@dataclass(frozen=True, eq=False)
class Part:
    """One named, watertight solid of the space.

    A swept part (a door's whole swing, a screen's whole drop, a fan's disc) is where something may
    be: the checks test it, nothing draws it as solid and no ray stops at it.

    Attributes
    ----------
    name : unique name of this part, as findings say it ('service door leaf', 'porch roof')
    owner : name of the thing in the scene that it belongs to
    kind : what it is
    mesh : its closed surface
    material : what it looks like ('timber boards', 'stone', 'fabric')
    combustible : whether the clearances to combustible material apply
    swept : whether it is a swept volume
    """

    name: str
    owner: str
    kind: Kind
    mesh: Mesh
    material: str
    combustible: bool
    swept: bool = False


@dataclass(frozen=True, eq=False)
class Place:
    """Where a person is: a seat, taken or not, or somebody who stands.

    Attributes
    ----------
    name : unique name
    owner : the furniture that brought the seat, or its own name
    point : (3,) on the floor, or the platform, below the person's middle [m]
    facing : direction in which the person looks, from world X counter-clockwise [rad]
    posture : upright, lounging, perched or standing
    seat_height : of the seat above `point` [m]; 0 where the person stands
    occupied : whether somebody is there in the pictures
    stature : body height [m]
    table_height : of the table or bar in front, on which the arms rest; 0 where there is none [m]
    can_move_away : whether the person can leave by themselves
    """

    name: str
    owner: str
    point: Floats
    facing: float
    posture: Posture | str
    seat_height: float
    occupied: bool
    stature: float = USUAL_STATURE
    table_height: float = 0.0
    can_move_away: bool = True

    @property
    def seated(self) -> bool:
        """Whether the person sits."""
        return self.posture != "standing"

    @property
    def heights(self) -> tuple[float, float, float]:
        """Heights of ankles, waist and head above `point` [m].

        Seated 0.1, 0.6, 1.1 m, standing 0.1, 1.1, 1.7 m (ISO 7726:1998, from memory), which the
        stature scales. A seat higher or lower than a chair's 0.45 m carries waist and head with it,
        and on a stool the ankles too, for the feet rest on its ring. On a lounger they are those of
        somebody who lies back with the legs stretched out.
        """
        ankles, waist, head = (float(z) for z in self._body[:, 1])
        return ankles, waist, head

    @property
    def points(self) -> Floats:
        """(3, 3) ankles, waist and head in the world [m], read-only.

        Above the person's middle; of somebody on a lounger, along the facing.
        """
        ahead, up = self._body.T
        x, y = cos(self.facing) * ahead, sin(self.facing) * ahead
        return locked(self.point + np.column_stack([x, y, up]))

    @property
    def _body(self) -> Floats:
        """(3, 2) how far ankles, waist and head lie ahead of `point`, and above it."""
        if self.posture == "standing":
            share = self.stature / USUAL_STATURE
            return np.array([(0.0, 0.1), (0.0, 1.1), (0.0, 1.7)]) * share
        if self.posture == "lounging":
            return np.array([(ahead, self.seat_height + up) for ahead, up in LOUNGING])
        lift = self.seat_height - 0.45
        feet = max(lift, 0.0) if self.posture == "perched" else 0.0
        return np.array([(0.0, 0.1 + feet), (0.0, 0.6 + lift), (0.0, 1.1 + lift)])


@dataclass(frozen=True, eq=False)
class Model:
    """The described site made solid.

    Attributes
    ----------
    parts : every solid, swept volumes included
    places : seats, and people who stand, in the scene's order
    floor_outline : (n, 2) corners of the floor, counter-clockwise [m]
    """

    parts: tuple[Part, ...]
    places: tuple[Place, ...]
    floor_outline: Floats

    @cached_property
    def by_name(self) -> dict[str, Part]:
        """The parts by their names."""
        return {part.name: part for part in self.parts}

    def of(self, *kinds: Kind, swept: bool = False) -> Iterator[Part]:
        """The parts of the given kinds."""
        return (p for p in self.parts if p.kind in kinds and p.swept is swept)

    def owned_by(self, owner: str, *, swept: bool = False) -> tuple[Part, ...]:
        """The parts that belong to a named thing of the scene."""
        return tuple(p for p in self.parts if p.owner == owner and p.swept is swept)
