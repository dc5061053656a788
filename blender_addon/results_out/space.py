"""The space, its furniture and its people: one object for each solid part."""

from __future__ import annotations

from heatcore.evaluate import Evaluation
from heatcore.geometry.parts import Kind, Part
from heatcore.views.view import Layer

from ..materials import material
from .canvas import Canvas, Shown
from .shapes import solid

BROKEN = {
    Kind.FLOOR: 0.004,
    Kind.ROOF: 0.004,
    Kind.RAFTER: 0.004,
    Kind.BEAM: 0.005,
    Kind.POST: 0.006,
    Kind.WALL: 0.008,
    Kind.DOOR: 0.003,
    Kind.FITTING: 0.003,
    Kind.PLATFORM: 0.004,
    Kind.FURNITURE: 0.004,
}  # width of the broken edges [m]
GRAINED = {Kind.RAFTER, Kind.BEAM, Kind.POST, Kind.DOOR, Kind.PLATFORM, Kind.FURNITURE}


def draw_space(canvas: Canvas, evaluation: Evaluation) -> None:
    """Draw every solid part; swept volumes are no solids."""
    for part in evaluation.model.parts:
        if not part.swept:
            draw_part(canvas, part)


def draw_part(canvas: Canvas, part: Part) -> None:
    """Draw one part into the layer that it belongs to."""
    layer = Layer.PEOPLE if part.kind is Kind.PERSON else Layer.SPACE
    thinnest = float((part.mesh.bounds[1] - part.mesh.bounds[0]).min())
    solid(
        canvas,
        part.name,
        part.mesh,
        material(part.material, floor=part.kind is Kind.FLOOR),
        Shown(layer, part=part.name),
        bevel=min(BROKEN.get(part.kind, 0.0), 0.2 * thinnest),
        grain=part.kind in GRAINED,
    )
