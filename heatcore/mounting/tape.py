"""How long a tape is that lies on a surface between two points of it."""

from __future__ import annotations

from itertools import pairwise
from math import hypot, inf

import numpy as np

from heatcore.geometry.frames import Floats, Frame, Ints
from heatcore.geometry.soup import Soup
from heatcore.mounting.uneven import UNEVEN

_NOWHERE = 1e-9  # m; breaks nearer than this are one


def taped(soup: Soup, parts: Ints, one: Floats, other: Floats) -> float:
    """Length of a tape laid on undersides, in the plumb plane through two points [m].

    Over one plane, or an uneven one, that is the straight distance; over a ridge, a hip or a
    valley it goes up one plane and down the other, and on a vault round its arc. Over a step it
    goes up the riser, and over a gap straight.

    Parameters
    ----------
    soup : what is there
    parts : numbers of the parts that it lies on
    one, other : (3,) on them [m]
    """
    apart = other - one
    level = hypot(*apart[:2])
    straight = float(np.linalg.norm(apart))
    if level < _NOWHERE:
        return straight
    x = np.array([apart[0] / level, apart[1] / level, 0.0])
    frame = Frame(one, np.stack([x, [-x[1], x[0], 0.0], [0.0, 0.0, 1.0]]))
    starts, ends = _section(*soup.seen_from(frame).near((0.0, 0.0, -inf), (level, 0.0, inf)), parts)
    breaks = np.concatenate([[0.0, level], starts[:, 0], ends[:, 0]])
    breaks = np.unique(np.clip(breaks, 0.0, level))
    breaks = breaks[np.concatenate([[True], np.diff(breaks) > _NOWHERE])]
    points = [np.zeros(2)]
    for first, last in pairwise(breaks.tolist()):
        held = np.flatnonzero((starts[:, 0] <= first + _NOWHERE) & (ends[:, 0] >= last - _NOWHERE))
        if not len(held):
            continue
        run = (ends[held, 0] - starts[held, 0])[:, None]
        slope = (ends[held, 1:] - starts[held, 1:]) / run
        z = starts[held, 1:] + slope * (np.array([first, last]) - starts[held, :1])
        lowest = z[z.sum(axis=1).argmin()]
        points += [np.array([first, lowest[0]]), np.array([last, lowest[1]])]
    points.append(np.array([level, apart[2]]))
    line = np.array(points)
    if np.abs(line[:, 1] - line[:, 0] * apart[2] / level).max() <= UNEVEN:
        return straight
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


def _section(corners: Floats, owner: Ints, parts: Ints) -> tuple[Floats, Floats]:
    """(k, 2) both ends, by x, of what the plane y = 0 cuts out of the undersides of parts."""
    edges = np.roll(corners, -1, axis=1) - corners
    down = np.cross(edges[:, 0], edges[:, 1])[:, 2] < 0.0
    corners = corners[down & np.isin(owner, parts)]
    y = corners[..., 1]
    corners = corners[(y.min(axis=1) <= 0.0) & (y.max(axis=1) > 0.0)]
    beyond = corners[..., 1] > 0.0
    # One corner lies alone on its side of the plane: both edges from it cross.
    alone = np.where(beyond.sum(axis=1) == 1, beyond.argmax(axis=1), (~beyond).argmax(axis=1))
    rows = np.arange(len(corners))
    tip = corners[rows, alone]
    ends = []
    for step in (1, 2):
        far = corners[rows, (alone + step) % 3]
        share = -tip[:, 1] / (far[:, 1] - tip[:, 1])
        ends.append((tip + share[:, None] * (far - tip))[:, [0, 2]])
    swap = (ends[0][:, 0] > ends[1][:, 0])[:, None]
    starts, stops = np.where(swap, ends[1], ends[0]), np.where(swap, ends[0], ends[1])
    some = stops[:, 0] - starts[:, 0] > _NOWHERE
    return starts[some], stops[some]
