"""Drop screens and curtains: what hangs, and all the room it takes on its way."""

from __future__ import annotations

from math import hypot

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.curtains import curtain_parts, track_height
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import Solid, part_of, upright_box
from heatcore.scene.materials import is_combustible
from heatcore.scene.plan import where
from heatcore.scene.space import Screen

_CLOTH = 0.004  # m; cloth with its seams
_RAIL = 0.03  # m; height of the bar at its lower edge


def screen_parts(screen: Screen) -> tuple[Part, ...]:
    """Return the parts of a drop screen, or of a curtain (see `curtains.curtain_parts`).

    Of a drop screen: 'NAME cassette', 'NAME curtain' as far as it is let down, and the swept
    'NAME drop'. The cassette is as high as it is thick. The drop is all the room of the track, from
    the cassette down to `bottom`: the bar at the cloth's lower edge may be as thick as that. The
    cassette is aluminium, but counts as combustible where the cloth rolled up in it does.

    Raises
    ------
    InputError
        If it has no length, or no room between its cassette or track and its lower edge.
    """
    start, end = np.asarray(screen.from_), np.asarray(screen.to)
    length = hypot(*(end - start))
    if length == 0.0:
        raise InputError(where(screen), "has no length", "give two different ends")
    curtain = screen.kind == "curtain"
    foot = screen.top - (track_height(screen) if curtain else screen.thickness)
    if foot <= screen.bottom:
        head = "track" if curtain else "cassette"
        raise InputError(
            where(screen, "top"),
            f"leaves no room between the {head} and the lower edge",
            "give a higher top or a lower bottom",
        )
    return curtain_parts(screen) if curtain else _drop_parts(screen, foot)


def _drop_parts(screen: Screen, foot: float) -> tuple[Part, ...]:
    start, end = np.asarray(screen.from_), np.asarray(screen.to)
    length = hypot(*(end - start))
    along = (end - start) / length

    def slab(thickness: float, bottom: float, top: float) -> Solid:
        side = thickness / 2 * np.array([-along[1], along[0]])
        return upright_box([start - side, end - side, end + side, start + side], bottom, top)

    parts = [
        part_of(
            slab(screen.thickness, foot, screen.top),
            screen,
            Kind.SCREEN,
            f"{screen.name} cassette",
            material="aluminium",
            burns=is_combustible(screen.material),
        )
    ]
    if screen.down > 0.0:
        lower = foot - screen.down * (foot - screen.bottom)
        cloth = slab(_CLOTH, lower, foot)
        rail = min(_RAIL, foot - lower)
        cloth += slab(min(_RAIL, screen.thickness), lower, lower + rail)
        parts.append(part_of(cloth, screen, Kind.SCREEN, f"{screen.name} curtain"))
    drop = slab(screen.thickness, screen.bottom, foot)
    parts.append(part_of(drop, screen, Kind.SCREEN, f"{screen.name} drop", swept=True))
    return tuple(parts)
