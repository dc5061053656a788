"""Every remedy that is offered helps, harms nobody, and is as small as a scan finds."""

from dataclasses import replace

import numpy as np
import pytest

from heatcore.errors import InputError
from heatcore.evaluate import Evaluation, evaluate
from heatcore.geometry.compass import compass_way
from heatcore.heat.people.body import Comfort
from heatcore.heat.people.warmth import body_heats
from heatcore.remedies import Advice, Kind, Remedy, remedies
from heatcore.remedies.pasted import together, toml
from heatcore.remedies.seats.verdicts import objection
from heatcore.remedies.trials import Trials
from heatcore.remedies.values import RANK, Change
from heatcore.remedies.words import price
from heatcore.scene import choose, parse_scene
from heatcore.scene.model import Option, Scene
from heatcore.sheets import remedies_record, remedies_report
from tests.core.patio_texts import PATIO

STEP = 0.025  # m
ONE_HEATER = PATIO.partition('[[heater]]\nname = "H2"')[0]


def patio(text: str = PATIO, **at: tuple[float, float]) -> Scene:
    """The patio, its seats moved."""
    scene = parse_scene(text)
    names = {name.replace("_", " "): place for name, place in at.items()}
    return replace(
        scene, seat=tuple(replace(s, at=names.get(s.name, s.at)) for s in scene.seat)
    )  # fmt: skip


def advice(scene: Scene, place: str) -> tuple[Evaluation, Advice]:
    evaluation = evaluate(scene)
    (found,) = remedies(evaluation, [place])
    return evaluation, found


def of(found: Advice, kind: Kind) -> Remedy:
    (remedy,) = (r for r in found.remedies if r.change.kind is kind)
    return remedy


def proved(scene: Scene, before: Evaluation, found: Advice) -> None:
    """Each remedy, pasted into the scene and evaluated anew, does what it says."""
    for remedy in found.remedies:
        changed = choose(replace(scene, option=(remedy.change.option,)), remedy.change.option.name)
        after = evaluate(changed)
        old = {p.place.name: p for p in before.people}
        new = {p.place.name: p for p in after.people}
        assert new[found.place].comfort is Comfort.WARM
        assert new[found.place].gain == remedy.effect.after.gain
        assert all(RANK[new[n].comfort] >= RANK[old[n].comfort] for n in new)
        failed = {(f.code, f.heater, f.object, f.side) for f in before.failures}
        assert {(f.code, f.heater, f.object, f.side) for f in after.failures} <= failed
        changes = {n for n in new if n != found.place and new[n].comfort is not old[n].comfort}
        assert changes == {e.after.place.name for e in remedy.others}


@pytest.mark.parametrize("out", [(6.0, 3.4), (7.3, 2.9)])
def test_a_seat_just_out_of_a_beam_makes_the_smallest_move(out: tuple[float, float]) -> None:
    scene = patio(east_seat=out)
    before, found = advice(scene, "east seat")
    assert found.before.comfort is not Comfort.WARM
    remedy = of(found, Kind.SEAT)
    proved(scene, before, found)
    # A scan from outside: the seat on ever larger circles, by what it feels there.
    place = found.before.place
    site = scene.site
    angles = np.arange(64) * 2 * np.pi / 64
    smallest = np.inf
    for radius in np.arange(1, 81) * STEP:
        spots = [
            place.point + radius * np.array([np.cos(a), np.sin(a), 0.0])
            for a in angles
        ]  # fmt: skip
        spots = [p for p in spots if 0.0 <= p[0] <= 8.0 and 0.0 <= p[1] <= 4.0]
        model = replace(before.model, places=tuple(replace(place, point=p) for p in spots))
        heats = body_heats(
            before.emitters, model, before.surroundings, site.climate, site.target, site.units
        )
        if any(heat.comfort is Comfort.WARM for heat in heats):
            smallest = float(radius)
            break
    assert remedy.change.disturbance_m <= smallest + STEP
    assert remedy.change.disturbance_m >= smallest - STEP
    assert f"{remedy.change.disturbance_m * 1000:.0f} mm" in remedy.change.words


def test_a_place_far_from_every_heater_gets_one_more() -> None:
    scene = patio(ONE_HEATER, east_seat=(6.5, 2.0))
    before, found = advice(scene, "east seat")
    added = of(found, Kind.ADD)
    proved(scene, before, found)
    assert found.remedies[-1] is added
    assert added.change.option.add["heater"][0]["type"] == "long linear"
    # 4 kW on 240 V; 125 % of it, and the next rating: NEC 210.20(A) and 240.6(A).
    assert added.watts_added == pytest.approx(4000.0)
    assert added.current_added_a == pytest.approx(4000.0 / 240.0)
    assert added.circuit is not None
    assert added.circuit.rating_a == 25
    assert "4 kW more" in price(added)
    assert "16.7 A" in price(added)
    assert "25 A" in price(added)


def test_under_a_high_roof_one_more_hangs_on_a_stem() -> None:
    """The nearest heater is on a wall, far from the seat; a copy on that wall is as far."""
    text = (
        ONE_HEATER.replace('plate = "2.9 m"', 'plate = "4.1 m"').partition("[[heater]]")[0]
        + """
[[wall]]
name = "back wall"
from = ["8 m", "4 m"]
to = ["0 m", "4 m"]
height = "4.1 m"
material = "stone"

[[heater]]
name = "H1"
type = "long linear"
at = ["2 m", "4 m"]
mount = "wall"
height = "2.5 m"
tilt = "30 deg"
"""
    )
    scene = patio(text, east_seat=(6.0, 0.4))
    before, found = advice(scene, "east seat")
    added = of(found, Kind.ADD)
    proved(scene, before, found)
    assert added.change.option.add["heater"][0]["mount"] == "stem"
    assert "on a stem" in added.change.words


def test_a_dimmed_heater_is_raised_before_anything_moves() -> None:
    scene = parse_scene(PATIO + "output = 0.4\n")
    before, found = advice(scene, "east seat")
    first = found.remedies[0]
    assert first.change.kind is Kind.OUTPUT
    assert first.change.option.set == {"heater": {"H2": {"output": 1.0}}}
    assert first.watts_added == pytest.approx(0.6 * 4000.0)
    proved(scene, before, found)


def test_a_heater_is_moved_or_tilted_no_farther_than_needed() -> None:
    scene = patio(east_seat=(6.0, 3.2))
    before, found = advice(scene, "east seat")
    proved(scene, before, found)
    moved = of(found, Kind.MOVE)
    trials = Trials(before)
    # One step less along the same line does not do.
    (name,) = moved.change.option.set["heater"]
    wanted = next(h for h in scene.heater if h.name == name).at
    assert wanted is not None
    way = np.array(
        [next(m for m in moved.evaluation.mounts if m.name == name).heater.at]
    ) - np.array([wanted])
    far = float(np.linalg.norm(way))
    shorter = np.array(wanted) + way[0] * (far - 2 * STEP) / far
    at = [f"{c:.3f} m" for c in shorter]
    less = Change(Kind.MOVE, "", Option(name="less", set={"heater": {name: {"at": at}}}), far)
    assert far == pytest.approx(moved.change.disturbance_m, abs=0.002)
    assert objection(trials, less, "east seat")


def test_a_trial_finds_what_the_evaluation_finds() -> None:
    scene = patio(east_seat=(6.0, 3.2))
    evaluation = evaluate(scene)
    trials = Trials(evaluation)
    for option in (
        Option(name="a", set={"heater": {"H2": {"at": ["6 m", "2.6 m"], "tilt": "10 deg"}}}),
        Option(name="b", set={"seat": {"east seat": {"at": ["6 m", "2.5 m"]}}}),
        Option(name="c", remove=("H1",)),
    ):
        whole = evaluate(choose(replace(scene, option=(option,)), option.name))
        trial = trials.tried(option)
        assert not isinstance(trial, str)
        assert [p.gain for p in trial.people] == [p.gain for p in whole.people]
        held = [f for f in whole.findings if not f.code.startswith("exposure.")]
        assert [(f.code, f.measured) for f in trial.findings] == [
            (f.code, f.measured) for f in held
        ]


def test_the_seat_stays_on_the_floor_and_out_of_furniture() -> None:
    text = (
        PATIO
        + """
[[furniture]]
name = "planter"
kind = "planter"
at = ["6 m", "2.75 m"]
facing = "90 deg"
size = ["3 m", "0.3 m", "0.5 m"]
"""
    )
    scene = patio(text, east_seat=(6.0, 3.4))
    before, found = advice(scene, "east seat")
    proved(scene, before, found)
    x, y = of(found, Kind.SEAT).effect.after.place.point[:2]
    assert 0.0 <= x <= 8.0
    assert 0.0 <= y <= 4.0
    # Nobody's quarter of a metre reaches into the planter.
    gap = np.hypot(max(abs(x - 6.0) - 1.5, 0.0), max(abs(y - 2.75) - 0.15, 0.0))
    assert gap >= 0.25 - 1e-3
    # Without it, the way is shorter.
    free = advice(patio(east_seat=(6.0, 3.4)), "east seat")[1]
    assert of(free, Kind.SEAT).change.disturbance_m < of(found, Kind.SEAT).change.disturbance_m


def test_where_nothing_helps_it_says_what_was_tried() -> None:
    text = PATIO.replace('wind = "0.5 m/s"', 'wind = "14 m/s"').replace(
        'gain = "3 K"', 'gain = "9 K"'
    )
    evaluation = evaluate(patio(text))
    found = remedies(evaluation)
    assert [a.place for a in found] == ["west seat", "east seat"]
    for one in found:
        assert one.remedies == ()
        assert len(one.tried) >= 4
        assert all("gains at most" in words or "it gains" in words for words in one.tried)
    told = remedies_report(evaluation, None, found)
    assert "In vain: Moving one heater" in told


def test_a_heater_is_turned_by_the_least_heading_that_helps() -> None:
    flat = '[["0 m", "0 m"], ["12 m", "0 m"], ["12 m", "6 m"], ["0 m", "6 m"]]'
    scene = parse_scene(
        '[site]\nname = "t"\nunits = "metric"\n'
        '[site.climate]\nair_temperature = "6 C"\nwind = "0.8 m/s"\nhumidity = "60 %"\n'
        f"[floor]\noutline = {flat}\n"
        f'[[roof]]\nname = "r"\nform = "flat"\noutline = {flat}\nplate = "3 m"\n'
        'material = "concrete"\n'
        '[[heater]]\nname = "H"\ntype = "long linear"\nat = ["3 m", "3 m"]\n'
        'heading = "90 deg"\n'
        '[[seat]]\nname = "S"\nat = ["3.6 m", "3.9 m"]\nfacing = "180 deg"\n'
    )
    before, found = advice(scene, "S")
    proved(scene, before, found)
    heading = of(found, Kind.TURN).evaluation.mounts[0].heater.heading
    assert heading is not None
    tried = {
        turn: evaluate(
            replace(scene, heater=(replace(scene.heater[0], heading=np.radians(90.0 + turn)),))
        ).people[0]
        for turn in range(-90, 91, 15)
    }
    helps = [abs(turn) for turn, person in tried.items() if person.comfort is Comfort.WARM]
    assert abs(np.degrees(heading) - 90.0) == pytest.approx(min(helps))


def test_what_a_place_gains_at_most_is_never_less_than_now() -> None:
    text = PATIO.replace('wind = "0.5 m/s"', 'wind = "8 m/s"').replace('"3 K"', '"9 K"')
    _, found = advice(patio(text), "east seat")
    now = np.floor(100.0 * found.before.gain / found.before.needed_gain)
    said = [words.split("%")[0].split()[-1] for words in found.tried if "%" in words]
    assert said
    assert all(float(share) >= now for share in said)


def test_nobody_and_no_heaters_are_said() -> None:
    empty = evaluate(replace(patio(), heater=(), seat=(), person=()))
    told = remedies_report(empty, None, remedies(empty))
    assert "Nobody sits or stands here." in told
    assert "There are no heaters" in told
    assert "Every place" not in told


def test_without_a_heater_there_is_none_to_copy() -> None:
    scene = replace(patio(), heater=())
    found = remedies(evaluate(scene))
    assert all(one.remedies == () for one in found)
    assert all("no heater whose type" in one.tried[-1] for one in found)
    assert len(found) == 2


def test_warm_places_need_nothing() -> None:
    evaluation = evaluate(patio())
    assert remedies(evaluation) == ()
    (warm,) = remedies(evaluation, ["west seat"])
    assert warm.tried == ("It is warm as it is.",)
    assert "Every place is warm" in remedies_report(evaluation, None, ())


def test_an_unknown_place_is_refused() -> None:
    with pytest.raises(InputError, match='did you mean "west seat"'):
        remedies(evaluate(patio()), ["wst seat"])


def test_evaluations_are_bounded_and_answers_repeat() -> None:
    scene = patio(east_seat=(6.0, 3.2))
    evaluation = evaluate(scene)
    (all_of_it,) = remedies(evaluation)
    (bounded,) = remedies(evaluation, most=1)
    assert len(bounded.remedies) == 1
    assert any("bound is reached" in words for words in bounded.tried)
    (again,) = remedies(evaluation)
    assert [r.change.words for r in again.remedies] == [r.change.words for r in all_of_it.remedies]


def test_what_is_printed_is_what_was_tried() -> None:
    scene = patio(east_seat=(6.0, 3.2))
    before, found = advice(scene, "east seat")
    read = parse_scene(
        PATIO.replace('at = ["6 m", "2 m"]\noccupied', 'at = ["6 m", "3.2 m"]\noccupied')
        + "\n"
        + toml(found.remedies)
    )
    assert len(read.option) == len(found.remedies)
    for option, remedy in zip(read.option, found.remedies, strict=True):
        assert option.note == remedy.change.words
        after = evaluate(choose(read, option.name))
        (person,) = (p for p in after.people if p.place.name == "east seat")
        assert person.gain == remedy.effect.after.gain
    data = remedies_record(before, None, [found])
    (place,) = data["places"]
    assert [r["words"] for r in place["remedies"]] == [r.change.words for r in found.remedies]
    assert place["remedies"][0]["verdicts"][0]["after"] == "warm"


def test_an_option_and_a_remedy_together() -> None:
    base = Option(
        name="B",
        remove=("H1",),
        set={"heater": {"H2": {"offset": {"from": "west seat", "by": [0, 0]}, "output": 0.5}}},
        add={"heater": [{"name": "H3", "type": "long linear", "at": ["1 m", "2 m"]}]},
    )
    change = Option(
        name="",
        set={"heater": {"H2": {"at": ["6 m", "2 m"]}, "H3": {"tilt": "5 deg"}}},
        add={"heater": [{"name": "H1", "type": "short linear", "at": ["3 m", "2 m"]}]},
    )
    both = together(base, change)
    assert both.remove == ("H1",)
    assert both.set == {"heater": {"H2": {"output": 0.5, "at": ["6 m", "2 m"]}}}
    assert [h["name"] for h in both.add["heater"]] == ["H3", "H1"]
    assert both.add["heater"][0]["tilt"] == "5 deg"
    assert base.set["heater"]["H2"]["output"] == 0.5
    assert "tilt" not in base.add["heater"][0]
    scene = patio()
    one = choose(replace(scene, option=(replace(both, name="x"),)), "x")
    half_way = choose(replace(scene, option=(base,)), "B")
    other = choose(replace(half_way, option=(replace(change, name="y"),)), "y")
    assert one == other


@pytest.mark.parametrize(
    ("point", "name"), [(0, (0.0, 1.0)), (4, (1.0, 0.0)), (8, (0.0, -1.0)), (12, (-1.0, 0.0))]
)
def test_the_compass_goes_round_clockwise(point: int, name: tuple[float, float]) -> None:
    np.testing.assert_allclose(compass_way(point, np.pi / 2), name, atol=1e-12)
