"""How a heater is turned, up to the one move that its arms decide."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2

import numpy as np

from heatcore.geometry.frames import Floats, Frame, heading_axes, locked
from heatcore.scene.types import HeaterType


@dataclass(frozen=True, eq=False)
class Pose:
    """A heater turned as it will hang, anywhere along the line away from its surface.

    Attributes
    ----------
    type : the heater's type
    frame : its frame at travel 0
    rest : (3, 3) its axes before it was tilted, as rows
    away : (3,) unit vector along which it moves: down, or out of a wall
    pivots : (2, 3) where its brackets carry it at travel 0, the one nearer its -X end first [m]
    """

    type: HeaterType
    frame: Frame
    rest: Floats
    away: Floats
    pivots: Floats

    def __post_init__(self) -> None:
        for name in ("rest", "away", "pivots"):
            object.__setattr__(self, name, locked(getattr(self, name)))

    def at(self, travel: float) -> Frame:
        """The heater's frame, moved by a travel [m]."""
        return self.frame.moved(travel * self.away)

    def moved(self, by: Floats) -> Pose:
        """The same pose, shifted by a world vector (3,) [m]."""
        return replace(self, frame=self.frame.moved(by), pivots=self.pivots + by)

    @property
    def roll(self) -> float:
        """How far the heater leans about its X from level [rad]: a level one's tilt."""
        x, z = self.frame.x, self.frame.z
        left = np.array([-x[1], x[0], 0.0]) / np.hypot(x[0], x[1])
        return atan2(-float(z @ left), float(z[2]))

    def leans(self, into: Floats) -> tuple[float, float]:
        """How far a plate leans from the heater before it was tilted, along the body and across it.

        Under a ceiling these are turns about the body's Y and X; on a wall, whose plate would stand
        upright and along the body, they are turns about world up and the body's X. Right-hand rule.

        Parameters
        ----------
        into : (3,) unit normal of the plate, into its surface

        Returns
        -------
        along, across : [rad]
        """
        x, y, z = self.rest
        if abs(float(self.away[2])) > 0.5:
            return _turn(y, z, into), _turn(x, z, into)
        back = -y if float(y @ self.away) > 0.0 else y
        return _turn(z, back, into), _turn(x, back, into)


def pose(
    heater: HeaterType,
    spacing: float,
    origin: Floats,
    away: Floats,
    heading: float,
    up: Floats,
    tilt: float,
) -> Pose:
    """Turn a heater about the centre of its emitting face.

    Parameters
    ----------
    heater : its type
    spacing : between its two pivots [m]
    origin : (3,) centre of the emitting face at travel 0 [m]
    away : (3,) unit vector along which it moves
    heading : direction of its X in plan [rad]
    up : (3,) direction of its Z before it is tilted
    tilt : about its X [rad]
    """
    frame = Frame(origin, heading_axes(heading, tilt, up))
    lift = heater.height + heater.pivot_height
    pivots = frame.to_world([(-spacing / 2, 0.0, lift), (spacing / 2, 0.0, lift)])
    return Pose(heater, frame, heading_axes(heading, 0.0, up), away, pivots)


def _turn(axis: Floats, rest: Floats, into: Floats) -> float:
    """How far `into` is turned about an axis from `rest`, which is square to it [rad]."""
    return atan2(float(into @ np.cross(axis, rest)), float(into @ rest))
