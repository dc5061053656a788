"""What is said of the shorter brackets, of the parts, and of the pitch that the stock serves."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, pi, tan

import pytest

from heatcore.geometry.parts import Kind
from heatcore.scene.types import Distances
from heatcore.units import UnitSystem
from tests.core.mounting_site import beam, block, bracket, heater, heater_type, hung, slope
from tests.core.test_mounting_faults import FLAT, SLOPE, STOCK, mounted, only


def test_the_shorter_brackets_are_told_with_both_figures_in_the_sites_units() -> None:
    inch = 0.0254
    kind = heater_type(
        combustible=Distances(above=6 * inch, sides=18 * inch, ends=18 * inch, below=36 * inch),
        pivot_height=inch,
    )
    stock = [
        bracket(name="close", label="Close", arm=2.25 * inch, fine=0.0),
        bracket(name="arm", arm=2 * inch, extensions=(2 * inch, 6 * inch), fine=0.0),
    ]
    mount = hung([FLAT], [heater()], stock, [kind], units=UnitSystem.IMPERIAL)[0]
    assert mount.holds
    assert mount.arms[0].extensions == (6 * inch,)
    reasons = [passed.reason for passed in mount.passed]
    assert reasons == [
        'arm bracket leaves 3" above the body, to roof; 6" is required',
        'close bracket leaves 3 1/4" above the body, to roof; 6" is required',
        'arm bracket with an extension of 2" on each arm leaves 5" above the body, to roof; '
        '6" is required',
    ]
    assert [passed.shortfall for passed in mount.passed] == pytest.approx(
        [3 * inch, 2.75 * inch, inch], abs=1e-9
    )
    assert mount.parts == (
        '2 x arm bracket, 2"',
        '2 x extension 6"',
        '2 x plate, 2 3/8" x 2 3/8"',
    )


def test_a_bracket_that_does_not_suit_is_passed_over_with_its_reason() -> None:
    stock = [
        bracket(name="weak", arm=0.05, fine=0.5, load=5.0),
        bracket(name="stiff", arm=0.06, fine=0.5, hinge_across=0.1),
        bracket(name="upright", arm=0.07, fine=0.5, tilt_to=0.1),
        bracket(name="long", arm=0.5, fine=0.5),
    ]
    mount = hung([SLOPE], [heater(tilt=0.2)], stock)[0]
    assert mount.bracket.name == "long"
    assert mount.holds
    assert {passed.bracket: passed.reason.split(" bracket ")[1] for passed in mount.passed} == {
        "weak": "carries 5 kg; linear weighs 9 kg",
        "stiff": "leans 5.7 deg across the body at most; roof asks 26.6 deg",
        "upright": "tilts from -85.9 deg to 5.7 deg; 11.5 deg is asked for",
    }
    assert [p.shortfall for p in mount.passed] == pytest.approx(
        [4.0, atan(0.5) - 0.1, 0.1], abs=1e-6
    )


def test_what_needs_structure_is_passed_over_where_there_is_none() -> None:
    stock = [
        bracket(name="lag", arm=0.1, fine=0.5, structure_only=True),
        bracket(name="toggle", arm=0.15, fine=0.5),
    ]
    mount = hung([FLAT], [heater()], stock)[0]
    assert mount.bracket.name == "toggle"
    (passed,) = mount.passed
    assert passed.reason == "lag bracket does not find a timber or masonry for both its plates"


def test_a_pair_that_misses_the_height_is_passed_over() -> None:
    stock = [bracket(arm=0.2, extensions=(0.1,), fine=0.0)]
    mount = hung([FLAT], [heater(height=3.0 - 0.3 - 0.13)], stock)[0]
    assert mount.holds
    assert [passed.reason for passed in mount.passed] == [
        "endless bracket hangs it 100 mm off the height asked for"
    ]


def test_a_body_that_pokes_into_the_ceiling_has_gaps_below_nothing() -> None:
    mount = hung([slope(atan(1.0))], [heater()], [bracket(arm=0.06, fine=0.0)])[0]
    assert "arm" in {fault.code for fault in mount.faults}
    # Square to a 12:12 slope the pivot hangs 0.06 m x sqrt 2 under it, the body's top 0.03 m lower;
    # at the downhill edge, 0.1 m off, the ceiling is 0.1 m lower.
    gap = 0.06 * 2**0.5 + 0.03
    assert mount.gaps == pytest.approx([gap - 0.1, gap - 0.1, gap + 0.1, gap + 0.1], abs=1e-9)
    deep = hung([slope(atan(1.0))], [heater()], [bracket(arm=0.01, fine=0.0)])[0]
    assert deep.gaps[0] == pytest.approx(0.01 * 2**0.5 + 0.03 - 0.1, abs=1e-9)
    assert deep.gaps[0] < 0.0


def test_far_too_short_arms_are_told_no_pitch() -> None:
    fault = only(hung([SLOPE], [heater()], [bracket(arm=0.05, fine=0.0)])[0], "arm")
    assert "pitch" not in fault.message


def test_an_arm_with_nothing_near_the_body_spares_all_its_length() -> None:
    short = heater_type(length=0.3, combustible=Distances(above=0.1, sides=0.1, ends=0.05, below=1))
    slats = [
        block(f"slats {i}", (x - 0.05, -2, 3), (x + 0.05, 2, 3.1), Kind.ROOF, owner="slats")
        for i, x in enumerate((-0.3, 0.3))
    ]
    mount = hung(slats, [heater()], [bracket(arm=0.2, fine=0.0)], [short])[0]
    assert mount.holds
    assert mount.spare == pytest.approx(0.2)


def test_a_heater_that_stands_out_from_the_wall_has_arms_as_unequal_as_it_is_long() -> None:
    endless = replace(STOCK["wall"], arm=0.3, fine=3.0, hinge_along=2.0)
    mount = mounted("wall", endless, heading=pi / 2)
    assert mount.arms[0].length - mount.arms[1].length == pytest.approx(0.6, abs=1e-9)
    assert abs(mount.arms[0].lean_along) == pytest.approx(pi / 2, abs=1e-9)
    for arm in mount.arms:
        assert arm.plate[:, 1] == pytest.approx([3.0] * 4, abs=1e-12)


def test_equal_arms_are_told_why_they_cannot_hang_it_level() -> None:
    stock = [bracket(arm=0.25, extensions=(0.25,), fine=0.05)]
    mount = hung([SLOPE], [heater(heading=pi / 2)], stock)[0]
    assert mount.holds
    assert mount.passed[0].reason == (
        "endless bracket, with the same extensions on both arms, cannot hang it level: its arms "
        "can differ by 50 mm, and must by 269 mm"
    )
    assert mount.parts[1] == "1 x extension 250 mm"


def test_a_plate_that_does_not_sit_passes_a_bracket_over() -> None:
    narrow = block("main beam", (-4, -0.025, 2.6), (4, 0.025, 2.85))
    clamps = [
        bracket(name="wide clamp", mount="beam", arm=0.15, fine=0.1, plate_width=0.08),
        bracket(name="slim clamp", mount="beam", arm=0.19, fine=0.1, plate_width=0.04),
    ]
    mount = hung([narrow], [heater(mount="beam")], clamps, beam=(beam(narrow),))[0]
    assert mount.bracket.name == "slim clamp"
    assert mount.holds
    (passed,) = mount.passed
    assert "15 mm past an edge or a fold of main beam" in passed.reason


def test_where_the_slope_is_the_cause_the_steepest_pitch_is_said() -> None:
    kind = heater_type(combustible=Distances(above=0.1, sides=0.2, ends=0.2, below=0.9))
    stock = [bracket(arm=0.2, fine=0.05)]
    mount = hung([SLOPE], [heater(heading=pi / 2)], stock, [kind], units=UnitSystem.IMPERIAL)[0]
    assert only(mount, "level")
    # By hand: level along the fall line, arms differ by 0.6 sin s, of which 0.05 m can be taken up;
    # low arm 0.2 m, high one 0.25 m: sin s <= 0.05 / 0.6. 1:12 is sin 0.0830, 1.25:12 is 0.1036.
    assert "up to 1:12" in mount.faults[0].message
    at_limit = hung([slope(atan(1 / 12))], [heater(heading=pi / 2)], stock, [kind])[0]
    beyond = hung([slope(atan(1.25 / 12))], [heater(heading=pi / 2)], stock, [kind])[0]
    assert at_limit.holds
    assert not beyond.holds


def test_short_arms_under_a_steep_pitch_are_told_the_steepest_they_serve() -> None:
    stock = [bracket(arm=0.15, fine=0.1)]
    mount = hung([slope(atan(9 / 12))], [heater()], stock, units=UnitSystem.IMPERIAL)[0]
    fault = only(mount, "arm")
    # By hand: along the contour G cos s <= 0.25 m, G = max(0.2 / cos s + 0.1 t, 0.55 t) - 0.03.
    served = [
        rise / 4
        for rise in range(37)
        if (
            max(0.2 / cos(s := atan(rise / 48)) + 0.1 * tan(s), 0.55 * tan(s)) - 0.03
        ) * cos(s) <= 0.25
    ]  # fmt: skip
    assert f"up to {max(served):g}:12" in fault.message
    assert '"' in fault.message
