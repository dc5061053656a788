"""Options: what they change, and that each is held to every rule when the file is read."""

from dataclasses import replace
from pathlib import Path

import pytest

from heatcore.errors import InputError, Mistake
from heatcore.scene import choose, parse_scene
from heatcore.scene.model import Option, Scene
from tests.core.scene_texts import SCENE, changed, make_folder, mistakes

FOOT, INCH = 0.3048, 0.0254  # exact (1959)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return make_folder(tmp_path)


@pytest.fixture
def scene(folder: Path) -> Scene:
    return parse_scene(SCENE, folder)


def with_option(option: str, folder: Path) -> Scene:
    """The scene as an option, written out, makes it."""
    return choose(parse_scene(f'{SCENE}\n[[option]]\nname = "C"\n{option}\n', folder), "C")


def wrong(option: str, folder: Path) -> Mistake:
    """The one mistake of an option."""
    (mistake,) = mistakes(f'{SCENE}\n[[option]]\nname = "C"\n{option}\n', folder)
    return mistake


@pytest.mark.parametrize("name", [None, ""])
def test_no_option_is_the_scene_as_drawn(scene: Scene, name: str | None) -> None:
    assert choose(scene, name) is scene


def test_an_option_changes_only_what_it_says(scene: Scene) -> None:
    chosen = choose(scene, "A")
    assert chosen.heater[0].at == pytest.approx((10 * FOOT, 6 * FOOT))
    assert chosen.site.tolerance == pytest.approx(INCH)
    assert chosen.door[0].swing == "in"
    back = replace(
        chosen,
        site=scene.site,
        door=scene.door,
        heater=(replace(chosen.heater[0], at=scene.heater[0].at), *scene.heater[1:]),
        option=scene.option,
    )
    assert back == scene


def test_an_option_removes_and_adds(scene: Scene) -> None:
    chosen = choose(scene, "B")
    assert [heater.name for heater in chosen.heater] == ["H1", "H2", "H4"]
    assert chosen.screen == ()


def test_the_chosen_scene_has_no_further_options(scene: Scene) -> None:
    assert choose(scene, "A").option == ()


def test_an_option_that_changes_nothing_gives_the_identical_scene(scene: Scene) -> None:
    idle = replace(scene, option=(Option(name="idle"),))
    assert choose(idle, "idle") == replace(scene, option=())


def test_aiming_takes_the_place_of_the_tilt(scene: Scene) -> None:
    heater = choose(scene, "B").heater[1]
    assert (heater.aim_at, heater.tilt) == ("guest", None)


def test_a_place_takes_the_place_of_the_offset(folder: Path) -> None:
    heater = with_option('set.heater.H2.at = ["3 ft", "13 ft"]', folder).heater[1]
    assert heater.offset is None
    assert heater.at == pytest.approx((3 * FOOT, 13 * FOOT))


def test_part_of_an_offset_can_be_changed(folder: Path) -> None:
    heater = with_option('set.heater.H2.offset.by = ["6 ft", 0]', folder).heater[1]
    assert heater.offset is not None
    assert heater.offset.from_ == "house wall"
    assert heater.offset.by == pytest.approx((6 * FOOT, 0))


def test_part_of_the_climate_can_be_changed(folder: Path) -> None:
    climate = with_option('set.site.climate.wind = "3 m/s"', folder).site.climate
    assert (climate.wind, climate.humidity) == (3.0, 0.6)


def test_an_option_may_change_the_floor(folder: Path) -> None:
    outline = '[[0, 0], ["20 ft", 0], ["20 ft", "15 ft"], [0, "15 ft"]]'
    assert with_option(f"set.floor.outline = {outline}", folder).floor.outline[2][1] == 15 * FOOT


def test_a_thing_can_be_replaced_by_another_of_its_name(folder: Path) -> None:
    chosen = with_option(
        'remove = ["rafters"]\n[[option.add.rafters]]\nname = "rafters"\nroof = "porch roof"\n'
        'run = "across_slope"',
        folder,
    )
    (rafters,) = chosen.rafters
    assert (rafters.run, rafters.spacing) == ("across_slope", 0.6)
    assert chosen.heater[0].mounted_on == "rafters"


def test_no_such_option(scene: Scene) -> None:
    with pytest.raises(InputError) as caught:
        choose(scene, "b")
    assert caught.value.message == 'there is no option "b"'
    assert 'did you mean "B"?' in caught.value.remedy
    assert '"A", "B"' in caught.value.remedy


def test_no_options_at_all(scene: Scene) -> None:
    with pytest.raises(InputError, match="it has no options"):
        choose(replace(scene, option=()), "A")


MISTAKES = {
    "a wrong value": (
        'set.heater.H3.at = ["4 fot", 0]',
        'option "C".set.heater "H3".at[1]', '"4 fot" is not a length',
    ),
    "a misspelt key": (
        "set.heater.H3.outptu = 0.5",
        'option "C".set.heater "H3".outptu', "is no key of a heater",
    ),
    "a misspelt kind": (
        "set.heatr.H3.output = 0.5",
        'option "C".set.heatr', 'an option cannot set "heatr"',
    ),
    "a thing that is not there": (
        "set.heater.H33.output = 0.5",
        'option "C".set.heater "H33"', 'there is no heater "H33"',
    ),
    "a value for a thing": (
        "set.heater.H3 = 0.5",
        'option "C".set.heater "H3"', "is not a table",
    ),
    "a value for a kind": (
        "set.heater = 0.5",
        'option "C".set.heater', "is not a table",
    ),
    "a value for all": (
        "set = 0.5",
        'option "C".set', "is a number, not a table",
    ),
    "options within options": (
        'set.option.A.note = "x"',
        'option "C".set.option', 'an option cannot set "option"',
    ),
    "files of types": (
        'set.types = ["other.toml"]',
        'option "C".set.types', 'an option cannot set "types"',
    ),
    "a key of the site": (
        'set.site.tolerence = "1 in"',
        'option "C".set.site.tolerence', "is no key of a site",
    ),
    "a reference to nothing": (
        'set.door."back door".wall = "hose wall"',
        'option "C".set.door "back door".wall', 'refers to "hose wall"',
    ),
    "a name that is taken": (
        '[[option.add.heater]]\nname = "S1"\ntype = "bar"\nat = [0, 0]',
        'option "C".add.heater "S1".name', 'the name "S1" is already that of seat "S1"',
    ),
    "a missing key of something added": (
        '[[option.add.seat]]\nname = "S9"',
        'option "C".add.seat "S9".at', "is missing",
    ),
    "an unknown kind of thing": (
        '[[option.add.seats]]\nname = "S9"\nat = [0, 0]',
        'option "C".add.seats', 'an option cannot add "seats"',
    ),
    "single brackets": (
        '[option.add.seat]\nname = "S9"\nat = [0, 0]',
        'option "C".add.seat', "is not a list",
    ),
    "removing nothing": (
        'remove = ["H33"]',
        'option "C".remove[1]', 'there is nothing called "H33"',
    ),
    "removing what is referred to": (
        'remove = ["house wall", "H2", "kitchen window"]',
        'option "C".remove[1]', 'removes "house wall", and door "back door".wall refers to it',
    ),
    "removing a table that is aimed at": (
        'remove = ["table"]',
        'option "C": heater "H1".aim_at', 'refers to "table seat 2"',
    ),
    "a wall made too short for its door": (
        'set.wall."house wall".to = ["16 ft", "14 ft"]\nremove = ["kitchen window"]',
        'option "C": door "back door"', 'along wall "house wall", which is 4\' 0" long',
    ),
    "heights that contradict each other": (
        'set.roof."porch roof".ridge = "20 ft"',
        'option "C": roof "porch roof".pitch', "but pitch says 4:12",
    ),
    "a mount without its height": (
        'set.heater.H3.mount = "wall"',
        'option "C": heater "H3".height', "a wall mount needs it",
    ),
    "both at and offset": (
        'set.heater.H3.at = [0, 0]\nset.heater.H3.offset = { from = "P1", by = [0, 0] }',
        'option "C".set.heater "H3".offset', "is given beside at",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", MISTAKES)
def test_each_mistake_is_told_once_when_the_file_is_read(case: str, folder: Path) -> None:
    option, where, message = MISTAKES[case]
    mistake = wrong(option, folder)
    assert mistake.where == where
    assert message in mistake.message
    assert mistake.line is not None


def test_a_mistake_has_the_line_of_the_option(folder: Path) -> None:
    mistake = wrong("set.heater.H3.output = 5", folder)
    assert mistake.line == SCENE.count("\n") + 4


def test_a_mistake_of_the_scene_is_not_repeated_for_each_option(folder: Path) -> None:
    found = mistakes(changed("chairs = 4", "chairs = -4"), folder)
    assert [mistake.where for mistake in found] == ['furniture "table".chairs']


def test_two_options_of_one_name(folder: Path) -> None:
    (mistake,) = mistakes(changed('name = "B"', 'name = "A"'), folder)
    assert mistake.message == 'there are two options called "A"'


def test_more_options_than_can_be_compared(folder: Path) -> None:
    many = "".join(f'[[option]]\nname = "N{i}"\n' for i in range(40))
    (mistake,) = mistakes(SCENE + many, folder)
    assert mistake.message == "has 42 options"


def test_an_option_of_a_scene_made_in_code_is_checked_too(scene: Scene) -> None:
    made = replace(scene, option=(Option(name="C", set={"heater": {"H3": {"output": 5}}}),))
    with pytest.raises(InputError) as caught:
        choose(made, "C")
    (mistake,) = caught.value.mistakes
    assert mistake.where == 'option "C".set.heater "H3".output'
    assert mistake.line is None
