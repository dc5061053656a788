"""Heater and bracket types and keep-outs: those that ship, and the user's own files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from heatcore.errors import InputError
from heatcore.scene.document import load, quoted
from heatcore.scene.drafts import Reader
from heatcore.scene.rules import check_thing
from heatcore.scene.types import BracketType, HeaterType, KeepOut

_SHIPPED = Path(__file__).parent / "data"


@dataclass(frozen=True, kw_only=True)
class TypesFile:
    """A file of heater and bracket types, and of keep-outs.

    Attributes
    ----------
    heater_type : heater families
    bracket_type : bracket families
    keep_out : distances that every heater keeps from kinds of things
    """

    heater_type: tuple[HeaterType, ...] = ()
    bracket_type: tuple[BracketType, ...] = ()
    keep_out: tuple[KeepOut, ...] = ()


class Types(NamedTuple):
    """Heater and bracket types, and keep-outs, by name."""

    heaters: Mapping[str, HeaterType]
    brackets: Mapping[str, BracketType]
    keep_outs: Mapping[str, KeepOut]

    def over(self, others: Types) -> Types:
        """Put these on top of others: of the same name, these count."""
        return Types(
            {**others.heaters, **self.heaters},
            {**others.brackets, **self.brackets},
            {**others.keep_outs, **self.keep_outs},
        )


@cache
def shipped() -> Types:
    """Return the generic types and keep-outs that ship."""
    types = Types({}, {}, {})
    for path in sorted(_SHIPPED.glob("*.toml")):
        types = read_types(path).over(types)
    return Types(
        MappingProxyType(types.heaters),
        MappingProxyType(types.brackets),
        MappingProxyType(types.keep_outs),
    )


def read_types(path: Path) -> Types:
    """Read a file of heater and bracket types, and of keep-outs.

    Raises
    ------
    InputError
        With every mistake of the file, each with its path and line.
    """
    document = load(path, label=path.name)
    reader = Reader()
    draft = reader.table(TypesFile, document.data, ())
    for kind in ("heater_type", "bracket_type", "keep_out"):
        names: set[str] = set()
        for thing in draft[kind] or ():
            check_thing(thing, reader)
            if thing["name"] in names:
                message = f"there are two called {quoted(thing['name'])}"
                reader.slip(thing.at("name"), message, "give each a name of its own")
            elif thing["name"]:
                names.add(thing["name"])
    if not document.data:
        remedy = "give [[heater_type]], [[bracket_type]] or [[keep_out]] tables"
        reader.slip((), "the file is empty", remedy)
    if reader.slips:
        raise InputError.of(map(document.mistake, reader.slips))
    types: TypesFile = draft.build()
    return Types(
        {heater.name: heater for heater in types.heater_type},
        {bracket.name: bracket for bracket in types.bracket_type},
        {keep_out.name: keep_out for keep_out in types.keep_out},
    )
