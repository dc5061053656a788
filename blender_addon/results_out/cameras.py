"""Each view a camera, and each camera bound to a frame by a marker of the timeline."""

from __future__ import annotations

from collections.abc import Sequence

import bpy

from heatcore.views.view import View

from .canvas import Canvas, Shown
from .keys import FIRST

SENSOR = 36.0  # mm
ALWAYS = Shown(None)


def draw_cameras(canvas: Canvas, views: Sequence[View]) -> dict[str, int]:
    """Make the cameras and bind them; return the frame of each view by its name."""
    collection = canvas.collection("Cameras")
    scene = canvas.scene
    frames = {}
    for frame, view in enumerate(views, start=FIRST):
        thing = canvas.put(view.name, camera(canvas, view), ALWAYS, collection)
        canvas.place(thing, view.camera)
        marker = scene.timeline_markers.new(view.name, frame=frame)
        marker.camera = thing
        frames[view.name] = frame
        if frame == FIRST:
            scene.camera = thing
    if views:
        scene.frame_start, scene.frame_end = FIRST, FIRST + len(views) - 1
    return frames


def camera(canvas: Canvas, view: View) -> bpy.types.Camera:
    """Make one view's camera."""
    data = bpy.data.cameras.new(view.name)
    data.sensor_fit = "HORIZONTAL"
    data.sensor_width = SENSOR
    data.shift_x, data.shift_y = view.shift
    data.clip_start, data.clip_end = canvas.units(view.clip).tolist()
    if view.lens:
        data.type = "PERSP"
        data.lens = view.lens
    else:
        data.type = "ORTHO"
        data.ortho_scale = view.width * canvas.per_metre
    data.passepartout_alpha = 0.85
    return data
