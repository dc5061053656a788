"""Whatever is done to a scene file, reading it gives a scene or tells its mistakes."""

import random
import time
import tomllib
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import example, given, settings
from hypothesis import strategies as st

from heatcore.errors import InputError
from heatcore.scene import choose, parse_scene, write_scene
from heatcore.scene.model import Scene
from heatcore.scene.save import revised
from tests.core.scene_texts import MINIMAL, SCENE, make_folder

pytestmark = pytest.mark.filterwarnings("ignore::heatcore.units.UnitWarning")

FRAGMENTS = [
    *'[]{}=.,"\'#\n\\', "[[", "]]", '"""', "nan", "inf", "-", "0", "1e999", "9" * 400, "1 m",
    "[[heater]]\n", "[site]\n", "[option.set.heater.H1]\n", 'name = "H1"\n', "at = [0, 0]\n",
    "\x00", "\ufeff", "é", "\U0001f525", "\r", "true", "1979-05-27", "'''", "../x", "set.",
]  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_folder(tmp_path_factory.mktemp("fuzz"))


def read(text: str, folder: Path | None) -> Scene | None:
    """Read a text; a scene that is read can be written, and each option chosen."""
    try:
        scene = parse_scene(text, folder)
    except InputError:
        return None
    assert parse_scene(write_scene(scene), folder) == scene
    for option in scene.option:
        choose(scene, option.name)
    return scene


@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_text_cut_and_spliced(folder: Path, data: st.DataObject) -> None:
    text = SCENE
    for _ in range(data.draw(st.integers(1, 3))):
        start = data.draw(st.integers(0, len(text)))
        length = data.draw(st.sampled_from([0, 0, 1, 2, 10, 50]))
        text = text[:start] + data.draw(st.sampled_from(FRAGMENTS)) + text[start + length :]
    read(text, folder)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(SCENE)))
def test_text_cut_off(folder: Path, length: int) -> None:
    read(SCENE[:length], folder)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=80) | st.binary(max_size=80).map(lambda b: b.decode("latin-1")))
@example("a.a=1\na.a.a=2")
@example("[[a]]\n[a]")
def test_any_text(text: str) -> None:
    read(text, None)


@settings(max_examples=80, deadline=None)
@given(st.randoms(use_true_random=False))
def test_lines_shuffled_and_doubled(folder: Path, shuffle: random.Random) -> None:
    lines = SCENE.splitlines(keepends=True)
    start = shuffle.randrange(len(lines))
    some = lines[start : start + 8]
    shuffle.shuffle(some)
    read("".join([*lines[:start], *some, *lines[start + shuffle.choice([4, 8, 12]) :]]), folder)


WRONG: st.SearchStrategy[Any] = st.sampled_from(
    [
        None, True, 0, -1, 10**30, 1.5, float("nan"), float("inf"), "", "x", "1 m", "-1 m", "nan m",
        "H1", "porch roof", "table seat 9", [], [0], [0, 0], [[0, 0]], {}, {"name": "H1"}, [{}],
        [{"name": "H1"}], "../x", "a" * 300, "\x00", [["1 m", "2 m"]] * 3, {"by": [0, 0]},
    ]
)  # fmt: skip


def spots(node: Any) -> list[tuple[Any, Any]]:
    """Every place of a value: the table or list that holds it, and its key."""
    entries = (
        node.items()
        if isinstance(node, dict)
        else enumerate(node)
        if isinstance(node, list)
        else ()
    )
    return [spot for key, value in entries for spot in ((node, key), *spots(value))]


@settings(max_examples=80, deadline=None)
@given(data=st.data())
def test_values_exchanged(folder: Path, data: st.DataObject) -> None:
    scene = tomllib.loads(SCENE)
    for _ in range(data.draw(st.integers(1, 3))):
        places = spots(scene)
        holder, key = places[data.draw(st.integers(0, len(places) - 1))]
        wrong = deepcopy(data.draw(WRONG))
        if wrong is None and isinstance(holder, dict):
            holder.pop(key, None)
        else:
            holder[key] = 0 if wrong is None else wrong
        if not spots(scene):
            break
    read(tomlkit.dumps(scene), folder)


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_any_right_scene_can_be_saved_over_any_toml(folder: Path, data: st.DataObject) -> None:
    scene = parse_scene(SCENE, folder)
    old = tomllib.loads(SCENE)
    for _ in range(data.draw(st.integers(1, 4))):
        places = spots(old)
        holder, key = places[data.draw(st.integers(0, len(places) - 1))]
        holder[key] = deepcopy(data.draw(WRONG.filter(lambda value: value is not None)))
        if not spots(old):
            break
    back = parse_scene(revised(tomlkit.dumps(old), scene), folder)
    for kind in ("wall", "heater", "furniture", "option"):
        assert {thing.name: thing for thing in getattr(back, kind)} == {
            thing.name: thing for thing in getattr(scene, kind)
        }
    assert (back.site, back.floor) == (scene.site, scene.floor)


HUGE = {
    "keys that mean nothing": "".join(f"a{i} = 1\n" for i in range(60_000)),
    "one long list": f"floor.outline = [{'[0, 1], ' * 100_000}]",
    "names that refer to nothing": MINIMAL
    + "".join(f'[[door]]\nname = "D{i}"\nwall = "W{i}"\nat = "1 m"\n' for i in range(1000)),
    "openings in one wall": MINIMAL
    + '[[wall]]\nname = "W"\nfrom = [0, 0]\nto = ["4 m", 0]\n'
    + "".join(f'[[window]]\nname = "D{i}"\nwall = "W"\nat = "1 m"\n' for i in range(1000)),
    "options": MINIMAL
    + "".join(f'[[post]]\nname = "P{i}"\nat = [0, 0]\n' for i in range(1000))
    + "".join(f'[[option]]\nname = "{i}"\nremove = ["P{i}"]\n' for i in range(26)),
    "a long line": "a = '" + "x" * 900_000 + "'",
    "quotes": '"' * 900_000,
    "escapes": '"\\' * 450_000,
    "brackets": "[]" * 450_000,
    "a long number": "a = " + "1" * 900_000,
    "a long name": f"[site]\nname = '{'x' * 900_000}'\n",
    "a crossing outline": "[site]\nname = 'x'\n[floor]\noutline = ["
    + ", ".join(f'["{i % 7} m", "{i % 11} m"]' for i in range(1000))
    + "]\n",
}


@pytest.mark.parametrize("case", HUGE)
def test_a_huge_file_takes_seconds_at_most(case: str) -> None:
    start = time.process_time()
    read(HUGE[case], None)
    assert time.process_time() - start < 15.0
