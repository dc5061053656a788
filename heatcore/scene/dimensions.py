"""Which keys of a table hold dimensions: lengths and angles that can be read off a drawing."""

from __future__ import annotations

from functools import cache

from heatcore.scene.kinds import Quantity
from heatcore.scene.shapes import Fixed, Many, Shape, fields_of

_MEASURED_AS = frozenset({"length", "angle", "pitch"})
_OF_THE_DRAWING = frozenset({"tolerance"})  # says how far the dimensions may be off; is none itself


@cache
def dimension_keys(table: type) -> tuple[str, ...]:
    """Keys of a table that hold lengths or angles, points and outlines included, in order."""
    return tuple(
        entry.key
        for entry in fields_of(table)
        if entry.key not in _OF_THE_DRAWING and _is_dimension(entry.shape)
    )


def _is_dimension(shape: Shape) -> bool:
    match shape:
        case Quantity():
            return shape.dimension in _MEASURED_AS
        case Fixed():
            return all(map(_is_dimension, shape.items))
        case Many():
            return _is_dimension(shape.item)
    return False
