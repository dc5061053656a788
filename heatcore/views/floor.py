"""What is painted on the floor: bands and isolines of the irradiance, or the beams' landings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.heat.beams.bands import bands as landing_bands
from heatcore.heat.planes.contours import Rings
from heatcore.heat.planes.maps import bands, extremes, isolines, levels
from heatcore.views.ramp import BANDS, band_tones
from heatcore.views.view import FloorShows, Tone

QUIET, GLOWING = BANDS[:2], BANDS[2:]
SPECK = 1.0  # m round


@dataclass(frozen=True, eq=False)
class Patch:
    """One color of the floor: what it means, its tone, and where it lies in plan."""

    text: str
    tone: Tone
    areas: tuple[Rings, ...]


@dataclass(frozen=True, eq=False)
class Contour:
    """One value's line on the floor.

    Attributes
    ----------
    irradiance_w_m2 : the value
    tone : of the band above it
    threshold : whether a floor counts as warmed from here
    lines : (n, 2) each, in plan
    """

    irradiance_w_m2: float
    tone: Tone
    threshold: bool
    lines: tuple[Floats, ...]


@dataclass(frozen=True, eq=False)
class FloorPicture:
    """What is painted on the floor.

    Attributes
    ----------
    shows : what the colors say
    patches : the colors, from quiet to glowing; none overlaps another
    contours : the lines between them, in the same order
    threshold_w_m2 : from which a floor counts as warmed; 0 where the colors do not speak of it
    """

    shows: FloorShows
    patches: tuple[Patch, ...]
    contours: tuple[Contour, ...] = ()
    threshold_w_m2: float = 0.0


def floor_picture(evaluation: Evaluation, shows: FloorShows) -> FloorPicture:
    """What is painted on a site's floor."""
    return _irradiance(evaluation) if shows is FloorShows.IRRADIANCE else _landings(evaluation)


def _irradiance(evaluation: Evaluation) -> FloorPicture:
    field, threshold = evaluation.floor_map, evaluation.scene.site.target.irradiance
    hottest = extremes(field).highest
    values = parted(levels(field, len(BANDS) - 1, threshold), threshold, hottest)
    if not values:
        return FloorPicture(FloorShows.IRRADIANCE, (), threshold_w_m2=threshold)
    tones = tones_for(values, threshold)
    patches = [
        Patch(band_text(band.low, band.high, hottest), tone, band.areas)
        for band, tone in zip(bands(field, values), tones, strict=True)
    ]
    contours = [
        Contour(line.irradiance_w_m2, tone, line.irradiance_w_m2 == threshold, worth(line.lines))
        for line, tone in zip(isolines(field, values), tones[1:], strict=True)
    ]
    return FloorPicture(FloorShows.IRRADIANCE, tuple(patches), tuple(contours), threshold)


def parted(values: Sequence[float], threshold: float, hottest: float) -> list[float]:
    """Values that part the bands, ascending: as many on either side as there are colors for.

    Where the threshold is reached, one value at most lies below it. Of those beyond, the ones that
    lie nearest to a neighbor, by their ratio, are left out first.
    """
    kept = [value for value in values if value < hottest]
    if threshold not in kept:
        return kept[-(len(BANDS) - 1) :]
    below = [value for value in kept if value < threshold][-(len(QUIET) - 1) :]
    above = [value for value in kept if value >= threshold]
    while len(above) > len(GLOWING):
        above.pop(1 + int(np.argmin(np.diff(np.log(above)))))
    return [*below, *above]


def tones_for(values: Sequence[float], threshold: float) -> tuple[Tone, ...]:
    """The tones of the bands that values part.

    What is warmed glows and what is not is quiet, the same in every picture of a site. Where
    nothing is warmed the whole ramp tells the little that there is.
    """
    if threshold not in values:
        return band_tones(len(values) + 1)
    below = sum(value < threshold for value in values) + 1
    return (*QUIET[:below], *GLOWING[: len(values) + 1 - below])


def worth(lines: tuple[Floats, ...]) -> tuple[Floats, ...]:
    """The lines that are worth drawing: round a speck of shade the band's own edge will do."""
    return tuple(
        line for line in lines if float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) > SPECK
    )


def band_text(low: float, high: float, hottest: float) -> str:
    """What a legend says of a band [W/m2]; the topmost says how far it really goes."""
    if low <= 0.0:
        return f"under {high:g}"
    if np.isinf(high):
        return f"over {low:g}, at most {ceil(hottest)}"
    return f"{low:g} to {high:g}"


def _landings(evaluation: Evaluation) -> FloorPicture:
    found = landing_bands(evaluation.beams)
    rows = (
        Patch("at a beam's edge", Tone.BAND_2, found.edge),
        Patch("in one beam", Tone.BAND_4, found.single),
        Patch("in two beams or more", Tone.BAND_6, found.doubled),
    )
    return FloorPicture(FloorShows.LANDING, tuple(patch for patch in rows if patch.areas))
