"""What the heat hands on: each heater's beam, where it lands, and who is in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from heatcore.geometry.parts import Mesh, Place
from heatcore.heat.planes.contours import Rings


class Lit(StrEnum):
    """Where a place lies to a beam.

    Inside the beam angle (half of the peak intensity) it is in the beam; from there to the field
    angle (a tenth) at its edge; beyond, or behind something, outside.
    """

    BEAM = "in the beam"
    EDGE = "at its edge"
    OUTSIDE = "outside"


@dataclass(frozen=True, eq=False)
class Landing:
    """Where one heater's beam lands on a level plane.

    Attributes
    ----------
    heater : its name
    level : height of the plane above the floor [m]
    beam : areas inside the beam angle, in plan; what is in the way is cut out
    field : areas inside the field angle, in plan
    """

    heater: str
    level: float
    beam: tuple[Rings, ...]
    field: tuple[Rings, ...]


@dataclass(frozen=True, eq=False)
class Beam:
    """One heater's beam.

    Attributes
    ----------
    heater : its name
    solid : the beam as a closed solid, from the aperture to where it lands, or to its reach;
        empty where it has none
    angles : beam angle along and across the body, full width at half of the peak [rad]
    field_angles : the same at a tenth [rad]
    landings : on the floor and at seat height
    reach : distance on the axis at which the irradiance has fallen to the site's target [m]
    """

    heater: str
    solid: Mesh
    angles: tuple[float, float]
    field_angles: tuple[float, float]
    landings: tuple[Landing, ...]
    reach: float


@dataclass(frozen=True, eq=False)
class PlaceLight:
    """How one place lies to every beam.

    Attributes
    ----------
    place : the seat or person
    by_heater : for each heater's name, where the place lies to its beam
    why : for each heater's name, in plain words where it is not in the beam: 'outside the beam by
        12 degrees', 'beyond its reach', 'shaded by ceiling fan'
    best : the best of them; outside where there is no heater
    """

    place: Place
    by_heater: Mapping[str, Lit]
    why: Mapping[str, str]
    best: Lit


@dataclass(frozen=True)
class FloorShare:
    """How much of the floor the beams reach, as shares of its whole area.

    Attributes
    ----------
    beam : inside at least one beam
    doubled : inside two beams or more
    edge : in no beam, but at the edge of one
    missed : the rest
    area : of the floor [m2]
    """

    beam: float
    doubled: float
    edge: float
    missed: float
    area: float
