"""Where each value of a TOML text stands, so that a mistake has its line and an edit its place.

TOML readers give values without places. This is a scan, not a second reader: it knows only as much
of the grammar as it takes to tell keys, headers and values apart, and leaves judging to the reader.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

KeyPath = tuple[str | int, ...]

# Deeper than any scene; past it, the reader's cost and its use of the stack get out of hand.
DEEPEST = 32

# A string that is never closed is taken to its end, so that each character is looked at once.
_STRING = "|".join(
    (
        r'"""(?:[^\\]|\\.|\\\Z)*?(?:""""{0,2}|\Z)',
        r"\'\'\'.*?(?:\'\'\'\'{0,2}|\Z)",
        r'"(?:[^"\\\n]|\\[^\n])*"?',
        r"'[^'\n]*'?",
    )
)
_TOKEN = re.compile(
    rf"(?P<string>{_STRING})|(?P<comment>#[^\n]*)|(?P<newline>\n)|(?P<mark>[\[\]{{}},=.])"
    r"|(?P<bare>[^\s\[\]{},=.#\"']+)",
    re.DOTALL,
)


@dataclass(frozen=True)
class Statement:
    """A header or a ``key = value``, on the lines it takes.

    Attributes
    ----------
    path : of the table that a header opens, or of the key
    table : of the table it belongs to; a header's own
    start, end : offsets in the text; whole lines with their comment, the line's end included
    header : whether it is a header
    """

    path: KeyPath
    table: KeyPath
    start: int
    end: int
    header: bool


@dataclass(frozen=True)
class Layout:
    """Where things stand in a TOML text.

    Attributes
    ----------
    text : the text
    statements : headers and keys, in order
    values : offsets of each value, by its path; entries of lists and inline tables included
    starts : offset of each table's header, key or list entry, by its path
    too_deep : whether it is nested deeper than `DEEPEST`; the scan stops there
    """

    text: str
    statements: tuple[Statement, ...]
    values: Mapping[KeyPath, tuple[int, int]]
    starts: Mapping[KeyPath, int]
    too_deep: bool

    def line(self, path: KeyPath) -> int | None:
        """Line of a path, or of the nearest thing that holds it [1-based]; None where unsure."""
        for length in range(len(path), 0, -1):
            start = self.starts.get(path[:length])
            if start is not None:
                return bisect_right(self._newlines, start - 1) + 1
        return None

    @cached_property
    def _newlines(self) -> list[int]:
        return [found.start() for found in re.finditer("\n", self.text)]


def locate(text: str) -> Layout:
    """Scan a TOML text. Never fails: of a broken text it tells what it can."""
    scan = _Scan(text)
    try:
        scan.document()
    except _TooDeepError:
        scan.too_deep = True
    return Layout(text, tuple(scan.statements), scan.values, scan.starts, scan.too_deep)


class _TooDeepError(Exception):
    """The scan has seen enough."""


@dataclass
class _Open:
    """A list or an inline table whose end has not come yet."""

    path: KeyPath
    start: int
    array: bool
    index: int = 0


@dataclass
class _Scan:
    text: str
    at: int = 0
    too_deep: bool = False
    statements: list[Statement] = field(default_factory=list)
    values: dict[KeyPath, tuple[int, int]] = field(default_factory=dict)
    starts: dict[KeyPath, int] = field(default_factory=dict)
    arrays: dict[KeyPath, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.tokens = list(_TOKEN.finditer(self.text))

    def peek(self) -> str:
        """Kind of the next token, a mark being its own kind; '' at the end."""
        if self.at >= len(self.tokens):
            return ""
        token = self.tokens[self.at]
        return token[0] if token.lastgroup == "mark" else token.lastgroup or ""

    def document(self) -> None:
        """Go through all statements."""
        table: KeyPath = ()
        while kind := self.peek():
            first = self.tokens[self.at].start()
            if kind in ("newline", "comment"):
                self.at += 1
                continue
            if kind == "[":
                path = table = self.header()
            else:
                path = self.key(table, first)
                if self.peek() == "=":
                    self.at += 1
                    self.value(path)
            self.statement(path, table, first, header=kind == "[")

    def statement(self, path: KeyPath, table: KeyPath, first: int, *, header: bool) -> None:
        """Note a statement, and go to the end of its line."""
        while self.peek() not in ("newline", ""):
            self.at += 1
        start = self.text.rfind("\n", 0, first) + 1
        end = self.tokens[self.at].end() if self.peek() else len(self.text)
        self.statements.append(Statement(path, table, start, end, header))

    def header(self) -> KeyPath:
        """Read ``[table]`` or ``[[array]]``; the path of the table that it opens."""
        first = self.tokens[self.at].start()
        self.at += 1
        repeated = self.peek() == "["
        self.at += repeated
        *holders, last = self.parts()
        path: KeyPath = ()
        for part in holders:
            path = self.entry((*path, part))
            self.starts.setdefault(path, first)
        path = (*path, last)
        self.starts.setdefault(path, first)
        if repeated:
            self.arrays[path] = self.arrays.get(path, -1) + 1
        path = self.entry(path)
        self.starts.setdefault(path, first)
        return path

    def entry(self, path: KeyPath) -> KeyPath:
        """Add the index of the latest table, where the path is that of an array of tables."""
        return (*path, self.arrays[path]) if path in self.arrays else path

    def key(self, table: KeyPath, start: int) -> KeyPath:
        """Read a key, dotted or not; its path."""
        path = table
        for part in self.parts():
            path = (*path, part)
            self.starts.setdefault(path, start)
        return path

    def parts(self) -> list[str]:
        """Read the parts of a dotted key. Always takes at least one token."""
        parts: list[str] = []
        while True:
            token = self.tokens[self.at][0] if self.peek() else ""
            parts.append(_unquoted(token))
            self.at += 1
            if len(parts) > DEEPEST:
                raise _TooDeepError
            if self.peek() != ".":
                return parts
            self.at += 1

    def value(self, path: KeyPath) -> None:
        """Read a value, and what it holds."""
        opened: list[_Open] = []
        while kind := self.peek():
            token = self.tokens[self.at]
            holder = opened[-1] if opened else None
            if kind in ("newline", "comment"):
                if holder is None:
                    return
                self.at += 1
            elif kind == ",":
                if holder is None:
                    return
                holder.index += 1
                self.at += 1
            elif kind in ("]", "}"):
                if holder is None:
                    return
                opened.pop()
                self.values[holder.path] = (holder.start, token.end())
                self.at += 1
            else:
                if holder is not None and holder.array:
                    path = (*holder.path, holder.index)
                    self.starts.setdefault(path, token.start())
                elif holder is not None:
                    path = self.key(holder.path, token.start())
                    if self.peek() != "=":
                        continue
                    self.at += 1
                self.start_of_value(path, opened)
            if not opened and path in self.values:
                return

    def start_of_value(self, path: KeyPath, opened: list[_Open]) -> None:
        """Open a list or an inline table, or read a plain value to its end."""
        kind = self.peek()
        if kind in ("[", "{"):
            if len(opened) >= DEEPEST:
                raise _TooDeepError
            opened.append(_Open(path, self.tokens[self.at].start(), array=kind == "["))
            self.at += 1
            return
        first = self.at
        while self.peek() not in ("newline", "comment", ",", "]", "}", ""):
            self.at += 1
        if self.at > first:
            self.values[path] = (self.tokens[first].start(), self.tokens[self.at - 1].end())


def _unquoted(token: str) -> str:
    if token[:1] not in ("'", '"'):
        return token
    try:
        return str(tomllib.loads(f"key = {token}")["key"])
    except tomllib.TOMLDecodeError:
        return token
