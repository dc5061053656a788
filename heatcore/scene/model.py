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
    BracketTypeName,
    CarrierName,
    Count,
    FilePath,
    HeaterTypeName,
    LandmarkName,
    Name,
    NonNegativeLength,
    Outline,
    Pitch,
    PlaceName,
    PlanPoint,
    PositiveLength,
    RoofName,
    Share,
    Size,
    SpacePoint,
    Speed,
    SwingAngle,
    Temperature,
    WallName,
)
from heatcore.scene.types import BracketType, HeaterType, MountKind
from heatcore.units import UnitSystem

RoofForm = Literal["flat", "single_slope", "gable", "hip", "valley", "slatted"]
HipEnds = Literal["both", "first", "last"]
DoorKind = Literal["hinged", "pair", "sliding", "folding"]
Hand = Literal["left", "right"]
Swing = Literal["in", "out"]
FittingKind = Literal["fan", "light", "speaker", "sprinkler", "television", "fireplace"]
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


@dataclass(frozen=True, kw_only=True)
class Climate:
    """The design evening.

    Attributes
    ----------
    air_temperature : air temperature
    wind : wind speed at 1.1 m above the floor, where people sit
    humidity : relative humidity, 0 to 1
    """

    air_temperature: Temperature = 10.0
    wind: Speed = 1.0
    humidity: Share = 0.5


@dataclass(frozen=True, kw_only=True)
class Site:
    """The place as a whole.

    Attributes
    ----------
    name : what the sheets call the place
    units : the units that the sheets and the window show
    tolerance : how far any dimension of the drawings may be off
    north : where north lies on the plan, from world X counter-clockwise
    open_share : open share of the perimeter; left out, it is taken from the walls
    climate : the design evening
    assumptions : what was assumed; the sheets repeat it
    unknowns : what the drawings do not say; the sheets repeat it
    """

    name: Name
    units: UnitSystem = UnitSystem.METRIC
    tolerance: NonNegativeLength = 0.0127
    north: Angle = 1.5707963267948966
    open_share: Share | None = None
    climate: Climate = Climate()
    assumptions: tuple[str, ...] = ()
    unknowns: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Floor:
    """The patio's floor, its upper face at z = 0.

    Attributes
    ----------
    outline : corners of a simple polygon, either way round
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    thickness : of the slab or deck
    """

    outline: Outline
    material: str = "concrete"
    combustible: bool | None = None
    thickness: PositiveLength = 0.1


@dataclass(frozen=True, kw_only=True)
class Roof:
    """One shelter over the floor, or over part of it.

    The heights may be given as any of `beam_underside`, `plate`, `ridge` and `pitch`; the missing
    ones are derived (see `heights`). `plate` is where the ceiling's underside meets the outline;
    `ridge` is its highest underside. A valley roof is lowest along its valley: there `plate` is the
    height of the valley line and `ridge` that of the outer edges.

    Attributes
    ----------
    name : unique name
    form : flat, single_slope, gable, hip, valley or slatted
    outline : the support line in plan; left out, the floor's outline
    overhang : how far the roof goes on beyond its outline, down the same slope
    ridge_direction : direction of the ridge (gable, hip) or the valley
    falls_toward : direction in which a single slope, or a slatted roof, falls
    hip_ends : which ends of a hip roof are hipped; the other ends in a gable
    beam_underside : underside of the beam that carries the roof at the outline
    beam_depth : depth of that beam; the plate lies on its top
    plate : ceiling underside at the outline
    ridge : highest ceiling underside
    pitch : slope of the planes
    thickness : of the roof square to its planes
    slat_width : width of one slat (slatted)
    slat_gap : clear gap between slats (slatted)
    slat_direction : direction in which the slats run (slatted)
    material : what the ceiling looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    form: RoofForm
    outline: Outline | None = None
    overhang: NonNegativeLength = 0.0
    ridge_direction: Angle = 0.0
    falls_toward: Angle = 0.0
    hip_ends: HipEnds = "both"
    beam_underside: PositiveLength | None = None
    beam_depth: PositiveLength = 0.235
    plate: PositiveLength | None = None
    ridge: PositiveLength | None = None
    pitch: Pitch | None = None
    thickness: PositiveLength = 0.15
    slat_width: PositiveLength = 0.05
    slat_gap: PositiveLength = 0.1
    slat_direction: Angle = 0.0
    material: str = "timber boards"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Rafters:
    """Exposed timbers under a roof, at a spacing: rafters run down the slope, purlins across it.

    Attributes
    ----------
    name : unique name
    roof : the roof that they carry; their upper face lies on its underside
    run : down_slope (rafters) or across_slope (purlins)
    spacing : centre to centre, in plan for rafters, along the slope for purlins
    first : distance of the first one's centre from the end of the roof, or from the eaves
    width : of one timber
    depth : of one timber, square to the slope
    material : what they look like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    roof: RoofName
    run: Literal["down_slope", "across_slope"] = "down_slope"
    spacing: PositiveLength = 0.6
    first: NonNegativeLength = 0.3
    width: PositiveLength = 0.045
    depth: PositiveLength = 0.145
    material: str = "timber"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Post:
    """An upright post on the floor.

    Attributes
    ----------
    name : unique name
    at : its centre in plan
    width, depth : its section, along and across `turn`
    turn : direction of its width
    top : height of its top; left out, it goes up to what is above it
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    at: PlanPoint
    width: PositiveLength = 0.14
    depth: PositiveLength = 0.14
    turn: Angle = 0.0
    top: PositiveLength | None = None
    material: str = "timber"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Beam:
    """A level beam.

    Attributes
    ----------
    name : unique name
    from_, to : its ends in plan, on its centre line
    underside : height of its underside
    width, depth : its section
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    from_: PlanPoint
    to: PlanPoint
    underside: PositiveLength
    width: PositiveLength = 0.09
    depth: PositiveLength = 0.235
    material: str = "timber"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Wall:
    """A wall, or a half wall, whose line in plan is the face toward the patio.

    Its thickness lies on the side away from the floor; with floor on both sides or on neither, on
    the right of the line from `from_` to `to`.

    Attributes
    ----------
    name : unique name
    from_, to : ends of its patio face in plan
    height : of its top; left out, it goes up to the roof above, following the slope
    base : height of its foot
    thickness : of the wall
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    from_: PlanPoint
    to: PlanPoint
    height: PositiveLength | None = None
    base: NonNegativeLength = 0.0
    thickness: PositiveLength = 0.15
    material: str = "stucco"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Door:
    """A door in a wall.

    Attributes
    ----------
    name : unique name
    wall : the wall it stands in
    at : distance along the wall, from its `from_` end to the opening's nearer edge
    width, height : of the opening; a pair's leaves are half as wide each
    kind : hinged, pair, sliding or folding
    hand : where the hinges are, seen from the patio: left or right; a sliding or folding door goes
        to that side
    swing : out swings onto the patio, in swings away from it; a folding door folds to that side
    swing_angle : how far a leaf turns from closed
    leaf_thickness : of a leaf
    threshold : height of a leaf's lower edge
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    wall: WallName
    at: NonNegativeLength
    width: PositiveLength = 0.915
    height: PositiveLength = 2.032
    kind: DoorKind = "hinged"
    hand: Hand = "left"
    swing: Swing = "in"
    swing_angle: SwingAngle = 1.5707963267948966
    leaf_thickness: PositiveLength = 0.045
    threshold: NonNegativeLength = 0.0
    material: str = "timber"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Window:
    """A fixed window in a wall.

    Attributes
    ----------
    name : unique name
    wall : the wall it stands in
    at : distance along the wall, from its `from_` end to the opening's nearer edge
    width, height : of the opening
    sill : height of its lower edge
    material : what the pane looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    wall: WallName
    at: NonNegativeLength
    width: PositiveLength = 1.2
    height: PositiveLength = 1.2
    sill: NonNegativeLength = 0.9
    material: str = "glass"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Screen:
    """A drop screen or curtain that comes down from a cassette; it counts through its whole drop.

    Attributes
    ----------
    name : unique name
    from_, to : its ends in plan
    top : height of the cassette's top
    bottom : height of its lower edge when it is down
    down : how far it is let down in the pictures, 0 to 1
    thickness : of the cassette and its track, square to the line
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    from_: PlanPoint
    to: PlanPoint
    top: PositiveLength
    bottom: NonNegativeLength = 0.0
    down: Share = 0.0
    thickness: PositiveLength = 0.12
    material: str = "screen fabric"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Fitting:
    """Something fixed under the roof or on a wall.

    Attributes
    ----------
    name : unique name
    kind : fan, light, speaker, sprinkler, television or fireplace
    at : its centre in plan
    height : of its lowest part (a fan: of its blades' underside)
    size : width, depth and height; left out, the usual size of its kind
    turn : direction of its width
    hung : True where it hangs from the roof above, by a rod where there is room for one
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    """

    name: Name
    kind: FittingKind
    at: PlanPoint
    height: NonNegativeLength
    size: Size | None = None
    turn: Angle = 0.0
    hung: bool = True
    material: str = "painted steel"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Furniture:
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
    size : width, depth and height; left out, the usual size of its kind
    chairs : how many seats stand at a table or bar
    occupied : whether people sit there in the pictures
    mesh : a mesh file in the scene's folder, used instead of the simple shape
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
    """

    name: Name
    at: PlanPoint
    facing: Angle = 0.0
    posture: Posture = "upright"
    height: PositiveLength = 0.45
    occupied: bool = True


@dataclass(frozen=True, kw_only=True)
class Person:
    """Somebody who stands.

    Attributes
    ----------
    name : unique name
    at : where, in plan
    facing : the direction in which the person looks
    stature : body height
    """

    name: Name
    at: PlanPoint
    facing: Angle = 0.0
    stature: PositiveLength = 1.72


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
class Heater:
    """One heater where the designer wants it.

    Attributes
    ----------
    name : unique name
    type : a heater type, shipped or from a types file
    at : centre of the emitting face in plan; for a wall mount the nearest place on the wall counts
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
    circuit : the circuit that feeds it
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
    output: Share = 1.0


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
    post, beam, wall, door, window, screen, fitting : what stands and hangs
    furniture, seat, person : who is to be warm, and on what
    heater : the heaters
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
    furniture: tuple[Furniture, ...] = ()
    seat: tuple[Seat, ...] = ()
    person: tuple[Person, ...] = ()
    heater: tuple[Heater, ...] = ()
    option: tuple[Option, ...] = ()
    types: tuple[FilePath, ...] = ()

    heater_types: Mapping[str, HeaterType] = field(default_factory=dict, metadata={"file": False})
    bracket_types: Mapping[str, BracketType] = field(default_factory=dict, metadata={"file": False})
    folder: Path | None = field(default=None, metadata={"file": False})
