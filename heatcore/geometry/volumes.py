"""The two volumes around a heater that nothing may stand in."""

from __future__ import annotations

from heatcore.geometry.frames import Floats, locked
from heatcore.scene.types import Distances, HeaterType


def clearance_volumes(
    heater: HeaterType, distances: Distances | None = None
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Return the upper and the lower clearance volume as boxes in the heater's frame.

    The upper one stands on the body's own plan, from its top up to `above`. The lower one is the
    plan grown by `ends` along the body and by `sides` across it, from the body's top down to
    `below` under its lowest face, which is at z = 0 (design, section 5).

    Parameters
    ----------
    heater : the heater's type
    distances : the required distances; left out, those to combustible material

    Returns
    -------
    upper, lower : each its lowest and its highest corner, (3,) [m], read-only
    """
    need = heater.combustible if distances is None else distances
    x, y, top = heater.length / 2, heater.width / 2, heater.height
    upper = locked([-x, -y, top]), locked([x, y, top + need.above])
    reach_x, reach_y = x + need.ends, y + need.sides
    lower = locked([-reach_x, -reach_y, -need.below]), locked([reach_x, reach_y, top])
    return upper, lower
