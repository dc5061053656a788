"""Read a scene file: all of it, with every mistake in one pass."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from heatcore.errors import InputError, Mistake
from heatcore.scene.document import Document, load, parse
from heatcore.scene.examine import Surroundings, examine
from heatcore.scene.library import read_types, shipped
from heatcore.scene.model import Scene
from heatcore.scene.options import option_mistakes
from heatcore.scene.rules import is_inside


def read_scene(path: Path, *, types: Sequence[Path] = ()) -> Scene:
    """Read a scene file.

    Parameters
    ----------
    path : the file
    types : further files of heater and bracket types, beside those that the scene names; of the
        same name, the later one counts

    Raises
    ------
    InputError
        With every mistake of the file, each with its path, its line where it can be had, and the
        remedy.
    """
    path = Path(path)
    return _read(load(path), path.parent, types)


def parse_scene(text: str, folder: Path | None = None, types: Sequence[Path] = ()) -> Scene:
    """Read the text of a scene file.

    Parameters
    ----------
    text : TOML
    folder : where its further files are; without one, it can name none
    types : as for `read_scene`

    Raises
    ------
    InputError
        As `read_scene`.
    """
    return _read(parse(text), folder, types)


def _read(document: Document, folder: Path | None, more_types: Sequence[Path]) -> Scene:
    if not document.data:
        raise InputError("", "the file is empty", "begin with a [site] and a [floor] table")
    known = shipped()
    wrong: list[Mistake] = []
    complete = True
    for path in [*_named_types(document, folder), *more_types]:
        if path is None:
            complete = False  # which is noted as a mistake of the file's name
            continue
        try:
            known = read_types(path).over(known)
        except InputError as error:
            wrong += error.mistakes
            complete = False
    drawn = examine(document.data, Surroundings(folder, known, complete))
    wrong += map(document.mistake, drawn.slips)
    wrong += option_mistakes(document, drawn)
    if wrong:
        raise InputError.of(sorted(wrong, key=lambda mistake: mistake.line or 0))
    return drawn.build()


def _named_types(document: Document, folder: Path | None) -> Iterator[Path | None]:
    """Go through the scene's own files of types, None for each that cannot be read."""
    names = document.data.get("types")
    for name in names if isinstance(names, list) else ():
        readable = (
            folder is not None
            and isinstance(name, str)
            and name.isprintable()
            and is_inside(folder, name)
            and os.path.isfile(folder / name)
        )
        yield folder / name if folder is not None and readable else None
