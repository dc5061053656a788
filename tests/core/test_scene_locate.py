"""Places in TOML text, held against tomllib: the text at a value's place reads as the value."""

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.scene.locate import KeyPath, Layout, locate
from tests.core.scene_texts import SCENE, TYPES

# Every form of key, header and value that the TOML 1.0 specification describes.
TOML = '''\
# a comment with = and [brackets] and "quotes
loose = 1
"quoted key" . 'and literal'.bare = "a # no comment, \\"quoted\\""
date = 1979-05-27 07:32:00.5  # one value with a space in it
float = -2.4e-3
[ table . "with space" ]
a = [ 1, [ "x", 'y]' ], # inside
  { b = "}", c . d = [ ] } ,
]
text = """
three "" quotes
[not.a.header]
b = 3""""
literal = \'\'\'
it's \\ one\'\'\'
[[array]]
x = 1
[array.below]
y = { }
[[array.inner]]
z = 1
[[array.inner]]
z = 2
[table]
late = true
[[array]]
x = 2
[[array.inner]]
z = 3'''


def leaves(node: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """Every value, tables and lists included, that is not the document itself."""
    if path:
        yield path, node
    entries = (
        node.items()
        if isinstance(node, dict)
        else enumerate(node)
        if isinstance(node, list)
        else ()
    )
    for key, value in entries:
        yield from leaves(value, (*path, key))


def read_at(layout: Layout, path: KeyPath) -> Any:
    """The value that the text at a path's place reads as."""
    start, end = layout.values[path]
    return tomllib.loads(f"value = {layout.text[start:end]}")["value"]


def holds(text: str) -> None:
    """Every value that tomllib finds has a place, and stands there."""
    layout = locate(text)
    for path, value in leaves(tomllib.loads(text)):
        assert path in layout.starts, path
        if not isinstance(value, (dict, list)):
            assert read_at(layout, path) == value
    for path in layout.values:
        read_at(layout, path)


@pytest.mark.parametrize("text", [TOML, SCENE, TYPES, SCENE.replace("\n", "\r\n")])
def test_every_value_has_its_place(text: str) -> None:
    holds(text)


KEYS = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=6)
PLAIN = (
    st.booleans()
    | st.integers(-(2**62), 2**62)
    | st.floats(allow_nan=False)
    | st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=12)
    | st.sampled_from(["'", '"', "a # b", "[x]", "{ y = 1 }", '"""', "\\", "\n[t]\n"])
)
VALUES = st.recursive(
    PLAIN, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3)
)


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(KEYS, VALUES, max_size=5))
def test_whatever_another_library_writes_has_its_places(data: dict[str, Any]) -> None:
    holds(tomlkit.dumps(data))


@settings(max_examples=300, deadline=None)
@given(st.text(st.sampled_from("[]{}=.,\"'#\n\\ ab1"), max_size=60))
def test_no_text_is_too_broken_to_look_at(text: str) -> None:
    layout = locate(text)
    assert all(0 <= start <= end <= len(text) for start, end in layout.values.values())


@pytest.mark.parametrize(
    ("path", "passage"),
    [
        (("site",), "[site]"),
        (("site", "climate", "wind"), "climate ="),
        (("floor", "outline", 2), '["20 ft", "14 ft"],'),
        (("floor", "outline", 2, 1), '["20 ft", "14 ft"],'),
        (("wall", 1, "from"), 'from = [0, "14 ft"]'),
        (("wall", 1, "nothing"), '[[wall]]\nname = "side wall"'),
        (("option", 1, "set", "heater", "H2", "aim_at"), 'aim_at = "guest"'),
        (("option", 1, "add", "heater", 0, "at"), 'at = ["4 ft", "4 ft"]'),
    ],
)
def test_a_path_has_the_line_of_the_nearest_thing_that_is_there(
    path: KeyPath, passage: str
) -> None:
    assert locate(SCENE).line(path) == SCENE[: SCENE.index(passage)].count("\n") + 1


@pytest.mark.parametrize("path", [(), ("nothing",), ("nothing", 3)])
def test_what_is_nowhere_has_no_line(path: KeyPath) -> None:
    assert locate(SCENE).line(path) is None


def test_statements_take_whole_lines_and_cover_all_but_comments_and_blanks() -> None:
    layout = locate(SCENE)
    rest = SCENE
    for statement in reversed(layout.statements):
        assert statement.start == 0 or SCENE[statement.start - 1] == "\n"
        rest = rest[: statement.start] + rest[statement.end :]
    assert all(not line or line.startswith("#") for line in rest.splitlines())
