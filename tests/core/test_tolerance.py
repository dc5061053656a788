"""What the drawing's tolerances leave of a finding, against closed forms worked by hand."""

from dataclasses import replace
from math import cos, radians, tan

import pytest

from heatcore.checks.finding import Verdict
from heatcore.scene.space import Platform, Post
from heatcore.tolerance import to_measure
from tests.core.mounting_site import LINEAR, Ground, bracket
from tests.core.tolerance_site import ROOF_KEYS, heater, judge, one, roof, scene, wall

SIDES = LINEAR.combustible.sides
HALF_WIDTH = LINEAR.width / 2
SLOPE = {"form": "single_slope", "plate": 2.6, "falls_toward": radians(-90), "material": "timber",
         "measured": ("plate", "thickness", "falls_toward")}  # fmt: skip


@pytest.mark.parametrize("tolerance", [0.002, 0.0127, 0.05])
def test_a_wall_and_a_heater_come_nearer_by_both_tolerances(tolerance: float) -> None:
    # The wall is drawn with 30 mm to spare, or 4 t. Both its ends may stand nearer by the
    # tolerance, and the heater may be set out nearer to it by the same: 2 t, by hand.
    drawn = min(0.03, 4.0 * tolerance)
    at = 4.0 + HALF_WIDTH + SIDES + drawn
    _, told = judge(scene(roof(), wall(at), heater(), tolerance=tolerance))
    found = one(told, "clearance.side", "back wall")
    assert found.doubt is not None
    assert found.margin == pytest.approx(drawn, abs=1e-9)
    assert found.doubt.margin == pytest.approx(drawn - 2 * tolerance, abs=1e-9)
    measured = 2 * tolerance > drawn
    assert found.verdict is (Verdict.MEASURE if measured else Verdict.HOLDS)


def test_the_dimension_that_decides_is_named() -> None:
    place = scene(roof(), wall(4.56, tolerance=0.001), heater(), tolerance=0.0127)
    _, told = judge(place)
    found = one(told, "clearance.side", "back wall")
    assert found.verdict is Verdict.MEASURE
    assert found.doubt is not None
    first = found.doubt.deciding[0]
    assert first.path == 'heater "H1".at.y'
    assert first.words == "the setting-out of H1 across the patio (y)"
    assert (first.drawn, first.unit) == (4.0, "m")
    assert first.worst == pytest.approx(4.0127)
    assert first.effect == pytest.approx(0.0127, abs=1e-9)
    assert {d.path for d in found.doubt.deciding[1:]} == {
        'wall "back wall".from.y',
        'wall "back wall".to.y',
    }


def test_a_platform_that_is_higher_than_drawn_brings_people_nearer() -> None:
    # 10 mm to spare over a platform that may be 20 mm higher, far below the clearances.
    corners = ((3.0, 3.0), (5.0, 3.0), (5.0, 5.0), (3.0, 5.0))
    exact = heater(measured=("at", "heading", "height"))
    least = max(LINEAR.least_height, 1.8)
    deck = Platform(name="deck", outline=corners, height=2.4 - least - 0.01,
                    measured=("outline",))  # fmt: skip
    place = scene(roof(), exact, tolerance=0.02, platform=(deck,))
    found = one(judge(place)[1], "height.least", "deck")
    assert found.margin == pytest.approx(0.01, abs=1e-9)
    assert found.verdict is Verdict.MEASURE
    assert found.doubt is not None
    assert found.doubt.margin == pytest.approx(-0.01, abs=1e-9)
    assert found.doubt.deciding[0].path == 'platform "deck".height'


def test_what_was_measured_is_in_no_doubt() -> None:
    exact = heater(measured=("at", "heading", "height"))
    _, told = judge(scene(roof(), wall(4.56), exact, tolerance=0.005))
    found = one(told, "clearance.side", "back wall")
    assert found.doubt is not None
    assert found.doubt.margin == pytest.approx(0.56 - HALF_WIDTH - SIDES - 0.005, abs=1e-9)
    stands = wall(4.56, measured=("from", "to", "height", "base", "thickness"))
    _, told = judge(scene(roof(), stands, exact, tolerance=0.005))
    found = one(told, "clearance.side", "back wall")
    assert found.verdict is Verdict.HOLDS
    assert found.doubt is None


def test_a_things_own_tolerance_goes_before_the_sites() -> None:
    place = scene(roof(), wall(4.60, tolerance=0.03), heater(tolerance=0.01), tolerance=0.2)
    _, told = judge(place)
    found = one(told, "clearance.side", "back wall")
    assert found.doubt is not None
    assert found.doubt.margin == pytest.approx(0.60 - HALF_WIDTH - SIDES - 0.04, abs=1e-9)


def test_a_drawing_without_tolerance_leaves_no_doubt() -> None:
    drawn, told = judge(scene(roof(), wall(4.56), heater()))
    assert [f.verdict for f in told] == [f.verdict for f in drawn]
    assert all(f.doubt is None for f in told)


def test_what_fails_as_drawn_fails() -> None:
    drawn, told = judge(scene(roof(), wall(4.5), heater(), tolerance=0.02))
    before, after = (one(f, "clearance.side", "back wall") for f in (drawn, told))
    assert before.verdict is after.verdict is Verdict.FAILS
    assert after.doubt is not None
    assert after.doubt.margin == pytest.approx(before.margin - 0.04, abs=1e-9)
    assert [f.code for f in told[: len(drawn)]] == [f.code for f in drawn]


@pytest.mark.parametrize("style", ["square", "plumb"])
@pytest.mark.parametrize(("degrees", "arm"), [(10.0, 0.21), (25.0, 0.24)])
def test_a_pitched_ceiling_at_its_worst_pitch(style: str, degrees: float, arm: float) -> None:
    # Design, section 5, heading along the contour (y = 0): from a pivot the ceiling is G above,
    # where a square arm is G cos s long and a plumb one G; over the body's uphill edge it is lower
    # by W/2 tan s, and h more from the body's top. The arm is what was ordered.
    pitch, off = radians(degrees), radians(0.5)
    slope = {"form": "single_slope", "plate": 2.6, "pitch": pitch, "falls_toward": radians(-90)}
    exact = heater(measured=("at", "heading"), height=None)
    rigid = bracket(name="rigid", arm=arm, style=style)
    known = tuple(key for key in ROOF_KEYS if key != "pitch")
    place = scene(
        roof(**slope, material="timber", measured=known), exact,
        tolerance=0.0, angle=off, bracket_types={"rigid": rigid},
    )  # fmt: skip

    def above(s: float) -> float:
        up = arm / cos(s) if style == "square" else arm
        return up + LINEAR.pivot_height - HALF_WIDTH * tan(s) - LINEAR.combustible.above

    _, told = judge(place)
    found = one(told, "clearance.above", "ceiling")
    assert found.margin == pytest.approx(above(pitch), abs=1e-9)
    assert found.doubt is not None
    worst = min((pitch - off, pitch + off), key=above)
    assert found.doubt.margin == pytest.approx(above(worst), abs=1e-9)
    (deciding,) = found.doubt.deciding
    assert deciding.path == 'roof "ceiling".pitch'
    assert deciding.words == "the pitch of the ceiling"
    assert (deciding.unit, deciding.worst) == ("rad", pytest.approx(worst))


def test_what_is_not_the_nearest_as_drawn_is_told_of_where_it_may_come_too_near() -> None:
    # The wall is nearest and stands fast; the post behind the heater may stand 0.1 m nearer.
    stands = wall(4.65, measured=("from", "to", "height", "base", "thickness"))
    post = Post(name="post", at=(4.0, 3.30), top=2.8, tolerance=0.1, material="timber",
                measured=("width", "depth", "turn", "top"))  # fmt: skip
    exact = heater(measured=("at", "heading", "height"))
    other = wall(3.36, name="half wall", height=2.7, thickness=0.02, measured=stands.measured)
    drawn, told = judge(scene(roof(), stands, other, post, exact, tolerance=0.0))
    assert not any(f.object == "post" and f.code == "clearance.side" for f in drawn)
    found = one(told[len(drawn) :], "clearance.side", "post")
    away = 4.0 - HALF_WIDTH - (3.30 + 0.07)
    assert found.verdict is Verdict.MEASURE
    assert found.measured == pytest.approx(away, abs=1e-9)
    assert found.doubt is not None
    assert found.doubt.margin == pytest.approx(away - SIDES - 0.1, abs=1e-9)
    assert found.doubt.deciding[0].path == 'post "post".at.y'


def test_more_tolerance_never_makes_a_finding_hold() -> None:
    before: dict[tuple[str, str, str], bool] = {}
    for tolerance in (0.0, 0.004, 0.008, 0.016, 0.032):
        _, told = judge(scene(roof(), wall(4.58), heater(), tolerance=tolerance))
        now = {(f.code, f.object, f.side): f.verdict is Verdict.HOLDS for f in told}
        assert all(before.get(key, True) or not holds for key, holds in now.items())
        before = now
    assert not before["clearance.side", "back wall", "+side"]


@pytest.mark.parametrize("ground", [Ground(0.0, (90.0, -40.0)), Ground(mirrored=True)])
def test_the_same_place_elsewhere_is_in_the_same_doubt(ground: Ground) -> None:
    def doubts(where: Ground) -> list[tuple[str, str, float]]:
        _, told = judge(
            scene(roof(), wall(4.58, where), heater(where), tolerance=0.02, ground=where)
        )
        return sorted((f.code, f.object, f.doubt.margin) for f in told if f.doubt is not None)

    here, there = doubts(Ground()), doubts(ground)
    assert [d[:2] for d in there] == [d[:2] for d in here]
    assert [d[2] for d in there] == pytest.approx([d[2] for d in here], abs=1e-6)


def test_a_bracket_that_can_be_set_no_longer_is_in_doubt() -> None:
    # Its plate takes a lean of 20 deg at most, and the ceiling is drawn 0.2 deg short of that.
    slope = SLOPE | {"pitch": radians(19.8)}
    stiff = bracket(name="stiff", arm=0.4, fine=0.4, hinge_across=radians(20.0))
    exact = heater(measured=("at", "heading"), height=None)
    place = scene(roof(**slope), exact, angle=radians(0.5), bracket_types={"stiff": stiff})
    drawn, told = judge(place)
    assert not any(f.code == "mount.hinge" for f in drawn)
    found = next(f for f in told if f.code == "mount.hinge")
    assert found.verdict is Verdict.MEASURE
    assert found.doubt is not None
    assert found.doubt.margin == pytest.approx(radians(-0.3), abs=1e-9)
    assert found.doubt.deciding[0].path == 'roof "ceiling".pitch'


def test_each_dimension_is_to_be_measured_once() -> None:
    # The wall's left end decides about H2 by itself; about H1, in its middle, both ends do.
    exact = heater(measured=("at", "heading", "height"))
    second = replace(exact, name="H2", at=(1.5, 4.0))
    _, told = judge(scene(roof(), wall(4.56), exact, second, tolerance=0.03))
    sides = [f for f in told if f.code == "clearance.side"]
    listed = to_measure(sides)
    assert [(item.deciding.path, item.heaters) for item in listed] == [
        ('wall "back wall".to.y', ("H1", "H2")),
        ('wall "back wall".from.y', ("H1",)),
    ]
    assert to_measure(f for f in told if f.verdict is Verdict.HOLDS) == ()


def test_a_roof_given_by_too_many_heights_is_moved_in_a_consistent_way() -> None:
    pitch = radians(12.0)
    slope = SLOPE | {"pitch": pitch}
    exact = heater(measured=("at", "heading"), height=None)
    rigid = {"rigid": bracket(name="rigid", arm=0.21)}
    once = scene(roof(**slope), exact, angle=radians(0.5), bracket_types=rigid)
    ridge = 2.6 + 8.0 * tan(pitch)
    twice = replace(once, roof=(replace(once.roof[0], ridge=ridge),))
    margins = [one(judge(place)[1], "clearance.above", "ceiling").doubt for place in (once, twice)]
    assert margins[0] is not None
    assert margins[1] is not None
    assert margins[0].margin == pytest.approx(margins[1].margin, abs=1e-9)
