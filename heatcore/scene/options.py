"""Options: named alternatives, laid over the scene as drawn.

An option is applied to the plain data of a scene and the result is read again like any file, so it
may override anything and is held to every rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from heatcore.errors import InputError, Mistake
from heatcore.scene.document import Document, Guesses, Slip, listed, quoted
from heatcore.scene.examine import Examined, Surroundings, examine, place
from heatcore.scene.library import Types
from heatcore.scene.locate import KeyPath
from heatcore.scene.model import Scene
from heatcore.scene.rules import AT_MOST_ONE, EXACTLY_ONE
from heatcore.scene.shapes import Table, fields_of, kinds_of
from heatcore.scene.write import to_data

MOST_OPTIONS = 26  # each is read as a scene of its own


def choose(scene: Scene, name: str | None) -> Scene:
    """Apply one of a scene's options.

    Parameters
    ----------
    scene : the scene as drawn
    name : the option's name; None or empty for the scene as drawn

    Returns
    -------
    Scene
        What the option makes of it, without further options.

    Raises
    ------
    InputError
        If there is no such option, or what it makes of the scene is wrong; with every mistake.
    """
    if not name:
        return scene
    names = [option.name for option in scene.option]
    if name not in names:
        guess = Guesses().guess(name, names)
        meant = f"did you mean {quoted(guess)}? " if guess else ""
        remedy = (
            f"{meant}choose from {listed(map(quoted, names))}" if names else "it has no options"
        )
        raise InputError("option", f"there is no option {quoted(name)}", remedy)
    document = Document(to_data(scene))
    around = Surroundings(
        scene.folder, Types(scene.heater_types, scene.bracket_types, scene.keep_outs)
    )
    applied = apply(document.data, names.index(name), around)
    if applied.slips:
        raise InputError.of(applied.mistakes(document, applied.slips))
    return applied.examined.build()


def option_mistakes(document: Document, drawn: Examined) -> list[Mistake]:
    """Find what is wrong with each option of a scene, beyond what is wrong without it."""
    options = document.data.get("option")
    if not isinstance(options, list):
        return []
    if len(options) > MOST_OPTIONS:
        slip = Slip(("option",), f"has {len(options)} options", f"give at most {MOST_OPTIONS}")
        return [document.mistake(slip)]
    found: list[Mistake] = []
    known = {(slip.path, slip.message) for slip in drawn.slips}
    for index, option in enumerate(options):
        if isinstance(option, dict):
            applied = apply(document.data, index, drawn.around)
            new = [slip for slip in applied.slips if (slip.path, slip.message) not in known]
            found += applied.mistakes(document, new)
    return found


@dataclass(frozen=True)
class Applied:
    """A scene with an option applied.

    Attributes
    ----------
    option : path of the option
    removed : where the option removes a name
    examined : the result, examined
    slips : everything wrong, by where it stands in the scene as drawn
    """

    option: KeyPath
    removed: Mapping[str, KeyPath]
    examined: Examined
    slips: tuple[Slip, ...]

    def mistakes(self, document: Document, slips: tuple[Slip, ...] | list[Slip]) -> list[Mistake]:
        """Put slips in words that name the option, and what it takes away."""
        return [self._mistake(document, slip) for slip in slips]

    def _mistake(self, document: Document, slip: Slip) -> Mistake:
        if slip.unknown in self.removed:
            message = (
                f"removes {quoted(slip.unknown)}, and {document.where(slip.path)} refers to it"
            )
            remedy = "remove that as well, or let it refer to something else"
            return document.mistake(Slip(self.removed[slip.unknown], message, remedy))
        mistake = document.mistake(slip)
        if slip.path[:2] == self.option:
            return mistake
        return replace(mistake, where=f"{document.where(self.option)}: {mistake.where}")


def apply(data: Mapping[str, Any], index: int, around: Surroundings) -> Applied:
    """Apply an option to a scene's data, and examine the result."""
    merge = _Merge(data, ("option", index), data["option"][index], around.guesses)
    merged = merge.data()
    examined = examine(merged, around)
    slips = [replace(slip, path=place(slip.path, merge.origins)) for slip in examined.slips]
    return Applied(merge.option, merge.removed, examined, (*merge.slips, *slips))


@dataclass
class _Merge:
    """An option on its way into a scene's data, keeping track of where each value comes from."""

    drawn: Mapping[str, Any]
    option: KeyPath
    changes: Mapping[str, Any]
    guesses: Guesses
    origins: dict[KeyPath, KeyPath] = field(default_factory=dict)
    removed: dict[str, KeyPath] = field(default_factory=dict)
    slips: list[Slip] = field(default_factory=list)

    def data(self) -> dict[str, Any]:
        """Return the scene's data with the option applied, and without options."""
        self.kinds = {kind: of for kind, of in kinds_of(Scene).items() if kind != "option"}
        merged = {key: value for key, value in self.drawn.items() if key != "option"}
        self.remove(merged)
        self.set(merged)
        self.add(merged)
        return merged

    def remove(self, merged: dict[str, Any]) -> None:
        """Leave out what the option does without."""
        names = self.changes.get("remove")
        for index, name in enumerate(names if isinstance(names, list) else ()):
            if isinstance(name, str):
                self.removed[name] = (*self.option, "remove", index)
        present: list[str] = []
        for kind in self.kinds:
            things = merged.get(kind)
            if not isinstance(things, list):
                continue
            kept: list[Any] = []
            for index, thing in enumerate(things):
                present.append(_name_of(thing))
                if _name_of(thing) not in self.removed:
                    self.origins[kind, len(kept)] = (kind, index)
                    kept.append(thing)
            merged[kind] = kept
        for name, path in self.removed.items():
            if name not in present:
                self.unknown(path, f"there is nothing called {quoted(name)}", name, present)

    def set(self, merged: dict[str, Any]) -> None:
        """Override what the option overrides."""
        changes = self.table("set")
        tables = [entry.key for entry in fields_of(Scene) if isinstance(entry.shape, Table)]
        for key, change in changes.items():
            source = (*self.option, "set", key)
            if key not in self.kinds and key not in tables:
                message = f"an option cannot set {quoted(key)}"
                self.unknown(source, message, key, [*tables, *self.kinds])
            elif not isinstance(change, dict):
                remedy = f'write set.{key}.KEY = ... or set.{key}."NAME".KEY = ...'
                self.slips.append(Slip(source, "is not a table", remedy))
            elif key in tables:
                merged[key] = self.overlay(merged.get(key), change, (key,), source)
            else:
                self.set_things(key, change, merged, source)

    def set_things(
        self, kind: str, changes: Mapping[str, Any], merged: dict[str, Any], source: KeyPath
    ) -> None:
        """Override keys of things of one kind, each by its name."""
        things = merged.get(kind, [])
        names = {
            _name_of(thing): index
            for index, thing in enumerate(things if isinstance(things, list) else ())
            if _name_of(thing)
        }
        for name, change in changes.items():
            if name not in names:
                message = f"there is no {kind} {quoted(name)}"
                self.unknown((*source, name), message, name, names)
            elif not isinstance(change, dict):
                remedy = f"write set.{kind}.{quoted(name)}.KEY = ..."
                self.slips.append(Slip((*source, name), "is not a table", remedy))
            else:
                index = names[name]
                laid = self.overlay(things[index], change, (kind, index), (*source, name))
                for pair in (EXACTLY_ONE.get(self.kinds[kind]), AT_MOST_ONE.get(self.kinds[kind])):
                    given = [key for key in pair or () if key in change]
                    if pair and len(given) == 1:
                        # The other way of saying the same gives way.
                        laid.pop(pair[1 - pair.index(given[0])], None)
                things[index] = laid

    def add(self, merged: dict[str, Any]) -> None:
        """Add what the option adds."""
        for kind, things in self.table("add").items():
            source = (*self.option, "add", kind)
            if kind not in self.kinds:
                self.unknown(source, f"an option cannot add {quoted(kind)}", kind, self.kinds)
            elif not isinstance(things, list):
                remedy = f"write [[option.add.{kind}]], with double brackets, for each one"
                self.slips.append(Slip(source, "is not a list", remedy))
            elif isinstance(merged.setdefault(kind, []), list):
                for index, thing in enumerate(things):
                    self.origins[kind, len(merged[kind])] = (*source, index)
                    merged[kind] = [*merged[kind], thing]

    def overlay(
        self, base: Any, changes: Mapping[str, Any], at: KeyPath, source: KeyPath
    ) -> dict[str, Any]:
        """Lay changes over a table, table by table."""
        laid = dict(base) if isinstance(base, dict) else {}
        for key, value in changes.items():
            below = laid.get(key)
            if isinstance(value, dict) and isinstance(below, dict):
                laid[key] = self.overlay(below, value, (*at, key), (*source, key))
            else:
                laid[key] = value
                self.origins[(*at, key)] = (*source, key)
        return laid

    def table(self, key: str) -> Mapping[str, Any]:
        """Return a table of the option; empty where it is none, which is noted elsewhere."""
        value = self.changes.get(key)
        return value if isinstance(value, dict) else {}

    def unknown(self, path: KeyPath, message: str, word: str, words: Any) -> None:
        """Note a word that means nothing here."""
        guess = self.guesses.guess(word, words)
        remedy = (
            f"did you mean {quoted(guess)}?" if guess else f"it may be {listed(map(quoted, words))}"
        )
        self.slips.append(Slip(path, message, remedy))


def _name_of(thing: Any) -> str:
    """Return the name of a thing as the file gives it; empty where it gives none."""
    name = thing.get("name") if isinstance(thing, dict) else None
    return name if isinstance(name, str) else ""
