"""What the process of `__main__` does: read a scene, write it into Blender, save, render."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, TextIO

from heatcore.errors import HeatcoreError, InputError, Mistake

DONE, BAD_INPUT = 0, 2


def main(argv: Sequence[str]) -> int:
    """Run one errand, `build` or `stills`, and return the exit status."""
    say = Speech(take_stdout())
    task, request = argv[-2], json.loads(Path(argv[-1]).read_text(encoding="utf-8"))
    try:
        run(task, request, say)
    except InputError as error:
        return say.refuse(error.mistakes)
    except HeatcoreError as error:
        return say.refuse([Mistake("", error.message, error.remedy)])
    except ModuleNotFoundError as error:
        version = ".".join(map(str, sys.version_info[:2]))
        return say.refuse(
            [
                Mistake(
                    "",
                    f"this Blender's Python {version} has no module {error.name}",
                    "install the extension into it, or leave --blender out",
                )
            ]
        )
    except RuntimeError as error:
        return say.refuse(
            [
                Mistake(
                    "",
                    f"Blender cannot do it: {error}".strip(),
                    "try --engine fast, or another Blender",
                )
            ]
        )
    except OSError as error:
        return say.refuse(
            [
                Mistake(
                    error.filename or request["out"],
                    error.strerror or str(error),
                    "choose a place that can be written to",
                )
            ]
        )
    return DONE


class Speech:
    """The events that the process that started this one reads, a line each."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def __call__(self, event: str, **values: Any) -> None:
        """Say one event."""
        print(json.dumps({"event": event, **values}), file=self._stream, flush=True)

    def refuse(self, mistakes: Sequence[Mistake]) -> int:
        """Say what is wrong with the input, and return the exit status for it."""
        self("error", mistakes=[asdict(mistake) for mistake in mistakes])
        return BAD_INPUT

    def still(self, name: str, index: int, count: int, share: float) -> None:
        """Say how much of a still is done."""
        self("still", name=name, index=index, count=count, share=round(share, 3))


def take_stdout() -> TextIO:
    """Take standard output for this process alone; what Blender prints goes to standard error."""
    sys.stdout.flush()
    stream = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    return stream


def run(task: str, request: dict[str, Any], say: Speech) -> None:
    """Evaluate the scene, write it into an empty Blender, save it, and render its stills."""
    import bpy

    from heatcore.evaluate import evaluate
    from heatcore.scene import choose, read_scene
    from heatcore.views import plan_views
    from heatcore.views.view import FloorShows

    from .quality import Quality, prepare
    from .results_out import write
    from .stills import render_stills

    source = Path(request["scene"])
    types = [Path(path) for path in request.get("types", [])]
    evaluation = evaluate(choose(read_scene(source, types=types), request.get("option")))
    bpy.ops.wm.read_factory_settings(use_empty=True)
    scene = bpy.context.scene
    quality = Quality(
        request.get("engine", "cycles"),
        request.get("samples"),
        tuple(request.get("size", (1600, 900))),
    )
    floor = FloorShows[request.get("floor", "irradiance").upper()]
    written = write(evaluation, plan_views(evaluation, quality.size, floor), scene)
    prepare(scene, quality)
    out = Path(request["out"])
    frames = wanted(written.frames, request.get("only", ()))
    say("file", path=str(save(out if task == "build" else out / f"{source.stem}.blend")))
    if task == "stills":
        for path in render_stills(scene, frames, out, quality, say.still):
            say("file", path=str(path))


def wanted(frames: dict[str, int], only: Sequence[str]) -> dict[str, int]:
    """Those of the stills that are asked for; all where none is named.

    Raises
    ------
    InputError
        Where there is no such still.
    """
    unknown = [name for name in only if name not in frames]
    if unknown:
        remedy = "choose from " + ", ".join(frames)
        raise InputError.of(
            Mistake("--only", f'there is no view "{name}"', remedy) for name in unknown
        )
    return {name: frame for name, frame in frames.items() if not only or name in only}


def save(path: Path) -> Path:
    """Save the open file, whole or not at all."""
    import bpy

    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.stem}.part.blend")
    try:
        bpy.ops.wm.save_as_mainfile(
            filepath=str(part), copy=True, compress=True, check_existing=False
        )
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)
    return path
