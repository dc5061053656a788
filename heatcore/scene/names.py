"""Names: each once, and what refers to a name finds the right kind of thing."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from heatcore.scene.document import Document, Slip, listed, quoted
from heatcore.scene.drafts import Draft, Reader
from heatcore.scene.kinds import Reference
from heatcore.scene.locate import KeyPath
from heatcore.scene.model import Scene
from heatcore.scene.shapes import kinds_of

# Furniture that is a seat of its own name; whose seats are numbered; that has chairs around it.
_ONE_SEAT = frozenset({"chair", "armchair", "lounger", "stool"})
_SEAT_ROW = frozenset({"sofa", "bench"})
WITH_CHAIRS = frozenset({"table", "round_table", "bar"})
_MOST_SEATS = 99  # how many a sofa or a bench has, its width decides when it is built

_OPTION = "option"  # options are not in the scene, so their names are a matter of their own


class Names:
    """What is called what.

    Attributes
    ----------
    kinds : the kinds that a name answers to, by name
    paths : where the thing of a name stands
    """

    def __init__(self, scene: Draft, types: Mapping[str, Iterable[str]]) -> None:
        """Gather the names.

        Parameters
        ----------
        scene : the draft of a scene
        types : names of the heater and bracket types, by 'heater_type' and 'bracket_type'
        """
        self.types = {kind: frozenset(names) for kind, names in types.items()}
        self.kinds: dict[str, set[str]] = {}
        self.paths: dict[str, KeyPath] = {}
        self._rows: dict[str, int] = {}
        self.again: list[tuple[Draft, str]] = []
        for kind, thing in _things(scene):
            name = thing["name"]
            if name in self.paths:
                self.again.append((thing, name))
                continue
            self.paths[name] = thing.path
            self.kinds[name] = {kind}
            if kind == "furniture":
                self._seats(name, thing)

    def _seats(self, name: str, furniture: Draft) -> None:
        """Note the seats that a piece of furniture brings."""
        kind = furniture["kind"]
        if kind in _ONE_SEAT:
            self.kinds[name].add("seat")
        elif kind in _SEAT_ROW:
            self._rows[name] = _MOST_SEATS
        elif kind in WITH_CHAIRS:
            # A count that cannot be read is a mistake already; any chair may be meant.
            chairs = furniture["chairs"]
            self._rows[f"{name} seat"] = _MOST_SEATS if chairs is None else chairs

    def is_seat_of_furniture(self, name: str) -> bool:
        """Whether `name` is one of the seats that furniture brings: 'sofa 2', 'table seat 4'."""
        numbered = re.fullmatch(r"(.+) ([1-9][0-9]?)", name)
        return numbered is not None and int(numbered[2]) <= self._rows.get(numbered[1], 0)

    def of(self, name: str, reference: Reference) -> set[str]:
        """Return the kinds that a name answers to; empty where there is no such thing."""
        if set(reference.to) <= self.types.keys():
            return {kind for kind in reference.to if name in self.types[kind]}
        return self.kinds.get(name) or ({"seat"} if self.is_seat_of_furniture(name) else set())

    def answering(self, reference: Reference) -> list[str]:
        """Return all names that a reference may use."""
        wanted = set(reference.to)
        own = [name for name, kinds in self.kinds.items() if kinds & wanted]
        return own + [name for kind in reference.to for name in sorted(self.types.get(kind, ()))]


def check_names(scene: Draft, names: Names, reader: Reader, document: Document) -> None:
    """Note names that are used twice."""
    for thing, name in names.again:
        other = document.where(names.paths[name])
        message = f"the name {quoted(name)} is already that of {other}"
        reader.slip(thing.at("name"), message, "give each thing a name of its own")
    for name, path in names.paths.items():
        if names.is_seat_of_furniture(name):
            message = f"the name {quoted(name)} is that of a seat that furniture brings"
            reader.slip((*path, "name"), message, "give it another name")
    options: set[str] = set()
    for option in scene[_OPTION] or ():
        if option["name"] and option["name"] in options:
            message = f"there are two options called {quoted(option['name'])}"
            reader.slip(option.at("name"), message, "give each option a name of its own")
        options.add(option["name"])


def check_references(names: Names, reader: Reader, *, types_known: bool = True) -> None:
    """Note references to nothing, or to the wrong kind of thing.

    Parameters
    ----------
    types_known : False where a file of types could not be read: then a type may well be there
    """
    for path, reference, name in reader.references:
        kinds = names.of(name, reference)
        if kinds & set(reference.to) or (not types_known and set(reference.to) & set(names.types)):
            continue
        wanted = listed(map(_spoken, reference.to))
        if kinds:
            is_a = " and ".join(map(_spoken, sorted(kinds)))
            reader.slip(path, f"{quoted(name)} is {is_a}", f"name one of these kinds: {wanted}")
            continue
        known = names.answering(reference)
        guess = reader.guesses.guess(name, known)
        if guess:
            remedy = f"did you mean {quoted(guess)}?"
        elif known:
            remedy = f"name one of {listed(map(quoted, known))}"
        else:
            remedy = f"there is none to name yet; it takes {wanted}"
        message = f"refers to {quoted(name)}, and there is no such {_spoken_plain(reference)}"
        reader.slips.append(Slip(path, message, remedy, unknown=name))


def _things(scene: Draft) -> Iterator[tuple[str, Draft]]:
    """Go through all named things of the scene."""
    for kind in kinds_of(Scene):
        if kind != _OPTION:
            for thing in scene[kind] or ():
                if thing["name"]:
                    yield kind, thing


def _spoken(kind: str) -> str:
    """Give a kind its article."""
    return kind if kind in ("rafters", "furniture") else f"a {kind.replace('_', ' ')}"


def _spoken_plain(reference: Reference) -> str:
    return reference.to[0].replace("_", " ") if len(reference.to) == 1 else "thing"
