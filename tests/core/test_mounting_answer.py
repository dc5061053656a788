"""What the installer marks: spacings of the feet, drops, least arms, the steepest pitch served.

The figures of a level heater under one plane are arithmetic on a right-angled triangle; see
`tests/reference/test_slopes.py` for the tabulated ones.
"""

from __future__ import annotations

from math import asin, atan, cos, degrees, hypot, pi, radians, sin, tan

import numpy as np
import pytest

from heatcore.geometry.parts import Kind
from heatcore.mounting import hang
from heatcore.mounting.mount import Answer, Mount
from heatcore.mounting.structure import Structure
from heatcore.mounting.tape import taped
from heatcore.scene.types import Distances
from tests.core.mounting_site import (
    block,
    bracket,
    heater,
    heater_type,
    hung,
    sheet,
    site,
    slope,
    wall,
)

INCH = 0.0254
SPACING = 36 * INCH
LONG = heater_type(length=48 * INCH, least_spacing=12 * INCH, most_spacing=40 * INCH)
PLUMB = bracket(style="plumb")

# Drops and hole spacings along the slope of a level heater along the fall line, plumb arms 36 in
# apart in plan: 36 tan s and 36 / cos s, tabulated to the digits shown (arithmetic, no source).
HOLES = [
    (1, 3.0, 36.1248), (2, 6.0, 36.4966), (3, 9.0, 37.1080), (4, 12.0, 37.9473),
    (6, 18.0, 40.2492), (8, 24.0, 43.2666), (12, 36.0, 50.9117),
]  # fmt: skip


def answer(mount: Mount) -> Answer:
    assert mount.answer is not None
    return mount.answer


@pytest.mark.parametrize(("rise", "drop", "holes"), HOLES)
def test_holes_and_drops_along_the_fall_line(rise: int, drop: float, holes: float) -> None:
    one = heater(heading=pi / 2, spacing=SPACING)
    (mount,) = hung([slope(atan(rise / 12))], [one], [PLUMB], [LONG])
    found = answer(mount)
    assert found.feet_spacing_along / INCH == pytest.approx(holes, abs=5e-5)
    assert found.feet_spacing_level / INCH == pytest.approx(36.0, abs=1e-6)
    assert found.drop_difference / INCH == pytest.approx(drop, abs=1e-6)
    assert found.cross_lean == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("rise", [0, 1, 4, 8, 12, 18])
@pytest.mark.parametrize("heading", [0.0, 30.0, 45.0, 90.0])
@pytest.mark.parametrize("style", ["square", "plumb"])
@pytest.mark.parametrize("spacing", [0.4, 0.6, 0.9])
def test_any_pitch_heading_spacing_and_arm(
    rise: int, heading: float, style: str, spacing: float
) -> None:
    """Closed forms of the design, section 5, with y = 90 deg - heading from the contour."""
    s, y = atan(rise / 12), radians(heading)
    (mount,) = hung([slope(s)], [heater(heading=y, spacing=spacing)], [bracket(style=style)])
    found, along = answer(mount), abs(sin(y))
    if style == "plumb":
        level = spacing
        on_slope = spacing * hypot(1.0, along * tan(s))
        drop = spacing * along * tan(s)
    else:
        # Each foot lies (its arm) sin s downhill of its pivot; the arms differ by S |sin y| sin s.
        toward = along * spacing - along * spacing * sin(s) ** 2
        level = hypot(cos(y) * spacing, toward)
        on_slope = hypot(cos(y) * spacing, along * spacing * cos(s))
        drop = spacing * along * sin(s) * cos(s)
    assert found.feet_spacing_along == pytest.approx(on_slope, abs=1e-9)
    assert found.feet_spacing_level == pytest.approx(level, abs=1e-9)
    assert abs(found.drop_difference) == pytest.approx(drop, abs=1e-9)
    # The plates' lean across the body: the slope seen along it.
    assert abs(found.cross_lean) == pytest.approx(atan(tan(s) * cos(y)), abs=1e-9)
    # Everything above the clearances is nothing: the endless bracket is as short as they allow.
    assert found.least_arms == pytest.approx(tuple(arm.length for arm in mount.arms), abs=1e-8)


@pytest.mark.parametrize(("angle", "drop", "tilt"), [(0, 12, 0), (45, 8.4853, 13.2627),
                                                     (90, 0, 18.4349)])  # fmt: skip
def test_a_turned_heater_under_four_in_twelve(angle: float, drop: float, tilt: float) -> None:
    one = heater(heading=pi / 2 + radians(angle), spacing=SPACING)
    (mount,) = hung([slope(atan(4 / 12))], [one], [PLUMB], [LONG])
    found = answer(mount)
    assert abs(found.drop_difference) / INCH == pytest.approx(drop, abs=5e-5)
    assert degrees(abs(found.cross_lean)) == pytest.approx(tilt, abs=5e-5)


def test_a_tape_over_a_ridge_goes_up_one_plane_and_down_the_other() -> None:
    e, top = 2.8, 2.8 + 3 * 6 / 12
    roof = sheet(
        "roof",
        [[(-6, -3, e), (6, -3, e), (6, 0, top), (-6, 0, top)],
         [(-6, 0, top), (6, 0, top), (6, 3, e), (-6, 3, e)]],
    )  # fmt: skip
    one = heater(at=(0.0, 0.1), heading=pi / 2, spacing=0.6)
    (mount,) = hung([roof], [one], [PLUMB])
    assert mount.holds
    found = answer(mount)
    # Across the ridge, 0.2 m and 0.4 m beside it on planes of 6:12.
    assert found.feet_spacing_level == pytest.approx(0.6, abs=1e-9)
    assert found.feet_spacing_along == pytest.approx(0.6 * hypot(1, 0.5), abs=1e-9)
    straight = float(np.linalg.norm(mount.arms[1].foot - mount.arms[0].foot))
    assert straight < found.feet_spacing_along - 0.02
    # And the feet stand on two planes.
    assert mount.arms[0].normal[1] == pytest.approx(-mount.arms[1].normal[1], abs=1e-9)


def test_a_tape_on_a_vault_a_step_and_over_a_gap() -> None:
    r, y = 3.0, np.linspace(-2.5, 2.5, 501)
    z = 3.0 - r + np.sqrt(r**2 - y**2)
    strips = [
        [(-4, a, p), (4, a, p), (4, b, q), (-4, b, q)]
        for a, b, p, q in zip(y[:-1], y[1:], z[:-1], z[1:], strict=True)
    ]
    arch = Structure((sheet("vault", strips),))
    one, other = (np.array([0.3, s, 3.0 - r + np.sqrt(r**2 - s**2)]) for s in (-0.4, 1.6))
    length = taped(arch.soup, np.array([0]), one, other)
    assert length == pytest.approx(r * (asin(1.6 / r) + asin(0.4 / r)), abs=1e-5)
    low = block("low", (-1, -1, 2.5), (0, 1, 2.6), Kind.ROOF)
    high = block("high", (0, -1, 2.9), (1, 1, 3.0), Kind.ROOF)
    stepped = Structure((low, high))
    both = np.array([0, 1])
    a, b = np.array([-0.3, 0.0, 2.5]), np.array([0.3, 0.0, 2.9])
    assert taped(stepped.soup, both, a, b) == pytest.approx(0.6 + 0.4, abs=1e-9)
    far = block("far", (0.5, -1, 2.9), (1, 1, 3.0), Kind.ROOF)
    gap = Structure((low, far))
    c = np.array([0.7, 0.0, 2.9])
    assert taped(gap.soup, both, a, c) == pytest.approx(0.3 + hypot(0.5, 0.4) + 0.2, abs=1e-9)


def test_where_it_fails_the_least_arms_would_do() -> None:
    short = bracket(arm=0.1, fine=0.02)
    roof = slope(atan(6 / 12))
    (mount,) = hung([roof], [heater(heading=0.4)], [short])
    assert not mount.holds
    found = answer(mount)
    assert found.least_arms is not None
    least = found.least_arm
    assert least == min(found.least_arms)
    first, second = found.least_arms
    # Made so, it holds; a millimetre shorter, it does not.
    for less, holds in ((0.0, True), (0.001, False)):
        made = bracket(
            arm=min(first, second) - less, extensions=(abs(first - second),), fine=0.0,
        )  # fmt: skip
        (again,) = hung([roof], [heater(heading=0.4)], [made])
        assert again.holds is holds


def test_nothing_is_asked_of_an_arm_in_the_open() -> None:
    kind = heater_type(length=0.3, combustible=Distances(above=0.1, sides=0.1, ends=0.05, below=1))
    slats = [
        block(f"slats {i}", (x - 0.05, -2, 3), (x + 0.05, 2, 3.1), Kind.ROOF, owner="slats")
        for i, x in enumerate((-0.3, 0.3))
    ]
    (mount,) = hung(slats, [heater()], [bracket(arm=0.2, fine=0.0)], [kind])
    assert answer(mount).least_arm == 0.0


# ------------------------------------------------------------------------ the steepest pitch


def served(rise: float, stock: list[object], heading: float) -> bool:
    (mount,) = hung([slope(atan(rise / 12))], [heater(heading=heading)], stock)  # type: ignore[arg-type]
    return mount.holds


@pytest.mark.parametrize("style", ["square", "plumb"])
@pytest.mark.parametrize("heading", [0.0, 0.6, pi / 2])
def test_the_steepest_pitch_is_served_and_a_quarter_more_is_not(style: str, heading: float) -> None:
    stock = [
        bracket(
            style=style, arm=0.25, extensions=(0.1, 0.2), fine=0.06, hinge_along=0.7,
            hinge_across=0.8,
        )
    ]  # fmt: skip
    (mount,) = hung([slope(atan(2 / 12))], [heater(heading=heading)], stock)
    most = answer(mount).steepest_pitch
    assert most is not None
    assert mount.holds is served(2, stock, heading)  # type: ignore[arg-type]
    rise = 12 * tan(most)
    assert served(rise, stock, heading)  # type: ignore[arg-type]
    assert not served(rise + 0.25, stock, heading)  # type: ignore[arg-type]
    # Under a steeper one than that it says the steepest that is served below.
    (beyond,) = hung([slope(atan((rise + 1) / 12))], [heater(heading=heading)], stock)
    if not beyond.holds:
        less = answer(beyond).steepest_pitch
        assert less is not None
        assert less >= most - 1e-9


def test_level_followed_and_endless_have_no_steepest_pitch() -> None:
    stock = [bracket(arm=0.25, fine=0.1)]
    (level,) = hung([slope(0.0)], [heater()], stock)
    (follows,) = hung([slope(0.2)], [heater(attitude="slope")], stock)
    (endless,) = hung([slope(0.2)], [heater()], [bracket(fine=40.0)])
    for mount in (level, follows, endless):
        assert mount.holds, mount.faults
        assert answer(mount).steepest_pitch is None


def test_on_a_wall_the_feet_are_as_far_apart_as_the_arms() -> None:
    house = block("house wall", (-4, 3.0, 0), (4, 3.3, 2.7), Kind.WALL)
    one = heater(at=(0.0, 3.0), mount="wall", height=2.0, tilt=0.4)
    arm = bracket(mount="wall", arm=0.3, fine=0.5)
    (mount,) = hang(*site([house], [one], [arm], wall=(wall(house),)))
    found = answer(mount)
    assert (found.feet_spacing_along, found.feet_spacing_level) == pytest.approx((0.6, 0.6))
    assert found.drop_difference == pytest.approx(0.0, abs=1e-12)
    assert found.steepest_pitch is None
