"""The space that is described: floor, roofs, timbers, walls, openings, screens and fittings.

Read, written and described by its annotations, like the rest of the `model`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from heatcore.scene.kinds import (
    Angle,
    DimensionName,
    Duration,
    FilePath,
    Height,
    Name,
    NonNegativeLength,
    Outline,
    Pitch,
    PlanPoint,
    PositiveLength,
    RoofName,
    Share,
    Size,
    SpacePoint,
    SwingAngle,
    WallName,
)

RoofForm = Literal["flat", "single_slope", "gable", "hip", "valley", "vault", "slatted"]
HipEnds = Literal["both", "first", "last"]
DoorKind = Literal["hinged", "pair", "sliding", "folding"]
Hand = Literal["left", "right"]
Swing = Literal["in", "out"]
FloorConstruction = Literal["slab", "pavers", "decking"]
WindowKind = Literal["fixed", "casement", "awning", "hopper", "sliding"]
ScreenKind = Literal["drop", "curtain"]
SolidRole = Literal["ceiling", "wall", "beam", "obstacle"]
FittingKind = Literal["fan", "light", "speaker", "sprinkler", "television", "fireplace"]


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """Something whose dimensions were read off a drawing.

    Attributes
    ----------
    tolerance : how far any of its lengths may be off; left out, the site's
    measured : its keys that were measured on site, and count as exact
    """

    tolerance: NonNegativeLength | None = None
    measured: tuple[DimensionName, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Floor(Drawn):
    """The patio's floor, its upper face at z = 0.

    Attributes
    ----------
    outline : corners of a simple polygon, either way round
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    thickness : of the slab or deck
    construction : slab, pavers (on sand) or decking; left out, the material decides
    warmed_for : time after which its warm-up under the heaters is told
    """

    outline: Outline
    material: str | None = None
    combustible: bool | None = None
    thickness: PositiveLength = 0.1
    construction: FloorConstruction | None = None
    warmed_for: Duration = 1800.0


@dataclass(frozen=True, kw_only=True)
class Roof(Drawn):
    """One shelter over the floor, or over part of it.

    The heights may be given as any of `beam_underside`, `plate`, `ridge` and `pitch`; the missing
    ones are derived (see `heights`). `plate` is where the ceiling's underside meets the outline;
    `ridge` is its highest underside. A valley roof is lowest along its valley: there `plate` is the
    height of the valley line and `ridge` that of the outer edges.

    Attributes
    ----------
    name : unique name
    form : flat, single_slope, gable, hip, valley, vault (a barrel between its two springing lines,
        which lie at `plate`, and its crown at `ridge`) or slatted
    outline : the support line in plan; left out, the floor's outline
    overhang : how far the roof goes on beyond its outline, down the same slope
    ridge_direction : direction of the ridge (gable, hip), the valley or the vault's crown
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
    combustible : left out, the material decides; one that is not stated counts as combustible
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
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Rafters(Drawn):
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
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    roof: RoofName
    run: Literal["down_slope", "across_slope"] = "down_slope"
    spacing: PositiveLength = 0.6
    first: NonNegativeLength = 0.3
    width: PositiveLength = 0.045
    depth: PositiveLength = 0.145
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Post(Drawn):
    """An upright post on the floor.

    Attributes
    ----------
    name : unique name
    at : its centre in plan
    width, depth : its section, along and across `turn`
    turn : direction of its width
    top : height of its top; left out, it goes up to what is above it
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    at: PlanPoint
    width: PositiveLength = 0.14
    depth: PositiveLength = 0.14
    turn: Angle = 0.0
    top: PositiveLength | None = None
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Beam(Drawn):
    """A level beam.

    Attributes
    ----------
    name : unique name
    from_, to : its ends in plan, on its centre line
    underside : height of its underside
    width, depth : its section
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    from_: PlanPoint
    to: PlanPoint
    underside: PositiveLength
    width: PositiveLength = 0.09
    depth: PositiveLength = 0.235
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Wall(Drawn):
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
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    from_: PlanPoint
    to: PlanPoint
    height: PositiveLength | None = None
    base: NonNegativeLength = 0.0
    thickness: PositiveLength = 0.15
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Door(Drawn):
    """A door in a wall.

    Attributes
    ----------
    name : unique name
    wall : the wall it stands in
    at : distance along the wall, from its `from_` end to the opening's nearer edge
    width, height : of the opening; a pair's leaves are half as wide each
    kind : hinged, pair, sliding or folding
    hand : where the hinges are, seen from the patio: left or right; a sliding or folding door goes
        to that side; left out, it counts both ways and is drawn as left
    swing : out swings onto the patio, in swings away from it; a folding door folds to that side;
        left out, it counts both ways and is drawn as in
    swing_angle : how far a leaf turns from closed; left out, nothing is known to stop it: a hinged
        leaf, or a pair's, counts through 180 degrees, a folding one through 90
    leaf_thickness : of a leaf
    threshold : height of a leaf's lower edge
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    wall: WallName
    at: NonNegativeLength
    width: PositiveLength = 0.915
    height: PositiveLength = 2.032
    kind: DoorKind = "hinged"
    hand: Hand | None = None
    swing: Swing | None = None
    swing_angle: SwingAngle | None = None
    leaf_thickness: PositiveLength = 0.045
    threshold: NonNegativeLength = 0.0
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Window(Drawn):
    """A window in a wall; one that opens, or may open, counts through its whole swing.

    Attributes
    ----------
    name : unique name
    wall : the wall it stands in
    at : distance along the wall, from its `from_` end to the opening's nearer edge
    width, height : of the opening
    sill : height of its lower edge
    kind : fixed, casement (hinged at a side), awning (hinged at the top), hopper (hinged at the
        bottom) or sliding; left out, it counts as a casement and an awning together and is drawn
        as fixed
    hand : of a casement, where the hinges are, seen from the patio: left or right; left out, it
        counts both ways
    swing : out opens onto the patio, in away from it
    opening_angle : how far its sash turns from closed; left out, it counts through 90 degrees
    sash_thickness : of the sash
    material : what the pane looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    wall: WallName
    at: NonNegativeLength
    width: PositiveLength = 1.2
    height: PositiveLength = 1.2
    sill: NonNegativeLength = 0.9
    kind: WindowKind | None = None
    hand: Hand | None = None
    swing: Swing = "out"
    opening_angle: SwingAngle | None = None
    sash_thickness: PositiveLength = 0.045
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Screen(Drawn):
    """A drop screen or a curtain; it counts through its whole travel.

    A drop screen comes down from a cassette. A curtain hangs from a track and is drawn along it.

    Attributes
    ----------
    name : unique name
    kind : drop or curtain
    from_, to : its ends in plan; a drawn-back curtain gathers at `from`
    top : height of the cassette's, or the track's, top
    bottom : height of its lower edge when it is down
    down : how far it is let down, or drawn, in the pictures, 0 to 1
    thickness : of the cassette and its track, square to the line
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    kind: ScreenKind = "drop"
    from_: PlanPoint
    to: PlanPoint
    top: PositiveLength
    bottom: NonNegativeLength = 0.0
    down: Share = 0.0
    thickness: PositiveLength = 0.12
    material: str = "screen fabric"
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Fitting(Drawn):
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
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    kind: FittingKind
    at: PlanPoint
    height: NonNegativeLength
    size: Size | None = None
    turn: Angle = 0.0
    hung: bool = True
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Cable(Drawn):
    """A cable, or a string of lights, that hangs between two points.

    Attributes
    ----------
    name : unique name
    from_, to : its ends
    sag : how far its middle hangs below the straight line
    diameter : of the cable, or of what hangs on it
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    from_: SpacePoint
    to: SpacePoint
    sag: NonNegativeLength = 0.0
    diameter: PositiveLength = 0.012
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Platform(Drawn):
    """Something raised that people stand on: a step, a stage, a raised part of the floor.

    Attributes
    ----------
    name : unique name
    outline : corners of a simple polygon, either way round
    height : of its upper face above the floor
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    outline: Outline
    height: PositiveLength
    material: str | None = None
    combustible: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Solid(Drawn):
    """A part of the place from a mesh file, such as a ceiling out of the client's own model.

    Attributes
    ----------
    name : unique name
    mesh : a mesh file in the scene's folder, in metres, Z up (glTF: as that format has it)
    role : ceiling or beam (heaters may hang from it), wall (they may hang on it) or obstacle
    at : where the file's origin goes, in plan
    base : how high the file's origin goes
    turn : about the file's origin, counter-clockwise
    thickness : of a sheet that is open in the file: a ceiling's goes up from it, any other's away
        from its faces; left out, the file must hold a closed surface
    material : what it looks like
    combustible : left out, the material decides; one that is not stated counts as combustible
    """

    name: Name
    mesh: FilePath
    role: SolidRole = "obstacle"
    at: PlanPoint = (0.0, 0.0)
    base: Height = 0.0
    turn: Angle = 0.0
    thickness: PositiveLength | None = None
    material: str | None = None
    combustible: bool | None = None
