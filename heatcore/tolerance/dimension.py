"""The dimensions of a drawing: every number that was read off it, and how far it may be off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from heatcore.scene.dimensions import dimension_fields, scalars
from heatcore.scene.kinds import Quantity
from heatcore.scene.model import Scene, Site
from heatcore.scene.shapes import Field, kinds_of
from heatcore.scene.space import Drawn, Floor, Roof, Window
from heatcore.tolerance.wording import path_of, words_of

FLOOR = "floor"
# A length that must stay more than nothing is never taken for less than this share of itself.
_LEAST_SHARE = 0.1
# Where a dimension cannot go to its end (two doors in one another), it goes as far as it can.
_SHARES = (1.0, 0.5, 0.25, 0.125)


@dataclass(frozen=True)
class Dimension:
    """One number of the drawing.

    Attributes
    ----------
    kind : the kind of thing that it belongs to, by its key in the scene
    thing : that thing's name
    attribute : of the thing, by its name in Python
    steps : where the number stands in that attribute: indices of lists, attributes of tables
    drawn : its value [m or rad]
    least, most : the ends of its tolerance [m or rad]
    unit : 'm' or 'rad'
    path : as mistakes give it
    words : as people call it
    """

    kind: str
    thing: str
    attribute: str
    steps: tuple[int | str, ...]
    drawn: float
    least: float
    most: float
    unit: Literal["m", "rad"]
    path: str
    words: str

    @property
    def tolerance(self) -> float:
        """How far it may be off, to either side [m or rad]."""
        return max(self.most - self.drawn, self.drawn - self.least)

    @property
    def ends(self) -> Iterator[Sequence[float]]:
        """Values toward each end of its tolerance, the end itself first."""
        for end in (self.least, self.most):
            if end != self.drawn:
                yield [self.drawn + share * (end - self.drawn) for share in _SHARES]


def dimensions(scene: Scene) -> tuple[Dimension, ...]:
    """Every dimension of a scene that may be off; what was measured, or has no tolerance, is not.

    Parameters
    ----------
    scene : consistent (see `consistent`): its dimensions can be moved one by one
    """
    found = [d for kind, thing in drawn_things(scene) for d in _of_thing(kind, thing, scene)]
    return tuple(d for d in found if d.most > d.least)


def drawn_things(scene: Scene) -> Iterator[tuple[str, Any]]:
    """Go through everything that has dimensions, with its kind."""
    yield FLOOR, scene.floor
    for kind, of in kinds_of(Scene).items():
        if issubclass(of, Drawn):
            for thing in getattr(scene, kind):
                yield kind, thing


def moved(scene: Scene, values: Mapping[Dimension, float]) -> Scene:
    """Return the scene with some of its dimensions at other values [m or rad]."""
    by_thing: dict[tuple[str, str], dict[Dimension, float]] = {}
    for dimension, value in values.items():
        by_thing.setdefault((dimension.kind, dimension.thing), {})[dimension] = value
    changed: dict[str, Any] = {}
    for (kind, name), own in by_thing.items():
        if kind == FLOOR:
            changed[kind] = _with(scene.floor, own)
            continue
        things = changed.get(kind, getattr(scene, kind))
        changed[kind] = tuple(_with(t, own) if t.name == name else t for t in things)
    return replace(scene, **changed) if changed else scene


def _of_thing(kind: str, thing: Any, scene: Scene) -> Iterator[Dimension]:
    table: type = type(thing)
    left_out = {*thing.measured, *_idle(thing)}
    for field in dimension_fields(table):
        if field.key not in left_out:
            for steps, quantity, value in scalars(field.shape, getattr(thing, field.attribute)):
                yield _dimension(kind, thing, field, steps, quantity, value, scene.site)


def _idle(thing: Any) -> Iterator[str]:
    """Keys that say nothing about such a thing: moving them moves nothing."""
    if isinstance(thing, Roof):
        if thing.form != "slatted":
            yield from ("slat_width", "slat_gap", "slat_direction")
        if thing.form in ("gable", "hip", "valley", "vault"):
            yield "falls_toward"
        if thing.form in ("single_slope", "slatted"):
            yield "ridge_direction"
        if thing.beam_underside is None:
            yield "beam_depth"
    if isinstance(thing, Window) and thing.kind == "fixed":
        yield from ("opening_angle", "sash_thickness")
    if isinstance(thing, Floor):
        yield "thickness"


def _dimension(
    kind: str,
    thing: Any,
    field: Field,
    steps: tuple[int | str, ...],
    quantity: Quantity,
    value: float,
    site: Site,
) -> Dimension:
    if quantity.dimension == "length":
        off = site.tolerance if thing.tolerance is None else thing.tolerance
    else:
        off = site.angle_tolerance
    least, most = value - off, value + off
    if quantity.above is not None:
        least = max(least, quantity.above + _LEAST_SHARE * (value - quantity.above))
    if quantity.at_least is not None:
        least = max(least, min(quantity.at_least, value))
    if quantity.at_most is not None:
        most = min(most, max(quantity.at_most, value))
    return Dimension(
        kind=kind,
        thing=FLOOR if kind == FLOOR else thing.name,
        attribute=field.attribute,
        steps=steps,
        drawn=value,
        least=least,
        most=most,
        unit="m" if quantity.dimension == "length" else "rad",
        path=path_of(thing, field.key, steps),
        words=words_of(thing, field.key, steps),
    )


def _with(thing: Any, values: Mapping[Dimension, float]) -> Any:
    changed: dict[str, Any] = {}
    for dimension, value in values.items():
        before = changed.get(dimension.attribute, getattr(thing, dimension.attribute))
        changed[dimension.attribute] = _put(before, dimension.steps, value)
    return replace(thing, **changed)


def _put(holder: Any, steps: tuple[int | str, ...], value: float) -> Any:
    if not steps:
        return value
    step, *rest = steps
    if isinstance(step, str):
        return replace(holder, **{step: _put(getattr(holder, step), tuple(rest), value)})
    new = _put(holder[step], tuple(rest), value)
    return (*holder[:step], new, *holder[step + 1 :])
