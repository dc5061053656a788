"""Body measures [m] of somebody of usual stature, and what a seat has to fit.

Segment lengths: R. Drillis and R. Contini, Body segment parameters, 1966, as reproduced in
D. A. Winter, Biomechanics and motor control of human movement. Seated measures and breadths:
S. Pheasant, Bodyspace, British adults aged 19 to 65, 50th percentile man of 1.74 m. Both from
memory. Other statures are scaled as a whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, tan

STATURE = 1.72

# Drillis and Contini
UPPER_ARM = 0.186 * STATURE
FOREARM = 0.146 * STATURE
THIGH = 0.245 * STATURE
SHANK = 0.246 * STATURE

# Pheasant
SITTING_SHOULDER_HEIGHT = 0.595 / 1.74 * STATURE

# Where joints lie inside the outlines above (common practice, no source).
ANKLE_HEIGHT = 0.087  # the sole included
HIP_ABOVE_SEAT = 0.086
BACK_BEHIND_HIP = 0.130
HIP_OUT = 0.086
SHOULDER_OUT = 0.160
SHOULDER_ABOVE_HIP = SITTING_SHOULDER_HEIGHT - HIP_ABOVE_SEAT - 0.042

LOUNGING_LEAN = radians(48.0)
"""How far somebody on a lounger leans back from upright."""

LOUNGING_BACK = (BACK_BEHIND_HIP - HIP_ABOVE_SEAT * sin(LOUNGING_LEAN)) / cos(LOUNGING_LEAN)
"""How far behind the hips the plane of a lounging back meets the seat."""


@dataclass(frozen=True)
class Sitting:
    """How somebody of usual stature sits at a height; the furniture is shaped to it.

    Attributes
    ----------
    seat_height : of the seat under weight [m]
    lean : how far the back leans from upright [rad]
    """

    seat_height: float
    lean: float

    @classmethod
    def at(cls, seat_height: float) -> Sitting:
        """The lower the seat, the further back one leans (common practice, no source)."""
        low = min(max((0.46 - seat_height) / 0.08, 0.0), 1.0)
        return cls(seat_height, radians(7.0 + 11.0 * low))

    @property
    def hip_height(self) -> float:
        """Height of the hip joints above the floor [m]."""
        return self.seat_height + HIP_ABOVE_SEAT

    def back(self, height: float) -> float:
        """How far ahead of the hips the back is, at a height above the floor [m]."""
        return -BACK_BEHIND_HIP - (height - self.hip_height) * tan(self.lean)


def footrest_height(seat_height: float) -> float:
    """Height of what the feet of somebody perched rest on [m].

    As far below the seat as the floor is below a chair's.
    """
    return max(0.0, seat_height - 0.45)
