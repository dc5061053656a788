"""Zones in the scene file: read, refused with their lines, overridden, saved, described."""

import tomllib
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from heatcore.scene import choose, parse_scene
from heatcore.scene.model import Scene, Zone
from heatcore.scene.save import revised
from heatcore.scene.schema import scene_schema
from tests.core.scene_texts import MINIMAL, line_of, mistakes

FOOT, INCH = 0.3048, 0.0254  # exact (1959)

ZONES = """
[[zone]]
name = "dining"      # where most of them sit
around = "table"
margin = "2 ft"
level = "30 in"

# By the steps.
[[zone]]
name = "lounge"
outline = [
  ["1 ft", "7 ft"],
  ["7 ft", "7 ft"],
  ["7 ft", "13 ft"],
]
"""
TEXT = f"""{MINIMAL}
[[post]]
name = "P1"
at = ["2 in", "2 in"]

[[furniture]]
name = "table"
kind = "table"
at = ["10 ft", "7 ft"]
chairs = 4

[[furniture]]
name = "sofa"
kind = "sofa"
at = ["4 ft", "10 ft"]
{ZONES}
[[option]]
name = "A"
"""
CHECK = Draft202012Validator(scene_schema())


@pytest.fixture
def scene() -> Scene:
    return parse_scene(TEXT)


def swapped(old: str, new: str) -> str:
    """The text with one passage of a zone changed."""
    assert ZONES.count(old) == 1, old
    return TEXT.replace(ZONES, ZONES.replace(old, new))


def test_both_ways_of_saying_where_are_read(scene: Scene) -> None:
    dining, lounge = scene.zone
    assert (dining.name, dining.around, dining.outline) == ("dining", "table", None)
    assert (dining.margin, dining.level) == pytest.approx((2 * FOOT, 30 * INCH))
    assert lounge.around is None
    assert lounge.outline is not None
    assert lounge.outline[2] == pytest.approx((7 * FOOT, 13 * FOOT))
    assert lounge.level is None


MISTAKES = {
    "both ways at once": (
        'around = "table"', 'around = "table"\noutline = [[0, 0], ["1 m", 0], ["1 m", "1 m"]]',
        'zone "dining".around', "is given beside outline", "around",
    ),
    "neither": ('around = "table"\n', "", 'zone "dining"', "has neither outline nor around",
        "[[zone]]"),
    "furniture that is not there": (
        'around = "table"', 'around = "tabel"', 'zone "dining".around', 'refers to "tabel"',
        "around",
    ),
    "something that is no furniture": (
        'around = "table"', 'around = "P1"', 'zone "dining".around', '"P1" is a post', "around",
    ),
    "the name of a post": (
        'name = "dining"', 'name = "P1"', 'zone "P1".name', "is already that of post",
        'name = "P1"      #',
    ),
    "two zones of one name": (
        'name = "lounge"', 'name = "dining"', 'zone "dining".name', "is already that of zone",
        'name = "dining"\noutline',
    ),
    "the name of a seat at the table": (
        'name = "dining"', 'name = "table seat 3"', 'zone "table seat 3".name',
        "is that of a seat", 'name = "table seat 3"',
    ),
    "an outline that crosses itself": (
        '["7 ft", "13 ft"],', '["7 ft", "13 ft"],\n  ["4 ft", "3 ft"],',
        'zone "lounge".outline', "cross", "outline = [\n  [\"1 ft\"",
    ),
    "two corners": (
        '  ["7 ft", "13 ft"],\n', "", 'zone "lounge".outline', "at least three",
        "outline = [\n  [\"1 ft\"",
    ),
    "a plane below the floor": (
        '"30 in"', '"-3 in"', 'zone "dining".level', "is too small", 'level = "-3 in"',
    ),
    "a margin that shrinks": (
        '"2 ft"\nlevel', '"-2 ft"\nlevel', 'zone "dining".margin', "is too small",
        'margin = "-2 ft"',
    ),
    "a misspelt key": (
        'level = "30 in"', 'hight = "30 in"', 'zone "dining".hight', "is no key of a zone",
        "hight",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", MISTAKES)
def test_a_mistake_is_told_with_its_line(case: str) -> None:
    old, new, where, message, passage = MISTAKES[case]
    text = swapped(old, new)
    (mistake,) = mistakes(text)
    assert mistake.where == where
    assert message in mistake.message
    after = text[: text.index("# By the steps.")] if passage == "[[zone]]" else text
    assert mistake.line == line_of(after, passage)


def test_an_option_says_otherwise_where_a_zone_lies() -> None:
    option = """
[[option]]
name = "C"
remove = ["lounge"]
set.zone.dining.outline = [[0, 0], ["2 m", 0], ["2 m", "2 m"]]
set.zone.dining.level = 0

[[option.add.zone]]
name = "by the sofa"
around = "sofa"
"""
    chosen = choose(parse_scene(TEXT + option), "C")
    dining, sofa = chosen.zone
    # The outline takes the place of the furniture.
    assert (dining.around, dining.level) == (None, 0.0)
    assert dining.outline == ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0))
    assert sofa == Zone(name="by the sofa", around="sofa")


def test_an_option_that_takes_away_what_a_zone_lies_around() -> None:
    text = TEXT + '\n[[option]]\nname = "C"\nremove = ["table"]\n'
    (mistake,) = mistakes(text)
    assert mistake.where == 'option "C".remove[1]'
    assert 'zone "dining".around refers to it' in mistake.message
    assert mistake.line == line_of(text, 'remove = ["table"]')


def test_an_option_of_a_zone_that_is_not_there() -> None:
    text = TEXT + '\n[[option]]\nname = "C"\nset.zone.diner.level = "1 m"\n'
    (mistake,) = mistakes(text)
    assert mistake.message == 'there is no zone "diner"'


def test_saving_touches_only_what_changed(scene: Scene) -> None:
    assert revised(TEXT, scene) == TEXT
    dining, lounge = scene.zone
    wanted = replace(scene, zone=(replace(dining, level=0.0), lounge))
    text = revised(TEXT, wanted)
    gone = set(TEXT.splitlines()) - set(text.splitlines())
    assert gone == {'level = "30 in"'}
    assert parse_scene(text) == wanted


def test_zones_come_and_go(scene: Scene) -> None:
    added = Zone(name="by the sofa", around="sofa", margin=0.3)
    for zones in ((), scene.zone[1:], (*scene.zone, added), (added,)):
        wanted = replace(scene, zone=zones)
        assert parse_scene(revised(TEXT, wanted)) == wanted
    assert "# By the steps." not in revised(TEXT, replace(scene, zone=scene.zone[:1]))


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ('level = "30 in"', 'hight = "30 in"', "zone.0"),
        ('level = "30 in"', "level = -1", "zone.0.level"),
        ('around = "table"\n', "", "zone.0"),
        (
            'around = "table"',
            'around = "table"\noutline = [[0, 0], ["1 m", 0], ["1 m", "1 m"]]',
            "zone.0",
        ),
        ('  ["7 ft", "13 ft"],\n', "", "zone.1.outline"),
    ],
)
def test_the_schema_marks_what_is_wrong(old: str, new: str, where: str) -> None:
    found = CHECK.iter_errors(tomllib.loads(swapped(old, new)))
    assert where in [".".join(map(str, error.absolute_path)) for error in found]


def test_the_schema_lets_zones_pass() -> None:
    assert list(CHECK.iter_errors(tomllib.loads(TEXT))) == []
