"""Mounting height and what the mounting found, as findings."""

from dataclasses import replace

import numpy as np
import pytest

from heatcore.checks import check
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.height import HIGH_LEVEL
from heatcore.geometry.frames import heading_axes
from heatcore.mounting.mount import Fault
from tests.core.checks_site import BRACKET, SCENE, floor, model, mount, platform


def found(heater, prefix, *more):
    findings = check(SCENE, model(floor(), *more), [heater])
    return {f.code: f for f in findings if f.code.startswith(prefix)}


def test_the_lowest_part_is_held_against_the_types_range():
    heights = found(mount(), "height.")
    least, most = heights["height.least"], heights["height.most"]
    assert (least.measured, least.required, least.object) == (2.4, 2.1, "floor")
    assert least.margin == pytest.approx(0.3)
    assert (most.measured, most.required, most.at_most) == (2.4, 3.5, True)
    assert most.margin == pytest.approx(1.1)
    assert {least.verdict, most.verdict} == {Verdict.HOLDS}
    assert least.point == pytest.approx([0, 0, 0])


@pytest.mark.parametrize(
    ("height", "least", "most"),
    [
        (2.1, Verdict.HOLDS, Verdict.HOLDS),
        (2.099, Verdict.FAILS, Verdict.HOLDS),
        (3.5, Verdict.HOLDS, Verdict.HOLDS),
        (3.501, Verdict.HOLDS, Verdict.FAILS),
    ],
)
def test_at_exactly_the_limit_it_holds(height, least, most):
    heights = found(mount("H1", (0, 0, height)), "height.")
    assert (heights["height.least"].verdict, heights["height.most"].verdict) == (least, most)
    assert (heights["height.most"].margin < 0) is (most is Verdict.FAILS)


def test_a_tilted_heaters_lowest_edge_counts():
    tilted = mount("H1", axes=heading_axes(0.0, np.radians(30)))
    least = found(tilted, "height.")["height.least"]
    assert least.measured == pytest.approx(2.4 - 0.1 * np.sin(np.radians(30)))
    # It leans the beam toward +Y, which lifts that edge: the lowest is the other one.
    assert least.heater_point[1] == pytest.approx(-0.1 * np.cos(np.radians(30)))


def test_the_general_height_counts_where_the_type_asks_less():
    # IEC 60335-2-30, 7.12.1: 1.8 m; from memory, not checked against the printed standard.
    assert HIGH_LEVEL.value == 1.8
    least = found(mount("H1", (0, 0, 1.7), least_height=1.5), "height.")["height.least"]
    assert (least.required, least.verdict) == (1.8, Verdict.FAILS)
    assert "IEC 60335-2-30" in least.source
    assert "from memory" in least.source
    assert found(mount(least_height=2.2), "height.")["height.least"].source == ""


@pytest.mark.parametrize(
    ("height", "verdict"), [(0.3, Verdict.HOLDS), (0.301, Verdict.FAILS), (0.299, Verdict.HOLDS)]
)
def test_it_hangs_as_high_above_whatever_people_stand_on(height, verdict):
    stage = platform((-1, -1), (1, 1), height)
    least = found(mount(), "height.", stage)["height.least"]
    assert (least.object, least.required, least.verdict) == ("stage", 2.1, verdict)
    assert least.measured == pytest.approx(2.4 - height)
    assert least.point == pytest.approx([0, 0, height])


def test_a_platform_counts_as_far_as_people_lean_beyond_its_edge():
    # Common practice, no source: 0.3 m. The body's side is 0.1 m from its middle.
    for away, name in ((0.3, "stage"), (0.301, "floor")):
        stage = platform((-1, 0.1 + away), (1, 3), 0.5)
        assert found(mount(), "height.", stage)["height.least"].object == name


def test_the_highest_of_several_platforms_decides():
    steps = [platform((-1, -1), (1, 1), z, f"step {z}") for z in (0.2, 0.6, 0.4)]
    assert found(mount(), "height.", *steps)["height.least"].object == "step 0.6"


def test_at_most_counts_from_the_floor_unless_platforms_lie_under_all_of_it():
    high = mount("H1", (0, 0, 3.6))
    part_of_it = platform((-1, -1), (0, 1), 0.3, "a")
    other = platform((0, -1), (1, 1), 0.2, "b")
    most = found(high, "height.", part_of_it)["height.most"]
    assert (most.object, most.verdict) == ("floor", Verdict.FAILS)
    most = found(high, "height.", part_of_it, other)["height.most"]
    assert (most.object, most.verdict, most.measured) == ("b", Verdict.HOLDS, pytest.approx(3.4))


def test_beyond_the_floors_edge_the_height_is_to_be_checked():
    over, beyond = (found(mount("H1", (0, y, 2.4)), "height.") for y in (4.9, 4.95))
    assert over["height.least"].note == ""
    assert "beyond the floor's edge" in beyond["height.least"].note
    assert beyond["height.least"].measured == pytest.approx(2.4)


@pytest.mark.parametrize(("rating", "verdict"), [(9.0, Verdict.HOLDS), (8.9, Verdict.FAILS)])
def test_the_mass_is_held_against_the_brackets_rating_where_that_is_given(rating, verdict):
    assert "mount.load" not in found(mount(), "mount.")
    rated = replace(mount(), bracket=replace(BRACKET, load=rating))
    load = found(rated, "mount.")["mount.load"]
    assert (load.measured, load.required, load.unit, load.at_most) == (9.0, rating, "kg", True)
    assert (load.verdict, load.object) == (verdict, "porch ceiling")


def test_an_overload_that_the_mounting_found_is_told_once():
    faults = (Fault("load", "too heavy", 9.0, 6.0, "gutter"),)
    rated = replace(mount(faults=faults), bracket=replace(BRACKET, load=6.0))
    told = [f for f in check(SCENE, model(floor()), [rated]) if f.code == "mount.load"]
    assert [(f.verdict, f.object) for f in told] == [(Verdict.FAILS, "gutter")]


def test_a_good_mount_says_how_much_arm_it_spares():
    (arm,) = found(mount(spare=0.02), "mount.").values()
    assert (arm.code, arm.verdict, arm.object) == ("mount.arm", Verdict.HOLDS, "porch ceiling")
    # The shorter arm is 0.20 m from surface to pivot.
    assert (arm.measured, arm.required) == pytest.approx((0.2, 0.18))
    assert arm.margin == pytest.approx(0.02)
    assert arm.point == pytest.approx([0.3, 0, 2.73])


def test_every_fault_is_a_finding_that_fails_by_its_figures():
    faults = (
        Fault("arm", "too short", 0.20, 0.25, "porch ceiling"),
        Fault("hinge", "leans too far", 0.70, 0.52, "porch ceiling"),
        Fault("load", "too heavy", 9.0, 6.0, "gutter"),
    )
    mounting = found(mount(faults=faults, spare=-0.05), "mount.")
    assert {code: (f.verdict, f.note, f.unit) for code, f in mounting.items()} == {
        "mount.arm": (Verdict.FAILS, "too short", "m"),
        "mount.hinge": (Verdict.FAILS, "leans too far", "rad"),
        "mount.load": (Verdict.FAILS, "too heavy", "kg"),
    }
    margins = [mounting[c].margin for c in ("mount.arm", "mount.hinge", "mount.load")]
    assert margins == pytest.approx([-0.05, -0.18, -3.0])
    assert mounting["mount.arm"].point == pytest.approx([-0.3, 0, 2.78])
    assert mounting["mount.load"].point == pytest.approx([0, 0, 2.4])


def test_a_findings_margin_counts_from_the_side_that_is_allowed():
    figures = {
        "heater": "H1",
        "object": "",
        "unit": "m",
        "point": (0, 0, 0),
        "heater_point": (0, 0, 0),
    }
    least = Finding("x", Verdict.HOLDS, measured=2.0, required=1.5, **figures)
    most = Finding("x", Verdict.FAILS, measured=2.0, required=1.5, at_most=True, **figures)
    assert (least.margin, most.margin) == (0.5, -0.5)
    assert not least.point.flags.writeable
