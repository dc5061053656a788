"""What reaches heads, as plain values: the advisories are drawn from it."""

from __future__ import annotations

from dataclasses import dataclass

from heatcore.geometry.frames import Floats


@dataclass(frozen=True, eq=False)
class HeadHeat:
    """The hottest place for a head at one height, over the whole floor.

    Attributes
    ----------
    posture : 'standing' or 'seated'
    level : height of the head above the floor [m]
    point : (3,) where [m]
    total_w_m2 : irradiance of a level surface there
    eye_w_m2 : irradiance between 0.78 and 3 um of an eye that looks level, the worst way round
    heater : name of the heater that brings most of it; '' where there is none
    utci : of a person whose head is there [C]
    """

    posture: str
    level: float
    point: Floats
    total_w_m2: float
    eye_w_m2: float
    heater: str
    utci: float
