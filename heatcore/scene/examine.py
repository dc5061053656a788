"""One pass over the data of a scene: a draft of it, and everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from heatcore.scene.document import Document, Guesses, Slip
from heatcore.scene.drafts import Draft, Reader
from heatcore.scene.library import Types
from heatcore.scene.locate import KeyPath
from heatcore.scene.model import Scene
from heatcore.scene.names import Names, check_names, check_references
from heatcore.scene.rules import check_files, check_scene
from heatcore.units import UnitSystem


@dataclass(frozen=True)
class Surroundings:
    """What a scene's data is read against.

    Attributes
    ----------
    folder : where its further files are; None where it has no folder
    types : the heater and bracket types it may name
    types_known : False where a file of types could not be read
    guesses : for misspelt words
    """

    folder: Path | None
    types: Types
    types_known: bool = True
    guesses: Guesses = field(default_factory=Guesses)


@dataclass(frozen=True)
class Examined:
    """A scene's data, examined.

    Attributes
    ----------
    draft : what could be read
    slips : everything that is wrong; without any, the draft can be built
    """

    draft: Draft
    slips: tuple[Slip, ...]
    around: Surroundings

    def build(self) -> Scene:
        """Make the scene of a draft without slips."""
        scene: Scene = self.draft.build()
        heaters, brackets, keep_outs = self.around.types
        return replace(
            scene,
            heater_types=dict(heaters),
            bracket_types=dict(brackets),
            keep_outs=dict(keep_outs),
            folder=self.around.folder,
        )


def examine(data: Mapping[str, Any], around: Surroundings) -> Examined:
    """Read the data of a scene and apply every rule to it."""
    reader = Reader(guesses=around.guesses, units=_units(data))
    draft = reader.table(Scene, data, ())
    heaters, brackets, _ = around.types
    names = Names(draft, {"heater_type": heaters, "bracket_type": brackets})
    check_names(draft, names, reader, Document(data))
    check_references(names, reader, types_known=around.types_known)
    check_scene(draft, heaters, brackets, reader)
    check_files(reader, around.folder)
    return Examined(draft, tuple(reader.slips), around)


def _units(data: Mapping[str, Any]) -> UnitSystem:
    """Return the site's units, for messages, before anything else is known to be right."""
    site = data.get("site")
    imperial = isinstance(site, dict) and site.get("units") == UnitSystem.IMPERIAL
    return UnitSystem.IMPERIAL if imperial else UnitSystem.METRIC


def place(path: KeyPath, origins: Mapping[KeyPath, KeyPath]) -> KeyPath:
    """Follow a path back to where its value comes from, by the longest part of it that is known."""
    for length in range(len(path), 0, -1):
        if path[:length] in origins:
            return origins[path[:length]] + path[length:]
    return path
