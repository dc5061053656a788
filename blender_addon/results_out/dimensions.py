"""What is written into each view, in a collection of the view's own under Dimensions."""

from __future__ import annotations

import mathutils
import numpy as np

from heatcore.views.view import Layer, View

from ..materials import camera_only
from .canvas import Canvas, Shown
from .labels import STEP, draw_label
from .strokes import draw_stroke

NEAREST = (
    0.05  # of its distance that writing keeps from the camera at least when it is brought forward
)
CLEAR = 1.02  # times the near clipping distance
PRESSED, BEHIND_CUT = 0.05, 0.004  # m


def draw_writing(canvas: Canvas, view: View) -> None:
    """Draw a view's labels and lines, in front of everything else that it shows.

    Where its floor can show something else, what is written then is there as well.
    """
    for page in (view, view.other):
        if page is not None and (page.labels or page.lines):
            draw_page(canvas, page)


def draw_page(canvas: Canvas, view: View) -> None:
    """Draw what is written into a view while its floor shows what it says."""
    about = f" {view.floor}" if view.floor else ""
    collection = canvas.collection(
        f"{Layer.DIMENSIONS.value} {view.name}{about}", canvas.layer(Layer.DIMENSIONS), view.floor
    )
    shown = Shown(Layer.DIMENSIONS, view=view.name, floor=view.floor)
    first = len(canvas.objects)
    for number, line in enumerate(view.lines, start=1):
        draw_stroke(canvas, view, line, f"{view.name}: line {number}", shown, collection)
    for label in view.labels:
        draw_label(canvas, view, label, shown, collection)
    written = [thing for thing, _ in canvas.objects[first:]]
    hand = canvas.put(f"{view.name}: brought forward", None, shown, collection)
    camera = canvas.matrix(view.camera)
    hand.matrix_world = camera @ forward(canvas, view)
    for thing in written:
        thing.parent = hand
        thing.matrix_parent_inverse = camera.inverted()
        camera_only(thing)


def forward(canvas: Canvas, view: View) -> mathutils.Matrix:
    """Return what brings writing up to the camera without a change in the picture.

    In the camera's own frame. With perspective everything shrinks toward the camera; without, it is
    pressed flat just behind the cut. Nothing in the room can then hide a figure.
    """
    points = [np.atleast_2d(label.at) for label in view.labels]
    points += [np.asarray(line.points) for line in view.lines]
    depths = -view.camera.to_local(np.concatenate(points))[:, 2]
    # Letters stand before their plates, and must not come before the cut.
    proud = max((2 * STEP * label.height for label in view.labels), default=0.0)
    nearest, deep = float(depths.min()) - proud, float(np.ptp(depths)) + proud
    if view.lens:
        share = min(1.0, max(NEAREST, CLEAR * view.clip[0] / max(nearest, 1e-6)))
        return mathutils.Matrix.Scale(share, 4)
    share = min(1.0, PRESSED / max(deep, 1e-6))
    matrix = mathutils.Matrix.Scale(share, 4, (0.0, 0.0, 1.0))
    matrix.translation.z = canvas.per_metre * (share * nearest - view.clip[0] - BEHIND_CUT)
    return matrix
