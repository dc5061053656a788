"""Plain data turned into drafts: what could be read, with everything that could not.

One walk over the shapes of the model's fields. It goes on after a mistake, so that a file with five
mistakes gets five messages, and a draft holds what was readable, so that the rules that come after
can be applied to the rest of it.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from heatcore.errors import UnitError
from heatcore.scene import spelling
from heatcore.scene.document import Guesses, Slip, listed, quoted
from heatcore.scene.kinds import Number, Quantity, Reference, Word
from heatcore.scene.locate import KeyPath
from heatcore.scene.outlines import Point, outline_faults
from heatcore.scene.shapes import (
    Choice,
    Either,
    Field,
    Fixed,
    Flag,
    Many,
    Raw,
    Shape,
    Table,
    Text,
    fields_of,
)
from heatcore.units import UnitSystem, format_length

MOST_ENTRIES = 1000  # of one list; no patio has more of anything, and the rules take pairs
_LONGEST_NAME = 100


class Unread:
    """Stands for a value that could not be read."""


UNREAD = Unread()


@dataclass(eq=False)
class Draft:
    """A table of the file, as far as it could be read.

    Attributes
    ----------
    of : the dataclass it is meant for
    path : where it stands
    given : attributes that the file gives, readable or not
    values : what could be read, defaults included, by attribute; tables are drafts
    whole : whether all of it could be read
    """

    of: type
    path: KeyPath
    given: set[str] = field(default_factory=set)
    values: dict[str, Any] = field(default_factory=dict)
    whole: bool = True

    def __getitem__(self, attribute: str) -> Any:
        """Return a value, None where it could not be read."""
        return self.values.get(attribute)

    def at(self, key: str) -> KeyPath:
        """Path of one of its keys."""
        return (*self.path, key)

    def build(self) -> Any:
        """Make the dataclass of a whole draft."""
        return self.of(**{name: _built(value) for name, value in self.values.items()})


def _built(value: Any) -> Any:
    if isinstance(value, Draft):
        return value.build()
    if isinstance(value, tuple):
        return tuple(map(_built, value))
    return value


def label(table: type) -> str:
    """Call a dataclass as people do: 'heater type'."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", table.__name__).lower()


@dataclass
class Reader:
    """One pass over some data.

    Attributes
    ----------
    guesses : for misspelt words
    slips : the mistakes
    references : each name that refers to another thing
    files : each path of a further file
    units : in which messages give lengths
    """

    guesses: Guesses = field(default_factory=Guesses)
    slips: list[Slip] = field(default_factory=list)
    references: list[tuple[KeyPath, Reference, str]] = field(default_factory=list)
    files: list[tuple[KeyPath, str]] = field(default_factory=list)
    units: UnitSystem = UnitSystem.METRIC

    def slip(self, path: KeyPath, message: str, remedy: str = "") -> Unread:
        """Note a mistake."""
        self.slips.append(Slip(path, message, remedy))
        return UNREAD

    def length(self, length_m: float) -> str:
        """Write a length for a message."""
        return format_length(length_m, self.units)

    def table(self, of: type, data: Mapping[str, Any], path: KeyPath) -> Draft:
        """Read a table with the keys of a dataclass."""
        draft = Draft(of, path)
        before = len(self.slips)
        meant = self._keys(of, data, path)
        for entry in fields_of(of):
            if entry.key in meant:
                written = meant[entry.key]
                draft.given.add(entry.attribute)
                value = self.value(entry.shape, data[written], draft.at(written))
            elif entry.required:
                value = self.slip(draft.at(entry.key), "is missing", _remedy_for_missing(entry))
            else:
                value = entry.default
            if value is not UNREAD:
                draft.values[entry.attribute] = value
        draft.whole = len(self.slips) == before
        return draft

    def _keys(self, of: type, data: Mapping[str, Any], path: KeyPath) -> dict[str, str]:
        """Match the keys of a table to those of a dataclass, misspelt ones to what they mean.

        A misspelt key is a mistake, but its value is still read: what it names is not missing.
        """
        known = [entry.key for entry in fields_of(of)]
        meant = {key: key for key in data if key in known}
        for key in data:
            if key in meant:
                continue
            guess = self.guesses.guess(key, known)
            remedy = f"did you mean {quoted(guess)}?" if guess else f"it takes {listed(known)}"
            self.slip((*path, key), f"is no key of {spelling.a(label(of))}", remedy)
            if guess:
                meant.setdefault(guess, key)
        return meant

    def value(self, shape: Shape, data: Any, path: KeyPath) -> Any:
        """Read one value; UNREAD where it is not what the shape asks for."""
        match shape:
            case Quantity():
                return self._quantity(shape, data, path)
            case Number():
                return self._number(shape, data, path)
            case Flag():
                if isinstance(data, bool):
                    return data
                return self.slip(path, f"is {called(data)}", "write true or false")
            case Fixed() | Many():
                return self._list(shape, data, path)
            case Table():
                if isinstance(data, dict):
                    return self.table(shape.of, data, path)
                return self.slip(path, f"is {called(data)}, not a table", _table_remedy(path, data))
            case Either():
                if isinstance(data, (str, list)):
                    return self.value(
                        shape.text if isinstance(data, str) else shape.list, data, path
                    )
                return self.slip(path, f"is {called(data)}", "give a name in quotes, or a list")
            case Raw():
                if isinstance(data, dict):
                    return data
                return self.slip(path, f"is {called(data)}, not a table")
            case Word() | Reference() | Text() | Choice():
                return self._text(shape, data, path)

    def _text(self, shape: Word | Reference | Text | Choice, data: Any, path: KeyPath) -> Any:
        if not isinstance(data, str):
            return self.slip(path, f"is {called(data)}, not text", "write it in quotes")
        match shape:
            case Choice():
                return self._choice(shape, data, path)
            case Text():
                return data
        if not data.strip() or not data.isprintable() or len(data) > _LONGEST_NAME:
            message = f"{quoted(data)} cannot be a {'path' if shape == Word('path') else 'name'}"
            remedy = f"give one line of at most {_LONGEST_NAME} printable characters"
            return self.slip(path, message, remedy)
        if isinstance(shape, Reference):
            self.references.append((path, shape, data))
        elif shape.meaning == "path":
            self.files.append((path, data))
        return data

    def _choice(self, shape: Choice, data: str, path: KeyPath) -> Any:
        if data in shape.words:
            return data if shape.of is None else shape.of(data)
        guess = self.guesses.guess(data, shape.words)
        meant = f"did you mean {quoted(guess)}? " if guess else ""
        return self.slip(
            path, f"there is no {quoted(data)} here", f"{meant}choose from {listed(shape.words)}"
        )

    def _quantity(self, shape: Quantity, data: Any, path: KeyPath) -> Any:
        what = spelling.a(shape.dimension)
        if not isinstance(data, (str, int, float)) or isinstance(data, bool):
            example = f"write one such as {spelling.EXAMPLE[shape.dimension]}"
            return self.slip(path, f"is {called(data)}, not {what}", example)
        try:
            value = spelling.parse(shape.dimension, data)
        except UnitError as error:
            return self.slip(path, error.message, error.remedy)
        shown = quoted(data) if isinstance(data, str) else f"{data:.6g}"
        return self._within(shape, value, shown, path)

    def _number(self, shape: Number, data: Any, path: KeyPath) -> Any:
        kind = "a whole number" if shape.whole else "a number"
        good = isinstance(data, int) or (isinstance(data, float) and not shape.whole)
        if not good or isinstance(data, bool):
            return self.slip(path, f"is {called(data)}, not {kind}", f"write {kind} without quotes")
        if not abs(data) < 1e300:
            return self.slip(path, f"is not {kind} that can be used", f"write {kind}")
        return self._within(shape, data if shape.whole else float(data), f"{data:g}", path)

    def _within(self, shape: Quantity | Number, value: float, shown: str, path: KeyPath) -> Any:
        """Hold a value against its bounds."""
        if shape.above is not None and not value > shape.above:
            remedy = f"it must be more than {spelling.limit(shape, shape.above)}"
            return self.slip(path, f"{shown} is too small", remedy)
        if shape.at_least is not None and not value >= shape.at_least:
            remedy = f"it must be at least {spelling.limit(shape, shape.at_least)}"
            return self.slip(path, f"{shown} is too small", remedy)
        if shape.at_most is not None and not value <= shape.at_most:
            most = spelling.limit(shape, shape.at_most)
            remedy = f"it must be at most {most}; is the unit right?"
            return self.slip(path, f"{shown} is too large", remedy)
        return value

    def _list(self, shape: Fixed | Many, data: Any, path: KeyPath) -> Any:
        if not isinstance(data, list):
            if isinstance(shape, Many) and isinstance(shape.item, Table):
                remedy = f"write [[{path[-1]}]], with double brackets, for each one"
            else:
                remedy = "write it in square brackets"
            return self.slip(path, f"is {called(data)}, not a list", remedy)
        if isinstance(shape, Fixed):
            wanted = len(shape.items)
            if len(data) != wanted:
                return self.slip(path, f"has {len(data)} entries", f"it takes {wanted}")
            shapes: tuple[Shape, ...] = shape.items
        elif len(data) > MOST_ENTRIES:
            return self.slip(path, f"has {len(data)} entries", f"it takes at most {MOST_ENTRIES}")
        else:
            shapes = (shape.item,) * len(data)
        values = tuple(
            self.value(item, entry, (*path, index))
            for index, (item, entry) in enumerate(zip(shapes, data, strict=True))
        )
        if isinstance(shape, Many) and isinstance(shape.item, Table):
            return tuple(value for value in values if value is not UNREAD)
        if UNREAD in values:
            return UNREAD
        if isinstance(shape, Many) and shape.polygon:
            return self._polygon(values, path)
        return values

    def _polygon(self, corners: tuple[Point, ...], path: KeyPath) -> Any:
        faults = outline_faults(corners, self.length)
        for index, message, remedy in faults:
            self.slip(path if index is None else (*path, index), message, remedy)
        return UNREAD if faults else corners


def called(data: Any) -> str:
    """Say what kind of TOML value this is."""
    match data:
        case bool():
            return "true or false"
        case str():
            return "text"
        case float() if not math.isfinite(data):
            return f"{data}"
        case int() | float():
            return "a number"
        case list():
            return "a list"
        case datetime.date() | datetime.time():
            return "a date or a time"
    return "a table"


def _remedy_for_missing(entry: Field) -> str:
    if isinstance(entry.shape, Table):
        return f"add it as a table, [{entry.key}]: {entry.description}"
    return f"add it: {entry.description}"


def _table_remedy(path: KeyPath, data: Any) -> str:
    if isinstance(data, list) and len(path) == 1:
        return f"write [{path[0]}], with single brackets, once"
    return "write it as a table, { key = value }"
