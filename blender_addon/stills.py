"""Stills: each frame of a written scene, rendered to its file."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

import bpy

from .quality import Quality, prepare
from .results_out.canvas import is_own

Progress = Callable[[str, int, int, float], None]
"""Told of a still's name, its index, how many there are, and how much of it is done (0 to 1)."""

SAMPLE = re.compile(r"[Ss]ample (\d+)/(\d+)")


def frames_of(scene: bpy.types.Scene) -> dict[str, int]:
    """Return the frame of each still in a written scene, by its name."""
    return {marker.name: marker.frame for marker in scene.timeline_markers if is_own(marker.camera)}


def render_stills(
    scene: bpy.types.Scene,
    frames: Mapping[str, int],
    folder: Path,
    quality: Quality,
    progress: Progress,
) -> Iterator[Path]:
    """Render frames of a written scene into PNG files of their names, each whole or not at all.

    Parameters
    ----------
    frames : the frame of each still, by its name
    folder : made if need be
    quality : how they are rendered; the scene is left prepared for pictures

    Yields
    ------
    Path
        Each still, when it is there.

    Raises
    ------
    OSError
        Where the folder cannot be written to.
    RuntimeError
        Where Blender cannot render; the message is Blender's.
    """
    folder.mkdir(parents=True, exist_ok=True)
    before = scene.render.filepath
    for index, (name, frame) in enumerate(frames.items()):
        target, part = folder / f"{name}.png", folder / f".{name}.part.png"
        progress(name, index, len(frames), 0.0)
        scene.frame_set(frame)
        prepare(scene, quality, drawing=is_drawn(scene))
        scene.render.filepath = str(part)
        try:
            with told(partial(progress, name, index, len(frames))):
                bpy.ops.render.render(write_still=True, scene=scene.name)
            os.replace(part, target)
        finally:
            prepare(scene, quality)
            scene.render.filepath = before
            part.unlink(missing_ok=True)
        progress(name, index, len(frames), 1.0)
        yield target


def is_drawn(scene: bpy.types.Scene) -> bool:
    """Whether the frame at hand is a drawing, such as a plan."""
    return isinstance(scene.camera.data, bpy.types.Camera) and scene.camera.data.type == "ORTHO"


@contextmanager
def told(report: Callable[[float], None]) -> Iterator[None]:
    """Pass on how much of a picture is done, as far as the engine says."""

    def listen(status: str, *_: object) -> None:
        found = SAMPLE.search(str(status))
        if found:
            report(int(found[1]) / max(1, int(found[2])))

    handlers: Any = bpy.app.handlers.render_stats
    handlers.append(listen)
    try:
        yield
    finally:
        handlers.remove(listen)
