"""Brackets that are there already: their fine adjustment takes up a little, and no more."""

from __future__ import annotations

from math import atan
from time import process_time

import pytest

from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater
from tests.core.mounting_site import bracket, heater, hung, site, slope

PITCH = atan(4 / 12)
STOCK = [
    bracket(name="short", arm=0.2, extensions=(0.1, 0.2, 0.3), stack=2, fine=0.05),
    bracket(name="plumb", style="plumb", arm=0.2, extensions=(0.1, 0.2, 0.3), fine=0.05),
]


def ordered(ceiling: float, pitch: float = PITCH, **changes: object) -> tuple[Mount, Mount]:
    """The heater as it was ordered, and on the same brackets under a ceiling that is another."""
    one: Heater = heater(**{"heading": 0.5} | changes)
    (before,) = hung([slope(PITCH)], [one], STOCK)
    scene, model = site([slope(pitch, ceiling)], [one], STOCK)
    (after,) = hang(scene, model, ordered={"H1": before})
    return before, after


def test_the_same_ceiling_takes_the_same_brackets() -> None:
    before, after = ordered(3.0)
    assert after.holds
    assert after.bracket is before.bracket
    assert [a.extensions for a in after.arms] == [a.extensions for a in before.arms]
    assert after.frame.origin == pytest.approx(before.frame.origin, abs=1e-12)
    assert after.passed == ()
    assert after.answer is not None
    assert before.answer is not None
    assert after.answer.least_arms == pytest.approx(before.answer.least_arms)
    assert after.answer.steepest_pitch is None


def test_a_higher_ceiling_lifts_the_heater_on_the_same_arms() -> None:
    before, after = ordered(3.02)
    assert after.holds
    assert after.frame.origin[2] - before.frame.origin[2] == pytest.approx(0.02, abs=1e-9)
    assert [a.length for a in after.arms] == pytest.approx([a.length for a in before.arms])


def test_the_fine_adjustment_keeps_a_set_height_as_far_as_it_goes() -> None:
    # Along the contour both arms are alike, and have all of their fine adjustment.
    before, after = ordered(3.01, height=2.3, heading=0.0)
    # Within what rounding to a drawing's eighth of an inch hides.
    assert after.frame.origin[2] == pytest.approx(2.3, abs=0.002)
    for one, other in zip(before.arms, after.arms, strict=True):
        assert other.extensions == one.extensions
        assert 0.0 <= other.fine <= 0.05 + 1e-9
    _, far = ordered(3.2, height=2.3, heading=0.0)
    assert "height" in {fault.code for fault in far.faults}


def test_a_little_more_pitch_is_taken_up_and_much_more_is_not() -> None:
    before, after = ordered(3.0, PITCH + 0.01)
    assert [a.extensions for a in after.arms] == [a.extensions for a in before.arms]
    assert not {"level"} & {fault.code for fault in after.faults}
    _, far = ordered(3.0, PITCH + 0.25)
    codes = {fault.code for fault in far.faults}
    assert codes & {"level", "arm"}
    # Another pair does it, but that was not ordered.
    assert hung([slope(PITCH + 0.25)], [heater(heading=0.5)], STOCK)[0].holds
    assert [a.extensions for a in far.arms] == [a.extensions for a in before.arms]


def test_others_choose_freely_beside_it() -> None:
    one, two = heater(heading=0.5), heater(name="H2", at=(3.0, 1.0))
    (before,) = hung([slope(PITCH)], [one], STOCK)
    scene, model = site([slope(PITCH, 3.1)], [one, two], STOCK)
    after, free = hang(scene, model, {"H1": before})
    assert after.bracket is before.bracket
    assert free.passed or free.holds
    (alone,) = hung([slope(PITCH, 3.1)], [two], STOCK)
    assert free.frame.origin == pytest.approx(alone.frame.origin)


def test_hanging_on_what_was_ordered_is_quick() -> None:
    """Four times what it takes on a slow machine: only a real loss of speed fails."""
    one = heater(heading=0.5)
    scene, model = site([slope(PITCH)], [one], STOCK)
    before = {"H1": hang(scene, model)[0]}
    took = []
    for _ in range(10):
        start = process_time()
        hang(scene, model, before)
        took.append(process_time() - start)
    assert 1000.0 * min(took) < 40.0
