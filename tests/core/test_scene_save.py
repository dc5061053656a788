"""Scenes saved over a file that a person wrote: what did not change is not touched."""

import difflib
import os
import stat
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from heatcore.errors import InputError
from heatcore.scene import parse_scene, read_scene, save_scene
from heatcore.scene.model import Option, Person, Scene, Seat
from heatcore.scene.save import revised
from heatcore.scene.space import Post
from tests.core.scene_texts import MINIMAL, SCENE, changed, make_folder

FOOT, INCH = 0.3048, 0.0254  # exact (1959)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return make_folder(tmp_path)


@pytest.fixture
def scene(folder: Path) -> Scene:
    return parse_scene(SCENE, folder)


def edited(thing: Any, things: tuple[Any, ...], **changes: Any) -> tuple[Any, ...]:
    """The things, with one of them, known by its name, changed."""
    assert thing in [one.name for one in things]
    return tuple(replace(one, **changes) if one.name == thing else one for one in things)


def difference(old: str, new: str) -> list[str]:
    """Lines that went and came, as '-old' and '+new'."""
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


def test_nothing_changed_nothing_touched(folder: Path) -> None:
    path = folder / "porch.toml"
    path.write_text(SCENE)
    save_scene(path, read_scene(path))
    assert path.read_text() == SCENE


# What is changed, and what then differs in the file.
EDITS: dict[str, tuple[Callable[[Scene], dict[str, Any]], list[str]]] = {
    "a value with a comment": (
        lambda s: {"door": edited("back door", s.door, swing="in")},
        ['-swing = "out"  # onto the porch', '+swing = "in"  # onto the porch'],
    ),
    "one corner of the outline": (
        lambda s: {"floor": replace(s.floor, outline=((0.0, 0.9144), *s.floor.outline[1:]))},
        [
            "-  [0, 0],             # the corner by the steps",
            "+  [0, \"3' 0\"],             # the corner by the steps",
        ],
    ),
    "a value in an inline table": (
        lambda s: {"site": replace(s.site, climate=replace(s.site.climate, humidity=0.7))},
        [
            '-climate = { air_temperature = "46 F", wind = "2 mph", humidity = "60 %" }',
            '+climate = { air_temperature = "46 F", wind = "2 mph", humidity = 0.7 }',
        ],
    ),
    "a further key": (
        lambda s: {"door": edited("back door", s.door, hand="right")},
        ['+hand = "right"'],
    ),
    "a key back to its default": (
        lambda s: {"furniture": edited("table", s.furniture, chairs=0)},
        ["-chairs = 4", "+chairs = 0"],
    ),
    "a key left out": (
        lambda s: {"heater": edited("H2", s.heater, circuit=None)},
        ['-circuit = "C1"'],
    ),
    "a tilt for an aim": (
        lambda s: {"heater": edited("H3", s.heater, aim_at=None, tilt=0.0)},
        ['-aim_at = ["15 ft", "9 ft", "2 ft"]', "+tilt = 0"],
    ),
    "a name": (
        lambda s: {"post": edited("P1", s.post, name="corner post")},
        ['-name = "P1"', '+name = "corner post"'],
    ),
    "a thing removed": (
        lambda s: {"person": ()},
        ["-[[person]]", '-name = "guest"', '-at = ["17 ft", "7 ft"]', "-"],
    ),
    "a thing removed with its comment": (
        lambda s: {"wall": s.wall[:1]},
        [
            "-", "-# The side wall is half as high.", "-[[wall]]", '-name = "side wall"',
            '-from = [0, "14 ft"]', "-to = [0, 0]", '-height = "4 ft"',
        ],
    ),
    "a thing added after its kind": (
        lambda s: {"seat": (*s.seat, Seat(name="S2", at=(FOOT, FOOT)))},
        ["+[[seat]]", '+name = "S2"', "+at = [\"1' 0\", \"1' 0\"]", "+"],
    ),
    "what an option sets": (
        lambda s: {"option": edited("A", s.option, set={"site": {"tolerance": "2 in"}})},
        [
            '-set.heater.H1.at = ["10 ft", "6 ft"]', '-set.site.tolerance = "1 in"',
            '-set.door."back door".swing = "in"', '+set.site.tolerance = "2 in"',
        ],
    ),
    "what an option adds": (
        lambda s: {"option": edited("B", s.option, add={})},
        [
            "-[[option.add.heater]]", '-name = "H4"', '-type = "bar"', '-at = ["4 ft", "4 ft"]',
        ],
    ),
    "the files of types": (lambda s: {"types": ()}, ['-types = ["types.toml"]', "+types = []"]),
}  # fmt: skip


# What other things refer to is gone after these, so the whole is no scene any more.
DANGLING = ("a key back to its default", "a thing removed", "the files of types")


@pytest.mark.parametrize("case", EDITS)
def test_a_change_touches_only_its_own_lines(case: str, scene: Scene) -> None:
    change, expected = EDITS[case]
    wanted = replace(scene, **change(scene))
    text = revised(SCENE, wanted)
    assert difference(SCENE, text) == expected


@pytest.mark.parametrize("case", [case for case in EDITS if case not in DANGLING])
def test_a_changed_file_reads_as_the_changed_scene(case: str, scene: Scene) -> None:
    change, _ = EDITS[case]
    wanted = replace(scene, **change(scene))
    assert parse_scene(revised(SCENE, wanted), scene.folder) == wanted


def test_many_changes_at_once(scene: Scene) -> None:
    wanted = scene
    for case in (
        "a value with a comment",
        "one corner of the outline",
        "a thing added after its kind",
    ):
        wanted = replace(wanted, **EDITS[case][0](wanted))
    assert parse_scene(revised(SCENE, wanted), scene.folder) == wanted


def test_the_first_of_a_kind_comes_where_its_kind_belongs() -> None:
    text = MINIMAL + '\n[[option]]\nname = "A"\n'
    scene = parse_scene(text)
    wanted = replace(scene, post=(Post(name="P", at=(0.0, 0.0)),))
    new = revised(text, wanted)
    assert new == MINIMAL + '\n[[post]]\nname = "P"\nat = [0, 0]\n\n[[option]]\nname = "A"\n'


def test_an_option_added(scene: Scene) -> None:
    option = Option(
        name="C",
        set={"door": {"back door": {"hand": "right"}}},
        add={"seat": [{"name": "S3", "at": [0, 0]}]},
    )
    wanted = replace(scene, option=(*scene.option, option))
    text = revised(SCENE, wanted)
    assert text.startswith(SCENE)
    assert parse_scene(text, scene.folder) == wanted


@pytest.mark.parametrize(
    "old",
    [
        'climate = { wind = "2 m/s" }',
        'climate.wind = "2 m/s"',
        "climate = {}",
        '[site.climate]\nwind = "2 m/s"',
        '[site.climate]  # the evening\n  # in autumn\n  wind = "2 m/s"',
    ],
)
def test_every_way_of_writing_a_table_in_a_table(old: str) -> None:
    text = MINIMAL.replace('"Deck"\n', f'"Deck"\n{old}\n')
    scene = parse_scene(text)
    climate = replace(scene.site.climate, humidity=0.9, air_temperature=4.0)
    wanted = replace(scene, site=replace(scene.site, climate=climate))
    new = revised(text, wanted)
    assert parse_scene(new) == wanted
    gone = [line for line in difference(text, new) if line.startswith("-")]
    assert gone == ([f"-{old}"] if "{" in old else [])


@pytest.mark.parametrize(
    "people",
    [
        '[[person]]\nname = "a"\nat = [0, 0]\n[[person]]\nname = "b"\nat = [0, 0]\n',
        'person = [{ name = "a", at = [0, 0] }, { name = "b", at = [0, 0] }]\n',
        'person = [\n  { name = "a", at = [0, 0] },  # first\n  { name = "b", at = [0, 0] },\n]\n',
    ],
)
@pytest.mark.parametrize("names", ["ab", "a", "b", "abc", "", "xb", "cab"])
def test_every_way_of_writing_several_things(people: str, names: str) -> None:
    text = people + MINIMAL if people.startswith("p") else MINIMAL + people
    scene = parse_scene(text)
    wanted = replace(scene, person=tuple(Person(name=n, at=(1.0, 0.0)) for n in names))
    back = parse_scene(revised(text, wanted))
    assert sorted(back.person, key=lambda p: p.name) == sorted(wanted.person, key=lambda p: p.name)
    assert replace(back, person=()) == replace(wanted, person=())


def test_things_keep_the_order_of_the_file(scene: Scene) -> None:
    wanted = replace(scene, wall=scene.wall[::-1], heater=scene.heater[::-1])
    assert revised(SCENE, wanted) == SCENE


def test_the_comment_of_a_thing_stays_with_it(scene: Scene) -> None:
    # One wall stands apart from the other here; general editors move it, and not its comment.
    text = revised(SCENE, replace(scene, wall=edited("side wall", scene.wall, height=1.0)))
    assert '# The side wall is half as high.\n[[wall]]\nname = "side wall"' in text


def test_windows_line_ends_stay(folder: Path, scene: Scene) -> None:
    path = folder / "porch.toml"
    path.write_bytes(SCENE.replace("\n", "\r\n").encode())
    wanted = replace(scene, seat=(*scene.seat, Seat(name="S2", at=(FOOT, FOOT))))
    save_scene(path, wanted)
    content = path.read_bytes()
    assert content.count(b"\r\n") == content.count(b"\n")
    assert read_scene(path) == wanted


def test_a_file_without_a_last_line_end(scene: Scene) -> None:
    text = MINIMAL.removesuffix("\n")
    wanted = replace(parse_scene(text), person=(Person(name="a", at=(0.0, 0.0)),))
    assert parse_scene(revised(text, wanted)) == wanted


def test_a_layout_too_unusual_still_says_the_scene() -> None:
    text = 'floor.outline = [[0, 0], ["4 m", 0], ["4 m", "3 m"]]\nsite = { name = "Deck" }\n'
    scene = parse_scene(text)
    wanted = replace(
        scene,
        site=replace(scene.site, tolerance=INCH),
        floor=replace(scene.floor, material="brick"),
        post=(Post(name="P", at=(0.0, 0.0)),),
    )
    assert parse_scene(revised(text, wanted)) == wanted


def test_a_key_that_means_nothing_is_not_kept() -> None:
    scene = parse_scene(MINIMAL)
    assert revised(MINIMAL.replace('"Deck"', '"Deck"\nnonsense = 1'), scene) == MINIMAL


def test_a_new_file(folder: Path, scene: Scene) -> None:
    path = folder / "new.toml"
    save_scene(path, scene)
    assert read_scene(path) == scene


def test_a_broken_file_is_left_alone(folder: Path, scene: Scene) -> None:
    path = folder / "porch.toml"
    path.write_text("[site\n")
    with pytest.raises(InputError, match="not TOML"):
        save_scene(path, scene)
    assert path.read_text() == "[site\n"


def test_what_cannot_be_written_leaves_the_file_alone(folder: Path, scene: Scene) -> None:
    path = folder / "porch.toml"
    path.write_text(SCENE)
    broken = replace(scene, seat=edited("S1", scene.seat, at=(float("nan"), 0.0)))
    with pytest.raises(InputError, match="cannot be written"):
        save_scene(path, broken)
    assert path.read_text() == SCENE


@pytest.mark.parametrize("name", ["nowhere/porch.toml", "types.toml/porch.toml", "x" * 300])
def test_a_place_that_cannot_be_written(folder: Path, scene: Scene, name: str) -> None:
    before = sorted(folder.iterdir())
    with pytest.raises(InputError, match="cannot be"):
        save_scene(folder / name, scene)
    assert sorted(folder.iterdir()) == before


def test_a_failure_half_way_leaves_the_old_file_and_no_other(
    folder: Path, scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = folder / "porch.toml"
    path.write_text(SCENE)
    before = sorted(folder.iterdir())

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(InputError, match="No space left on device"):
        save_scene(path, replace(scene, person=()))
    assert sorted(folder.iterdir()) == before
    assert path.read_text() == SCENE


def test_a_file_keeps_its_mode_and_a_link_its_target(folder: Path, scene: Scene) -> None:
    path = folder / "porch.toml"
    path.write_text(SCENE)
    path.chmod(0o640)
    link = folder / "link.toml"
    link.symlink_to(path)
    save_scene(link, replace(scene, person=(), option=()))
    assert link.is_symlink()
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert read_scene(path).person == ()


def test_comments_between_things_survive_a_removal(scene: Scene) -> None:
    text = changed("[[person]]", "# ---- people\n\n# Waits at the door.\n[[person]]")
    new = revised(text, replace(scene, person=(), option=()))
    assert "# ---- people" in new
    assert "# Waits at the door." not in new
