"""What is written into each view, in a collection of the view's own under Dimensions."""

from __future__ import annotations

import mathutils
import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.views.view import Layer, View

from ..materials import camera_only
from .canvas import Canvas, Shown
from .labels import draw_label
from .strokes import draw_stroke

NEAREST = (
    0.05  # of its distance that writing keeps from the camera at least when it is brought forward
)
CLEAR = 1.02  # times the near clipping distance


def draw_writing(canvas: Canvas, view: View) -> None:
    """Draw a view's labels and lines, in front of everything else that it shows."""
    if not (view.labels or view.lines):
        return
    collection = canvas.collection(
        f"{Layer.DIMENSIONS.value} {view.name}", canvas.layer(Layer.DIMENSIONS)
    )
    shown = Shown(Layer.DIMENSIONS, view=view.name)
    first = len(canvas.objects)
    for number, line in enumerate(view.lines, start=1):
        draw_stroke(canvas, view, line, f"{view.name}: line {number}", shown, collection)
    for label in view.labels:
        draw_label(canvas, view, label, shown, collection)
    written = [thing for thing, _ in canvas.objects[first:]]
    hand = canvas.put(f"{view.name}: brought forward", None, shown, collection)
    hand.matrix_world = mathutils.Matrix(forward(canvas, view).tolist())
    for thing in written:
        thing.parent = hand
        camera_only(thing)


def forward(canvas: Canvas, view: View) -> Floats:
    """A matrix (4, 4) that brings writing up to the camera without a change in the picture.

    Before a camera with perspective everything shrinks toward the camera; before an orthographic
    one it moves along the line of sight. Nothing in the room can then hide a figure.
    """
    points = np.concatenate(
        [np.stack([label.at for label in view.labels])] * bool(view.labels)
        + [np.asarray(line.points) for line in view.lines]
    )
    nearest = float(-view.camera.to_local(points)[:, 2].max())
    matrix = np.eye(4)
    if view.lens == 0.0:
        # A hand's breadth before the cut.
        matrix[:3, 3] = canvas.units(view.camera.z * (nearest - view.clip[0] - 0.1))
        return matrix
    share = min(1.0, max(NEAREST, CLEAR * view.clip[0] / max(nearest, 1e-6)))
    matrix[:3, :3] *= share
    matrix[:3, 3] = canvas.units(view.camera.origin) * (1.0 - share)
    return matrix
