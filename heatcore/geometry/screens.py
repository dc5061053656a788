"""Drop screens: the cassette, what hangs out of it, and the whole drop."""

from __future__ import annotations

from math import hypot

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import Solid, part_of, upright_box
from heatcore.scene.materials import is_combustible
from heatcore.scene.plan import where
from heatcore.scene.space import Screen

_CURTAIN = 0.004  # m; cloth with its seams
_RAIL = 0.03  # m; height of the bar at its lower edge


def screen_parts(screen: Screen) -> tuple[Part, ...]:
    """Return 'NAME cassette', 'NAME curtain' as far as it is let down, and the swept 'NAME drop'.

    The cassette is as high as it is thick. The drop goes from the cassette down to `bottom`, as
    thick as cassette and track. The cassette is aluminium, but counts as combustible where the
    cloth rolled up in it does.

    Raises
    ------
    InputError
        If the screen has no length, or no room between its cassette and its lower edge.
    """
    start, end = np.asarray(screen.from_), np.asarray(screen.to)
    length = hypot(*(end - start))
    if length == 0.0:
        raise InputError(where(screen), "has no length", "give two different ends")
    foot = screen.top - screen.thickness
    if foot <= screen.bottom:
        raise InputError(
            where(screen, "top"),
            "leaves no room to drop from the cassette to the lower edge",
            "give a higher top or a lower bottom",
        )
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
        curtain = slab(_CURTAIN, lower, foot)
        rail = min(_RAIL, foot - lower)
        curtain += slab(min(_RAIL, screen.thickness), lower, lower + rail)
        parts.append(part_of(curtain, screen, Kind.SCREEN, f"{screen.name} curtain"))
    drop = slab(screen.thickness, screen.bottom, foot)
    parts.append(part_of(drop, screen, Kind.SCREEN, f"{screen.name} drop", swept=True))
    return tuple(parts)
