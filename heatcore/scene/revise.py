"""Change the text of a scene file in place.

General TOML editors keep comments, but regroup tables of one kind that stand apart (a wall, its
door, the next wall), and then a comment no longer stands at what it speaks of. So this changes the
text itself, at the places that `locate` finds: what is not changed is not touched.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from heatcore.scene.document import Guesses, parse
from heatcore.scene.drafts import Reader
from heatcore.scene.emit import (
    emit,
    emit_added,
    emit_key,
    emit_pair,
    emit_set,
    emit_table,
    emit_value,
)
from heatcore.scene.locate import KeyPath
from heatcore.scene.model import Scene
from heatcore.scene.segments import Segment, after_blank, segments_of
from heatcore.scene.shapes import Field, Fixed, Many, Raw, Shape, Table, fields_of
from heatcore.scene.write import emit_thing, plain, table_data, to_data


class CannotReviseError(Exception):
    """The text is laid out in a way that is not changed in place."""


def revise(text: str, scene: Scene) -> str:
    """Return the text of a scene file, changed to say `scene`.

    Raises
    ------
    CannotReviseError
        If the text is laid out too unusually.
    InputError
        If it is no TOML, or a number of the scene is not finite.
    """
    edit = _Revision(text, scene)
    edit.table(Scene, (), edit.data, scene)
    return edit.result()


class _Revision:
    """The changes to one text."""

    def __init__(self, text: str, scene: Scene) -> None:
        document = parse(text)
        assert document.layout is not None
        self.text = text
        self.data = document.data
        self.layout = document.layout
        self.units = scene.site.units
        to_data(scene)  # a number that cannot be written is refused with its place in the scene
        self.segments = segments_of(self.layout)
        self.edits: list[tuple[int, int, str]] = []

    def result(self) -> str:
        """Return the text with all changes made."""
        out: list[str] = []
        done = 0
        newline = "\r\n" if "\r\n" in self.text else "\n"
        for start, end, new in sorted(self.edits, key=lambda edit: edit[:2]):
            out.append(self.text[done:start])
            if new and start == len(self.text) and not self.text.endswith("\n"):
                out.append(newline)
            out.append(new.replace("\n", newline))
            done = max(done, end)
        return "".join([*out, self.text[done:]])

    def table(self, of: type, path: KeyPath, old: Mapping[str, Any], value: Any) -> None:
        """Change a table that is there."""
        known = {entry.key for entry in fields_of(of)}
        gone = [key for key in old if key not in known]
        gone += [
            entry.key
            for entry in fields_of(of)
            if entry.key in old and getattr(value, entry.attribute) is None
        ]
        if path in self.layout.values and (gone or not old):
            self.put(path, emit(table_data(value, self.units)))
            return
        for key in gone:
            self.remove((*path, key))
        for entry in fields_of(of):
            own = getattr(value, entry.attribute)
            if entry.key in old and own is not None:
                self.change(entry.shape, (*path, entry.key), old[entry.key], own)
            elif entry.key not in old and (entry.required or own != entry.default):
                self.add(path, entry, plain(entry.shape, own, self.units))

    def change(self, shape: Shape, path: KeyPath, old: Any, own: Any) -> None:
        """Change a value that is there."""
        match shape:
            case Table() if isinstance(old, dict):
                self.table(shape.of, path, old, own)
            case Many(item=Table(of=of)) if isinstance(old, list):
                self.things(of, path, old, own)
            case Raw():
                if old != own:
                    self.remove(path)
                    self.add_raw(path[:-1], str(path[-1]), dict(own))
            case _ if Reader(Guesses(0)).value(shape, old, path) == own:
                pass
            case Many() | Fixed() if self.entries_known(path, old, own):
                items = shape.items if isinstance(shape, Fixed) else (shape.item,) * len(own)
                for index, item in enumerate(items):
                    self.change(item, (*path, index), old[index], own[index])
            case _:
                indent = len(str(path[-1])) + 3
                self.put(path, emit_value(plain(shape, own, self.units), indent))

    def entries_known(self, path: KeyPath, old: Any, own: Sequence[Any]) -> bool:
        """Whether each entry of a list can be changed by itself."""
        return (
            isinstance(old, list)
            and len(old) == len(own)
            and all((*path, index) in self.layout.values for index in range(len(old)))
        )

    def things(self, of: type, path: KeyPath, old: list[Any], own: Sequence[Any]) -> None:
        """Change an array of tables: match its things by name, add the new, remove the others."""
        pairs, gone, new = _matched(old, [thing.name for thing in own])
        if path in self.layout.values and (gone or new):
            self.put(path, emit([table_data(thing, self.units) for thing in own]))
            return
        for before, after in pairs:
            self.table(of, (*path, before), old[before], own[after])
        for index in gone:
            self.remove((*path, index))
        for index in new:
            self.add_thing(str(path[-1]), table_data(own[index], self.units))

    def put(self, path: KeyPath, new: str) -> None:
        """Put another text in the place of a value."""
        span = self.layout.values.get(path)
        if span is None:
            raise CannotReviseError
        self.edits.append((*span, new))

    def remove(self, path: KeyPath) -> None:
        """Remove a key, or a table with all that belongs to it."""
        found = False
        for segment in self.segments:
            if segment.header and _within(segment.path, path):
                end = after_blank(self.text, segment.end)
                self.edits.append((segment.start, end, ""))
                found = True
                continue
            for key in segment.keys:
                if _within(key.path, path):
                    self.edits.append((key.start, key.end, ""))
                    found = True
        if not found:
            raise CannotReviseError

    def add(self, path: KeyPath, entry: Field, data: Any) -> None:
        """Add a key to a table that is there."""
        if path in self.layout.values:
            self.add_inline(path, f"{emit_key(entry.key)} = {emit(data)}")
        elif isinstance(entry.shape, Raw):
            self.add_raw(path, entry.key, data)
        elif path:
            self.add_pair(path, entry.key, data)
        elif isinstance(entry.shape, Table):
            self.add_block(entry.key, emit_table(f"[{entry.key}]", data))
        elif isinstance(entry.shape, Many) and isinstance(entry.shape.item, Table):
            for thing in data:
                self.add_thing(entry.key, thing)
        else:
            self.add_loose(emit_pair(entry.key, data))

    def add_inline(self, path: KeyPath, pair: str) -> None:
        """Add a pair to an inline table that has others."""
        start, end = self.layout.values[path]
        last = len(self.text[start : end - 1].rstrip()) + start
        self.insert(last, f", {pair}")

    def add_pair(self, path: KeyPath, key: str, data: Any) -> None:
        """Add a pair after the others of its table, dotted where the table is written so."""
        for segment in self.segments:
            if segment.path == path and segment.header:
                indent = self.indent_of(segment)
                self.insert(segment.end_of_keys, indent + emit_pair(emit_key(key), data))
                return
        for segment in reversed(self.segments):
            dotted = [s for s in segment.keys if _within(s.path, path) and len(s.table) < len(path)]
            if dotted:
                parts = [str(part) for part in path[len(segment.path) :]]
                self.insert(dotted[-1].end, emit_pair(emit_key(*parts, key), data))
                return
        raise CannotReviseError

    def indent_of(self, segment: Segment) -> str:
        """Return the white space before the keys of a segment."""
        if not segment.keys:
            return ""
        line = self.text[segment.keys[-1].start : segment.keys[-1].end]
        return line[: len(line) - len(line.lstrip())]

    def add_raw(self, path: KeyPath, key: str, data: Mapping[str, Any]) -> None:
        """Add what an option sets or adds."""
        own = [s for s in self.segments if s.header and _within(s.path, path)]
        if not own or own[0].path != path:
            raise CannotReviseError
        if key == "set":
            self.insert(own[0].end_of_keys, emit_set({key: data}))
        else:
            self.insert(own[-1].end, emit_added({key: data}))

    def add_thing(self, kind: str, data: Mapping[str, Any]) -> None:
        """Add a thing after the others of its kind."""
        self.add_block(kind, emit_thing(kind, data))

    def add_block(self, key: str, block: str) -> None:
        """Add a table after those that come before it in a scene file."""
        order = [entry.key for entry in fields_of(Scene)]
        before = order[: order.index(key) + 1]
        same = [s.end for s in self.segments if s.path[:1] == (key,)]
        earlier = [s.end for s in self.segments if s.path and s.path[0] in before]
        self.insert(max(same or earlier or [len(self.text)]), f"\n{block}")

    def add_loose(self, pair: str) -> None:
        """Add a key before the first header."""
        first, *others = self.segments
        if first.keys or not others:
            self.insert(first.end, pair)
        else:
            self.insert(others[0].start, f"{pair}\n")

    def insert(self, offset: int, new: str) -> None:
        self.edits.append((offset, offset, new))


def _within(path: KeyPath, holder: KeyPath) -> bool:
    return path[: len(holder)] == holder


def _matched(
    old: list[Any], names: list[str]
) -> tuple[list[tuple[int, int]], list[int], list[int]]:
    """Match old tables to the names they become.

    Returns
    -------
    pairs, gone, new
        Indices of those that stay (old, new); of the old that go; of the new that come. What is
        left over on both sides in the same place has changed its name.
    """
    free = {index: table.get("name") for index, table in enumerate(old) if isinstance(table, dict)}
    pairs: list[tuple[int, int]] = []
    new: list[int] = []
    for index, name in enumerate(names):
        match = next((other for other, own in free.items() if own == name), None)
        if match is None:
            new.append(index)
        else:
            pairs.append((match, index))
            del free[match]
    renamed = [index for index in new if index in free]
    pairs += [(index, index) for index in renamed]
    gone = [index for index in range(len(old)) if index in free and index not in renamed]
    return pairs, gone, [index for index in new if index not in renamed]
