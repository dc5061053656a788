"""The heights of a roof, from whichever of them the drawing gives."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, sin, tan

import numpy as np
from shapely import Polygon

from heatcore.errors import InputError, Mistake
from heatcore.scene.plan import polygon_of, where
from heatcore.scene.space import Floor, Roof
from heatcore.units import UnitSystem, format_length, format_pitch

STEEPEST = 1.3  # rad; as steep as a pitch may be written (see `kinds.Pitch`)


@dataclass(frozen=True)
class RoofHeights:
    """A roof's heights, all of them.

    Attributes
    ----------
    beam_underside : underside of the beam that carries it at its outline [m]
    plate : ceiling underside at the outline [m]; of a valley roof, along the valley; of a vault,
        along its springing lines
    ridge : highest ceiling underside [m]; of a valley roof, at its outer edges; of a vault, along
        its crown
    pitch : slope of its planes, of a vault that at its springing lines, where it is steepest [rad]
    """

    beam_underside: float
    plate: float
    ridge: float
    pitch: float


@dataclass(frozen=True)
class Support:
    """The rectangle round a roof's outline, in the directions of the roof.

    Attributes
    ----------
    center : its middle in plan [m]
    along : unit vector along the ridge, valley or crown; of a single slope, a slatted or a flat
        roof, the way it falls
    across : unit vector square to it, away from the outline's first corner: a mirrored plan
        gives the mirrored vector
    half_length, half_width : half its extent along and across [m]
    """

    center: tuple[float, float]
    along: tuple[float, float]
    across: tuple[float, float]
    half_length: float
    half_width: float


def roof_outline(roof: Roof, floor: Floor) -> Polygon:
    """Return the roof's support line in plan: its own outline, or the floor's.

    Raises
    ------
    InputError
        If it is no simple polygon.
    """
    if roof.outline is None:
        return polygon_of(floor.outline, "floor.outline")
    return polygon_of(roof.outline, where(roof, "outline"))


def support_of(roof: Roof, floor: Floor) -> Support:
    """Return the rectangle that a roof's planes are set out from.

    Raises
    ------
    InputError
        If the outline is no simple polygon.
    """
    roof_outline(roof, floor)
    corners = np.asarray(floor.outline if roof.outline is None else roof.outline, dtype=np.float64)
    ridged = roof.form in ("gable", "hip", "valley", "vault")
    heading = roof.ridge_direction if ridged else roof.falls_toward
    along = np.array([cos(heading), sin(heading)])
    across = np.array([-along[1], along[0]])
    u, v = corners @ along, corners @ across
    middle_u, middle_v = (u.min() + u.max()) / 2, (v.min() + v.max()) / 2
    half_u, half_v = (u.max() - u.min()) / 2, (v.max() - v.min()) / 2
    # The first corner that does not lie on the middle line decides; there always is one.
    beside = (v - middle_v)[np.abs(v - middle_v) > 1e-6 * half_v]
    center = middle_u * along + middle_v * across
    if beside[0] > 0.0:
        across = -across
    return Support(
        (float(center[0]), float(center[1])),
        (float(along[0]), float(along[1])),
        (float(across[0]), float(across[1])),
        float(half_u),
        float(half_v),
    )


def run_of(roof: Roof, support: Support) -> float:
    """Return the plan distance over which the roof rises from plate to ridge [m]."""
    match roof.form:
        case "flat":
            return 0.0
        case "single_slope" | "slatted":
            return 2 * support.half_length
        case "hip":
            ends = 1 if roof.hip_ends == "both" else 2
            return min(support.half_width, ends * support.half_length)
        case _:
            return support.half_width


def resolve_heights(
    roof: Roof,
    floor: Floor,
    *,
    tolerance: float = 0.001,
    units: UnitSystem = UnitSystem.METRIC,
) -> RoofHeights:
    """Derive the heights that a roof does not give from those that it does.

    The plate lies on the beam: plate = beam underside + beam depth. The ridge lies above the plate
    by the run times the tangent of the pitch; the run comes from the form and from the rectangle
    round the outline. A slatted roof of which one height alone is given is level. A vault is part
    of a circle over the rectangle's width, and takes plate and ridge.

    Parameters
    ----------
    roof, floor : as the scene describes them
    tolerance : by how much given values may contradict each other [m]
    units : in which mistakes are written

    Raises
    ------
    InputError
        If too little is given, or values contradict each other: every contradiction of the roof,
        each with both values.
    """
    return _Resolver(roof, run_of(roof, support_of(roof, floor)), tolerance, units).heights()


class _Resolver:
    """One roof's heights, and what is wrong with them."""

    def __init__(self, roof: Roof, run: float, tolerance: float, units: UnitSystem) -> None:
        self.roof, self.run, self.tolerance, self.units = roof, run, tolerance, units
        self.mistakes: list[Mistake] = []

    def heights(self) -> RoofHeights:
        plate, plate_text = self.given_plate()
        if self.roof.form == "flat":
            plate, ridge, pitch = self.flat(plate, plate_text)
        elif self.roof.form == "vault":
            plate, ridge, pitch = self.vault(plate, plate_text)
        else:
            plate, ridge, pitch = self.sloped(plate, plate_text)
        if self.mistakes:
            raise InputError.of(self.mistakes)
        beam = self.roof.beam_underside
        return RoofHeights(
            plate - self.roof.beam_depth if beam is None else beam, plate, ridge, pitch
        )

    def given_plate(self) -> tuple[float | None, str]:
        """Return the plate that is given, and the words for it."""
        beam, plate = self.roof.beam_underside, self.roof.plate
        if beam is None:
            return plate, "" if plate is None else f"plate {self.length(plate)}"
        made = beam + self.roof.beam_depth
        beam_text = f"beam_underside {self.length(beam)}"
        if plate is None:
            return made, f"{beam_text} and beam_depth {self.length(self.roof.beam_depth)}"
        if abs(made - plate) > self.tolerance:
            self.wrong(
                "plate",
                f"{beam_text} and beam_depth {self.length(self.roof.beam_depth)} make the plate "
                f"{self.length(made)}, but plate says {self.length(plate)}",
                "correct one of the three"
                + (
                    f", or leave plate out; beam_depth {self.length(plate - beam)} would fit"
                    if plate > beam
                    else ""
                ),
            )
        return plate, f"plate {self.length(plate)}"

    def flat(self, plate: float | None, plate_text: str) -> tuple[float, float, float]:
        """Return plate, ridge and pitch of a flat roof."""
        ridge, pitch = self.roof.ridge, self.roof.pitch
        if pitch:
            self.wrong(
                "pitch",
                f"a flat roof has the pitch {self.pitch(0.0)}, but pitch says {self.pitch(pitch)}",
                'leave pitch out, or write form = "single_slope"',
            )
        if plate is None and ridge is None:
            self.too_little("plate or beam_underside")
        elif plate is not None and ridge is not None and abs(ridge - plate) > self.tolerance:
            self.wrong(
                "ridge",
                f"a flat roof is level, but {plate_text} and ridge {self.length(ridge)} differ",
                'leave ridge out, or write form = "single_slope"',
            )
        level = next((h for h in (plate, ridge) if h is not None), 0.0)
        return level, level, 0.0

    def vault(self, plate: float | None, plate_text: str) -> tuple[float, float, float]:
        """Return plate and ridge of a vault, and its slope at the springing lines."""
        ridge, said = self.roof.ridge, self.roof.pitch
        if said is not None:
            self.wrong(
                "pitch",
                f"a vault has no pitch of its own, but pitch says {self.pitch(said)}",
                "leave pitch out, and give the crown's height as ridge",
            )
        if plate is None or ridge is None:
            given = plate_text or ("" if ridge is None else f"ridge {self.length(ridge)}")
            missing = "ridge" if plate is not None else "plate or beam_underside"
            self.too_little(missing if given else "plate and ridge", given)
            return 0.0, 0.0, 0.0
        rise, both = ridge - plate, f"{plate_text} and ridge {self.length(ridge)}"
        if rise < -self.tolerance:
            self.wrong("ridge", f"{both} put the crown below the springing lines", "exchange them")
        elif rise > self.run + self.tolerance:
            self.wrong(
                "ridge",
                f"{both} make the vault rise {self.length(rise)}, more than half its width",
                f"a half circle over it rises to {self.length(plate + self.run)} at most",
            )
        # Half the arc's angle, which is the slope of its end: by the tangent of a quarter of it.
        pitch = 2.0 * atan2(min(max(rise, 0.0), self.run), self.run)
        if self.roof.overhang > 0.0 and pitch > STEEPEST:
            self.wrong(
                "overhang",
                f"would go on down a vault that ends steeper than {self.pitch(STEEPEST)}",
                f"leave it out, or lower the ridge to {self.length(self.widest(plate))} or less",
            )
        return plate, max(ridge, plate), pitch

    def widest(self, plate: float) -> float:
        """Return the ridge with which a vault ends as steep as a roof may be [m]."""
        return plate + self.run * tan(STEEPEST / 2)

    def sloped(self, plate: float | None, plate_text: str) -> tuple[float, float, float]:
        """Return plate, ridge and pitch of a roof that may slope."""
        ridge, pitch = self.roof.ridge, self.roof.pitch
        if self.roof.form == "slatted" and pitch is None and (plate is None) != (ridge is None):
            pitch = 0.0
        if plate is not None and ridge is not None:
            return plate, ridge, self.pitch_between(plate, plate_text, ridge)
        if pitch is None:
            given = plate_text or ("" if ridge is None else f"ridge {self.length(ridge)}")
            others = "pitch or ridge" if plate is not None else "pitch or plate"
            self.too_little(others if given else "plate and pitch", given)
        elif plate is not None:
            return plate, plate + self.run * tan(pitch), pitch
        elif ridge is not None:
            made = ridge - self.run * tan(pitch)
            if made <= 0.0:
                self.wrong(
                    "pitch",
                    f"ridge {self.length(ridge)} and pitch {self.pitch(pitch)} make the plate "
                    f"{self.length(made)}, which is not above the floor",
                    "correct one of the two",
                )
            return made, ridge, pitch
        else:
            self.too_little("plate, beam_underside or ridge", f"pitch {self.pitch(pitch)}")
        return 0.0, 0.0, 0.0

    def pitch_between(self, plate: float, plate_text: str, ridge: float) -> float:
        """Return the pitch that plate and ridge make, held against the one that is given."""
        both = f"{plate_text} and ridge {self.length(ridge)}"
        if ridge < plate - self.tolerance:
            self.wrong("ridge", f"{both} put the ridge below the plate", "exchange the two")
            return 0.0
        made = atan2(max(ridge - plate, 0.0), self.run)
        said = self.roof.pitch
        if made > STEEPEST:
            self.wrong(
                "ridge",
                f"{both} make the pitch {self.pitch(made)}, steeper than the steepest roof "
                f"({self.pitch(STEEPEST)})",
                "correct one of the two",
            )
        elif said is not None and abs(plate + self.run * tan(said) - ridge) > self.tolerance:
            self.wrong(
                "pitch",
                f"{both} make the pitch {self.pitch(made)}, but pitch says {self.pitch(said)}",
                f"correct one of the three, or leave one out; with {plate_text} and pitch "
                f"{self.pitch(said)} the ridge is {self.length(plate + self.run * tan(said))}",
            )
        return made

    def wrong(self, field: str, message: str, remedy: str) -> None:
        self.mistakes.append(Mistake(where(self.roof, field), message, remedy))

    def too_little(self, missing: str, given: str = "") -> None:
        alone = f": {given} is not enough" if given else ""
        also = " as well" if given else ""
        self.mistakes.append(
            Mistake(where(self.roof), f"does not give its heights{alone}", f"give {missing}{also}")
        )

    def length(self, value: float) -> str:
        return format_length(value, self.units)

    def pitch(self, value: float) -> str:
        return format_pitch(value, "deg" if self.units is UnitSystem.METRIC else "x:12")
