"""The space that is described: floor, roofs, timbers, walls, openings, screens and fittings.

Read, written and described by its annotations, like the rest of the `model`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from heatcore.scene.kinds import (
    Angle,
    Duration,
    Name,
    NonNegativeLength,
    Outline,
    Pitch,
    PlanPoint,
    PositiveLength,
    RoofName,
    Share,
    Size,
    SwingAngle,
    WallName,
)

RoofForm = Literal["flat", "single_slope", "gable", "hip", "valley", "slatted"]
HipEnds = Literal["both", "first", "last"]
DoorKind = Literal["hinged", "pair", "sliding", "folding"]
Hand = Literal["left", "right"]
Swing = Literal["in", "out"]
FloorConstruction = Literal["slab", "pavers", "decking"]
FittingKind = Literal["fan", "light", "speaker", "sprinkler", "television", "fireplace"]


@dataclass(frozen=True, kw_only=True)
class Floor:
    """The patio's floor, its upper face at z = 0.

    Attributes
    ----------
    outline : corners of a simple polygon, either way round
    material : what it looks like
    combustible : left out, the material decides; a material that does not say counts as combustible
    thickness : of the slab or deck
    construction : slab, pavers (on sand) or decking; left out, the material decides
    warmed_for : time after which its warm-up under the heaters is told
    """

    outline: Outline
    material: str = "concrete"
    combustible: bool | None = None
    thickness: PositiveLength = 0.1
    construction: FloorConstruction | None = None
    warmed_for: Duration = 1800.0


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
