"""The warmth: bands on the floor where the beams land."""

from __future__ import annotations

from collections.abc import Iterable

import bpy
import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.heat.bands import bands
from heatcore.heat.beam import Rings
from heatcore.views.view import Layer, Tone

from ..materials import camera_only, made
from ..materials.overlay import film
from .canvas import Canvas, Shown
from .inks import BAND_COVER, RAMP

BANDS = {"edge": Tone.BAND_EDGE, "single": Tone.BAND_BEAM, "doubled": Tone.BAND_DOUBLE}
OVER_FLOOR = 0.004  # m


def draw_warmth(canvas: Canvas, evaluation: Evaluation) -> None:
    """Draw the bands of warmth on the floor."""
    found = bands(evaluation.beams)
    for number, (band, tone) in enumerate(BANDS.items()):
        areas: tuple[Rings, ...] = getattr(found, band)
        if not areas:
            continue
        look = made(f"warmth {band}", film, (*RAMP[tone], 0.7), color=RAMP[tone], cover=BAND_COVER)
        thing = draw_areas(canvas, f"warmth {band}", areas, OVER_FLOOR + 0.001 * number, look)
        camera_only(thing)


def draw_areas(
    canvas: Canvas, name: str, areas: Iterable[Rings], height: float, look: bpy.types.Material
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
    thing = canvas.put(name, curve, Shown(Layer.WARMTH))
    thing.location.z = height * canvas.per_metre
    return thing
