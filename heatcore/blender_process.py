"""Building and rendering, in a Blender process of their own.

A crash of Blender is then a message here, and nothing of heatcore imports it. The process speaks
one JSON object a line on its standard output::

    {"event": "still", "name": "hero", "index": 0, "count": 7, "share": 0.4}
    {"event": "file", "path": "out/hero.png"}
    {"event": "error", "mistakes": [{"where": ..., "message": ..., "remedy": ..., "line": ...}]}
"""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Any, Self, TextIO

from tqdm import tqdm

from heatcore.errors import HeatcoreError, InputError, MissingBlender, Mistake

Report = Callable[[dict[str, Any]], None]


class Progress:
    """A bar on a terminal; on anything else, one line for each finished still."""

    def __init__(self, stream: TextIO) -> None:
        self._bar = tqdm(
            total=100,
            file=stream,
            disable=not stream.isatty(),
            leave=False,
            bar_format="{desc:<14} {bar:30} {percentage:3.0f} %  {remaining} left",
        )
        self._stream = stream

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._bar.close()

    def __call__(self, event: dict[str, Any]) -> None:
        """Show one event of the process."""
        if event["event"] == "still":
            self._bar.set_description_str(event["name"], refresh=False)
            self._bar.n = 100.0 * (event["index"] + event["share"]) / event["count"]
            self._bar.refresh()
        elif event["event"] == "file" and self._bar.disable:
            print(f"wrote {event['path']}", file=self._stream, flush=True)


def run_blender(
    task: str, request: dict[str, Any], *, blender: Path | None, progress: Report
) -> list[str]:
    """Run `task` (build or stills) in a Blender process and return the files that it wrote.

    Raises
    ------
    MissingBlender
        Where there is neither the bpy module nor the named program.
    InputError
        Where the process says that its input cannot be used.
    HeatcoreError
        Where the process ended without finishing its work.
    """
    with tempfile.TemporaryDirectory(prefix="heatcore-") as folder:
        wish = Path(folder, "request.json")
        wish.write_text(json.dumps(request), encoding="utf-8")
        log = Path(folder, "blender.log")
        # The user's own Blender settings are neither read nor written.
        environment = os.environ | {"BLENDER_USER_RESOURCES": str(Path(folder, "blender"))}
        with (
            log.open("w", encoding="utf-8") as chatter,
            subprocess.Popen(
                [*command(blender), task, str(wish)],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=chatter,
                env=environment,
                text=True,
                encoding="utf-8",
                errors="replace",
            ) as process,
        ):
            try:
                files = listen(process, progress)
            except BaseException:
                process.kill()
                raise
        if process.returncode != 0:
            raise HeatcoreError(
                f"Blender stopped before its work was done (exit status {process.returncode}): "
                + last_words(log),
                "run it again with --engine fast, or with --blender and another Blender",
            )
    return files


def command(blender: Path | None) -> list[str]:
    """How to start the process: the named Blender, or this Python where it has the bpy module."""
    package = importlib.util.find_spec("blender_addon")
    if package is None or package.origin is None:
        raise MissingBlender(
            "the blender_addon package is not installed beside heatcore",
            "install the whole project, with pip install .",
        )
    script = str(Path(package.origin).with_name("__main__.py"))
    if blender is not None:
        if not blender.is_file():
            raise MissingBlender(f"there is no Blender at {blender}", "name Blender's program file")
        # Its own packages first; ours are of use to it where both run the same Python.
        ours = [entry for entry in sys.path if entry.endswith("site-packages")]
        root = str(Path(script).parents[1])
        python_path = f"import sys; sys.path.insert(0, {root!r}); sys.path += {ours!r}"
        return [
            str(blender),
            "--background",
            "--factory-startup",
            "--python-exit-code",
            "3",
            "--python-expr",
            python_path,
            "--python",
            script,
            "--",
        ]
    if importlib.util.find_spec("bpy") is None:
        raise MissingBlender(
            "building and stills need Blender, and this Python has no bpy module",
            "install it with pip install bpy, or name a Blender with --blender PROGRAM",
        )
    return [sys.executable, script]


def listen(process: subprocess.Popen[str], progress: Report) -> list[str]:
    """Pass the process's events on until it ends; return the files that it wrote."""
    files: list[str] = []
    assert process.stdout is not None
    for line in process.stdout:
        try:
            event = json.loads(line)
        except ValueError:
            continue  # Blender's own chatter
        if not isinstance(event, dict) or "event" not in event:
            continue
        if event["event"] == "error":
            raise InputError.of(Mistake(**mistake) for mistake in event["mistakes"])
        if event["event"] == "file":
            files.append(event["path"])
        progress(event)
    process.wait()
    return files


def last_words(log: Path) -> str:
    """The last line that Blender wrote to its standard error."""
    lines = log.read_text(encoding="utf-8", errors="replace").split("\n")
    return next((line.strip() for line in reversed(lines) if line.strip()), "it said nothing")
