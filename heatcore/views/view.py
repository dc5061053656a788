"""A still as a plain value: where the camera is, which layers are on, what is written into it.

Nothing here knows of Blender. `plan_views` frames the views from an Evaluation; the add-on turns
each into a camera, a frame of the file and a picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from heatcore.geometry.frames import Floats, Frame


class Layer(StrEnum):
    """What can be switched on and off, in the window and in stills."""

    SPACE = "Space"
    HEATERS = "Heaters"
    BEAMS = "Beams"
    WARMTH = "Warmth"
    CLEARANCES = "Clearances"
    DIMENSIONS = "Dimensions"
    PEOPLE = "People"


class FloorShows(StrEnum):
    """What the colors on the floor say: how much arrives there, or which beams do."""

    IRRADIANCE = "irradiance"
    LANDING = "beam landing"

    @property
    def other(self) -> FloorShows:
        """The one that it is not."""
        return FloorShows.LANDING if self is FloorShows.IRRADIANCE else FloorShows.IRRADIANCE


class Tone(StrEnum):
    """What an annotation says, for its color and weight.

    The bands are those of the warmth on the floor, from quiet to glowing.
    """

    QUIET = "quiet"
    MEASURE = "measure"
    WARM = "warm"
    EDGE = "edge"
    COLD = "cold"
    ALARM = "alarm"
    GOOD = "good"
    RIM = "rim"
    THRESHOLD = "threshold"
    BAND_1 = "band 1"
    BAND_2 = "band 2"
    BAND_3 = "band 3"
    BAND_4 = "band 4"
    BAND_5 = "band 5"
    BAND_6 = "band 6"


@dataclass(frozen=True, eq=False)
class Label:
    """A word or figure on a plate, turned to the camera.

    Attributes
    ----------
    text : what it says; lines are split by a newline
    at : (3,) its middle in the world [m]
    height : of a capital letter [m] at that depth
    tone : what it says
    anchor : (3,) what a thin leader line ties it to; None where it stands by itself
    plate : whether a plate lies behind it
    turn : turn in the picture's plane, counter-clockwise [rad]
    """

    text: str
    at: Floats
    height: float
    tone: Tone = Tone.QUIET
    anchor: Floats | None = None
    plate: bool = True
    turn: float = 0.0


@dataclass(frozen=True, eq=False)
class Line:
    """A line with optional arrow heads at its ends: dimension and extension lines, outlines, marks.

    Attributes
    ----------
    points : (n, 3) [m]
    width : [m] at that depth
    tone : what it says
    arrows : whether both ends carry arrow heads
    closed : whether the last point joins the first
    filled : whether the polygon is filled as well (a poche, a mark)
    """

    points: Floats
    width: float
    tone: Tone = Tone.QUIET
    arrows: bool = False
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, eq=False)
class View:
    """One still.

    Attributes
    ----------
    name : short and stable, the file's name: 'hero', 'warmth', 'clearances', 'plan',
        'elevation_1', 'elevation_2', 'bracket'
    caption : one sentence in the client's words
    camera : looks along its -Z, its Y is the picture's up
    lens : focal length for a sensor 36 mm wide [mm]; 0 for an orthographic view
    width : width of what an orthographic view shows [m]; 0 for a perspective one
    shift : (x, y) lens shift, as shares of the picture's width
    clip : (near, far) distances from the camera that are drawn [m]
    aspect : width over height
    layers : the layers that are on
    hidden : names of parts that this view does without (what stands before the camera)
    labels, lines : what is written and drawn into it
    dusk : how dark it is, 0 for day, 1 for night
    heaters : names of the heaters that it is about; empty for all
    floor : what the colors on the floor say; None where it shows none
    other : the same view with the other colors on the floor; None where it shows none
    """

    name: str
    caption: str
    camera: Frame
    lens: float
    width: float
    shift: tuple[float, float]
    clip: tuple[float, float]
    aspect: float
    layers: frozenset[Layer]
    hidden: frozenset[str] = frozenset()
    labels: tuple[Label, ...] = ()
    lines: tuple[Line, ...] = ()
    dusk: float = 0.5
    heaters: tuple[str, ...] = ()
    floor: FloorShows | None = None
    other: View | None = None
