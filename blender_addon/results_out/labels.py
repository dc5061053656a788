"""Labels: text that faces the camera, on a rounded plate, tied to what it speaks of."""

from __future__ import annotations

from math import cos, pi, sin
from typing import Any

import bpy
import numpy as np

from heatcore.geometry.frames import Floats, Frame
from heatcore.views.lettering import LINE_PITCH, PADDING
from heatcore.views.view import Label, View

from .canvas import Canvas, Shown
from .edges import draw_lines
from .inks import halo_ink, letter_ink, plate_ink, stroke_ink

ROUNDING = 0.42  # of the plate's corners, of the letters' height
LEADER = 0.085  # thickness, of the letters' height
DOT = 0.16  # radius, of the letters' height
STEP = 0.03  # toward the camera from plate to letters, of their height


def draw_label(
    canvas: Canvas, view: View, label: Label, shown: Shown, collection: bpy.types.Collection
) -> None:
    """Draw a label's leader, plate and letters."""
    name = f"{view.name}: {label.text.splitlines()[0]}"
    frame = facing(view.camera, label)
    low, high = draw_letters(canvas, view, label, name, frame, shown, collection)
    if label.plate:
        margin = label.height * PADDING
        ring = rounded(low - margin, high + margin, ROUNDING * label.height)
        data = polygon(canvas, f"{name} plate", frame.to_world(ring), frame.origin)
        data.materials.append(plate_ink(view, label.tone))
        canvas.put(f"{name} plate", data, shown, collection).location = canvas.units(
            frame.origin
        ).tolist()
    if label.anchor is not None:
        ink = stroke_ink(view, label.tone)
        line = np.stack([label.at, label.anchor])
        draw_lines(canvas, f"{name} leader", [line], LEADER * label.height, ink, shown, collection)
        dot = Frame(label.anchor, view.camera.axes).to_world(disc(DOT * label.height))
        data = polygon(canvas, f"{name} dot", dot, label.anchor)
        data.materials.append(ink)
        canvas.put(f"{name} dot", data, shown, collection).location = canvas.units(
            label.anchor
        ).tolist()


def draw_letters(
    canvas: Canvas,
    view: View,
    label: Label,
    name: str,
    frame: Frame,
    shown: Shown,
    collection: bpy.types.Collection,
) -> tuple[Floats, Floats]:
    """Draw the text; return its lowest and highest corner (2,) in the label's frame [m]."""
    capital = capital_height()
    size = label.height / capital

    def write(end: str, ink: bpy.types.Material, toward: float, spread: float) -> bpy.types.Object:
        text: Any = bpy.data.curves.new(f"{name}{end}", "FONT")
        text.body = label.text
        text.align_x = "CENTER"
        text.size = size * canvas.per_metre
        text.space_line = LINE_PITCH * capital
        text.offset = spread * size * canvas.per_metre
        text.materials.append(ink)
        thing = canvas.put(f"{name}{end}", text, shown, collection)
        canvas.place(thing, frame.moved(frame.z * toward * label.height - frame.y * middle))
        return thing

    middle = 0.5 * label.height * (1.0 - LINE_PITCH * label.text.count("\n"))
    thing = write("", letter_ink(view, label.tone, plate=label.plate), 2 * STEP, 0.0)
    if not label.plate:
        write(" halo", halo_ink(view), STEP, 0.035)
    points = outline(thing) / canvas.per_metre
    lines = label.text.count("\n")
    half = 0.5 * label.height * (1.0 + LINE_PITCH * lines)
    return np.array([points[:, 0].min(), -half]), np.array([points[:, 0].max(), half])


def outline(thing: bpy.types.Object) -> Floats:
    """Points (n, 3) of a text object, in its own frame; its origin where it says nothing."""
    mesh = thing.to_mesh()
    points = np.zeros(3 * len(mesh.vertices), dtype=np.float32)
    mesh.vertices.foreach_get("co", points)
    thing.to_mesh_clear()
    found = points.reshape(-1, 3).astype(np.float64)
    return found if len(found) else np.zeros((1, 3))


def capital_height() -> float:
    """Height of a capital letter of Blender's own font, of its size."""
    text: Any = bpy.data.curves.new("capital", "FONT")
    text.body = "H"
    thing = bpy.data.objects.new("capital", text)
    height = float(outline(thing)[:, 1].max())
    bpy.data.objects.remove(thing)
    bpy.data.curves.remove(text)
    return height


def facing(camera: Frame, label: Label) -> Frame:
    """A frame at the label whose XY plane faces the camera, turned in the picture."""
    c, s = cos(label.turn), sin(label.turn)
    x, y, z = camera.axes
    return Frame(label.at, np.stack([c * x + s * y, c * y - s * x, z]))


def rounded(low: Floats, high: Floats, radius: float) -> Floats:
    """A rounded rectangle (n, 3) in the XY plane."""
    radius = min(radius, 0.5 * float((high - low).min()))
    corners = [(high[0], high[1]), (low[0], high[1]), (low[0], low[1]), (high[0], low[1])]
    inward = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    points = []
    for turn, ((x, y), (a, b)) in enumerate(zip(corners, inward, strict=True)):
        for step in range(7):
            angle = pi / 2 * (turn + step / 6)
            points.append((x + radius * (a + cos(angle)), y + radius * (b + sin(angle)), 0.0))
    return np.array(points)


def disc(radius: float, sides: int = 24) -> Floats:
    """A circle (n, 3) in the XY plane."""
    turns = np.arange(sides) * 2.0 * pi / sides
    return np.column_stack([radius * np.cos(turns), radius * np.sin(turns), np.zeros(sides)])


def polygon(canvas: Canvas, name: str, ring: Floats, origin: Floats) -> bpy.types.Mesh:
    """Make one flat face of a ring (n, 3) [m], about an origin."""
    data = bpy.data.meshes.new(name)
    data.from_pydata(canvas.units(ring - origin).tolist(), [], [range(len(ring))])
    return data
