"""Findings: what a check says, with its figures and the place it speaks of."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from heatcore.geometry.frames import Floats, locked


class Verdict(StrEnum):
    """What a finding comes to.

    An advisory is for people to weigh: no scene fails by it, not even where only what holds for
    certain is let pass.
    """

    HOLDS = "holds"
    ADVISORY = "advisory"
    MEASURE = "measure on site"
    FAILS = "fails"


@dataclass(frozen=True)
class Deciding:
    """One dimension of the drawing, and what its tolerance does to a finding.

    Attributes
    ----------
    path : where it stands in the scene: 'beam "west beam".underside'
    words : how people call it: "the height of the west beam's underside"
    drawn : its value [m or rad]
    worst : the end of its tolerance at which the finding is worst [m or rad]
    unit : 'm' or 'rad'
    effect : by how much that end alone lessens the margin [unit of the finding]
    """

    path: str
    words: str
    drawn: float
    worst: float
    unit: Literal["m", "rad"]
    effect: float


@dataclass(frozen=True)
class Doubt:
    """What the drawing's tolerances leave of a finding.

    Attributes
    ----------
    margin : at the worst corner of the tolerances [unit of the finding]
    deciding : the dimensions that matter, the one that decides first
    """

    margin: float
    deciding: tuple[Deciding, ...]


@dataclass(frozen=True, eq=False)
class Finding:
    """One requirement, held against the model.

    Attributes
    ----------
    code : dotted and stable: 'clearance.above', 'clearance.side', 'clearance.end',
        'clearance.below', 'clearance.corner', 'clearance.shortest', 'mount.arm',
        'height.least', 'exposure.eye', 'exposure.head', ...
    verdict : holds, advisory, measure on site, or fails
    heater : name of the heater it is about
    object : name of the part, or of the thing, that decides it; '' where there is none
    measured, required : the two figures, in `unit`; the plain shortest distance of bodies that are
        in one another is negative
    unit : 'm', 'rad', 'kg', 'W/m2', 'C', ...
    point : (3,) the deciding point on the object [m]
    heater_point : (3,) the point on the heater that it is measured from [m]; from a side or an end,
        on that face's plane below the body where the object stands lower
    side : which face: 'above', 'below', '+side', '-side', '+end', '-end', or ''
    combustible : whether the required figure is the one for combustible material
    note : one sentence for people, where the figures need words
    offsets : of a corner entry, the two distances outward from side and end [m]
    source : whose the required figure is, where no type states it
    doubt : what the drawing's tolerances leave of it; None where no dimension matters
    question : what the client must be asked, where an unknown decides
    at_most : whether the required figure is the most that is allowed, rather than the least
    """

    code: str
    verdict: Verdict
    heater: str
    object: str
    measured: float
    required: float
    unit: str
    point: Floats
    heater_point: Floats
    side: str = ""
    combustible: bool = True
    note: str = ""
    offsets: tuple[float, float] | None = None
    source: str = ""
    at_most: bool = False
    doubt: Doubt | None = None
    question: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", locked(self.point))
        object.__setattr__(self, "heater_point", locked(self.heater_point))

    @property
    def margin(self) -> float:
        """How much is left of what is allowed; negative where it falls short [`unit`]."""
        margin = self.measured - self.required
        return -margin if self.at_most else margin
