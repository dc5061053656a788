"""The JSON Schema of scene files and of types files, for editors that complete and check TOML.

``python -m heatcore.scene.schema FOLDER`` writes both.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from heatcore.scene.kinds import Number, Quantity, Reference, Word
from heatcore.scene.library import TypesFile
from heatcore.scene.model import Option, Scene
from heatcore.scene.rules import AT_MOST_ONE, EXACTLY_ONE
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
    kinds_of,
    summary,
)
from heatcore.scene.spelling import EXAMPLE, ZERO_NEEDS_NO_UNIT, a, limit
from heatcore.scene.write import plain
from heatcore.units import UnitSystem

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_CHANGES = "Changes"  # ends the names of tables of which an option gives any part


def scene_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a scene file."""
    return _schema(Scene)


def types_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a file of heater and bracket types."""
    return _schema(TypesFile)


def write_schemas(folder: Path) -> None:
    """Write both schemas into a folder."""
    for name, schema in (("scene", scene_schema()), ("types", types_schema())):
        text = json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
        (folder / f"{name}.schema.json").write_text(text, encoding="utf-8")


def _schema(root: type) -> dict[str, Any]:
    made = _Schema()
    top = made.table(root, changes=False)
    return {"$schema": _DIALECT, "title": summary(root), **top, "$defs": made.tables}


class _Schema:
    """A schema on its way, with the tables that it has come upon."""

    def __init__(self) -> None:
        self.tables: dict[str, Any] = {}

    def reference(self, of: type, *, changes: bool) -> dict[str, Any]:
        """Refer to a table, described once."""
        name = of.__name__ + (_CHANGES if changes else "")
        if name not in self.tables:
            self.tables[name] = {}
            self.tables[name] = self.table(of, changes=changes)
        return {"$ref": f"#/$defs/{name}"}

    def table(self, of: type, *, changes: bool) -> dict[str, Any]:
        """Describe a table; with `changes`, one that gives any part of it."""
        out: dict[str, Any] = {
            "description": summary(of),
            "type": "object",
            "additionalProperties": False,
            "properties": {
                entry.key: self.property(of, entry, changes=changes) for entry in fields_of(of)
            },
        }
        required = [entry.key for entry in fields_of(of) if entry.required]
        if required and not changes:
            out["required"] = required
        if of in EXACTLY_ONE and not changes:
            out["oneOf"] = [{"required": [key]} for key in EXACTLY_ONE[of]]
        if of in AT_MOST_ONE:
            out["not"] = {"required": list(AT_MOST_ONE[of])}
        return out

    def property(self, of: type, entry: Field, *, changes: bool) -> dict[str, Any]:
        """Describe a key and its value."""
        if of is Option and isinstance(entry.shape, Raw):
            out = self.option_table(entry.key)
        else:
            out = self.value(entry.shape, changes=changes)
        out["description"] = _summary_of(entry.shape) or entry.description
        if not (entry.required or entry.default in (None, (), {}) or changes):
            out["default"] = plain(entry.shape, entry.default, UnitSystem.METRIC)
        return out

    def option_table(self, key: str) -> dict[str, Any]:
        """Describe what an option sets or adds: parts of the scene's own tables."""
        kinds = {kind: of for kind, of in kinds_of(Scene).items() if of is not Option}
        properties: dict[str, Any] = {}
        if key == "set":
            for entry in fields_of(Scene):
                if isinstance(entry.shape, Table):
                    properties[entry.key] = self.reference(entry.shape.of, changes=True)
        for kind, of in kinds.items():
            change = self.reference(of, changes=key == "set")
            properties[kind] = (
                {"type": "object", "additionalProperties": change}
                if key == "set"
                else {"type": "array", "items": change}
            )
        return {"type": "object", "additionalProperties": False, "properties": properties}

    def value(self, shape: Shape, *, changes: bool) -> dict[str, Any]:
        """Describe a value."""
        match shape:
            case Quantity():
                return _quantity(shape)
            case Number():
                return {"type": "integer" if shape.whole else "number", **_bounds(shape)}
            case Flag():
                return {"type": "boolean"}
            case Text():
                return {"type": "string"}
            case Word() | Reference():
                return {"type": "string", "minLength": 1}
            case Choice():
                return {"enum": [str(word) for word in shape.words]}
            case Fixed():
                return {
                    "type": "array",
                    "prefixItems": [self.value(item, changes=changes) for item in shape.items],
                    "minItems": len(shape.items),
                    "maxItems": len(shape.items),
                }
            case Many():
                least = {"minItems": 3} if shape.polygon else {}
                return {"type": "array", "items": self.value(shape.item, changes=False), **least}
            case Table():
                return self.reference(shape.of, changes=changes)
            case Either():
                either = (shape.text, shape.list)
                return {"anyOf": [self.value(one, changes=changes) for one in either]}
            case Raw():
                return {"type": "object"}


def _summary_of(shape: Shape) -> str:
    """Say what a table is, or the tables of a list; empty for other values."""
    inner = shape.item if isinstance(shape, Many) else shape
    return summary(inner.of) if isinstance(inner, Table) else ""


def _quantity(shape: Quantity) -> dict[str, Any]:
    """Describe a quantity: text with a unit, or a number where none is needed."""
    text = {"type": "string", "minLength": 1, "title": _asked(shape)}
    if shape.dimension == "share":
        return {"anyOf": [{"type": "number", **_bounds(shape)}, text]}
    if shape.dimension in ZERO_NEEDS_NO_UNIT and shape.above is None:
        return {"anyOf": [text, {"const": 0}]}
    return text


def _asked(shape: Quantity) -> str:
    """Say what is asked for, with its bounds and an example."""
    bounds = [
        f"{word} {limit(shape, bound)}"
        for word, bound in (
            ("more than", shape.above),
            ("at least", shape.at_least),
            ("at most", shape.at_most),
        )
        if bound is not None
    ]
    asked = " ".join([a(shape.dimension), " and ".join(bounds)]).strip()
    return f"{asked}, such as {EXAMPLE[shape.dimension]}"


def _bounds(shape: Quantity | Number) -> dict[str, Any]:
    named = {
        "exclusiveMinimum": shape.above,
        "minimum": shape.at_least,
        "maximum": shape.at_most,
    }
    return {name: bound for name, bound in named.items() if bound is not None}


if __name__ == "__main__":
    write_schemas(Path(sys.argv[1]))
