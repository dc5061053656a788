"""What the designer can do: each reads, calls, writes and reports."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import bpy
from bpy.props import StringProperty

from heatcore.errors import HeatcoreError, InputError
from heatcore.evaluate import evaluate
from heatcore.views import plan_views

from . import scene_in
from .declarations import ID
from .findings_out import show_findings
from .people_out import show_people
from .properties import settings_of
from .quality import Quality
from .results_out import floor_of, write
from .stills import frames_of, render_stills

Answer = set[Literal["RUNNING_MODAL", "CANCELLED", "FINISHED", "PASS_THROUGH", "INTERFACE"]]


@contextmanager
def reported(operator: bpy.types.Operator) -> Iterator[None]:
    """Report what went wrong as the operator's error, one line a mistake; that ends it."""
    try:
        yield
    except InputError as error:
        for mistake in error.mistakes:
            operator.report({"ERROR"}, str(mistake))
    except (HeatcoreError, OSError) as error:
        operator.report({"ERROR"}, str(error))


class OpenScene(bpy.types.Operator):
    """Open a scene file and keep its text in this file."""

    bl_idname = f"{ID}.open"
    bl_label = "Open Scene File"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012 (Blender's own way)

    if TYPE_CHECKING:
        filepath: str
        filter_glob: str
    else:
        filepath: StringProperty(subtype="FILE_PATH")
        filter_glob: StringProperty(default="*.toml", options={"HIDDEN"})

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> Answer:
        """Ask for the file."""
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: bpy.types.Context) -> Answer:
        """Read the file."""
        with reported(self):
            scene_in.load(context.scene, Path(bpy.path.abspath(self.filepath)))
            return {"FINISHED"}
        return {"CANCELLED"}


class Evaluate(bpy.types.Operator):
    """Evaluate the scene and show it: space, heaters, beams, warmth, clearances, views."""

    bl_idname = f"{ID}.evaluate"
    bl_label = "Evaluate"
    bl_options = {"REGISTER", "UNDO"}  # noqa: RUF012

    def execute(self, context: bpy.types.Context) -> Answer:
        """Read, evaluate, write."""
        with reported(self):
            evaluation = evaluate(scene_in.read(context.scene))
            views = plan_views(evaluation, floor=floor_of(context.scene))
            written = write(evaluation, views, context.scene)
            show_findings(context.scene, evaluation)
            show_people(context.scene, evaluation)
            failing = len(evaluation.failures)
            self.report({"INFO"}, f"{failing} failing, {len(written.frames)} stills framed")
            return {"FINISHED"}
        return {"CANCELLED"}


class RenderStills(bpy.types.Operator):
    """Render every still into the folder."""

    bl_idname = f"{ID}.stills"
    bl_label = "Render Stills"

    def execute(self, context: bpy.types.Context) -> Answer:
        """Render the frames that carry a still."""
        settings, scene = settings_of(context.scene), context.scene
        with reported(self):
            window, quality = context.window_manager, Quality(settings.engine)
            window.progress_begin(0.0, 1.0)
            folder, frames = Path(bpy.path.abspath(settings.out)), frames_of(scene)

            def tell(name: str, index: int, count: int, share: float) -> None:
                window.progress_update((index + share) / count)

            done = list(render_stills(scene, frames, folder, quality, tell))
            window.progress_end()
            self.report({"INFO"}, f"{len(done)} stills in {folder}")
            return {"FINISHED"}
        return {"CANCELLED"}

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether there is a still to render."""
        return bool(frames_of(context.scene))
