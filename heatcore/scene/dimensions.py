"""Which keys of a table hold dimensions: lengths and angles that can be read off a drawing."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

from heatcore.scene.kinds import Quantity
from heatcore.scene.shapes import Either, Field, Fixed, Many, Shape, Table, fields_of

_MEASURED_AS = frozenset({"length", "angle", "pitch"})
# What says how far the dimensions may be off is none itself. Which way a roof lies is none either:
# walls and ridges are drawn square to each other, and no tape says by how much they are not.
_NO_DIMENSIONS = frozenset({"tolerance", "ridge_direction", "falls_toward", "slat_direction"})


@cache
def dimension_fields(table: type) -> tuple[Field, ...]:
    """Fields of a table that hold lengths or angles, points and outlines included, in order."""
    return tuple(
        entry
        for entry in fields_of(table)
        if entry.key not in _NO_DIMENSIONS and _is_dimension(entry.shape)
    )


def dimension_keys(table: type) -> tuple[str, ...]:
    """Keys of a table that hold lengths or angles, points and outlines included, in order."""
    return tuple(entry.key for entry in dimension_fields(table))


def scalars(shape: Shape, value: Any) -> Iterator[tuple[tuple[int | str, ...], Quantity, float]]:
    """Go through the single numbers of a dimension.

    Yields
    ------
    where each stands in the value (an index in a list, an attribute of a table), what it may be,
    and the number itself [m or rad]
    """
    match shape:
        case Quantity():
            if shape.dimension in _MEASURED_AS and value is not None:
                yield (), shape, value
        case Fixed() if value is not None:
            for index, (item, part) in enumerate(zip(shape.items, value, strict=True)):
                yield from _within(index, item, part)
        case Many() if value is not None:
            for index, part in enumerate(value):
                yield from _within(index, shape.item, part)
        case Table() if value is not None:
            for entry in dimension_fields(shape.of):
                yield from _within(entry.attribute, entry.shape, getattr(value, entry.attribute))
        case Either() if isinstance(value, tuple):
            yield from scalars(shape.list, value)


def _within(
    step: int | str, shape: Shape, value: Any
) -> Iterator[tuple[tuple[int | str, ...], Quantity, float]]:
    for steps, quantity, number in scalars(shape, value):
        yield (step, *steps), quantity, number


def _is_dimension(shape: Shape) -> bool:
    match shape:
        case Quantity():
            return shape.dimension in _MEASURED_AS
        case Fixed():
            return all(map(_is_dimension, shape.items))
        case Many():
            return _is_dimension(shape.item)
        case Table():
            return bool(dimension_fields(shape.of))
        case Either():
            return _is_dimension(shape.list)
    return False
