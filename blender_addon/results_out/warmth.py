"""The warmth on the floor: bands and isolines of the irradiance, and where the beams land."""

from __future__ import annotations

from collections.abc import Iterable

import bpy
import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.heat.planes.contours import Rings
from heatcore.views.floor import Contour, Patch, floor_picture
from heatcore.views.view import FloorShows, Layer

from ..materials import camera_only, made
from ..materials.overlay import film
from .canvas import Canvas, Shown
from .edges import draw_lines
from .inks import BAND_COVER, PAPER, RAMP, lighter

OVER_FLOOR = 0.004  # m, of the lowest patch; each further one lies a little over it
STEP = 0.001
LINE_OVER_FLOOR = 0.014  # m
LINE, THRESHOLD = 0.012, 0.034  # widths of an isoline, and of the one at the threshold [m]


def draw_warmth(canvas: Canvas, evaluation: Evaluation) -> None:
    """Paint the floor in each of the ways; `floors` says which of them is seen."""
    for shows in FloorShows:
        picture, shown = floor_picture(evaluation, shows), Shown(Layer.WARMTH, floor=shows)
        for number, patch in enumerate(picture.patches):
            draw_patch(canvas, patch, OVER_FLOOR + STEP * number, shown)
        for contour in picture.contours:
            draw_contour(canvas, contour, shown)


def draw_patch(canvas: Canvas, patch: Patch, height: float, shown: Shown) -> None:
    """Draw one color of the floor; nothing where it lies nowhere."""
    if not patch.areas:
        return
    color = RAMP[patch.tone]
    look = made(f"warmth {patch.tone}", film, (*color, 0.7), color=color, cover=BAND_COVER)
    name = f"{shown.floor}: {patch.text}"
    camera_only(draw_areas(canvas, name, patch.areas, height, look, shown))


def draw_contour(canvas: Canvas, contour: Contour, shown: Shown) -> None:
    """Draw one value's line, brighter than the band above it."""
    if not contour.lines:
        return
    color = PAPER if contour.threshold else lighter(RAMP[contour.tone])
    look = made(f"isoline {contour.tone}{' bold' * contour.threshold}", film, color, color=color,
                cover=1.0)  # fmt: skip
    lines = [canvas.on_level(line, LINE_OVER_FLOOR) for line in contour.lines]
    width = THRESHOLD if contour.threshold else LINE
    name = f"{shown.floor}: isoline {contour.irradiance_w_m2:g} W/m2"
    camera_only(draw_lines(canvas, name, lines, width, look, shown))


def draw_areas(
    canvas: Canvas,
    name: str,
    areas: Iterable[Rings],
    height: float,
    look: bpy.types.Material,
    shown: Shown,
) -> bpy.types.Object:
    """Draw areas in plan, holes and all, at a height [m], as one filled curve object."""
    curve = bpy.data.curves.new(name, "CURVE")
    curve.dimensions = "2D"
    curve.fill_mode = "BOTH"  # type: ignore[assignment]  # the stubs list those of 3D curves
    for rings in areas:
        for ring in rings:
            spline = curve.splines.new("POLY")
            spline.points.add(len(ring) - 1)
            points = np.column_stack([canvas.units(ring), np.zeros(len(ring)), np.ones(len(ring))])
            spline.points.foreach_set("co", points.astype(np.float32).ravel())
            spline.use_cyclic_u = True
    curve.materials.append(look)
    thing = canvas.put(name, curve, shown)
    thing.location.z = height * canvas.per_metre
    return thing
