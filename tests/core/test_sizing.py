"""How many heaters a scene takes: against every choice of positions, and what must hold."""

import time
from dataclasses import replace
from functools import cache
from itertools import combinations

import numpy as np
import pytest

from heatcore.errors import InputError
from heatcore.evaluate import evaluate
from heatcore.geometry.build import build
from heatcore.heat import emitters_of, surroundings
from heatcore.heat.people.body import Comfort
from heatcore.heat.people.evening import Evening
from heatcore.scene import parse_scene, write_scene
from heatcore.scene.write import emit_thing, table_data
from heatcore.sheets.sizing import heaters_toml, meaning, sizing_record, sizing_report, ways
from heatcore.sheets.terminal import figures
from heatcore.sizing import Way, size
from heatcore.sizing.candidates import candidates, too_near
from heatcore.sizing.cover import ENOUGH
from heatcore.sizing.demand import Room, Seats
from tests.core.sizing_site import SEATS, patio


@cache
def sized(**changes):
    return size(patio(**{"width": 3.2, "depth": 3.2, **changes}), "short linear")


def counts(sizing):
    return {answer.way: answer.heaters for answer in sizing.answers}


def test_as_few_as_every_choice_of_positions_would_do():
    scene = patio(width=2.6, depth=2.6, seats=((0.6, 0.6), (2.0, 0.7), (1.3, 2.1)), wind="1.5 m/s")
    model, kind = build(scene), scene.heater_types["short linear"]
    found = candidates(scene, model, kind)
    shares = Seats(model.places, Evening(scene.site.climate, scene.site.target)).shares(
        emitters_of(found.mounts), surroundings((), model)
    )
    apart = too_near(found.mounts)
    assert 5 <= len(found.mounts) <= 40
    fewest = next(
        count
        for count in range(1, 6)
        for chosen in combinations(range(len(found.mounts)), count)
        if not apart[np.ix_(chosen, chosen)].any()
        and (shares[:, list(chosen)].sum(axis=1) >= ENOUGH).all()
    )
    sizing = size(scene, "short linear")
    assert counts(sizing)[Way.SEATS] == fewest
    assert sizing.of(Way.SEATS).layout.warm == 3


def test_spot_heating_takes_fewer_and_leaves_floor_cold():
    sizing = sized(width=6.0, depth=5.0)
    seats, floor = sizing.of(Way.SEATS), sizing.of(Way.FLOOR)
    assert 0 < seats.heaters < floor.heaters
    assert seats.layout.warm == len(SEATS)
    assert seats.layout.floor < floor.layout.floor
    said = " ".join(meaning(sizing))
    assert f"{seats.heaters} heaters" in said
    assert f"{floor.heaters} heaters" in said
    assert f"{1 - seats.layout.floor:.0%} of the floor stays cold" in said


def test_what_is_proposed_holds_when_it_is_evaluated():
    scene = patio(width=6.0, depth=5.0)
    sizing = sized(width=6.0, depth=5.0)
    text = write_scene(scene) + "\n" + heaters_toml(sizing)
    evaluation = evaluate(parse_scene(text))
    seats = sizing.of(Way.SEATS).layout
    assert not evaluation.failures
    assert [p.comfort for p in evaluation.people] == [Comfort.WARM] * len(SEATS)
    for mine, its in zip(seats.mounts, evaluation.mounts, strict=True):
        assert mine.frame.origin == pytest.approx(its.frame.origin)
    for mine, its in zip(seats.people, evaluation.people, strict=True):
        assert mine.utci == pytest.approx(its.utci)


def test_more_wind_takes_at_least_as_many():
    calm, breeze, wind = (sized(wind=f"{w} m/s") for w in (0.5, 1.0, 1.6))
    for way in (Way.SEATS, Way.FLOOR):
        assert counts(calm)[way] <= counts(breeze)[way] <= counts(wind)[way]
    assert counts(calm)[Way.SEATS] < counts(wind)[Way.SEATS]


def test_a_higher_target_takes_at_least_as_many():
    low, high = (sized(target=f'utci = "30 C"\ngain = "{g} K"') for g in (1.5, 4.0))
    for way in (Way.SEATS, Way.FLOOR):
        assert counts(low)[way] <= counts(high)[way]
    assert counts(low)[Way.SEATS] < counts(high)[Way.SEATS]


def test_a_lower_voltage_takes_at_least_as_many():
    # 208 V leaves three quarters of a 240 V heater.
    own, low = (
        sized(supply=f'voltage = "{v} V"', target='utci = "30 C"\ngain = "4 K"') for v in (240, 208)
    )
    assert counts(own)[Way.SEATS] < counts(low)[Way.SEATS]
    (load, *_) = low.of(Way.SEATS).electrical.loads
    assert load.full_w == pytest.approx(2000 * 0.751111, rel=1e-5)


def test_nobody_sits_there():
    sizing = sized(seats=())
    assert counts(sizing)[Way.SEATS] == 0
    assert sizing.of(Way.FLOOR).layout.floor > 0.9
    assert any("no seats" in line for line in meaning(sizing))
    assert "0 of 0" in sizing_report(sizing)


def test_without_heaters_a_usual_type_is_counted_and_it_says_so():
    sizing = size(patio(width=3.0, depth=3.0, seats=((1.5, 1.5),)))
    assert sizing.kind.name == "long linear"
    assert "no heaters" in sizing.why
    assert sizing.of(Way.DRAWN) is None


def test_the_type_that_is_used_most_is_counted_and_its_drawn_places_are_tried():
    heaters = "".join(
        f'[[heater]]\nname = "{name}"\ntype = "{kind}"\nat = ["{x} m", "1.31 m"]\n'
        for name, kind, x in (
            ("A", "flat panel", 1.0),
            ("B", "short linear", 2.5),
            ("N1", "short linear", 1.5),
        )
    )
    scene = patio(width=4.0, depth=2.6, seats=((2.0, 1.3),), more=heaters)
    sizing = size(scene)
    assert sizing.kind.name == "short linear"
    assert counts(sizing)[Way.DRAWN] == 3
    names = [mount.name for mount in sizing.of(Way.SEATS).layout.mounts]
    assert names == ["N2"]  # a name that the scene does not use
    found = candidates(scene, build(scene), sizing.kind)
    places = {tuple(np.round(mount.frame.origin[:2], 6)) for mount in found.mounts}
    assert {(2.5, 1.31), (1.5, 1.31)} <= places


def test_an_unknown_type_is_refused_with_a_guess():
    with pytest.raises(InputError, match='did you mean "long linear"') as refused:
        size(patio(), "long liner")
    assert refused.value.mistakes[0].where == "--type"


def test_warm_enough_without_heaters():
    sizing = sized(air="20 C")
    assert counts(sizing)[Way.SEATS] == counts(sizing)[Way.FLOOR] == 0
    assert sizing.of(Way.SEATS).layout.warm == len(SEATS)
    assert any("without heaters" in line for line in meaning(sizing))


def test_no_heater_helps_in_a_storm():
    sizing = sized(air="-20 C", wind="11 m/s", target='utci = "9 C"\ngain = "30 K"')
    assert not sizing.within_reach
    assert counts(sizing)[Way.SEATS] == counts(sizing)[Way.FLOOR] == 0
    assert any("Keep the wind off" in line for line in meaning(sizing))


def test_nothing_to_hang_from():
    sizing = sized(roof=False)
    assert (sizing.tried, counts(sizing)[Way.SEATS]) == (0, 0)
    assert any("can hang nowhere" in line for line in meaning(sizing))


def test_a_place_beyond_the_roof_is_named_as_left():
    sizing = sized(seats=(*SEATS, (14.0, 2.0)))
    seats = sizing.of(Way.SEATS).layout
    assert seats.warm == len(SEATS)
    assert [left.place for left in seats.left] == ["seat 4"]
    assert seats.left[0].most < 0.5
    assert any("seat 4 stays cold" in line for line in meaning(sizing))


def test_what_is_not_met_is_not_compared_with_the_area_rule():
    part = sized(seats=(*SEATS, (14.0, 2.0)))
    said = " ".join(meaning(part))
    assert f"{len(SEATS)} of {len(SEATS) + 1} places; no choice among the positions" in said
    assert "every place" not in said
    assert "that warm every place" in " ".join(meaning(sized(width=6.0, depth=5.0)))


def test_what_is_drawn_and_warms_more_is_said():
    # So many, so near to each other, as no proposal that holds may hang.
    heaters = "".join(
        f'[[heater]]\nname = "H{n}"\ntype = "long linear"\nat = ["2 m", "{1.7 + 0.1 * n:.1f} m"]\n'
        for n in range(7)
    )
    hard = 'utci = "40 C"\ngain = "16 K"'
    sizing = size(patio(seats=((2.0, 2.0),), target=hard, more=heaters), "short linear")
    assert sizing.of(Way.DRAWN).layout.warm == 1
    assert sizing.of(Way.SEATS).layout.warm == 0
    said = " ".join(meaning(sizing))
    assert " 0 heaters" not in said
    assert "As drawn, 7 heaters already warm 1 of 1 place, more than what is proposed" in said


def test_the_hottest_head_reads_as_the_checks_say_it():
    heater = '[[heater]]\nname = "A"\ntype = "short linear"\nat = ["1.9 m", "1.3 m"]\n'
    scene = patio(more=heater)
    worst = max(
        (f for f in evaluate(scene).findings if f.code == "exposure.head"),
        key=lambda f: f.measured,
    )
    row = next(x for x in ways(size(scene)).splitlines() if x.startswith("as drawn"))
    assert row.endswith(figures(worst, scene.site.units)[0])


def test_gas_in_a_closed_place_is_warned_of_first_even_where_none_hangs():
    ends = [((0, 0), (4, 0)), ((4, 0), (4, 4)), ((4, 4), (0, 4)), ((0, 4), (0, 0))]
    closed = patio(
        more="".join(
            f'[[wall]]\nname = "{n}"\nfrom = ["{a[0]} m", "{a[1]} m"]\n'
            f'to = ["{b[0]} m", "{b[1]} m"]\nmaterial = "stone"\n'
            for n, (a, b) in enumerate(ends)
        )
    )
    sizing = size(closed, "gas linear")
    assert sizing.held == 0
    told = sizing_report(sizing)
    assert told.splitlines()[2].startswith("An unvented gas heater needs open sides")
    assert meaning(sizing)[0].startswith("An unvented gas heater needs open sides")
    assert "licensed gas fitter" in told
    row = next(x for x in ways(sizing).splitlines() if x.startswith("just the seats"))
    assert set(row.removeprefix("just the seats").split()) == {"-"}
    assert "unvented gas heater" not in sizing_report(size(patio(), "gas linear"))


def test_heaters_that_lie_together_exclude_each_other():
    scene = patio()
    found = candidates(scene, build(scene), scene.heater_types["short linear"])
    apart = too_near(found.mounts)
    assert (apart == apart.T).all()
    assert not apart.diagonal().any()
    middles = np.array([mount.frame.origin for mount in found.mounts])
    far = np.linalg.norm(middles[:, None] - middles, axis=2)
    assert apart[(far < 0.2) & ~np.eye(len(far), dtype=bool)].all()
    assert not apart[far > 2.5].any()


def test_walls_and_beams_carry_a_type_that_hangs_from_no_ceiling():
    wall = '[[wall]]\nname = "w"\nfrom = ["4 m", "4 m"]\nto = ["0 m", "4 m"]\nmaterial = "stone"\n'
    sizing = size(patio(seats=((2.0, 2.6),), more=wall), "wall linear")
    (mount,) = sizing.of(Way.SEATS).layout.mounts
    assert mount.heater.mount == "wall"
    assert mount.tilt > 0.0
    # And as text it reads back.
    text = emit_thing("heater", table_data(mount.heater, sizing.scene.site.units))
    (back,) = parse_scene(write_scene(replace(sizing.scene, heater=())) + text).heater
    assert back.at == pytest.approx(mount.heater.at)
    assert back.tilt == pytest.approx(mount.tilt)


def test_nobody_can_be_inside_furniture():
    bare = patio()
    table = (
        '[[furniture]]\nname = "t"\nkind = "table"\nat = ["2 m", "2 m"]\n'
        'size = ["2 m", "1 m", "0.75 m"]\n'
    )
    room, full = Room(build(patio(more=table))), Room(build(bare))
    lost = full.area.area - room.area.area
    # The table, and 0.15 m all round it, whose corners are round.
    assert lost == pytest.approx(2 * 1 + 0.15 * 6 + np.pi * 0.15**2, rel=0.01)
    inside = (np.abs(room.spots - [2.0, 2.0]) < [1.0, 0.5]).all(axis=1)
    assert not inside.any()


def test_the_same_every_time():
    one, other = (
        sizing_record(size(patio(width=2.0, depth=2.0), "short linear")) for _ in range(2)
    )
    assert one == other


def test_an_absurd_floor_takes_bounded_time():
    begun = time.process_time()
    sizing = size(patio(width=40.0, depth=40.0))
    assert time.process_time() - begun < 90.0  # 21 s on one core of a shared machine
    assert counts(sizing)[Way.RULE] == 380  # 1600 m2 over 68 sq ft, times 6 kW, in heaters of 4 kW
    assert counts(sizing)[Way.SEATS] < 4 < counts(sizing)[Way.FLOOR]
    assert sizing.tried <= 320
    said = " ".join(meaning(sizing))
    assert "m apart: the figures for seats and floor are rough" in said
    assert "no choice among" not in said
