"""What the mounting hands on: where each heater hangs, and on what."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heatcore.geometry.frames import Floats, Frame, locked
from heatcore.scene.model import Heater
from heatcore.scene.types import BracketType, HeaterType


@dataclass(frozen=True, eq=False)
class Arm:
    """One bracket of a pair: its plate on the surface, its arm, its pivot on the heater.

    Attributes
    ----------
    pivot : (3,) where it carries the heater [m]
    foot : (3,) centre of its plate, on the surface [m]
    direction : (3,) unit vector from pivot to foot
    plate : (4, 3) corners of the plate on the surface, in order round it [m]
    normal : (3,) unit normal of the plate, into the surface
    surface : name of the part that it is screwed to
    extensions : the extensions screwed on [m]
    fine : what the fine adjustment takes up [m]
    length : from the surface to the pivot: arm + extensions + fine [m]
    overhang : how far the plate reaches beyond its surface [m]; 0 where it lies wholly on it
    lean_along, lean_across : how far the plate leans from the heater's plane before it was tilted,
        about the body's Y and X by the right-hand rule; on a wall from upright and along the body,
        about world up and the body's X [rad]
    """

    pivot: Floats
    foot: Floats
    direction: Floats
    plate: Floats
    normal: Floats
    surface: str
    extensions: tuple[float, ...]
    fine: float
    length: float
    overhang: float
    lean_along: float
    lean_across: float

    def __post_init__(self) -> None:
        for name in ("pivot", "foot", "direction", "plate", "normal"):
            object.__setattr__(self, name, locked(getattr(self, name)))

    @property
    def drop(self) -> float:
        """Vertical distance from foot to pivot [m]."""
        return float(self.foot[2] - self.pivot[2])


@dataclass(frozen=True)
class Passed:
    """A stocked bracket, or pair of arms, that was tried before the chosen one, and why not.

    Attributes
    ----------
    bracket : name of the bracket type
    extensions : extensions of the first and the second arm [m]
    reason : one sentence for people, with both figures
    shortfall : how far it misses what it misses [m, or rad for a hinge]
    """

    bracket: str
    extensions: tuple[tuple[float, ...], tuple[float, ...]]
    reason: str
    shortfall: float


@dataclass(frozen=True)
class Fault:
    """What is wrong with a mount, where nothing stocked is right.

    Attributes
    ----------
    code : 'arm', 'level', 'hinge', 'tilt', 'plate', 'structure', 'spacing', 'load', 'surface' or
        'height'
    message : one sentence for people, with both figures, and what would do
    measured, required : the two figures [m, rad or kg by the code]: of 'arm' the arm's length and
        the one that would do, or where none would the distance left and asked for; of 'level' by
        how much the arms can differ and must; of 'plate', 'structure' and 'surface' how far off it
        is, and 0; of 'height' the height it hangs at and the one that would do, or was asked for
    object : name of the part it happens on
    """

    code: str
    message: str
    measured: float
    required: float
    object: str


@dataclass(frozen=True)
class Answer:
    """The figures that an installer works from.

    Attributes
    ----------
    feet_spacing_along : between the middles of both plates as a tape lies on the surface: straight
        on one plane; over a ridge, a hip, a valley or round a vault, on the surface, in the plumb
        plane through both [m]
    feet_spacing_level : between them in plan [m]
    drop_difference : how much longer the second arm's drop is than the first one's [m]
    least_arms : lengths of both arms with which the clearances to the structure about it would
        just hold, whatever is stocked [m]; 0 where none asks for any; None where such arms would
        find nothing to stand on
    steepest_pitch : of a plane ceiling that leans the same way, the steepest that the stocked
        brackets serve with the heater headed as it is [rad]; None where the ceiling is level or
        followed, on a wall or a beam, on brackets that were ordered before, where no pitch is too
        steep, or where not even a level one is served
    cross_lean : how far the plates lean across the body, the more of the two [rad]
    """

    feet_spacing_along: float
    feet_spacing_level: float
    drop_difference: float
    least_arms: tuple[float, float] | None
    steepest_pitch: float | None
    cross_lean: float

    @property
    def least_arm(self) -> float | None:
        """The shorter of `least_arms` [m]."""
        return None if self.least_arms is None else min(self.least_arms)


@dataclass(frozen=True, eq=False)
class Mount:
    """One heater, hung.

    Attributes
    ----------
    heater : as the scene describes it
    type : its heater type
    frame : the heater's frame (design section 3): origin at the centre of the emitting face
    tilt : about the body's X [rad]
    bracket : the bracket type
    arms : the two brackets, the one nearer the body's -X end first
    gaps : (4,) vertical gap from each corner of the body's top to what is above it [m], from
        (-x, -y) counter-clockwise; infinite in the open
    gap_surface : (4,) names of what is above, '' in the open
    spare : how much more arm it has, on the shorter arm, than the clearances to the structure about
        it ask for [m]; negative where it falls short
    passed : the shorter brackets, and why they do not do
    faults : what is wrong; empty for a good mount
    parts : what the installer takes along, one line a part
    answer : what the installer marks; None only where a mount was made up by hand
    """

    heater: Heater
    type: HeaterType
    frame: Frame
    tilt: float
    bracket: BracketType
    arms: tuple[Arm, ...]
    gaps: Floats
    gap_surface: tuple[str, ...]
    spare: float
    passed: tuple[Passed, ...]
    faults: tuple[Fault, ...]
    parts: tuple[str, ...]
    answer: Answer | None = None

    @property
    def name(self) -> str:
        """The heater's name."""
        return self.heater.name

    @property
    def holds(self) -> bool:
        """Whether a stocked bracket does the job."""
        return not self.faults

    @property
    def body(self) -> Floats:
        """(8, 3) corners of the heater's body in the world [m]."""
        return self.frame.to_world(body_corners(self.type))


def body_corners(heater: HeaterType) -> Floats:
    """(8, 3) corners of the body in the heater's frame [m], the lower face first."""
    x, y = heater.length / 2, heater.width / 2
    plan = [(-x, -y), (x, -y), (x, y), (-x, y)]
    return locked([(a, b, z) for z in (0.0, heater.height) for a, b in plan])


# Triangles over `body_corners`, counter-clockwise seen from outside.
BODY_TRIANGLES = locked(
    [
        (0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7), (0, 1, 5), (0, 5, 4),
        (1, 2, 6), (1, 6, 5), (2, 3, 7), (2, 7, 6), (3, 0, 4), (3, 4, 7),
    ],
    np.int64,
)  # fmt: skip
