"""Write a scene as the text of a scene file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heatcore.errors import InputError, UnitError
from heatcore.scene.document import quoted
from heatcore.scene.emit import emit_key, emit_option, emit_pair, emit_table
from heatcore.scene.kinds import Number, Quantity, Reference, Word
from heatcore.scene.model import Scene
from heatcore.scene.shapes import (
    Choice,
    Either,
    Fixed,
    Flag,
    Many,
    Raw,
    Shape,
    Table,
    Text,
    fields_of,
)
from heatcore.scene.spelling import spell
from heatcore.units import UnitSystem

# Editors that know TOML find the schema by this.
_FIRST_LINE = "#:schema scene.schema.json\n"


def write_scene(scene: Scene) -> str:
    """Write a scene as TOML that reads back as the same scene, to the last digit.

    Lengths stand in the site's units where these can say them exactly, and what equals its default
    is left out.

    Raises
    ------
    InputError
        If a number of the scene is not finite.
    """
    blocks = [_FIRST_LINE]
    loose = ""
    for key, value in to_data(scene).items():
        if isinstance(value, dict):
            blocks.append(emit_table(f"[{key}]", value))
        elif value and isinstance(value[0], dict):
            blocks += (emit_thing(key, thing) for thing in value)
        else:
            loose += emit_pair(key, value)
    blocks[1:1] = [loose] if loose else []
    return "\n".join(blocks)


def emit_thing(kind: str, thing: Mapping[str, Any]) -> str:
    """Write one table of an array of tables."""
    return emit_option(thing) if kind == "option" else emit_table(f"[[{emit_key(kind)}]]", thing)


def to_data(scene: Scene) -> dict[str, Any]:
    """Return a scene as the plain data of a scene file, without what equals its default.

    Raises
    ------
    InputError
        If a number of the scene is not finite.
    """
    return table_data(scene, scene.site.units)


def table_data(value: Any, units: UnitSystem, where: str = "") -> dict[str, Any]:
    """Return one of the model's dataclasses as plain data, without what equals its default."""
    of: type = type(value)
    data = {}
    for entry in fields_of(of):
        own = getattr(value, entry.attribute)
        if entry.required or own != entry.default:
            place = f"{where}.{entry.key}" if where else entry.key
            data[entry.key] = plain(entry.shape, own, units, place)
    return data


def plain(shape: Shape, value: Any, units: UnitSystem, where: str = "") -> Any:
    """Return a value as plain data of the given shape; `where` is its path, for a mistake."""
    match shape:
        case Quantity():
            try:
                return spell(shape.dimension, value, units)
            except UnitError as error:
                raise InputError(where, error.message, error.remedy) from None
        case Number():
            return int(value) if shape.whole else float(value)
        case Flag():
            return bool(value)
        case Word() | Reference() | Text() | Choice():
            return str(value)
        case Fixed():
            entries = zip(shape.items, value, strict=True)
            return [plain(item, own, units, where) for item, own in entries]
        case Many(item=Table()):
            return [table_data(own, units, f"{where} {quoted(own.name)}") for own in value]
        case Many():
            return [plain(shape.item, own, units, where) for own in value]
        case Either():
            return plain(shape.text if isinstance(value, str) else shape.list, value, units, where)
        case Table():
            return table_data(value, units, where)
        case Raw():
            return dict(value)
