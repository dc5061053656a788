"""What the designer describes: one frozen value for a site, however it was read.

Every class here is read from, written to and described in the JSON Schema by its own annotations
(see `kinds`): the scene file has no second definition. Lengths are metres, angles radians,
temperatures degrees Celsius, whatever the file or the window showed. A key that Python reserves
carries a trailing underscore here (`from_` is ``from`` in the file).

World: right-handed, Z up, floor at z = 0. Headings and turns are counted from world X,
counter-clockwise seen from above.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from heatcore.scene.kinds import (
    Angle,
    AngleTolerance,
    BracketTypeName,
    CarrierName,
    Count,
    Duration,
    FilePath,
    FurnitureName,
    HeaterTypeName,
    Irradiance,
    LandmarkName,
    Name,
    NonNegativeLength,
    NonNegativeNumber,
    Outline,
    PlaceName,
    PlanPoint,
    PositiveLength,
    PositiveNumber,
    SeatHeight,
    Share,
    Size,
    SpacePoint,
    Speed,
    Stature,
    Step,
    Temperature,
    TemperatureStep,
    Voltage,
)
from heatcore.scene.space import (
    Beam,
    Cable,
    Door,
    Drawn,
    Fitting,
    Floor,
    Platform,
    Post,
    Rafters,
    Roof,
    Screen,
    Solid,
    Wall,
    Window,
)
from heatcore.scene.types import BracketType, HeaterType, KeepOut, MountKind
from heatcore.units import UnitSystem

FurnitureKind = Literal[
    "chair",
    "armchair",
    "sofa",
    "lounger",
    "bench",
    "stool",
    "table",
    "round_table",
    "bar",
    "planter",
]
Posture = Literal["upright", "lounging", "perched"]
Attitude = Literal["level", "slope"]
Practice = Literal["north_american", "iec"]
Phases = Literal["single", "three"]
Legs = Literal["L1", "L2", "L3", "L1-L2", "L2-L3", "L3-L1", "L1-L2-L3"]
Confirmed = Literal["fans", "fittings", "sides", "structure"]


@dataclass(frozen=True, kw_only=True)
class Climate:
    """The design evening.

    Attributes
    ----------
    air_temperature : air temperature
    wind : wind speed at 1.1 m above the floor, where people sit
    humidity : relative humidity, 0 to 1
    radiant_temperature : mean radiant temperature without the heaters; left out, that of the air
    """

    air_temperature: Temperature = 10.0
    wind: Speed = 1.0
    humidity: Share = 0.5
    radiant_temperature: Temperature | None = None


@dataclass(frozen=True, kw_only=True)
class Target:
    """What counts as warm.

    A place is warm where its UTCI reaches `utci`, or where the heaters raise its UTCI by `gain`,
    whichever comes first.

    Attributes
    ----------
    utci : Universal Thermal Climate Index to be reached; 9 C is where its own scale puts the lower
        end of no thermal stress
    gain : rise of the UTCI by the heaters
    irradiance : from which a floor counts as warmed, and which bounds a heater's reach (common
        practice, no source)
    head_irradiance : from above, on the head, from which an advisory is given (common practice, no
        confirmed source)
    """

    utci: Temperature = 9.0
    gain: TemperatureStep = 3.0
    irradiance: Irradiance = 100.0
    head_irradiance: Irradiance = 240.0


@dataclass(frozen=True, kw_only=True)
class Supply:
    """What feeds the heaters, and what it costs.

    Attributes
    ----------
    voltage : of the supply, between the two conductors that feed a heater; left out, each heater
        type's own. On another voltage than its own an electric heater gives another power
    phases : single or three: three spreads the circuits over three legs
    practice : how circuits are rated: north_american (125 % for a continuous load) or iec
    electricity_price, gas_price : for a kilowatt-hour; left out, energy is told and no cost
    currency : written before a price
    evening : how long the heaters work of an evening
    """

    voltage: Voltage | None = None
    phases: Phases = "single"
    practice: Practice = "north_american"
    electricity_price: NonNegativeNumber | None = None
    gas_price: NonNegativeNumber | None = None
    currency: str = ""
    evening: Duration = 14400.0


@dataclass(frozen=True, kw_only=True)
class Site:
    """The place as a whole.

    Attributes
    ----------
    name : what the sheets call the place
    units : the units that the sheets and the window show
    tolerance : how far any length of the drawings may be off, unless its thing says otherwise
    angle_tolerance : the same of angles and pitches
    north : where north lies on the plan, from world X counter-clockwise
    open_share : open share of the perimeter; left out, it is taken from the walls
    climate : the design evening
    target : what counts as warm
    supply : what feeds the heaters
    assumptions : what was assumed; the sheets repeat it
    unknowns : what the drawings do not say, beside what the tool finds itself; the sheets repeat it
    confirmed : what the client confirmed to be as drawn: fans, fittings (lights, speakers,
        sprinklers), sides (they stay as open as they are), structure (what lies behind a ceiling
        or a wall holds the brackets)
    """

    name: Name
    units: UnitSystem = UnitSystem.METRIC
    tolerance: NonNegativeLength = 0.0127
    angle_tolerance: AngleTolerance = 0.008726646259971648
    north: Angle = 1.5707963267948966
    open_share: Share | None = None
    climate: Climate = Climate()
    target: Target = Target()
    supply: Supply = Supply()
    assumptions: tuple[str, ...] = ()
    unknowns: tuple[str, ...] = ()
    confirmed: tuple[Confirmed, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Furniture(Drawn):
    """A piece of furniture, from a simple shape or a mesh file.

    A chair, armchair, lounger or stool brings one seat of its own name; a sofa or bench as many as
    its width allows, named 'NAME 1', 'NAME 2' and so on. A table's or bar's `chairs` stand around
    it (a bar's stand along its front) and are named 'NAME seat 1' and so on.

    Attributes
    ----------
    name : unique name
    kind : chair, armchair, sofa, lounger, bench, stool, table, round_table, bar or planter
    at : its centre in plan
    facing : the direction it looks to (a table: of its length)
    size : width across where it looks (a table: its length), depth and height; left out, the usual
        size of its kind
    chairs : how many seats stand at a table or bar
    occupied : whether people sit there in the pictures
    mesh : a mesh file in the scene's folder, in metres, its front toward -Y, used instead of the
        simple shape
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    kind: FurnitureKind
    at: PlanPoint
    facing: Angle = 0.0
    size: Size | None = None
    chairs: Count = 0
    occupied: bool = True
    mesh: FilePath | None = None
    material: str = "timber"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Seat:
    """A place to sit beside those that the furniture brings.

    Attributes
    ----------
    name : unique name
    at : its centre in plan
    facing : the direction in which the person looks
    posture : upright, lounging or perched (on a bar stool)
    height : of the seat
    occupied : whether somebody sits there in the pictures
    can_move_away : false for somebody who cannot leave by themselves, such as a small child; the
        cautions name the place
    """

    name: Name
    at: PlanPoint
    facing: Angle = 0.0
    posture: Posture = "upright"
    height: SeatHeight = 0.45
    occupied: bool = True
    can_move_away: bool = True


@dataclass(frozen=True, kw_only=True)
class Person:
    """Somebody who stands.

    Attributes
    ----------
    name : unique name
    at : where, in plan
    facing : the direction in which the person looks
    stature : body height
    can_move_away : as for a seat
    """

    name: Name
    at: PlanPoint
    facing: Angle = 0.0
    stature: Stature = 1.72
    can_move_away: bool = True


@dataclass(frozen=True, kw_only=True)
class Zone:
    """Part of the place that is judged by itself, such as a table or a lounge.

    Attributes
    ----------
    name : unique name
    outline : corners of a simple polygon, either way round
    around : a piece of furniture that it lies about, instead of an outline
    margin : how far it goes beyond that furniture
    level : height of the plane on which it is judged, above the floor; left out, the floor, or just
        over the furniture that it lies about
    """

    name: Name
    outline: Outline | None = None
    around: FurnitureName | None = None
    margin: NonNegativeLength = 0.6
    level: NonNegativeLength | None = None


@dataclass(frozen=True, kw_only=True)
class Offset:
    """A place given from a named thing, as a tape would find it.

    Attributes
    ----------
    from_ : a post, seat, person or piece of furniture (from its centre, along world X and Y), or a
        beam or wall (from its `from_` end: along it, and out of it; out of a wall is toward the
        patio, out of a beam to the left)
    by : the two distances
    """

    from_: LandmarkName
    by: PlanPoint


@dataclass(frozen=True, kw_only=True)
class Heater(Drawn):
    """One heater where the designer wants it.

    Attributes
    ----------
    name : unique name
    type : a heater type, shipped or from a types file
    at : centre of the emitting face in plan; for a wall mount the nearest place on the wall counts,
        for a beam mount it is the middle between the two clamps, which a tilt does not move
    offset : the same, from a named thing; give one of the two
    heading : direction of the body's length; left out, along the wall or the beam, or along world X
    mount : ceiling, wall, beam or stem
    mounted_on : the roof, rafters, beam or wall that carries it; left out, the one it meets
    bracket : a bracket type; left out, the shortest stocked one that keeps the clearances
    spacing : distance between the two brackets; left out, the type's usual
    height : of the emitting face above the floor; needed for a wall mount; for the others it is
        where the heater must hang (left out, as high as the clearances allow)
    attitude : level, or slope to lie parallel to the ceiling
    tilt : turn about the body's own length; positive leans the beam to the left of the heading
    aim_at : a seat, person or point that the beam's axis should meet, by tilting; not with `tilt`
    circuit : the circuit that feeds it; a [[circuit]] of that name says more about it
    step : the switching step with which it comes on, counted from 1; left out, the first
    output : share of the rated input at which it runs
    """

    name: Name
    type: HeaterTypeName
    at: PlanPoint | None = None
    offset: Offset | None = None
    heading: Angle | None = None
    mount: MountKind = "ceiling"
    mounted_on: CarrierName | None = None
    bracket: BracketTypeName | None = None
    spacing: PositiveLength | None = None
    height: PositiveLength | None = None
    attitude: Attitude = "level"
    tilt: Angle | None = None
    aim_at: PlaceName | SpacePoint | None = None
    circuit: Name | None = None
    step: Step = 1
    output: Share = 1.0


@dataclass(frozen=True, kw_only=True)
class Circuit:
    """A circuit that is there, or planned.

    Attributes
    ----------
    name : unique name; heaters name it as their `circuit`
    rating : of its protection, in amperes; left out, the smallest standard one that will do
    legs : of a three-phase supply, the conductors that feed it (one leg and neutral, two legs, or
        all three); left out, the tool spreads the circuits evenly
    """

    name: Name
    rating: PositiveNumber | None = None
    legs: Legs | None = None


@dataclass(frozen=True, kw_only=True)
class Option:
    """A named alternative: what it changes, as it stands in the file.

    Attributes
    ----------
    name : unique name
    note : one line that says what it is
    remove : names of things that this option does without
    set : what it overrides: ``set.site.tolerance = "1 in"``, ``set.door."D1".swing = "out"``
    add : further things: ``[[option.add.heater]]``
    """

    name: Name
    note: str = ""
    remove: tuple[Name, ...] = ()
    set: Mapping[str, Any] = field(default_factory=dict)
    add: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """Everything the designer describes.

    Attributes
    ----------
    site : the place as a whole
    floor : the patio's floor
    roof : shelters
    rafters : exposed timbers under the roofs
    post, beam, wall, door, window, screen, fitting, cable : what stands and hangs
    platform : what is raised and stood on
    solid : parts of the place from mesh files
    furniture, seat, person : who is to be warm, and on what
    zone : parts of the place that are judged by themselves
    heater : the heaters
    circuit : the circuits that feed them
    option : named alternatives
    types : further files of heater and bracket types, in the scene's folder
    """

    site: Site
    floor: Floor
    roof: tuple[Roof, ...] = ()
    rafters: tuple[Rafters, ...] = ()
    post: tuple[Post, ...] = ()
    beam: tuple[Beam, ...] = ()
    wall: tuple[Wall, ...] = ()
    door: tuple[Door, ...] = ()
    window: tuple[Window, ...] = ()
    screen: tuple[Screen, ...] = ()
    fitting: tuple[Fitting, ...] = ()
    cable: tuple[Cable, ...] = ()
    platform: tuple[Platform, ...] = ()
    solid: tuple[Solid, ...] = ()
    furniture: tuple[Furniture, ...] = ()
    seat: tuple[Seat, ...] = ()
    person: tuple[Person, ...] = ()
    zone: tuple[Zone, ...] = ()
    heater: tuple[Heater, ...] = ()
    circuit: tuple[Circuit, ...] = ()
    option: tuple[Option, ...] = ()
    types: tuple[FilePath, ...] = ()

    heater_types: Mapping[str, HeaterType] = field(default_factory=dict, metadata={"file": False})
    bracket_types: Mapping[str, BracketType] = field(default_factory=dict, metadata={"file": False})
    keep_outs: Mapping[str, KeepOut] = field(default_factory=dict, metadata={"file": False})
    folder: Path | None = field(default=None, metadata={"file": False})
