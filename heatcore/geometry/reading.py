"""What is measured from a heater's body, and what a measurement says.

Heater frame: origin at the centre of the emitting face, the body over it from z = 0 to its height,
X along its length, Y across (design, section 3). Every distance is measured in that frame, so it
turns with the heater.

- Above and below: over the body's plan, up from its top and down from its lower face.
- A side (+Y, -Y): outward over the body's own length, between `below` under the lower face and the
  body's top. An end (+X, -X) likewise over the body's width.
- Corner: what stands beside a side and an end at once. It falls short where it comes nearer than
  `sides` and nearer than `ends`, and is measured along the axis in which it falls short by less.
- Shortest: the plain shortest distance from the body, against the smallest of the four distances.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from heatcore.geometry.frames import Floats, locked
from heatcore.scene.types import Distances

NOISE = 1e-9  # m; what floating point leaves on a length, and far below what anybody can measure


class Face(StrEnum):
    """What a distance is measured from."""

    ABOVE = "above"
    BELOW = "below"
    PLUS_SIDE = "+side"
    MINUS_SIDE = "-side"
    PLUS_END = "+end"
    MINUS_END = "-end"
    CORNER = "corner"
    SHORTEST = "shortest"


# Axis of the heater's frame, and sense along it, that each face looks to.
DIRECTION = {
    Face.ABOVE: (2, 1.0),
    Face.BELOW: (2, -1.0),
    Face.PLUS_SIDE: (1, 1.0),
    Face.MINUS_SIDE: (1, -1.0),
    Face.PLUS_END: (0, 1.0),
    Face.MINUS_END: (0, -1.0),
}


@dataclass(frozen=True, eq=False)
class Reading:
    """One distance from one heater to one mesh.

    Attributes
    ----------
    face : what it is measured from
    owner : number of the mesh in its soup
    distance : measured [m]; of bodies that overlap, the plain shortest is minus the depth under the
        heater's faces of the deepest place that they share, at most half its least size
    required : what is asked for [m]
    point : (3,) where, on the object [m]
    heater_point : (3,) where, on the heater, or on its face's plane below the body where the object
        stands lower [m]
    offsets : of a corner, the distances outward from side and end [m]
    """

    face: Face
    owner: int
    distance: float
    required: float
    point: Floats
    heater_point: Floats
    offsets: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", locked(self.point))
        object.__setattr__(self, "heater_point", locked(self.heater_point))

    @property
    def margin(self) -> float:
        """How much farther than required it is [m]; negative where it falls short."""
        return self.distance - self.required

    @property
    def holds(self) -> bool:
        """Whether it is far enough; at exactly the required distance it is."""
        return not self.falls_short(0.0)

    def falls_short(self, slack: float) -> bool:
        """Whether its margin is less than a slack [m]."""
        return self.margin < slack - NOISE


@dataclass(frozen=True, eq=False)
class Body:
    """A heater's body in its own frame, and what is required round it.

    Attributes
    ----------
    size : length, width and height [m]
    distances : what is required
    """

    size: tuple[float, float, float]
    distances: Distances

    @property
    def low(self) -> Floats:
        """(3,) lowest corner [m]."""
        return np.array([-self.size[0] / 2, -self.size[1] / 2, 0.0])

    @property
    def high(self) -> Floats:
        """(3,) highest corner [m]."""
        return np.array([self.size[0] / 2, self.size[1] / 2, self.size[2]])

    def height(self, face: Face) -> float:
        """Where a face lies, counted along the direction it looks to [m]."""
        axis, sign = DIRECTION[face]
        return float(self.high[axis] if sign > 0.0 else -self.low[axis])

    def centre(self, face: Face) -> Floats:
        """(3,) middle of a face [m]."""
        axis, sign = DIRECTION[face]
        centre = (self.low + self.high) / 2
        centre[axis] = sign * self.height(face)
        return centre

    def required(self, face: Face) -> float:
        """What is asked for from a face, or for the plain shortest distance [m]."""
        match face:
            case Face.ABOVE:
                return self.distances.above
            case Face.BELOW:
                return self.distances.below
            case Face.PLUS_SIDE | Face.MINUS_SIDE:
                return self.distances.sides
            case Face.PLUS_END | Face.MINUS_END:
                return self.distances.ends
        return self.distances.least

    def region(self, face: Face, reach: float) -> tuple[Floats, Floats]:
        """Lowest and highest corner of what lies outward of a face, up to a reach [m].

        What merely touches that from beside does not stand in it: it is drawn in by what floating
        point leaves, but not at the face itself.
        """
        axis, sign = DIRECTION[face]
        low, high = self.low + NOISE, self.high - NOISE
        if axis != 2:
            low[2] = NOISE - self.distances.below
        height = self.height(face)
        near, far = sign * (height - NOISE), sign * (height + reach)
        low[axis], high[axis] = min(near, far), max(near, far)
        return low, high
