"""The reader of Blender: what a file of Blender describes becomes a Scene."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import bpy

from heatcore.errors import InputError
from heatcore.scene import choose, parse_scene
from heatcore.scene.model import Scene

from .properties import settings_of


def read(scene: bpy.types.Scene) -> Scene:
    """Read what is described in a scene of Blender, its option applied.

    Raises
    ------
    InputError
        Where nothing is described, or with every mistake of what is.
    """
    settings = settings_of(scene)
    if settings.text is None:
        raise InputError("", "no scene is loaded", "open a scene file")
    folder = Path(bpy.path.abspath(settings.folder)) if settings.folder else None
    return choose(parse_scene(settings.text.as_string(), folder), settings.option or None)


def load(scene: bpy.types.Scene, path: Path) -> None:
    """Take a scene file into the file of Blender, as its text.

    Raises
    ------
    InputError
        Where the file cannot be read.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(str(path), f"cannot be read ({error})", "choose a scene file") from error
    settings = settings_of(scene)
    if settings.text is None:
        settings.text = bpy.data.texts.new(path.name)
    settings.text.name = path.name
    settings.text.from_string(text)
    settings.folder, settings.option = str(path.parent), ""


def fingerprint(scene: bpy.types.Scene) -> str:
    """Return what tells one description from another: results that carry another are stale."""
    settings = settings_of(scene)
    text = settings.text.as_string() if settings.text is not None else ""
    return sha256(f"{settings.option}\n{settings.folder}\n{text}".encode()).hexdigest()
