"""Frames: where a thing is and how it is turned."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def locked(array: Any, dtype: Any = np.float64) -> NDArray[Any]:
    """Return `array` as a read-only copy of the given type."""
    out = np.array(array, dtype=dtype)
    out.flags.writeable = False
    return out


@dataclass(frozen=True, eq=False)
class Frame:
    """A right-handed orthonormal frame in the world.

    Attributes
    ----------
    origin : (3,) where it is [m]
    axes : (3, 3) its X, Y and Z as rows, in world coordinates
    """

    origin: Floats
    axes: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "origin", locked(self.origin))
        object.__setattr__(self, "axes", locked(self.axes))

    @property
    def x(self) -> Floats:
        """(3,) the frame's X in world coordinates."""
        out: Floats = self.axes[0]
        return out

    @property
    def y(self) -> Floats:
        """(3,) the frame's Y in world coordinates."""
        out: Floats = self.axes[1]
        return out

    @property
    def z(self) -> Floats:
        """(3,) the frame's Z in world coordinates."""
        out: Floats = self.axes[2]
        return out

    def to_world(self, points: Any) -> Floats:
        """Local points (..., 3) [m] in world coordinates."""
        out: Floats = np.asarray(points, dtype=np.float64) @ self.axes + self.origin
        return out

    def to_local(self, points: Any) -> Floats:
        """World points (..., 3) [m] in this frame's coordinates."""
        out: Floats = (np.asarray(points, dtype=np.float64) - self.origin) @ self.axes.T
        return out

    def moved(self, by: Any) -> Frame:
        """The same frame shifted by a world vector (3,) [m]."""
        return Frame(self.origin + np.asarray(by, dtype=np.float64), self.axes)


def heading_axes(heading: float, tilt: float = 0.0, up: Any = (0.0, 0.0, 1.0)) -> Floats:
    """Axes (3, 3) of a heater with a heading, lying square to `up` and tilted about its X.

    Parameters
    ----------
    heading : direction of the body's X in plan, from world X counter-clockwise [rad]
    tilt : turn about the body's own X by the right-hand rule; positive leans the beam, which
        leaves along -Z, toward +Y [rad]
    up : (3,) direction of Z before tilting: world up for a level heater, the ceiling's upward
        normal for one that follows the slope
    """
    z = np.asarray(up, dtype=np.float64)
    z = z / np.linalg.norm(z)
    # In the vertical plane of the heading, square to `up`: the body keeps its heading in plan.
    along = np.array([cos(heading), sin(heading), 0.0])
    if abs(z[2]) < 1e-9:
        x = along - (along @ z) * z
    else:
        x = along + np.array([0.0, 0.0, -(along @ z) / z[2]])
    x = x / np.linalg.norm(x)
    y = np.cross(z, x)
    c, s = cos(tilt), sin(tilt)
    return np.stack([x, c * y + s * z, c * z - s * y])
