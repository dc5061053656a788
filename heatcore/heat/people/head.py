"""What reaches heads, as plain values: the advisories are drawn from it."""

from __future__ import annotations

from dataclasses import dataclass

from heatcore.geometry.frames import Floats


@dataclass(frozen=True, eq=False)
class HeadHeat:
    """The hottest place for a head, and that for an eye, of people in one posture.

    The two places differ: a level gaze meets an overhead heater best from some way off.

    Attributes
    ----------
    posture : 'standing' or 'seated'
    point : (3,) where a head is hottest, over the whole floor [m], read-only
    total_w_m2 : irradiance of a level surface there, from all heaters
    heater : name of the heater that brings most of it
    utci : of a person whose head is there, the worst way round [C]
    eye_point : (3,) where most infrared enters an eye [m], read-only
    eye_w_m2 : irradiance between 0.78 and 3 um there of an eye that looks level, the worst way
        round, from all heaters
    eye_heater : name of the heater that brings most of that
    """

    posture: str
    point: Floats
    total_w_m2: float
    heater: str
    utci: float
    eye_point: Floats
    eye_w_m2: float
    eye_heater: str

    @property
    def level(self) -> float:
        """Height of the hottest head above the floor [m]."""
        return float(self.point[2])
