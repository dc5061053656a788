"""The kinds of value a scene file holds, as annotations on the model's fields.

``Annotated[float, Quantity("length", above=0.0)]`` says to Python 'a float', to the reader 'a
length as people write it, more than nothing' and to the JSON Schema the same. The reader, the
writer and the schema all go by these annotations; see `shapes`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Annotated


@dataclass(frozen=True)
class Quantity:
    """A number with a unit, written as people write it.

    Attributes
    ----------
    dimension : length, angle, pitch, power, temperature, temperature step, speed, share, voltage,
        irradiance or duration
    above : it must be more than this [SI]
    at_least, at_most : it must lie within these [SI]
    """

    dimension: str
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None


@dataclass(frozen=True)
class Number:
    """A plain number without a unit.

    Attributes
    ----------
    above : it must be more than this
    at_least, at_most : it must lie within these
    whole : no decimals
    """

    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    whole: bool = False


@dataclass(frozen=True)
class Word:
    """Text with a meaning.

    'name' is one printable line, 'path' a file inside the folder, 'dimension' a key of the same
    table that holds a length or an angle.
    """

    meaning: str


@dataclass(frozen=True)
class Reference:
    """The name of another thing.

    Attributes
    ----------
    to : the kinds of thing that may be named, by their keys in the file
    """

    to: tuple[str, ...]


@dataclass(frozen=True)
class Polygon:
    """A simple polygon: at least three corners, no crossing edges, an area."""


FARTHEST = 10_000.0  # m from the origin; a site's own coordinates may begin far from its floor
LARGEST = 100.0  # m; nothing on a patio is larger, so more is a slip of the unit

Length = Annotated[float, Quantity("length", at_least=-FARTHEST, at_most=FARTHEST)]
Height = Annotated[float, Quantity("length", at_least=-100.0, at_most=100.0)]
NonNegativeLength = Annotated[float, Quantity("length", at_least=0.0, at_most=LARGEST)]
PositiveLength = Annotated[float, Quantity("length", above=0.0, at_most=LARGEST)]
SeatHeight = Annotated[float, Quantity("length", at_least=0.1, at_most=1.2)]
Stature = Annotated[float, Quantity("length", at_least=0.5, at_most=2.5)]
Angle = Annotated[float, Quantity("angle", at_least=-2 * pi, at_most=2 * pi)]
AngleTolerance = Annotated[float, Quantity("angle", at_least=0.0, at_most=pi / 18)]
SwingAngle = Annotated[float, Quantity("angle", above=0.0, at_most=pi)]
HingeAngle = Annotated[float, Quantity("angle", at_least=0.0, at_most=pi / 2)]
Pitch = Annotated[float, Quantity("pitch", at_least=0.0, at_most=1.3)]
Power = Annotated[float, Quantity("power", above=0.0, at_most=1e6)]
Temperature = Annotated[float, Quantity("temperature", at_least=-60.0, at_most=3000.0)]
TemperatureStep = Annotated[float, Quantity("temperature step", above=0.0, at_most=100.0)]
Irradiance = Annotated[float, Quantity("irradiance", above=0.0, at_most=1e5)]
Duration = Annotated[float, Quantity("duration", above=0.0, at_most=7 * 86400.0)]
Speed = Annotated[float, Quantity("speed", at_least=0.0, at_most=60.0)]
Share = Annotated[float, Quantity("share", at_least=0.0, at_most=1.0)]
Voltage = Annotated[float, Quantity("voltage", above=0.0, at_most=1000.0)]
NonNegativeNumber = Annotated[float, Number(at_least=0.0)]
PositiveNumber = Annotated[float, Number(above=0.0)]
Step = Annotated[int, Number(at_least=1, at_most=9)]
Count = Annotated[int, Number(at_least=0, at_most=100)]
Name = Annotated[str, Word("name")]
DimensionName = Annotated[str, Word("dimension")]
FilePath = Annotated[str, Word("path")]
RoofName = Annotated[str, Reference(("roof",))]
WallName = Annotated[str, Reference(("wall",))]
CarrierName = Annotated[str, Reference(("roof", "rafters", "beam", "wall", "solid"))]
LandmarkName = Annotated[str, Reference(("post", "beam", "wall", "furniture", "seat", "person"))]
FurnitureName = Annotated[str, Reference(("furniture",))]
PlaceName = Annotated[str, Reference(("seat", "person"))]
HeaterTypeName = Annotated[str, Reference(("heater_type",))]
BracketTypeName = Annotated[str, Reference(("bracket_type",))]
PlanPoint = tuple[Length, Length]
SpacePoint = tuple[Length, Length, Length]
Size = tuple[PositiveLength, PositiveLength, PositiveLength]
Outline = Annotated[tuple[PlanPoint, ...], Polygon()]
