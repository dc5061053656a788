"""What the plan says: outlines as polygons, and on which side of a wall the patio lies."""

from __future__ import annotations

from typing import Any

import numpy as np
from shapely import Polygon
from shapely.geometry.polygon import orient

from heatcore.errors import InputError
from heatcore.scene.kinds import Outline
from heatcore.scene.space import Floor, Wall

# Wide enough to forgive a wall drawn a millimetre beside the floor's edge.
_STRIP = 0.02  # m


def where(thing: Any, field: str = "") -> str:
    """Return the path of a named thing, as mistakes give it: ``door "north".width``."""
    path = f'{type(thing).__name__.lower()} "{thing.name}"'
    return f"{path}.{field}" if field else path


def polygon_of(outline: Outline, where: str) -> Polygon:
    """Return an outline as a polygon, counter-clockwise.

    Raises
    ------
    InputError
        If it is no simple polygon with an area.
    """
    corners = np.asarray(outline, dtype=np.float64)
    if len(corners) < 3 or not np.isfinite(corners).all():
        raise InputError(
            where, "is no polygon", "give at least three corners, each with two finite coordinates"
        )
    polygon = Polygon(corners)
    if not polygon.is_valid:
        raise InputError(
            where, "crosses or touches itself", "give its corners in order, going round once"
        )
    if polygon.area <= 0.0:
        raise InputError(where, "has no area", "give corners that do not lie on one line")
    return orient(polygon)


def patio_side(wall: Wall, floor: Floor) -> tuple[float, float]:
    """Return the unit vector in plan that points out of a wall's patio face.

    It points to the side with floor. With floor on both sides, or on neither, it points to the left
    of the line from `from_` to `to`. A side has floor where at least half as much of the ground
    along the wall is floor as on the other side, so that a long wall may pass the patio's end.

    Raises
    ------
    InputError
        If the wall has no length.
    """
    start, end = np.asarray(wall.from_), np.asarray(wall.to)
    length = float(np.hypot(*(end - start)))
    if length == 0.0:
        raise InputError(where(wall), "has no length", "give two different ends")
    along = (end - start) / length
    left = np.array([-along[1], along[0]])
    ground = polygon_of(floor.outline, "floor.outline")
    on_left, on_right = (
        ground.intersection(
            Polygon([start, end, end + side * _STRIP * left, start + side * _STRIP * left])
        ).area
        for side in (1.0, -1.0)
    )
    only_right = on_right > 2.0 * on_left and on_right > 0.0
    out = -left if only_right else left
    return float(out[0]), float(out[1])
