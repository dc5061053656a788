"""The beams: translucent solids with crisp edges, each with a tint of its own."""

from __future__ import annotations

from heatcore.evaluate import Evaluation
from heatcore.views.view import Layer

from ..materials import camera_only, made
from ..materials.overlay import fading, film
from .canvas import Canvas, Shown
from .edges import draw_lines, true_edges
from .shapes import solid

# Neighbours differ enough for an overlap to read as two beams; all are warm.
TINTS = ((1.0, 0.30, 0.05), (1.0, 0.52, 0.10), (0.95, 0.17, 0.08), (1.0, 0.68, 0.22))
EDGE = 0.011  # m


def draw_beams(canvas: Canvas, evaluation: Evaluation) -> None:
    """Draw each heater's beam."""
    reach = {mount.name: mount.type.reach for mount in evaluation.mounts}
    origin = {mount.name: mount.frame.origin for mount in evaluation.mounts}
    for number, beam in enumerate(evaluation.beams):
        if len(beam.solid.triangles) == 0:
            continue
        tint = TINTS[number % len(TINTS)]
        shown = Shown(Layer.BEAMS, heater=beam.heater)
        face = made(
            f"beam {number % len(TINTS) + 1} {reach[beam.heater]:.2f}", fading, (*tint, 0.15),
            color=tint, near=0.15, far=0.03, reach=reach[beam.heater] * canvas.per_metre, strength=1.1,
        )  # fmt: skip
        body = solid(
            canvas, f"{beam.heater} beam", beam.solid, face, shown, origin=origin[beam.heater]
        )
        line = made(
            f"beam edge {number % len(TINTS) + 1}",
            film,
            (*tint, 0.8),
            color=tint,
            cover=0.6,
            strength=1.5,
        )
        edge = draw_lines(
            canvas, f"{beam.heater} beam edges", true_edges(beam.solid), EDGE, line, shown
        )
        for thing in (body, edge):
            camera_only(thing)
