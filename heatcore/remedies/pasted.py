"""Remedies and fixes as options that can be pasted into the scene file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import replace
from typing import Any

from heatcore.remedies.values import Fix, Remedy
from heatcore.scene.emit import emit_option
from heatcore.scene.model import Option
from heatcore.scene.write import table_data
from heatcore.units import UnitSystem

# What gives way where the other way of saying the same is set.
GIVES_WAY = {"at": "offset", "tilt": "aim_at"}


def toml(found: Sequence[Remedy | Fix], base: Option | None = None) -> str:
    """Remedies and fixes as options of the scene as drawn, each once.

    Parameters
    ----------
    found : what was found
    base : the option for which it was found: each printed option does what that one does, too
    """
    blocks = {}
    for one in found:
        option = one.change.option if base is None else together(base, one.change.option)
        before = f"{base.name}, " if base is not None else ""
        option = replace(option, name=f"{before}{one.title}", note=one.change.words)
        units = UnitSystem(one.evaluation.scene.site.units)
        blocks[option.name] = emit_option(table_data(option, units))
    return "\n".join(blocks.values())


def together(base: Option, change: Option) -> Option:
    """One option that does what two do, one after the other; the second removes nothing."""
    changes = deepcopy(dict(base.set))
    added = deepcopy({kind: list(things) for kind, things in base.add.items()})
    for kind, things in change.set.items():
        for name, values in things.items():
            own = [thing for thing in added.get(kind, []) if thing.get("name") == name]
            target = own[0] if own else changes.setdefault(kind, {}).setdefault(name, {})
            _lay(values, target)
    for kind, new in change.add.items():
        added.setdefault(kind, []).extend(new)
    return replace(base, set=changes, add=added)


def _lay(values: Mapping[str, Any], target: dict[str, Any]) -> None:
    for key in values:
        target.pop(GIVES_WAY.get(key, ""), None)
    target.update(values)
