"""What is offered for a finding clears it, breaks nothing, and is as small as can be told."""

from __future__ import annotations

import json
from dataclasses import replace
from math import degrees

import pytest

from heatcore.checks.finding import Doubt, Verdict
from heatcore.evaluate import Evaluation, evaluate
from heatcore.remedies import FindingAdvice, Fix, Kind, fixable, fixes
from heatcore.remedies.pasted import toml
from heatcore.scene import choose, parse_scene
from heatcore.scene.model import Scene
from heatcore.scene.write import write_scene
from heatcore.sheets import remedies_record, remedies_report
from tests.core.fixes_site import FLAT, HEATER, moved, proved, site, wall

BESIDE = wall("side wall", (0, 2.6), (8, 2.6))  # the heater's middle 400 mm from it
TIMBER = FLAT.replace('"stone"', '"timber"')
DOOR = """
[[door]]
name = "D"
wall = "back wall"
at = "{at} m"
width = "900 mm"
hand = "{hand}"
swing = "{swing}"
swing_angle = "{angle} deg"
material = "timber"
"""


def advice(scene: Scene) -> tuple[Evaluation, tuple[FindingAdvice, ...]]:
    before = evaluate(scene)
    found = fixes(before)
    known: dict[str, Evaluation] = {}
    for one in found:
        proved(scene, before, one, known)
    return before, found


def of(found: FindingAdvice, kind: Kind) -> list[Fix]:
    return [fix for fix in found.fixes if fix.change.kind is kind]


def test_a_wall_beside_asks_for_exactly_the_shortfall() -> None:
    """From the middle 100 mm to the side, then 500 mm: 600 mm asked, 400 mm there."""
    _, found = advice(site(BESIDE))
    first = found[0].fixes[0]
    assert first.change.kind is Kind.MOVE
    assert first.change.disturbance_m == pytest.approx(0.2)
    assert moved(first) == (4.0, 3.2)
    assert first.change.words == "Move H 200 mm north (along +Y), away from side wall."
    assert len({one.fixes[0].title for one in found}) == 1


def test_feet_and_inches_are_rounded_outward_to_an_eighth() -> None:
    """200 mm are 7.874 in: 7 7/8 in is the next eighth."""
    _, found = advice(site(BESIDE, units="imperial"))
    first = found[0].fixes[0]
    assert first.change.words == 'Move H 7 7/8" north (along +Y), away from side wall.'
    assert moved(first)[1] == pytest.approx(3.0 + 7.875 * 0.0254, abs=1e-6)


def test_an_oblique_heater_moves_along_and_across_itself_too() -> None:
    """30 degrees oblique, its corner comes 462 mm toward the wall; which is 1 m off."""
    scene = site(wall("side wall", (0, 2.0), (8, 2.0)), heading='"30 deg"')
    _, found = advice(scene)
    kinds = {fix.change.words.partition("(")[2].partition(")")[0] for f in found for fix in f.fixes}
    assert "along +Y" in kinds
    assert kinds & {"across its length", "along its length"}
    turned = [fix for one in found for fix in of(one, Kind.TURN)]
    assert all(fix.evaluation.scene.heater[0].heading == pytest.approx(0.0) for fix in turned)


def test_a_heater_on_a_wall_moves_along_it() -> None:
    """A fin's face at 4.8 m; half of 900 mm and the 300 mm that its end asks for leave 4.05 m."""
    carrier = wall("back wall", (8, 5), (0, 5)).replace('"timber"', '"stone"')
    fin = wall("fin", (4.9, 5), (4.9, 4))
    heater = HEATER.replace("long", "short")
    where = {"at": '["4.2 m", "5 m"]', "height": '"2.3 m"', "tilt": '"20 deg"'}
    _, found = advice(site(carrier, fin, heater=heater, mount='"wall"', **where))
    first = found[0].fixes[0]
    assert first.change.kind is Kind.MOVE
    assert moved(first) == pytest.approx((4.05, 5.0), abs=1e-6)
    assert "west (along back wall), away from fin" in first.change.words
    moves = of(found[0], Kind.MOVE)
    assert all(moved(fix)[1] == pytest.approx(5.0) for fix in moves)


def test_under_timber_a_close_bracket_gives_way_to_an_arm() -> None:
    """The close bracket's 150 to 160 mm less the pivot's 30 mm leave less than 200 mm above."""
    _, found = advice(site(roof=TIMBER, bracket='"close"'))
    for one in found:
        (bracket, *_) = of(one, Kind.BRACKET)
        mount = bracket.evaluation.mounts[0]
        assert mount.bracket.name != "close"
        assert mount.holds
        # As high as 200 mm above allow, and no lower than a stock length makes it.
        assert 0.2 - 1e-9 <= float(min(mount.gaps)) <= 0.21
        assert one.fixes[0] is bracket
        assert bracket.change.disturbance_m < 0.1


def test_a_height_that_is_too_near_the_ceiling_is_lowered_to_the_next_mark() -> None:
    """Under 2.9 m of timber the face may be at 2.6 m at most: 200 mm above, 100 mm of body."""
    _, found = advice(site(roof=TIMBER, height='"2.637 m"'))
    above = next(one for one in found if one.finding.code.startswith("clearance.above"))
    lowered = above.fixes[0]
    assert lowered.change.kind in (Kind.HEIGHT, Kind.BRACKET)
    assert lowered.evaluation.scene.heater[0].height == pytest.approx(2.6, abs=0.0021)
    assert lowered.evaluation.mounts[0].frame.origin[2] == pytest.approx(2.6, abs=1e-6)
    assert "Lower H by 20 mm, to 2.600 m above the floor" in lowered.change.words


def test_what_hangs_too_low_is_raised() -> None:
    _, found = advice(site(height='"2.2 m"'))
    low = next(one for one in found if one.finding.code == "height.least")
    assert low.fixes[0].evaluation.scene.heater[0].height == pytest.approx(2.3, abs=0.0031)
    assert low.fixes[0].change.words.startswith("Raise H by")


def test_a_door_is_hung_on_its_other_side() -> None:
    """On the left the leaf comes 900 mm out just beside the heater's end; on the right it is shut
    there, and where it is open the side's 500 mm do not reach.
    """
    back = wall("back wall", (8, 5), (0, 5))
    door = DOOR.format(at=3.0, hand="left", swing="out", angle=90)
    before, found = advice(site(back, door, at='["3.25 m", "3.75 m"]'))
    assert {one.finding.object for one in found} == {"D swing"}
    (rehung,) = of(found[0], Kind.OPENING)
    assert rehung.evaluation.scene.door[0].hand == "right"
    assert rehung.evaluation.scene.heater == before.scene.heater
    assert rehung.change.words == "Hang D on its right side, seen from the patio."


def test_a_door_that_opens_too_far_is_stopped() -> None:
    """Beyond a right angle the leaf comes toward the heater's end."""
    back = wall("back wall", (8, 5), (0, 5))
    door = DOOR.format(at=3.0, hand="left", swing="out", angle=150)
    _, found = advice(site(back, door, at='["2.75 m", "3.9 m"]'))
    (stopped,) = [fix for fix in of(found[0], Kind.OPENING) if "Stop" in fix.title]
    angle = round(degrees(stopped.evaluation.scene.door[0].swing_angle))
    assert 90 <= angle < 150
    assert angle % 5 == 0
    assert f"Stop D at {angle}°" in stopped.change.words


def test_a_door_that_nothing_is_known_to_stop_is_stopped() -> None:
    """It counts until it lies against the wall, where the heater's end is beside its hinge."""
    back = wall("back wall", (8, 5), (0, 5))
    door = DOOR.format(at=3.0, hand="left", swing="out", angle=0)
    door = door.replace('swing_angle = "0 deg"\n', "")
    _, found = advice(site(back, door, at='["2.5 m", "4.2 m"]'))
    (stopped,) = [fix for fix in of(found[0], Kind.OPENING) if "Stop" in fix.title]
    assert "not stated, it counts as 180°" in stopped.change.words


def test_in_a_passage_only_a_quarter_turn_helps() -> None:
    """1.9 m between two walls: the length and both ends ask for 2.2 m, across it 1.2 m do."""
    passage = (wall("west wall", (3.05, 0), (3.05, 6)), wall("east wall", (4.95, 6), (4.95, 0)))
    _, found = advice(site(*passage))
    for one in found:
        assert [fix.change.kind for fix in one.fixes if not fix.leaves] == [Kind.TURN]
        assert "Turn H by 90°" in one.fixes[-1].change.words
        assert any("Moving H" in words for words in one.tried)


def test_where_nothing_helps_it_says_what_was_tried() -> None:
    """In a pit of 1 m no heater with 500 mm to either side finds room."""
    pit = (
        wall("west wall", (3.5, 0), (3.5, 6)), wall("east wall", (4.5, 6), (4.5, 0)),
        wall("south wall", (8, 2.5), (0, 2.5)), wall("north wall", (0, 3.5), (8, 3.5)),
    )  # fmt: skip
    before, found = advice(site(*pit))
    assert found
    hopeless = [one for one in found if not one.fixes]
    assert hopeless
    for one in hopeless:
        told = " ".join(one.tried)
        for word in ("east", "west", "north", "south", "Lowering", "Turning", "stem"):
            assert word in told
    assert "Nothing that was tried clears it." in remedies_report(before, hopeless, None)


def test_what_is_asked_for_and_what_is_not() -> None:
    before = evaluate(site(BESIDE))
    failing = [f for f in before.findings if fixable(f)]
    assert fixes(before, failing[:1])[0].finding is failing[0]
    assert len(fixes(before, failing[:1])) == 1
    assert fixes(evaluate(site())) == ()
    assert "Nothing fails" in remedies_report(before, (), None)


def test_evaluations_are_bounded_and_told() -> None:
    before = evaluate(site(BESIDE))
    found = fixes(before, most=1)
    assert all(len(one.fixes) == 1 for one in found)
    assert any("bound is reached" in words for words in found[0].tried)
    told: list[str] = []
    fixes(before, most=0, progress=told.append)
    assert told == ["H"]


def test_what_is_printed_is_what_was_tried() -> None:
    scene = site(BESIDE)
    before, found = advice(scene)
    offered = [fix for one in found for fix in one.fixes]
    read = parse_scene(write_scene(scene) + "\n" + toml(offered))
    assert len(read.option) == len({fix.title for fix in offered})
    for option in read.option:
        (fix, *_) = [fix for fix in offered if fix.title == option.name]
        assert evaluate(choose(read, option.name)).scene.heater == fix.evaluation.scene.heater
    data = json.loads(json.dumps(remedies_record(before, found, None)))
    assert [one["finding"]["code"] for one in data["findings"]] == [
        one.finding.code for one in found
    ]
    words = [fix["words"] for fix in data["findings"][0]["fixes"]]
    report = remedies_report(before, found, None)
    assert all(word in report for word in words)
    assert "No place's verdict changes." in report or "becomes" in report


def test_a_fix_for_an_option_keeps_the_option() -> None:
    scene = site(BESIDE.replace('2.6 m"]', '2.0 m"]'))
    text = write_scene(scene) + '\n[[option]]\nname = "near"\nset.heater.H.at = ["4 m", "2.3 m"]\n'
    drawn = parse_scene(text)
    found = fixes(evaluate(choose(drawn, "near")))
    read = parse_scene(text + "\n" + toml(found[0].fixes, drawn.option[0]))
    for option, fix in zip(read.option[1:], found[0].fixes, strict=True):
        assert option.name.startswith("near, ")
        chosen = choose(read, option.name)
        assert replace(chosen, option=()).heater == fix.evaluation.scene.heater


def test_a_finding_in_doubt_is_cleared_with_what_tolerances_take_away(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where 30 mm of each clearance are in doubt, 30 mm more are kept."""

    def doubted(scene: Scene) -> Evaluation:
        evaluation = evaluate(scene)
        findings = []
        for finding in evaluation.findings:
            if finding.code.startswith("clearance.") and finding.verdict is not Verdict.FAILS:
                margin = finding.margin - 0.03
                verdict = Verdict.HOLDS if margin >= -1e-9 else Verdict.MEASURE
                finding = replace(finding, verdict=verdict, doubt=Doubt(margin, ()))
            findings.append(finding)
        return replace(evaluation, findings=tuple(findings))

    monkeypatch.setattr("heatcore.remedies.trials.evaluate", doubted)
    wall_at = wall("side wall", (0, 2.6), (8, 2.6))
    in_doubt = doubted(site(wall_at, at='["4 m", "3.21 m"]'))
    (finding,) = [f for f in in_doubt.findings if fixable(f)]
    assert finding.verdict is Verdict.MEASURE
    assert fixes(in_doubt)[0].fixes[0].change.disturbance_m == pytest.approx(0.02)
    # What fails, too, must come to hold for certain.
    failing = doubted(site(wall_at))
    assert fixes(failing)[0].fixes[0].change.disturbance_m == pytest.approx(0.23)
