"""What is said where nothing stocked is right, and of the shorter brackets that do not do."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, degrees, pi, sin, tan

import numpy as np
import pytest

from heatcore.geometry.parts import Kind, Part
from heatcore.mounting.mount import Fault, Mount
from heatcore.scene.types import BracketType, Distances
from heatcore.units import UnitSystem
from tests.core.mounting_site import (
    LINEAR,
    beam,
    block,
    bracket,
    heater,
    heater_type,
    hung,
    rafters,
    slope,
    wall,
)

FLAT = slope(0.0)
SLOPE = slope(atan(6 / 12))
WALL = block("house wall", (-4, 3.0, 0), (4, 3.3, 4), Kind.WALL)
BEAM = block("main beam", (-4, -0.1, 2.6), (4, 0.1, 2.85))

# An arm that does under the flat ceiling (0.17 m: `above` less the pivots' height), by its mount.
STOCK = {
    "ceiling": bracket(name="arm", arm=0.15, fine=0.05),
    "stem": bracket(name="stem", mount="stem", style="plumb", arm=0.15, fine=0.05),
    "beam": bracket(name="clamp", mount="beam", style="plumb", arm=0.15, fine=0.05),
    "wall": bracket(name="wall arm", mount="wall", arm=0.55, fine=0.05),
}
MOUNTS = tuple(STOCK)


def mounted(
    how: str, stock: BracketType | None = None, parts: tuple[Part, ...] | None = None,
    kind: object = LINEAR, **changes: object,
) -> Mount:  # fmt: skip
    """One heater on its usual mount: it holds, unless something is changed."""
    usual = {
        "ceiling": ((FLAT,), {}),
        "stem": ((FLAT,), {"mount": "stem"}),
        "beam": ((BEAM,), {"mount": "beam"}),
        "wall": ((WALL,), {"mount": "wall", "at": (0.0, 3.0), "height": 2.4}),
    }
    some, own = usual[how]
    parts = parts or some
    return hung(
        parts,
        [heater(**(own | changes))],
        [stock or STOCK[how]],
        [kind],
        wall=(wall(WALL),),
        beam=(beam(BEAM),),
        rafters=(rafters("rafters", "roof"),),
    )[0]


def only(mount: Mount, code: str) -> Fault:
    """The faults are all of one code; the first of them."""
    assert [fault.code for fault in mount.faults] == [code] * len(mount.faults)
    fault = mount.faults[0]
    assert fault.message
    assert not mount.holds
    return fault


@pytest.mark.parametrize("how", MOUNTS)
def test_the_usual_mounts_hold(how: str) -> None:
    mount = mounted(how)
    assert mount.holds, mount.faults
    assert mount.spare >= 0.0
    assert all(arm.overhang == 0.0 for arm in mount.arms)


@pytest.mark.parametrize("how", MOUNTS)
def test_too_short_an_arm_says_what_would_do(how: str) -> None:
    mount = mounted(how, replace(STOCK[how], arm=0.12, extensions=(0.01,), fine=0.0))
    fault = only(mount, "arm")
    needed = 0.55 if how == "wall" else 0.17
    # The longest that is stocked fails least.
    assert fault.measured == pytest.approx(0.13, abs=1e-9)
    assert fault.required == pytest.approx(needed, abs=1e-9)
    assert mount.spare == pytest.approx(0.13 - needed, abs=1e-9)
    assert f"{needed * 1000:.0f} mm from the surface" in fault.message
    assert mount.arms[0].extensions == (0.01,)
    (passed,) = mount.passed
    assert passed.extensions == ((), ())
    assert passed.shortfall == pytest.approx(needed - 0.12, abs=1e-9)
    if how != "wall":
        assert "leaves 150 mm above the body" in passed.reason
        assert "200 mm are required" in passed.reason


@pytest.mark.parametrize("how", ["ceiling", "stem"])
def test_arms_that_cannot_differ_enough_cannot_hang_it_level(how: str) -> None:
    stock = replace(STOCK[how], fine=0.05, arm=0.3)
    fault = only(mounted(how, stock, (SLOPE,), heading=pi / 2), "level")
    s = atan(0.5)
    assert fault.measured == pytest.approx(0.05, abs=1e-9)
    assert fault.required == pytest.approx(0.6 * (sin(s) if how == "ceiling" else tan(s)), abs=1e-9)
    # Across the slope the same arms hang it level.
    assert mounted(how, stock, (SLOPE,), heading=0.0).holds


def test_a_skew_wall_and_a_sloping_timber_ask_for_unequal_arms_too() -> None:
    stock = replace(STOCK["wall"], arm=0.7, fine=0.05)
    fault = only(mounted("wall", stock, heading=pi + 0.3), "level")
    assert fault.required == pytest.approx(0.6 * sin(0.3), abs=1e-9)
    ring = [(-3, -0.1, 2.4), (3, -0.1, 3.6), (3, 0.1, 3.6), (-3, 0.1, 2.4)]
    timber = replace(
        slope(0.0, name="rafters 1"), owner="rafters", kind=Kind.RAFTER, mesh=_prism(ring)
    )
    clamp = mounted("beam", replace(STOCK["beam"], arm=0.3), (timber,), mounted_on="rafters")
    assert only(clamp, "level").required == pytest.approx(0.6 * 0.2, abs=1e-9)


def _prism(ring: list[tuple[float, float, float]]) -> object:
    from tests.core.mounting_site import sheet

    return sheet("x", [ring], 0.15).mesh


@pytest.mark.parametrize(("heading", "limits"), [(pi / 2, (0.3, 1.5)), (0.0, (1.5, 0.3))])
@pytest.mark.parametrize("how", ["ceiling", "stem"])
def test_a_hinge_has_its_limit(how: str, heading: float, limits: tuple[float, float]) -> None:
    along, across = limits
    stock = replace(STOCK[how], hinge_along=along, hinge_across=across, arm=0.5, fine=0.5)
    fault = only(mounted(how, stock, (SLOPE,), heading=heading), "hinge")
    assert fault.measured == pytest.approx(atan(0.5), abs=1e-9)
    assert fault.required == 0.3
    assert "leans 17.2 deg" in fault.message
    assert "26.6 deg" in fault.message
    # 0.3 rad is 3.71:12, so quarters of an inch end at 3.5:12, atan(3.5 / 12).
    assert f"up to {degrees(atan(3.5 / 12)):.1f} deg" in fault.message


def test_the_hinges_of_a_wall_arm_and_a_clamp_have_their_limits() -> None:
    stiff = replace(STOCK["wall"], hinge_along=0.1, arm=0.55, fine=0.5)
    fault = only(mounted("wall", stiff, heading=pi + 0.2), "hinge")
    assert (fault.measured, fault.required) == pytest.approx((0.2, 0.1), abs=1e-9)
    ring = [(-3, -0.1, 2.4), (3, -0.1, 3.6), (3, 0.1, 3.6), (-3, 0.1, 2.4)]
    timber = replace(
        slope(0.0, name="rafters 1"), owner="rafters", kind=Kind.RAFTER, mesh=_prism(ring)
    )
    clamp = replace(STOCK["beam"], hinge_along=0.1, arm=0.3, fine=0.5)
    fault = only(mounted("beam", clamp, (timber,), mounted_on="rafters"), "hinge")
    assert fault.measured == pytest.approx(atan(0.2), abs=1e-9)


@pytest.mark.parametrize("how", MOUNTS)
def test_a_tilt_has_the_limits_of_bracket_and_type(how: str) -> None:
    stock = replace(STOCK[how], tilt_from=-0.1, tilt_to=0.3, fine=1.0)
    fault = only(mounted(how, stock, tilt=0.4), "tilt")
    assert (fault.measured, fault.required) == pytest.approx((0.4, 0.3), abs=1e-12)
    fault = only(mounted(how, stock, tilt=-0.2), "tilt")
    assert (fault.measured, fault.required) == pytest.approx((-0.2, -0.1), abs=1e-12)
    stiff = heater_type(tilt_from=0.0, tilt_to=0.2)
    fault = only(mounted(how, stock, kind=stiff, tilt=0.25), "tilt")
    assert (fault.measured, fault.required) == pytest.approx((0.25, 0.2), abs=1e-9)
    assert "14.3 deg" in fault.message
    aimed = mounted(how, stock, aim_at=(0.0, -9.0 if how == "wall" else 9.0, 1.0))
    assert {f.code for f in aimed.faults} == {"tilt"}


def test_following_a_slope_counts_as_leaning_for_the_type() -> None:
    stiff = heater_type(tilt_from=-0.2, tilt_to=0.2)
    fault = only(mounted("ceiling", None, (SLOPE,), stiff, attitude="slope"), "tilt")
    assert fault.measured == pytest.approx(atan(0.5), abs=1e-9)
    assert mounted("ceiling", None, (SLOPE,), stiff, attitude="slope", heading=pi / 2).holds


@pytest.mark.parametrize("how", MOUNTS)
def test_a_plate_must_lie_wholly_on_its_surface(how: str) -> None:
    # The second arm's plate, 60 mm long, is centred 10 mm from the surface's end.
    end = 0.31
    part = {"ceiling": FLAT, "stem": FLAT, "beam": BEAM, "wall": WALL}[how]
    mesh = part.mesh
    x = np.clip(mesh.vertices[:, 0], -4.0, end)
    if how == "wall":  # its heading runs toward -X, so the first arm is at +X there too
        x = np.clip(mesh.vertices[:, 0], -end, 4.0)
    cut = replace(
        part, mesh=mesh.__class__(np.column_stack([x, mesh.vertices[:, 1:]]), mesh.triangles)
    )
    fault = only(mounted(how, None, (cut,)), "plate")
    assert fault.measured == pytest.approx(0.02, abs=1e-9)
    assert fault.required == 0.0
    assert "20 mm beyond" in fault.message
    assert fault.object == part.name


@pytest.mark.parametrize("how", MOUNTS)
def test_an_arm_must_find_something_to_stand_on(how: str) -> None:
    part = {"ceiling": FLAT, "stem": FLAT, "beam": BEAM, "wall": WALL}[how]
    mesh = part.mesh
    # One arm, at 0.3 m, has its pivot 0.1 m beyond the end.
    x = np.clip(mesh.vertices[:, 0], -0.2, 4.0) if how == "wall" else np.clip(
        mesh.vertices[:, 0], -4.0, 0.2)  # fmt: skip
    cut = replace(
        part, mesh=mesh.__class__(np.column_stack([x, mesh.vertices[:, 1:]]), mesh.triangles)
    )
    mount = mounted(how, None, (cut,))
    fault = only(mount, "surface")
    assert fault.measured == pytest.approx(0.1, abs=1e-9)
    assert mount.arms[1].overhang == pytest.approx(0.13, abs=1e-9)
    assert mount.arms[0].overhang == 0.0


def test_a_clamp_across_a_narrow_beam_finds_nothing() -> None:
    fault = only(mounted("beam", heading=pi / 2), "surface")
    assert fault.measured == pytest.approx(0.2, abs=1e-9)
    wide = block("main beam", (-4, -0.4, 2.6), (4, 0.4, 2.85))
    assert mounted("beam", None, (wide,), heading=pi / 2).holds


def test_an_opening_in_the_wall_is_nothing_to_stand_on() -> None:
    left = replace(block("a", (-4, 3.0, 0), (0.2, 3.3, 4), Kind.WALL), owner="house wall")
    mount = mounted("wall", None, (left,))
    assert [f.code for f in mount.faults] == ["surface"]


@pytest.mark.parametrize("how", ["ceiling", "stem"])
def test_what_must_be_screwed_to_structure_says_how_far_off_it_is(how: str) -> None:
    stock = replace(STOCK[how], structure_only=True, fine=0.3)
    timbers = tuple(
        block(f"rafters {i}", (x - 0.05, -4, 2.9), (x + 0.05, 4, 3.0), Kind.RAFTER, owner="rafters")
        for i, x in enumerate((-0.3, 0.5))
    )
    mount = mounted(how, stock, (FLAT, *timbers))
    fault = only(mount, "structure")
    # The second arm, at x = 0.3 m, is 0.15 m beside the second timber.
    assert fault.measured == pytest.approx(0.15, abs=1e-6)
    moved = (timbers[0], block("rafters 1", (0.25, -4, 2.9), (0.35, 4, 3.0), Kind.RAFTER,
                               owner="rafters"))  # fmt: skip
    good = mounted(how, stock, (FLAT, *moved))
    assert good.holds
    assert [arm.surface for arm in good.arms] == ["rafters 0", "rafters 1"]
    assert not mounted(how, stock, (FLAT,)).holds
    assert mounted(how, stock, (replace(FLAT, material="concrete"),)).holds


def test_a_wall_arm_that_needs_masonry_gets_none_from_stucco() -> None:
    stock = replace(STOCK["wall"], structure_only=True)
    fault = only(mounted("wall", stock, (replace(WALL, material="stucco"),)), "structure")
    assert fault.measured == np.inf
    assert mounted("wall", stock, (replace(WALL, material="brick"),)).holds
    assert mounted("beam", replace(STOCK["beam"], structure_only=True)).holds


@pytest.mark.parametrize("how", MOUNTS)
@pytest.mark.parametrize(("spacing", "limit"), [(0.35, 0.4), (0.95, 0.9)])
def test_the_spacing_is_held_to_the_type(how: str, spacing: float, limit: float) -> None:
    fault = only(mounted(how, spacing=spacing), "spacing")
    assert (fault.measured, fault.required) == (spacing, limit)


@pytest.mark.parametrize("how", MOUNTS)
def test_too_heavy_a_heater_is_said_so(how: str) -> None:
    fault = only(mounted(how, replace(STOCK[how], load=8.0)), "load")
    assert (fault.measured, fault.required) == (9.0, 8.0)
    assert mounted(how, replace(STOCK[how], load=9.0)).holds


# -------------------------------------------------------------------------------- a set height


@pytest.mark.parametrize("how", ["ceiling", "stem", "beam"])
def test_a_set_height_is_met_by_the_stock_that_reaches_it(how: str) -> None:
    stock = replace(STOCK[how], extensions=(0.1, 0.3), stack=1, fine=0.05)
    top = 2.6 if how == "beam" else 3.0
    for arm, extension in ((0.19, ()), (0.27, (0.1,)), (0.48, (0.3,))):
        mount = mounted(how, stock, height=top - arm - LINEAR.height - LINEAR.pivot_height)
        assert mount.holds
        assert mount.arms[0].length == pytest.approx(arm, abs=1e-9)
        assert mount.arms[0].extensions == extension
        assert mount.spare == pytest.approx(arm - 0.17, abs=1e-9)
    # Between 0.3 m and 0.45 m there is nothing: 0.3 m is nearer to 0.36 m.
    wanted = top - 0.36 - 0.13
    fault = only(mounted(how, stock, height=wanted), "height")
    assert fault.required == pytest.approx(wanted)
    assert fault.measured == pytest.approx(top - 0.3 - 0.13)
    # What rounding to the shown eighth of an inch can hide is met.
    assert mounted(how, stock, height=top - 0.3015 - 0.13).holds


@pytest.mark.parametrize("how", ["ceiling", "stem", "beam"])
def test_too_high_a_height_says_which_would_do(how: str) -> None:
    top = 2.6 if how == "beam" else 3.0
    fault = only(mounted(how, height=top - 0.16 - 0.13), "height")
    assert fault.measured == pytest.approx(top - 0.29)
    assert fault.required == pytest.approx(top - 0.17 - 0.13)
    assert "190 mm above the body" in fault.message
    # A height rounded up to the eighth of an inch that a sheet shows hangs as low as it must.
    rounded = mounted(how, height=top - 0.1685 - 0.13)
    assert rounded.holds
    assert rounded.arms[0].length == pytest.approx(0.17, abs=1e-9)


def test_a_wall_heater_too_near_the_roof_is_told_a_height() -> None:
    mount = mounted("wall", None, (WALL, slope(0.0, height=2.6)))
    fault = only(mount, "height")
    assert fault.object == "roof"
    assert fault.measured == pytest.approx(2.4)
    # 0.2 m above the body, whose top is 0.1 m over its lower face.
    assert fault.required == pytest.approx(2.6 - 0.2 - 0.1, abs=1e-9)
    assert mounted("wall", None, (WALL, slope(0.0, height=2.6)), height=2.3).holds


# ------------------------------------------------------------------------------------- words


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
        'arm bracket leaves 3" above the body, to roof; 6" are required',
        'close bracket leaves 3 1/4" above the body, to roof; 6" are required',
        'arm bracket with 2" on either arm leaves 5" above the body, to roof; 6" are required',
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
        "endless bracket cannot hang it level: its arms can differ by 50 mm, and must by 268 mm"
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
    assert "15 mm beyond main beam" in passed.reason


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
