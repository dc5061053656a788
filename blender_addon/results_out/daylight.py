"""How bright what is, by how dark it is outside.

Chosen by eye, so that at any hour the middle of the picture comes out at the same exposure and the
overlays, which give their own light, stay as they are.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import radians

import numpy as np


@dataclass(frozen=True)
class Hour:
    """One hour of the evening.

    Attributes
    ----------
    sun_elevation : of the sun over the horizon [rad]
    sun_w_m2 : of the direct sun, square to it, in Blender's watts
    sky : factor on the physical sky
    warm : share of lamplight
    lamps_w_m2 : of the lamps under the roof, in Blender's watts to the square metre of floor
    """

    sun_elevation: float
    sun_w_m2: float
    sky: float
    warm: float
    lamps_w_m2: float


# By dusk: elevation [deg], sun, sky, warmth of the lamps, lamps. The sky's own brightness falls a
# hundredfold from day to night (measured from the node itself); the factor takes most of that back.
_DUSK = (0.0, 0.3, 0.5, 0.7, 0.85, 1.0)
_HOURS = (
    (38.0, 2.6, 0.16, 0.25, 8.0),
    (14.0, 3.6, 0.28, 0.50, 6.0),
    (8.0, 3.4, 0.25, 0.75, 7.0),
    (4.0, 2.4, 0.26, 0.9, 8.0),
    (1.0, 0.5, 0.42, 1.0, 8.0),
    (-3.5, 0.0, 2.2, 1.0, 8.0),
)


def hour(dusk: float) -> Hour:
    """Light for a given dusk, 0 for day and 1 for night."""
    elevation, *rest = (
        float(np.interp(dusk, _DUSK, column)) for column in zip(*_HOURS, strict=True)
    )
    return Hour(radians(elevation), *rest)
