"""What a pitch means for a level heater: leans, drops, spacings of holes, true gaps.

The values are arithmetic on a right-angled triangle (atan(x / 12), hypot(x, 12) / 12 and what
follows from them), worked independently and tabulated to the digits shown; they have no other
source.
"""

from __future__ import annotations

from math import acos, cos, degrees, pi, radians

import numpy as np
import pytest

from heatcore.geometry.parts import Part
from heatcore.scene.types import Distances
from heatcore.units import parse_pitch
from tests.core.mounting_site import bracket, heater, heater_type, hung, slope
from tests.reference.rafters import RAFTERS

INCH = 0.0254

# x in 12, difference of the drops, distance of the holes along the slope [in]; brackets 36 in apart
# in plan, the heater along the fall line, plumb arms.
DROPS = [
    (1, 3.0, 36.1248),
    (2, 6.0, 36.4966),
    (3, 9.0, 37.1080),
    (4, 12.0, 37.9473),
    (6, 18.0, 40.2492),
    (8, 24.0, 43.2666),
    (12, 36.0, 50.9117),
]

PLUMB = bracket(style="plumb")
LONG = heater_type(length=48 * INCH, least_spacing=12 * INCH, most_spacing=40 * INCH)


def pitched(rise: float) -> Part:
    return slope(parse_pitch(f"{rise}:12"))


@pytest.mark.parametrize(("rise", "angle", "factor"), RAFTERS)
def test_pitch_and_rafter_factor(rise: int, angle: float, factor: float) -> None:
    pitch = parse_pitch(f"{rise}:12")
    assert degrees(pitch) == pytest.approx(angle, abs=5e-5)
    assert 1 / cos(pitch) == pytest.approx(factor, abs=5e-7)
    # The ceiling of the tests, and the plate that lies on it, are pitched so.
    (mount,) = hung([pitched(rise)], [heater()])
    assert degrees(acos(mount.arms[0].normal[2])) == pytest.approx(angle, abs=5e-5)


def test_four_in_twelve_is_not_a_third_of_a_right_angle() -> None:
    """33.3 % is 18.43 deg: trap of reading a pitch in per cent as degrees."""
    assert degrees(parse_pitch("33.333333333%")) == pytest.approx(18.4349, abs=5e-5)
    (mount,) = hung([pitched(4)], [heater()])
    assert degrees(mount.arms[0].lean_across) == pytest.approx(18.4349, abs=5e-5)


@pytest.mark.parametrize(("rise", "drop", "holes"), DROPS)
def test_drops_and_hole_spacing_of_a_level_heater(rise: int, drop: float, holes: float) -> None:
    one = heater(heading=pi / 2, spacing=36 * INCH)
    (mount,) = hung([pitched(rise)], [one], [PLUMB], [LONG])
    low, high = mount.arms
    assert (high.drop - low.drop) / INCH == pytest.approx(drop, abs=1e-6)
    assert np.linalg.norm(high.foot - low.foot) / INCH == pytest.approx(holes, abs=5e-5)
    # Square to their plates the feet are S cos s apart along the slope.
    (square,) = hung([pitched(rise)], [one], types=[LONG])
    low, high = square.arms
    apart = np.linalg.norm(high.foot - low.foot) / INCH
    assert apart == pytest.approx(36 * cos(parse_pitch(f"{rise}:12")), abs=1e-6)


@pytest.mark.parametrize(
    ("angle", "drop", "tilt"), [(0, 12.0, 0.0), (45, 8.4853, 13.2627), (90, 0.0, 18.4349)]
)
def test_a_turned_heater_under_four_in_twelve(angle: float, drop: float, tilt: float) -> None:
    """Angle between the heater's length and the fall line; brackets 36 in apart."""
    one = heater(heading=pi / 2 + radians(angle), spacing=36 * INCH)
    (mount,) = hung([pitched(4)], [one], [PLUMB], [LONG])
    first, second = mount.arms
    assert abs(first.drop - second.drop) / INCH == pytest.approx(drop, abs=5e-5)
    assert degrees(abs(first.lean_across)) == pytest.approx(tilt, abs=5e-5)


@pytest.mark.parametrize(("rise", "square"), [(3, 11.6417), (6, 10.7331), (12, 8.4853)])
def test_a_vertical_gap_of_twelve_inches_is_less_square_to_the_slope(
    rise: int, square: float
) -> None:
    """A body with hardly any width under a plumb arm whose vertical gap is 12 in."""
    thin = heater_type(
        length=0.5, width=1e-9, pivot_height=0.0, spacing=0.4, least_spacing=0.3,
        combustible=Distances(above=0.0, sides=0.0, ends=0.0, below=0.0),
    )  # fmt: skip
    twelve = bracket(style="plumb", arm=12 * INCH, fine=0.0)
    (mount,) = hung([pitched(rise)], [heater()], [twelve], [thin])
    assert mount.gaps / INCH == pytest.approx([12.0] * 4, abs=1e-6)
    up = mount.arms[0].normal
    top = mount.frame.to_world([0.0, 0.0, thin.height])
    assert up @ (mount.arms[0].foot - top) / INCH == pytest.approx(square, abs=5e-5)


def test_the_low_edge_decides_not_the_centre_line() -> None:
    """Under 4:12, 12 in at the centre line, half width 8 in: 8.8544 in square to the slope."""
    kind = heater_type(
        width=16 * INCH, pivot_height=0.0,
        combustible=Distances(above=0.0, sides=0.0, ends=0.0, below=0.0),
    )  # fmt: skip
    twelve = bracket(style="plumb", arm=12 * INCH, fine=0.0)
    (mount,) = hung([pitched(4)], [heater()], [twelve], [kind])
    up, foot = mount.arms[0].normal, mount.arms[0].foot
    top = mount.body[4:]
    assert min(up @ (foot - corner) for corner in top) / INCH == pytest.approx(8.8544, abs=5e-5)
    # So a required 8.8544 in is just met, and a little more is not.
    for required, holds in ((8.8543, True), (8.8545, False)):
        least = required * INCH
        asked = Distances(above=least, sides=least, ends=least, below=1.0)
        strict = heater_type(width=16 * INCH, pivot_height=0.0, combustible=asked)
        (mount,) = hung([pitched(4)], [heater()], [twelve], [strict])
        assert mount.holds is holds
