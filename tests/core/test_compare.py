"""Options side by side: every sentence's figures are the evaluations', and swapping inverts all."""

from itertools import combinations

import pytest

from heatcore.compare import DRAWN, Comparison, Difference, Pair, Side, Topic, compare, compared
from heatcore.errors import InputError
from heatcore.evaluate import evaluate
from heatcore.heat.people.body import Comfort
from heatcore.scene import choose, parse_scene
from heatcore.sheets import comparison_record, comparison_report
from heatcore.units import format_irradiance, format_temperature_step
from tests.core.patio_texts import OPTIONS, PATIO

NAMES = ("both", "sparse", "shaded", "moved", "dimmed", "seat moved", "fin beside", "windy")


@pytest.fixture(scope="module")
def sides() -> dict[str, Side]:
    scene = parse_scene(PATIO + OPTIONS)
    return {name: Side.of(evaluate(choose(scene, name)), name) for name in NAMES}


def pair(sides: dict[str, Side], first: str, second: str) -> Pair:
    return compared([sides[first], sides[second]]).pairs[0]


def about(found: Pair, topic: Topic) -> Difference:
    (difference,) = (d for d in found.differences if d.topic is topic)
    return difference


@pytest.mark.parametrize(("first", "second"), list(combinations(NAMES, 2)))
def test_swapping_the_options_inverts_everything(
    sides: dict[str, Side], first: str, second: str
) -> None:
    one, other = pair(sides, first, second), pair(sides, second, first)
    assert tuple(d.mirrored for d in one.differences) == other.differences
    assert one.better == other.better[::-1]
    for here, there in zip(one.differences, other.differences, strict=True):
        assert here.values == there.values[::-1]
        assert here.words != there.words or here.sides[0] == here.sides[1]
        assert sorted(here.words.lower()) == sorted(there.words.lower())


def test_options_that_do_the_same_do_not_differ(sides: dict[str, Side]) -> None:
    same = compared([sides["moved"], sides["moved"]]).pairs[0]
    assert same.differences == ()
    assert same.verdict.startswith("No difference that matters")


def test_names_are_all_that_is_different_when_contents_are_exchanged(
    sides: dict[str, Side],
) -> None:
    scene = parse_scene(PATIO + OPTIONS)
    evaluations = [evaluate(choose(scene, name)) for name in ("both", "sparse")]
    one = compared([Side.of(evaluations[0], "QX"), Side.of(evaluations[1], "ZJ")]).pairs[0]
    other = compared([Side.of(evaluations[1], "QX"), Side.of(evaluations[0], "ZJ")]).pairs[0]
    exchange = str.maketrans({"Q": "Z", "X": "J", "Z": "Q", "J": "X"})
    assert [d.mirrored.words.translate(exchange) for d in one.differences] == [
        d.words for d in other.differences
    ]


def test_a_removed_heater_is_named_with_its_share(sides: dict[str, Side]) -> None:
    found = pair(sides, "both", "sparse")
    place = about(found, Topic.PLACES)
    people = [
        next(p for p in sides[name].evaluation.people if p.place.name == "east seat")
        for name in ("both", "sparse")
    ]
    assert place.object == "H2"
    assert place.values == (people[0].gain, people[1].gain)
    assert place.better == 0
    units = sides["both"].evaluation.scene.site.units
    for person in people:
        assert format_temperature_step(person.gain, units) in place.words
    assert f"sparse does without H2, which brings {people[0].shares['H2']:.0%} of it" in place.words
    assert "warm with both" in place.words
    assert "cold with sparse" in place.words


def test_counts_power_current_and_cost_are_those_of_the_options(sides: dict[str, Side]) -> None:
    found = pair(sides, "both", "sparse")
    assert about(found, Topic.WARM).values == (2.0, 1.0)
    assert about(found, Topic.HEATERS).values == (2.0, 1.0)
    # 4 kW each on 240 V; four hours at 0.25 a kilowatt-hour.
    assert about(found, Topic.POWER).values == (8000.0, 4000.0)
    assert about(found, Topic.CURRENT).values == pytest.approx((2 * 4000 / 240, 4000 / 240))
    assert about(found, Topic.COST).values == pytest.approx((8.0, 4.0))
    assert "$8.00" in about(found, Topic.COST).words
    assert "8 kW with both and 4 kW with sparse" in about(found, Topic.POWER).words
    assert set(found.better[0]) == {Topic.WARM, Topic.COLDEST, Topic.FLOOR}
    assert Topic.POWER in found.better[1]
    assert found.verdict.startswith("both is better on warm places")


def test_what_shades_is_named(sides: dict[str, Side]) -> None:
    place = about(pair(sides, "shaded", "both"), Topic.PLACES)
    assert place.object == "board"
    assert place.better == 1
    assert "because board takes" in place.words
    assert about(pair(sides, "shaded", "both"), Topic.FLOOR).object == "board"


@pytest.mark.parametrize(
    ("option", "words"),
    [
        ("moved", "hangs 1.000 m farther north in moved"),
        ("dimmed", "runs at 25% in dimmed and 100% in both"),
        ("seat moved", "it is 2.121 m farther northeast in seat moved"),
        ("windy", "the wind blows at 12 m/s in windy and 0.5 m/s in both"),
    ],
)
def test_what_is_different_is_said(sides: dict[str, Side], option: str, words: str) -> None:
    told = [d.words for d in pair(sides, "both", option).differences if d.topic is Topic.PLACES]
    assert any("ast seat" in line and words in line for line in told)


def test_a_failing_check_is_quoted_with_both_figures(sides: dict[str, Side]) -> None:
    found = about(pair(sides, "both", "fin beside"), Topic.FAILURES)
    worst = min(sides["fin beside"].evaluation.failures, key=lambda f: f.margin / f.required)
    assert found.object == "fin"
    assert found.better == 0
    assert found.values[1] == worst.measured
    assert "With both H2 keeps clear of fin, and with fin beside H2 comes within" in found.words
    assert "because fin beside has fin: fin beside fails a check that holds with" in found.words


def test_the_floor_quotes_its_threshold(sides: dict[str, Side]) -> None:
    found = about(pair(sides, "both", "sparse"), Topic.FLOOR)
    for name in ("both", "sparse"):
        assert f"{sides[name].evaluation.warmed.warmed:.0%} of the floor with {name}" in found.words
    assert "100 W/m2 or more" in found.words


def test_the_table_shows_every_option(sides: dict[str, Side]) -> None:
    comparison = compared(list(sides.values()))
    told, data = comparison_report(comparison), comparison_record(comparison)
    for name, side in sides.items():
        assert name in told
        row = next(o for o in data["options"] if o["name"] == name)
        assert row["warm"] == side.counted(Comfort.WARM)
        assert row["coldest"]["gain_k"] == min(p.gain for p in side.evaluation.people)
        assert side.hottest is not None
        assert format_irradiance(side.hottest.irradiance_w_m2, "metric") in told
    assert [p["second"] for p in data["pairs"]] == list(NAMES[1:])
    for one, other in zip(comparison.pairs, data["pairs"], strict=True):
        assert [d["words"] for d in other["differences"]] == [d.words for d in one.differences]


def test_which_options_are_compared() -> None:
    def names(found: Comparison) -> list[str]:
        return [side.name for side in found.sides]

    scene = parse_scene(PATIO + OPTIONS.partition('[[option]]\nname = "shaded"')[0])
    assert names(compare(scene)) == ["both", "sparse"]
    assert names(compare(scene, ["sparse"])) == [DRAWN, "sparse"]
    assert names(compare(scene, ["sparse", "both"])) == ["sparse", "both"]
    drawn = parse_scene(PATIO + '[[option]]\nname = "sparse"\nremove = ["H2"]\n')
    assert names(compare(drawn)) == [DRAWN, "sparse"]


def test_nothing_to_compare_and_unknown_names_are_refused() -> None:
    with pytest.raises(InputError, match="one way"):
        compare(parse_scene(PATIO))
    with pytest.raises(InputError, match='did you mean "sparse"'):
        compare(parse_scene(PATIO + OPTIONS), ["sprase"])
