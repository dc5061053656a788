"""A TOML text as plain data, and where in it a mistake lies."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from heatcore.errors import InputError, Mistake
from heatcore.scene.locate import DEEPEST, KeyPath, Layout, locate

MOST_BYTES = 1_000_000  # a large scene takes some thirty thousand
_LONGEST_SHOWN = 60


@dataclass(frozen=True)
class Slip:
    """A mistake by its path in the data; `unknown` is the name that refers to nothing."""

    path: KeyPath
    message: str
    remedy: str = ""
    unknown: str = ""


@dataclass(frozen=True)
class Document:
    """Plain data with its places.

    Attributes
    ----------
    data : the data, as a TOML reader gives it
    layout : where it stands in its text; None where it does not come from a text
    label : name of the file, where mistakes must say it
    """

    data: Mapping[str, Any]
    layout: Layout | None = None
    label: str = ""

    def where(self, path: KeyPath) -> str:
        """Write a path as people read it: ``heater "H1".tilt``, ``door[2].width``.

        A named thing goes by its name; the entries of a list are counted from 1.
        """
        out = ""
        node: Any = self.data
        for depth, part in enumerate(path):
            if isinstance(part, int):
                node = node[part] if isinstance(node, list) and part < len(node) else None
                name = node.get("name") if isinstance(node, dict) else None
                out += f" {quoted(name)}" if name and isinstance(name, str) else f"[{part + 1}]"
                continue
            node = node.get(part) if isinstance(node, dict) else None
            # set.heater."H3".at: after the kind comes the name of a thing.
            named = depth == 4 and path[0] == "option" and path[2:4] not in _WHOLE_TABLES
            if named and path[2] == "set":
                out += f" {quoted(part)}"
            else:
                out += ("." if out else "") + bare(part)
        return f"{self.label}: {out}".removesuffix(": ") if self.label else out

    def mistake(self, slip: Slip) -> Mistake:
        """Give a slip its place in words, and its line."""
        line = self.layout.line(slip.path) if self.layout else None
        where = self.where(slip.path)
        if self.label and line is not None:
            # A line number alone would be looked for in the scene file.
            where, line = f"{self.label}, line {line}{where.removeprefix(self.label)}", None
        return Mistake(where, slip.message, slip.remedy, line)


_WHOLE_TABLES = (("set", "site"), ("set", "floor"))


def load(path: Path, label: str = "") -> Document:
    """Read a TOML file.

    Parameters
    ----------
    path : the file
    label : name to put before its mistakes

    Raises
    ------
    InputError
        If it is missing, no file, too large, not UTF-8 or not TOML.
    """
    return parse(read_text(path, label), label)


def read_text(path: Path, label: str = "") -> str:
    """Read a text file, its line ends as they are.

    Raises
    ------
    InputError
        If it cannot be read, is too large or is not UTF-8.
    """
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise InputError(str(path), "there is no such file", "check its name and folder") from None
    except IsADirectoryError:
        raise InputError(str(path), "is a folder, not a file", "name the file in it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(str(path), f"cannot be read: {reason}", "check the file") from None
    if len(content) > MOST_BYTES:
        message = f"is larger than {MOST_BYTES // 1000} kB"
        raise InputError(str(path), message, "is it a scene file at all?")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        message = "the file is not UTF-8 text"
        raise _at_line(line, message, "save it as UTF-8 text", label) from None


def parse(text: str, label: str = "") -> Document:
    """Read a TOML text.

    Raises
    ------
    InputError
        If it is too large, nested too deeply or not TOML.
    """
    if len(text) > MOST_BYTES:
        message = f"the text is longer than {MOST_BYTES // 1000} thousand characters"
        raise InputError(label, message, "is it a scene file at all?")
    layout = locate(text)
    if layout.too_deep:
        message = f"tables and lists are nested more than {DEEPEST} deep"
        raise InputError(label, message, "look for brackets that are never closed")
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise _not_toml(text, str(error), label) from None
    return Document(data, layout, label)


def _not_toml(text: str, reason: str, label: str) -> InputError:
    """Say where and why a text is no TOML, with the slips that a scene file invites."""
    found = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", reason)
    lines = text.splitlines() or [""]
    number = int(found[1]) if found and found[1] else len(lines)
    reason = reason[: found.start()] if found else reason
    line = lines[min(number, len(lines)) - 1]
    if re.search(r"""=[^"]*"[^"]*'[^"]*\"""" + '"', line):
        remedy = 'leave out the inch mark inside the quotes, as in "7\' 6"'
    elif re.search(r"=\s*-?[0-9.]+\s*[a-z'°%]", line):
        remedy = 'put a value with a unit in quotes, as in "2.4 m"'
    elif twice := re.match(r"Cannot declare \('(\w+)',\) twice", reason):
        remedy = f"write [[{twice[1]}]], with double brackets, for each of several"
    else:
        remedy = "every quote and bracket needs its partner, every key its = and value"
    message = f"the text breaks off or is not TOML here: {reason[:1].lower()}{reason[1:]}"
    return _at_line(number, message, remedy, label)


def _at_line(line: int, message: str, remedy: str, label: str) -> InputError:
    """Make a mistake on a line; that of another file than the scene is named with its file."""
    if label:
        return InputError(f"{label}, line {line}", message, remedy)
    return InputError("", message, remedy, line)


@dataclass
class Guesses:
    """The word that may have been meant for a misspelt one.

    Only so often: guessing is slow, and a file with hundreds of mistakes is no scene file.
    """

    left: int = field(default=100)

    def guess(self, word: str, words: Iterable[str]) -> str | None:
        """Return the likeliest of `words`, if one is likely at all."""
        if self.left <= 0:
            return None
        self.left -= 1
        folded = {other.casefold(): other for other in words}
        close = get_close_matches(word[:100].casefold(), folded, n=1, cutoff=0.6)
        return folded[close[0]] if close else None


def bare(key: str) -> str:
    """Write a key as TOML does: quoted where it must be."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) and len(key) < 60 else quoted(key)


def quoted(text: str) -> str:
    """Write text in quotes on one line, shortened where it is long."""
    short = text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}..."
    return json.dumps(short, ensure_ascii=False)


def listed(words: Iterable[str]) -> str:
    """Write some words as an enumeration, shortened where there are many."""
    every = list(words)
    shown = ", ".join(every[:25])
    return f"{shown} and {len(every) - 25} more" if len(every) > 25 else shown
