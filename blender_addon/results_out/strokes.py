"""Lines of a view: with arrow heads, closed, filled."""

from __future__ import annotations

import bpy
import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.views.view import Line, View

from .canvas import Canvas, Shown
from .edges import draw_lines
from .inks import fill_ink, stroke_ink
from .labels import polygon

HEAD = 5.5, 1.8  # length and half width of an arrow head, of the line's width


def draw_stroke(
    canvas: Canvas,
    view: View,
    line: Line,
    name: str,
    shown: Shown,
    collection: bpy.types.Collection,
) -> None:
    """Draw one line."""
    points = np.asarray(line.points, dtype=np.float64)
    if line.filled:
        face = polygon(canvas, f"{name} fill", points, points[0])
        face.materials.append(fill_ink(view, line.tone))
        canvas.put(f"{name} fill", face, shown, collection).location = canvas.units(
            points[0]
        ).tolist()
    ink = fill_ink(view, line.tone) if line.filled else stroke_ink(view, line.tone)
    if line.arrows and len(points) > 1:
        points = draw_heads(canvas, view, line, points, name, shown, collection)
    draw_lines(canvas, name, [points], line.width, ink, shown, collection, closed=line.closed)


def draw_heads(
    canvas: Canvas,
    view: View,
    line: Line,
    points: Floats,
    name: str,
    shown: Shown,
    collection: bpy.types.Collection,
) -> Floats:
    """Draw a head at either end, and return the line shortened so that it ends inside them."""
    shortened = points.copy()
    length, half = HEAD[0] * line.width, HEAD[1] * line.width
    for end, before in ((0, 1), (-1, -2)):
        way = points[end] - points[before]
        reach = float(np.linalg.norm(way))
        if reach == 0.0:
            continue
        way = way / reach
        # Square to the line and to the line of sight, so that the head is seen flat.
        sight = view.camera.z if view.lens == 0.0 else view.camera.origin - points[end]
        side = np.cross(way, sight)
        size = float(np.linalg.norm(side))
        side = side / size if size > 1e-9 else view.camera.x
        back = min(length, 0.45 * reach)
        base = points[end] - way * back
        tip = np.stack([points[end], base + side * half, base - side * half])
        data = polygon(canvas, f"{name} head", tip, points[end])
        data.materials.append(stroke_ink(view, line.tone))
        canvas.put(f"{name} head", data, shown, collection).location = canvas.units(
            points[end]
        ).tolist()
        shortened[end] = points[end] - way * 0.8 * back
    return shortened
