"""The beams: translucent bodies of light, each with a tint and an outline of its own."""

from __future__ import annotations

from dataclasses import replace

from heatcore.evaluate import Evaluation
from heatcore.geometry.parts import Mesh
from heatcore.heat.beams.beam import Beam
from heatcore.mounting.mount import Mount
from heatcore.views.view import FloorShows, Layer

from ..materials import camera_only, made
from ..materials.nodes import Color
from ..materials.overlay import beam as beam_of_light
from ..materials.overlay import film
from .canvas import Canvas, Shown
from .edges import draw_lines
from .shapes import solid

# Neighbours differ enough for an overlap to read as two beams; all are warm.
TINTS: tuple[Color, ...] = (
    (1.0, 0.30, 0.05), (1.0, 0.17, 0.10), (1.0, 0.40, 0.09), (1.0, 0.22, 0.20),
)  # fmt: skip
# How much of what lies behind it a beam covers; pale paper swallows what a dusky picture does not.
COVER = {
    "": {"near": 0.065, "far": 0.02, "rim": 0.3},
    " on paper": {"near": 0.32, "far": 0.16, "rim": 0.3},
}
OUTLINE = 0.012  # m
AT_APERTURE = 0.01  # m below the emitting face that still counts as in it
OVER_FLOOR = 0.012  # m, above the bands of warmth


def draw_beams(canvas: Canvas, evaluation: Evaluation) -> None:
    """Draw each heater's beam."""
    mounts = {mount.name: mount for mount in evaluation.mounts}
    for number, beam in enumerate(evaluation.beams):
        draw_beam(canvas, beam, mounts[beam.heater], number % len(TINTS))


def draw_beam(canvas: Canvas, beam: Beam, mount: Mount, tint: int) -> None:
    """Draw one beam in one of the tints, and its outline where it lands on the floor."""
    color, shown = TINTS[tint], Shown(Layer.BEAMS, heater=beam.heater)
    sides = flanks(beam, mount)
    if len(sides.triangles):
        reach = beam.reach
        for style, cover in COVER.items():
            light = made(
                f"beam {tint + 1} {reach:.2f} m{style}", beam_of_light, (*color, 0.06),
                color=color, reach=reach * canvas.per_metre, **cover,
            )  # fmt: skip
            when = replace(shown, drawn=bool(style))
            name = f"{beam.heater} beam{style}"
            camera_only(solid(canvas, name, sides, light, when, origin=mount.frame.origin))
    rings = [
        canvas.on_level(ring, OVER_FLOOR)
        for landing in beam.landings
        if landing.level == 0.0
        for area in landing.beam
        for ring in area[:1]
    ]
    if rings:
        line = made(f"beam outline {tint + 1}", film, (*color, 0.9), color=color, cover=0.85)
        name = f"{beam.heater} beam outline"
        landed = replace(shown, floor=FloorShows.LANDING)
        camera_only(draw_lines(canvas, name, rings, OUTLINE, line, landed, closed=True))


def flanks(beam: Beam, mount: Mount) -> Mesh:
    """Return a beam's sides, from the aperture to where it lands.

    Where it lands lies face on face on the furniture and the floor: the warmth draws that.
    """
    depth = mount.frame.to_local(beam.solid.corners)[..., 2]
    at_aperture = depth > -AT_APERTURE
    wanted = at_aperture.any(axis=1) & ~at_aperture.all(axis=1)
    return Mesh(beam.solid.vertices, beam.solid.triangles[wanted])
