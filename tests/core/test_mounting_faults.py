"""What is said where nothing stocked is right, and of the shorter brackets that do not do."""

from __future__ import annotations

from dataclasses import replace
from math import atan, degrees, pi, sin, tan

import numpy as np
import pytest

from heatcore.geometry.parts import Kind, Part
from heatcore.mounting.mount import Fault, Mount
from heatcore.scene.types import BracketType
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
        assert "200 mm is required" in passed.reason


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
    assert "20 mm past" in fault.message
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
