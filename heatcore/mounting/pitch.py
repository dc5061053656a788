"""Under how steep a ceiling the stocked brackets still hang a heater level.

Under one plane the clearances come down to the plane's own normal (design, section 5): with n the
ceiling's upward unit normal and p a pivot, an arm square to the plate is long enough when it is at
least n.(v - p) for every corner v of both clearance volumes, and n.(b - p) and the least distance
for every corner b of the body; a plumb arm when it is at least that divided by n's rise.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan, floor, hypot

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import body_corners
from heatcore.mounting.pose import Pose
from heatcore.mounting.stock import pairs
from heatcore.mounting.trials import LEVEL
from heatcore.scene.heights import STEEPEST
from heatcore.scene.types import BracketType, Distances

_LEVEL = 1e-9
_STEPS = 4 * 12  # pitches are tried in quarters of an inch of rise in 12 in of run


def steepest_pitch(
    pose: Pose, into: Floats, distances: Distances, brackets: Sequence[BracketType]
) -> float | None:
    """The steepest ceiling, no steeper than the present one, that some stocked pair serves.

    Parameters
    ----------
    pose : the heater, level or tilted, but not lying parallel to the ceiling
    into : (3,) the present ceiling's upward unit normal
    distances : what the ceiling's material asks for
    brackets : what is stocked

    Returns
    -------
    float or None
        Its slope [rad]; None where not even a level ceiling would do.
    """
    run = hypot(into[0], into[1])
    if run < _LEVEL:
        return None
    steepest = floor(_STEPS * run / float(into[2]) - 1e-6)
    for step in range(steepest, -1, -1):
        if _any_serves(pose, _leaning(into, step), distances, brackets):
            return atan(step / _STEPS)
    return None


def steepest_served(
    pose: Pose, into: Floats, distances: Distances, brackets: Sequence[BracketType]
) -> float | None:
    """How much steeper the present ceiling, which is served, could be and still be.

    Takes what `steepest_pitch` does.

    Returns
    -------
    float or None
        The steepest of the pitches from the present one on that are all served [rad]; None where
        every pitch that a roof may have is, or where the present ceiling is level.
    """
    run = hypot(into[0], into[1])
    if run < _LEVEL:
        return None
    present = _STEPS * run / float(into[2])
    step = floor(present + 1e-6)
    while atan((step + 1) / _STEPS) <= STEEPEST:
        if not _any_serves(pose, _leaning(into, step + 1), distances, brackets):
            return atan(max(step, present) / _STEPS)
        step += 1
    return None


def _leaning(into: Floats, step: int) -> Floats:
    """The normal of a ceiling that leans as another does, by so many steps of pitch."""
    run = hypot(into[0], into[1])
    normal = np.array([*(into[:2] / run * step / _STEPS), 1.0])
    out: Floats = normal / np.linalg.norm(normal)
    return out


def _any_serves(
    pose: Pose, normal: Floats, distances: Distances, brackets: Sequence[BracketType]
) -> bool:
    return any(_serves(pose, normal, distances, bracket) for bracket in brackets)


def needed_travel(pose: Pose, normal: Floats, distances: Distances) -> float:
    """How far below a plane through the world's origin a heater must hang, from travel 0 [m].

    Parameters
    ----------
    pose : the heater
    normal : (3,) the plane's upward unit normal
    distances : what it asks for
    """
    volumes = np.array(clearance_volumes(pose.type, distances))
    corners = [[(b[i, 0], b[j, 1], b[k, 2]) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
               for b in volumes]  # fmt: skip
    high = float((pose.frame.to_world(corners) @ normal).max())
    body = float((pose.frame.to_world(body_corners(pose.type)) @ normal).max())
    return max(high, body + distances.least) / -float(normal @ pose.away)


def _serves(pose: Pose, normal: Floats, distances: Distances, bracket: BracketType) -> bool:
    """Whether some pair of arms of a bracket type hangs the heater under a plane."""
    leans = pose.leans(normal)
    if abs(leans[0]) > bracket.hinge_along or abs(leans[1]) > bracket.hinge_across:
        return False
    square = 1.0 if bracket.style == "square" else float(normal[2])
    intercept = -(pose.pivots @ normal) / square
    slope = -float(normal @ pose.away) / square
    base = np.array([pair.shortest for pair in pairs(bracket)])
    low = ((base - intercept) / slope).max(axis=1)
    high = ((base + bracket.fine - intercept) / slope).min(axis=1)
    needed = needed_travel(pose, normal, distances)
    return bool((np.maximum(low, needed) <= high + LEVEL).any())
