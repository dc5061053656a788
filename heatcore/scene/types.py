"""Heater and bracket types: what a data sheet says.

The families that ship (``data/heaters.toml``, ``data/brackets.toml``; see `library`) are generic,
with typical round values. A real job loads the maker's data sheet as a file of the same kind; the
maker's instructions and the listing govern every clearance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from heatcore.scene.kinds import (
    Angle,
    Count,
    HingeAngle,
    Name,
    NonNegativeLength,
    NonNegativeNumber,
    PositiveLength,
    PositiveNumber,
    Power,
    Share,
    Temperature,
    Voltage,
)

MountKind = Literal["ceiling", "wall", "beam", "stem"]
KeepOutFrom = Literal[
    "sprinkler",
    "light",
    "speaker",
    "fan",
    "television",
    "cable",
    "furniture",
    "person",
    "reach",
    "headroom",
]
KeepOutWay = Literal["around", "beside", "under"]
Fuel = Literal["electric", "gas"]
ArmStyle = Literal["square", "plumb"]


@dataclass(frozen=True, kw_only=True)
class Distances:
    """Required distances from the body, in the heater's own frame.

    Attributes
    ----------
    above : over the body's plan, up from its top
    sides : outward over the body's length
    ends : outward over the body's width
    below : under the body's plan, down from its lowest face
    """

    above: NonNegativeLength
    sides: NonNegativeLength
    ends: NonNegativeLength
    below: NonNegativeLength

    @property
    def least(self) -> float:
        """The smallest of the four [m]: the plain shortest distance that is always required."""
        return min(self.above, self.sides, self.ends, self.below)


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """How the radiant intensity falls off from the axis.

    A cosine power pattern sends ``I = I0 cos(x)**along * cos(y)**across``, where x and y are the
    angles of the direction's projections on the heater's XZ and YZ planes from its axis. A uniform
    radiance is the Lambertian aperture of a panel (``I = I0 cos(theta)``). A table gives the
    intensity over the same two angles x and y, linear between its entries and nothing beyond them;
    angles that begin at 0 go for both sides.

    Attributes
    ----------
    kind : cosine, uniform or table
    along, across : exponents of a cosine power along the body and across it
    angles_along, angles_across : of a table, ascending; 0 to 90 degrees, or -90 to 90
    intensities : of a table, in any unit: a row for each angle along, in it an entry for each
        angle across
    """

    kind: Literal["cosine", "uniform", "table"] = "cosine"
    along: PositiveNumber = 1.0
    across: PositiveNumber = 1.0
    angles_along: tuple[Angle, ...] = ()
    angles_across: tuple[Angle, ...] = ()
    intensities: tuple[tuple[NonNegativeNumber, ...], ...] = ()


@dataclass(frozen=True, kw_only=True)
class HeaterType:
    """One heater family.

    Attributes
    ----------
    name : how scenes call it
    label : how people call it
    note : where the values come from
    fuel : electric or gas
    input_power : rated input
    voltage : rated voltage; of a gas type, of its ignition and controls
    radiant_fraction : share of the input that leaves the aperture as radiation
    element_temperature : of the glowing part
    length, width, height : of the body; the emitting face is its lowest face
    aperture_length, aperture_width : of the emitting rectangle
    rods : how many elements are seen glowing
    pattern : how the radiation is spread
    combustible : required distances to combustible material
    noncombustible : required distances to non-combustible material
    mounts : how it may be mounted
    spacing : usual distance between its two brackets
    least_spacing, most_spacing : range of that distance
    pivot_height : height of the bracket's pivots above the body's top
    tilt_from, tilt_to : range of the tilt
    least_height, most_height : range of the emitting face's height above the floor
    mass : in kilograms
    outdoor : the protection against weather: covered (under a roof) or exposed (may get wet)
    vented : of a gas type, whether a flue takes its fumes away
    cautions : what must be said wherever this type is used
    """

    name: Name
    label: str
    note: str
    fuel: Fuel = "electric"
    input_power: Power
    voltage: Voltage
    radiant_fraction: Share
    element_temperature: Temperature
    length: PositiveLength
    width: PositiveLength
    height: PositiveLength
    aperture_length: PositiveLength
    aperture_width: PositiveLength
    rods: Count = 1
    pattern: Pattern = Pattern()
    combustible: Distances
    noncombustible: Distances
    mounts: tuple[MountKind, ...] = ("ceiling",)
    spacing: PositiveLength
    least_spacing: PositiveLength
    most_spacing: PositiveLength
    pivot_height: NonNegativeLength = 0.03
    tilt_from: Angle = 0.0
    tilt_to: Angle = 0.0
    least_height: PositiveLength
    most_height: PositiveLength
    mass: PositiveNumber
    outdoor: Literal["covered", "exposed"] = "covered"
    vented: bool = False
    cautions: tuple[str, ...] = ()

    def input_at(self, voltage: float | None) -> float:
        """Input on a supply of another voltage than the rated one [W].

        An electric heater is a resistance: its power goes with the square of the voltage (Ohm and
        Joule). A gas heater's does not.

        Parameters
        ----------
        voltage : of the supply [V]; None for the rated one
        """
        if voltage is None or self.fuel != "electric":
            return self.input_power
        return self.input_power * (voltage / self.voltage) ** 2


@dataclass(frozen=True, kw_only=True)
class BracketType:
    """One bracket family: a plate on the surface, an arm, and a pivot that carries the heater.

    An arm's length counts from the surface to the pivot: `arm` + the extensions screwed on + what
    the fine adjustment takes up. A square arm stands square to its plate; a plumb arm hangs
    vertically from a hinged plate. A wall mount's arm stands square to the wall.

    Attributes
    ----------
    name : how scenes call it
    label : how people call it
    note : where the values come from
    mount : ceiling, wall, beam or stem
    style : square or plumb
    arm : length of the arm without extensions, fine adjustment at its shortest
    extensions : stocked extensions, each usable on either arm
    stack : how many extensions may be screwed together on one arm
    fine : travel of the fine adjustment, on top of arm and extensions
    plate_length, plate_width : of the plate, along and across the heater's heading
    hinge_along : how far the plate may lean from the heater's plane along the body (about its Y)
    hinge_across : how far it may lean across the body (about its X)
    tilt_from, tilt_to : range of tilt that the pivots allow the heater
    unequal : whether the two arms of a pair may differ in length
    structure_only : whether its screws must land on a rafter, purlin, beam or masonry
    load : rated mass for the pair, in kilograms; left out, not stated
    """

    name: Name
    label: str
    note: str
    mount: MountKind
    style: ArmStyle = "square"
    arm: PositiveLength
    extensions: tuple[PositiveLength, ...] = ()
    stack: Count = 1
    fine: NonNegativeLength = 0.0
    plate_length: PositiveLength = 0.06
    plate_width: PositiveLength = 0.06
    hinge_along: HingeAngle = 0.0
    hinge_across: HingeAngle = 0.0
    tilt_from: Angle = 0.0
    tilt_to: Angle = 0.0
    unequal: bool = True
    structure_only: bool = False
    load: PositiveNumber | None = None


@dataclass(frozen=True, kw_only=True)
class KeepOut:
    """A distance that a heater keeps from a kind of thing, whether or not that burns.

    It stands beside the type's own clearances; the larger of the two governs.

    Attributes
    ----------
    name : how findings call it
    from_ : sprinkler, light, speaker, fan, television, cable, furniture (what stands on the floor,
        with what is put on it), person (at a place), reach (a raised hand of whoever stands there)
        or headroom (of whoever walks there)
    way : how it is measured from the heater's body: around (the plain shortest distance), beside
        (in plan) or under (straight down, over the body's plan)
    distance : that must stay free; of reach and headroom, the height above what is stood on
    source : where the value comes from, or 'common practice, no source'
    """

    name: Name
    from_: KeepOutFrom
    way: KeepOutWay = "around"
    distance: PositiveLength
    source: str
