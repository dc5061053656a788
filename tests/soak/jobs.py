"""Cases by name: a scene file by its seed, a mesh file by its form, its way and a number."""

from __future__ import annotations

import tempfile
from pathlib import Path

from tests.soak.meshes import MeshCase, files
from tests.soak.mutate import scene
from tests.soak.outcome import Outcome
from tests.soak.trial import try_file


def content(name: str) -> dict[str, bytes]:
    """The files that a case consists of; the scene's is scene.toml."""
    if ":" not in name:
        return {"scene.toml": scene(name)}
    form, way, number = name.split(":")
    return files(MeshCase(form, way, int(number)))


def keep(folder: Path, name: str) -> None:
    """Write a case's files into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for file, its in content(name).items():
        (folder / file).write_bytes(its)


def attempt(name: str) -> Outcome:
    """Try a case, in a folder of its own."""
    with tempfile.TemporaryDirectory(prefix="heatcore-soak-") as folder:
        keep(Path(folder), name)
        return try_file(Path(folder) / "scene.toml", name)


def file_name(name: str) -> str:
    """A case's name as that of a folder."""
    return "".join(letter if letter.isalnum() or letter in "-_" else "_" for letter in name)
