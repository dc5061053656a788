"""What each still shows: keyed on the objects, so that a frame of the file needs nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from heatcore.geometry.parts import Model
from heatcore.views.view import View

from .canvas import Canvas, is_drawing
from .keys import Keys


def key_visibility(canvas: Canvas, views: Sequence[View], keys: Keys) -> None:
    """Key on every object in which frames it is rendered.

    In the window the layers' collections are the switches; only what is written into one view
    comes and goes with its frame there too.
    """
    for thing, shown in canvas.objects:
        hidden = tuple(0.0 if shown.in_view(view) else 1.0 for view in views)
        if not any(hidden):
            continue
        values: dict[str, Sequence[float]] = {"hide_render": hidden}
        if shown.view:
            values["hide_viewport"] = hidden
        keys.hold(thing, values, alike=("visibility", bool(shown.view), hidden))


def lifted(view: View, model: Model) -> View:
    """Take out of a drawing what lies wholly before its cut.

    The camera clips it away, but it would still throw its shadow on what is drawn.
    """
    if not is_drawing(view):
        return view
    away = {
        part.name
        for part in model.parts
        if float(-view.camera.to_local(part.mesh.vertices)[:, 2].min()) < view.clip[0]
    }
    return replace(view, hidden=view.hidden | away)
