"""How far everything is from a heater: face by face, at its corners, and by the shortest way.

Exact against triangles, at any attitude. See `reading` for what is measured.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from math import inf

import numpy as np

from heatcore.geometry.closest import triangle_box
from heatcore.geometry.faces import FACES, from_corners, from_faces, least_of_each, swallowed
from heatcore.geometry.frames import Frame
from heatcore.geometry.nearest import nearest
from heatcore.geometry.parts import Mesh
from heatcore.geometry.reading import NOISE, Body, Face, Reading
from heatcore.geometry.soup import Soup
from heatcore.geometry.surfaces import around
from heatcore.geometry.view import View
from heatcore.scene.types import Distances

__all__ = ["NOISE", "Face", "Reading", "clearance_margin", "measure"]


def clearance_margin(
    frame: Frame, body: tuple[float, float, float], distances: Distances, mesh: Mesh | Soup
) -> float:
    """Least margin of a heater against a mesh over all faces, corners and the shortest distance.

    Parameters
    ----------
    frame : the heater's frame
    body : its length, width and height [m]
    distances : what is required
    mesh : a closed surface, or a soup made once of several, where many frames are tried

    Returns
    -------
    float
        Measured minus required where that is least [m]; negative where something is too near or
        the body overlaps it, infinite where there is nothing at all.
    """
    soup = mesh if isinstance(mesh, Soup) else Soup.of([mesh])
    return min((r.margin for r in measure(frame, body, distances, soup)), default=inf)


def measure(
    frame: Frame,
    body: tuple[float, float, float],
    distances: Distances,
    soup: Soup,
    sight: float = inf,
    slack: float = 0.0,
) -> tuple[Reading, ...]:
    """Measure from each face, at the corners and the plain shortest distance.

    Parameters
    ----------
    frame : the heater's frame
    body : its length, width and height [m]
    distances : what is required
    soup : what stands round it
    sight : what stands farther than this, and far enough, is not looked for [m]
    slack : a mesh whose margin is less than this is told of as if it fell short [m]

    Returns
    -------
    tuple of Reading
        From each face: every mesh that falls short, and otherwise the nearest within sight. At the
        corners likewise, where the margin there is less than all others or than the slack.

    Raises
    ------
    ValueError
        If the frame is not finite.
    """
    if not (np.isfinite(frame.origin).all() and np.isfinite(frame.axes).all()):
        raise ValueError("a heater's frame must be finite")
    view, solid = soup.seen_from(frame), Body(body, distances)
    sight = min(sight, view.farthest + sum(body))
    shortest = _short_or_nearest(_shortest(view, solid, sight, slack), sight, slack)
    found = from_faces(view, solid, sight, slack)
    faces: list[Reading] = []
    for face in FACES:
        inside = swallowed(view, solid, face, shortest)
        faces += _short_or_nearest(found[face] | inside, sight, slack)
    least = min((r.margin for r in (*faces, *shortest)), default=sight)
    beside = from_corners(view, solid, slack, max(least, slack, 0.0))
    corners = _short_or_nearest(beside, inf, slack)
    return tuple(
        replace(r, point=frame.to_world(r.point), heater_point=frame.to_world(r.heater_point))
        for r in (*faces, *corners, *shortest)
    )


def _shortest(view: View, body: Body, sight: float, slack: float) -> dict[int, Reading]:
    """Plain shortest distance of each mesh that falls short and of the nearest, in the frame."""
    low, high, asked = body.low, body.high, body.required(Face.SHORTEST)
    search = around(low[None], high[None], asked + slack, max(asked + slack, sight))
    _, triangles, owner = nearest(view, search)
    distance, point, box_point = triangle_box(triangles, low, high)
    found = {
        int(owner[k]): Reading(
            Face.SHORTEST, int(owner[k]), float(distance[k]), asked, point[k], box_point[k]
        )
        for k in least_of_each(owner, distance)
    }
    # A body's middle is the deepest place in it, and a solid round that need not touch the body.
    middle, axis = (low + high) / 2, int(np.argmin(high - low))
    surface = middle.copy()
    surface[axis] = high[axis]
    for who in view.soup.holders(view.to_world(middle)).tolist():
        depth = float(high[axis] - middle[axis])
        found[who] = Reading(Face.SHORTEST, who, -depth, asked, middle, surface)
    return found


def _short_or_nearest(
    readings: dict[int, Reading], sight: float, slack: float
) -> Iterable[Reading]:
    """The readings short of the slack, worst first; where none is, the nearest within sight."""
    ordered = sorted(readings.values(), key=lambda r: (r.margin, r.owner))
    short = [r for r in ordered if r.falls_short(slack)]
    return short or [r for r in ordered[:1] if r.distance <= sight]
