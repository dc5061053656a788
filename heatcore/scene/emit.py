"""Plain data as TOML text, laid out the way people lay out a scene file."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

_WIDTH = 88


def emit(value: Any) -> str:
    """Write a value on one line.

    Raises
    ------
    TypeError
        If TOML has no form for it.
    """
    match value:
        case bool():
            return str(value).lower()
        case int() | float():
            return repr(value)
        case str():
            return _string(value)
        case list() | tuple():
            return f"[{', '.join(map(emit, value))}]"
        case Mapping():
            pairs = ", ".join(f"{emit_key(key)} = {emit(entry)}" for key, entry in value.items())
            return f"{{ {pairs} }}" if pairs else "{}"
    raise TypeError(f"no TOML for {value!r}")


def emit_key(*parts: str) -> str:
    """Write a key, dotted where it has several parts."""
    return ".".join(
        part if re.fullmatch(r"[A-Za-z0-9_-]+", part) else _string(part) for part in parts
    )


def emit_value(value: Any, indent: int) -> str:
    """Write a value that begins at a column; a list too long for its line gets a line an entry."""
    line = emit(value)
    if not isinstance(value, list) or not value:
        return line
    corners = len(value) > 2 and all(isinstance(entry, list) for entry in value)
    if not corners and indent + len(line) <= _WIDTH:
        return line
    return "[\n" + "".join(f"  {emit(entry)},\n" for entry in value) + "]"


def emit_pair(key: str, value: Any) -> str:
    """Write ``key = value`` with its line end; `key` as TOML spells it."""
    return f"{key} = {emit_value(value, len(key) + 3)}\n"


def emit_table(header: str, table: Mapping[str, Any]) -> str:
    """Write a table under its header; the tables in it stay on their line."""
    pairs = "".join(emit_pair(emit_key(key), value) for key, value in table.items())
    return f"{header}\n{pairs}"


def emit_option(option: Mapping[str, Any]) -> str:
    """Write an option: what it sets as dotted keys, what it adds as tables of their own."""
    rest = {key: value for key, value in option.items() if key not in ("set", "add")}
    return emit_table("[[option]]", rest) + emit_set(option) + emit_added(option)


def emit_set(option: Mapping[str, Any]) -> str:
    """Write what an option sets, a dotted key for each value."""
    return "".join(
        emit_pair(emit_key("set", *path), value) for path, value in _leaves(option.get("set", {}))
    )


def emit_added(option: Mapping[str, Any]) -> str:
    """Write what an option adds, a table for each thing."""
    added = option.get("add", {})
    if not all(_is_array_of_tables(things) for things in added.values()):
        return emit_pair("add", added)
    return "".join(
        "\n" + emit_table(f"[[{emit_key('option', 'add', kind)}]]", thing)
        for kind, things in added.items()
        for thing in things
    )


def _leaves(table: Mapping[str, Any]) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Go through the values of nested tables, each with its path."""
    for key, value in table.items():
        if isinstance(value, Mapping) and value:
            for path, leaf in _leaves(value):
                yield (key, *path), leaf
        else:
            yield (key,), value


def _is_array_of_tables(value: Any) -> bool:
    return (
        isinstance(value, list)
        and bool(value)
        and all(isinstance(entry, Mapping) for entry in value)
    )


def _string(text: str) -> str:
    # JSON's escapes are TOML's too, but for the one control character that JSON lets pass.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
