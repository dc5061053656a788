"""Save a scene, into a file that may already hold it: comments, order and spelling stay."""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

from heatcore.errors import InputError
from heatcore.scene.document import parse, read_text
from heatcore.scene.drafts import Reader
from heatcore.scene.model import Scene
from heatcore.scene.revise import CannotReviseError, revise
from heatcore.scene.shapes import kinds_of
from heatcore.scene.write import write_scene


def save_scene(path: Path, scene: Scene) -> None:
    """Write a scene file, whole or not at all.

    Where the file exists, its author's comments, order and spelling stay: only what differs is
    written, new things come after the others of their kind. Things keep the order they have there.

    Raises
    ------
    InputError
        If the file cannot be written, if what stands there is no TOML, or if a number of the scene
        is not finite.
    """
    path = Path(os.path.realpath(path))
    there = os.path.lexists(path)
    _replace(path, (revised(read_text(path), scene) if there else write_scene(scene)).encode())


def revised(text: str, scene: Scene) -> str:
    """Return the text of a scene file, changed as far as it must be to say `scene`.

    Raises
    ------
    InputError
        If the text is no TOML, or a number of the scene is not finite.
    """
    with suppress(CannotReviseError):
        new = revise(text, scene)
        if _says(new, scene):
            return new
    # A layout too unusual to change in place; what it says matters more than how.
    return write_scene(scene)


def _says(text: str, scene: Scene) -> bool:
    """Whether a text, as far as its own values go, is the given scene."""
    try:
        data = parse(text).data
    except InputError:
        return False
    draft = Reader().table(Scene, data, ())
    return draft.whole and _unordered(draft.build()) == _unordered(scene)


def _unordered(scene: Scene) -> Scene:
    """Return what a scene file says, the things of each kind in the order of their names."""
    things: dict[str, Any] = {
        kind: tuple(sorted(getattr(scene, kind), key=lambda thing: thing.name))
        for kind in kinds_of(Scene)
    }
    return replace(scene, **things, heater_types={}, bracket_types={}, keep_outs={}, folder=None)


def _replace(path: Path, content: bytes) -> None:
    """Put a file in place at once: nobody ever sees half of it."""
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        try:
            temporary.write_bytes(content)
            if path.exists():
                shutil.copymode(path, temporary)
            os.replace(temporary, path)
        finally:
            temporary.unlink(missing_ok=True)
    except OSError as error:
        message = f"cannot be written: {error.strerror or error}"
        remedy = "choose a folder that exists and that you may write to"
        raise InputError(str(path), message, remedy) from None
