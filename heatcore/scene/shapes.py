"""What an annotation says a value looks like in the file.

The model's dataclasses are the only definition of the scene file. `fields_of` turns the annotations
of one of them into fields with shapes; the reader, the writer and the schema each walk those.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields, replace
from enum import StrEnum
from functools import cache
from inspect import cleandoc, get_annotations
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from heatcore.scene.kinds import Number, Polygon, Quantity, Reference, Word


@dataclass(frozen=True)
class Flag:
    """True or false."""


@dataclass(frozen=True)
class Text:
    """Any text."""


@dataclass(frozen=True)
class Choice:
    """One of some words; `of` is the enumeration that holds them, if there is one."""

    words: tuple[str, ...]
    of: type[StrEnum] | None = None


@dataclass(frozen=True)
class Fixed:
    """A list of a fixed length, one shape for each entry."""

    items: tuple[Shape, ...]


@dataclass(frozen=True)
class Many:
    """A list of any length; `polygon` where the entries are the corners of one."""

    item: Shape
    polygon: bool = False


@dataclass(frozen=True)
class Table:
    """A table with the keys of a dataclass."""

    of: type


@dataclass(frozen=True)
class Either:
    """Text of one shape, or a list of the other."""

    text: Shape
    list: Shape


@dataclass(frozen=True)
class Raw:
    """A table kept as it stands in the file."""


Shape = (
    Quantity
    | Number
    | Word
    | Reference
    | Flag
    | Text
    | Choice
    | Fixed
    | Many
    | Table
    | Either
    | Raw
)


@dataclass(frozen=True)
class Field:
    """One key of a table.

    Attributes
    ----------
    key : as the file spells it
    attribute : as Python spells it
    shape : what its value looks like
    required : whether it must be given
    default : its value where it is left out
    description : what the dataclass says of it
    """

    key: str
    attribute: str
    shape: Shape
    required: bool
    default: Any
    description: str


@cache
def fields_of(table: type) -> tuple[Field, ...]:
    """Return the fields of a dataclass that stand in the file, in order."""
    hints = get_type_hints(table, include_extras=True)
    said = _descriptions(table)
    out = []
    # What a class shares with others comes after what is its own.
    own = get_annotations(table)
    for field in sorted(fields(table), key=lambda field: field.name not in own):
        if not field.metadata.get("file", True):
            continue
        made = field.default_factory
        default = field.default if made is MISSING else made()
        out.append(
            Field(
                key=field.name.removesuffix("_"),
                attribute=field.name,
                shape=_shape(hints[field.name]),
                required=default is MISSING,
                default=default,
                description=said.get(field.name, ""),
            )
        )
    return tuple(out)


@cache
def kinds_of(table: type) -> Mapping[str, type]:
    """Return the arrays of tables in a dataclass, by key: the kinds of thing that it holds."""
    return {
        field.key: field.shape.item.of
        for field in fields_of(table)
        if isinstance(field.shape, Many) and isinstance(field.shape.item, Table)
    }


def summary(table: type) -> str:
    """Return the first line of a dataclass's docstring, without its full stop."""
    return (table.__doc__ or "").strip().partition("\n")[0].rstrip(".")


def _shape(hint: Any) -> Shape:
    """Turn a type hint into a shape.

    Raises
    ------
    TypeError
        If the file has no form for it.
    """
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _annotated(*args)
    if origin in (Union, UnionType):
        shapes = [_shape(arg) for arg in args if arg is not NoneType]
        return shapes[0] if len(shapes) == 1 else Either(*shapes)
    if origin is tuple:
        return Many(_shape(args[0])) if args[1:] == (...,) else Fixed(tuple(map(_shape, args)))
    if origin is Literal:
        return Choice(args)
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return Raw()
    return _plain(hint)


def _annotated(base: Any, kind: Any) -> Shape:
    match kind:
        case Quantity() | Word() | Reference():
            return kind
        case Number():
            return replace(kind, whole=base is int)
        case Polygon():
            shape = _shape(base)
            assert isinstance(shape, Many)
            return replace(shape, polygon=True)
    raise TypeError(f"no form in the file for {kind!r}")


def _plain(hint: Any) -> Shape:
    if hint is bool:
        return Flag()
    if hint is str:
        return Text()
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return Choice(tuple(hint), hint)
    if hasattr(hint, "__dataclass_fields__"):
        return Table(hint)
    raise TypeError(f"no form in the file for {hint!r}")


def _descriptions(table: type) -> dict[str, str]:
    """Read the Attributes section of a docstring: ``name, other : what they are``."""
    said: dict[str, str] = {}
    for of in reversed(table.__mro__[:-1]):
        # Python 3.13 strips the indentation itself, earlier ones do not.
        _, _, section = cleandoc(of.__doc__ or "").partition("Attributes\n----------\n")
        for entry in re.split(r"\n(?=\S)", section):
            names, _, text = entry.partition(" : ")
            for name in names.split(", "):
                said[name.strip()] = " ".join(text.split())
    return said
