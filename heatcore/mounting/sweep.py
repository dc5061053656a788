"""How far a heater has to move away from the structure before nothing stands too near it.

A heater may be moved along one line. Each clearance volume and each triangle are convex, so the
travels at which the two meet are one interval; so are those at which the triangle comes nearer to
the body than the least distance. What is left between all these intervals is where the clearances
hold: exactly, without searching.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from heatcore.geometry.closest import triangle_box
from heatcore.geometry.distance import NOISE
from heatcore.geometry.frames import Floats, Frame, Ints, locked
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.structure import Structure
from heatcore.scene.types import HeaterType

_STILL = 1e-10  # a travel of ten metres moves a box by less than `NOISE` along such an axis
_BATCH = 24  # triangles rounded off together before those that they outdo are left out
_STEPS = 60


@dataclass(frozen=True, eq=False)
class Blocked:
    """The travels at which something stands too near.

    Attributes
    ----------
    enter, leave : (k,) open intervals of travel [m]
    part : (k,) number of the part in the structure
    """

    enter: Floats
    leave: Floats
    part: Ints

    def __post_init__(self) -> None:
        for name, dtype in (("enter", float), ("leave", float), ("part", np.int64)):
            object.__setattr__(self, name, locked(getattr(self, name), dtype))

    @cached_property
    def merged(self) -> tuple[Floats, Floats]:
        """Starts and ends of the union of the intervals, in order [m]."""
        return _merged(self.enter, self.leave)

    def next(self, travel: Any) -> Floats:
        """The first travel from the given ones on, (...), at which everything is far enough [m]."""
        starts, ends = self.merged
        travel = np.asarray(travel, dtype=np.float64)
        if not len(starts):
            return np.asarray(travel)
        which = np.maximum(np.searchsorted(starts, travel, side="right") - 1, 0)
        inside = (travel > starts[which] + NOISE) & (travel < ends[which] - NOISE)
        # At the very start of an interval the next step leads into it, but it still holds.
        out: Floats = np.where(inside, ends[which], travel)
        return out

    def since(self, travel: float) -> float:
        """Where the free stretch that holds a travel begins [m]; minus infinity where nowhere."""
        _, ends = self.merged
        before = ends[ends <= travel + NOISE]
        return float(before.max(initial=-np.inf))

    def without(self, parts: Iterable[int]) -> Blocked:
        """The same, some parts left out."""
        kept = ~np.isin(self.part, list(parts))
        return Blocked(self.enter[kept], self.leave[kept], self.part[kept])

    def throughout(self, first: float, last: float) -> frozenset[int]:
        """Parts that stand too near at every travel from `first` to `last`."""
        return frozenset(
            int(part)
            for part in np.unique(self.part)
            if self._covers(self.part == part, first, last)
        )

    def _covers(self, some: Any, first: float, last: float) -> bool:
        starts, ends = _merged(self.enter[some], self.leave[some])
        return bool(((starts < first + NOISE) & (ends > last - NOISE)).any())


def blocked(
    heater: HeaterType,
    frame: Frame,
    away: Floats,
    structure: Structure,
    among: Ints,
    first: float,
    last: float,
) -> Blocked:
    """The travels of a heater at which a part of the structure stands too near.

    Parameters
    ----------
    heater : its type, with the required distances
    frame : where it is at travel 0
    away : (3,) unit vector along which it moves
    structure : what it is held against, combustible parts and others by their own distances
    among : numbers of the parts that count
    first, last : the travels that matter [m]
    """
    along = frame.axes @ away
    found = []
    for burns, index, soup in structure.by_distance:
        distances = heater.combustible if burns else heater.noncombustible
        volumes = clearance_volumes(heater, distances)
        body = _body(heater)
        reach = [*volumes, (body[0] - distances.least, body[1] + distances.least)]
        low = np.min([box[0] for box in reach], axis=0) + np.minimum(first * along, last * along)
        high = np.max([box[1] for box in reach], axis=0) + np.maximum(first * along, last * along)
        triangles, owner = soup.seen_from(frame).near(low, high)
        counts = np.isin(index[owner], among)
        triangles, owner = triangles[counts], owner[counts]
        if not len(triangles):
            continue
        spans = [(*crossing(triangles, *box, along), owner) for box in volumes]
        spans.append(_near(triangles, owner, body, distances.least, along, spans, first, last))
        enter, leave, who = (np.concatenate(columns) for columns in zip(*spans, strict=True))
        some = leave > enter + NOISE
        found.append((enter[some], leave[some], index[who[some]]))
    if not found:
        return Blocked(np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int64))
    return Blocked(*(np.concatenate(columns) for columns in zip(*found, strict=True)))


def crossing(triangles: Floats, low: Floats, high: Floats, along: Floats) -> tuple[Floats, Floats]:
    """From which travel to which a box that moves along a line meets each triangle.

    Two convex bodies are apart where, and only where, their shadows on one of a fixed set of axes
    are: the box's three, the triangle's normal and the nine products of their edges (S. Gottschalk,
    M. Lin, D. Manocha, SIGGRAPH 1996; the set does not change while they only move). On each axis
    the shadows overlap for one interval of travel.

    Parameters
    ----------
    triangles : (k, 3, 3) in the box's coordinates at travel 0 [m]
    low, high : (3,) lowest and highest corner of the box [m]
    along : (3,) unit vector

    Returns
    -------
    enter, leave : (k,) [m]; where `leave` is not more than `enter` they never meet
    """
    count = len(triangles)
    edges = np.roll(triangles, -1, axis=1) - triangles
    own = np.broadcast_to(np.eye(3), (count, 3, 3))
    normal = np.cross(edges[:, 0], edges[:, 1])[:, None]
    products = np.cross(edges[:, :, None], np.eye(3)).reshape(count, 9, 3)
    axes = np.concatenate([own, normal, products], axis=1)
    size = np.linalg.norm(axes, axis=2, keepdims=True)
    axis_is = size[..., 0] > 1e-12
    axes = np.divide(axes, size, out=np.zeros_like(axes), where=axis_is[..., None])

    shadow = np.einsum("kij,kaj->kai", triangles, axes)
    middle, radius = axes @ ((low + high) / 2), np.abs(axes) @ ((high - low) / 2)
    start, stop = shadow.min(axis=2) - middle - radius, shadow.max(axis=2) - middle + radius
    speed = axes @ along
    moves = np.abs(speed) > _STILL
    ends = [np.divide(e, speed, out=np.zeros_like(e), where=moves) for e in (start, stop)]
    always = ~axis_is | ((start < -NOISE) & (stop > NOISE))
    enter = np.where(moves, np.minimum(*ends), np.where(always, -np.inf, np.inf))
    leave = np.where(moves, np.maximum(*ends), np.where(always, np.inf, -np.inf))
    return enter.max(axis=1), leave.min(axis=1)


def _body(heater: HeaterType) -> tuple[Floats, Floats]:
    x, y = heater.length / 2, heater.width / 2
    return np.array([-x, -y, 0.0]), np.array([x, y, heater.height])


def _merged(enter: Floats, leave: Floats) -> tuple[Floats, Floats]:
    """Starts and ends of the union of intervals, in order; what touches is one."""
    if not len(enter):
        return np.zeros(0), np.zeros(0)
    order = np.argsort(enter, kind="stable")
    enter, leave = enter[order], np.maximum.accumulate(leave[order])
    opens = np.concatenate([[True], enter[1:] > leave[:-1] + NOISE])
    closes = np.concatenate([opens[1:], [True]])
    return enter[opens], leave[closes]


def _near(
    triangles: Floats,
    owner: Ints,
    body: tuple[Floats, Floats],
    least: float,
    along: Floats,
    known: Iterable[tuple[Floats, Floats, Ints]],
    first: float,
    last: float,
) -> tuple[Floats, Floats, Ints]:
    """From which travel to which each triangle is nearer to the body than `least`.

    A triangle that can add nothing to what its part blocks already is left out.
    """
    enter, leave = crossing(triangles, body[0] - least, body[1] + least, along)
    ranges = [(e, s, o) for e, s, o in known]
    waiting = np.flatnonzero(leave > enter + NOISE) if least > 0.0 else np.zeros(0, dtype=np.int64)
    waiting = waiting[np.argsort(-leave[waiting], kind="stable")]
    out: list[tuple[Floats, Floats, Ints]] = []
    while len(waiting):
        waiting = waiting[_adds(enter, leave, owner, waiting, [*ranges, *out], first, last)]
        batch, waiting = waiting[:_BATCH], waiting[_BATCH:]
        # Both ends at once, the one seen along the travel and the other against it.
        sign = np.repeat([-1.0, 1.0], len(batch))
        twice = np.concatenate([batch, batch])
        edges = np.concatenate([-enter[batch], leave[batch]])
        ends = sign * _rounded(triangles[twice], body, least, sign[:, None] * along, edges)
        a, b = ends[: len(batch)], ends[len(batch) :]
        some = np.flatnonzero(b > a)
        # One that merely touches the distance all along holds it.
        moved = triangles[batch[some]] - ((a[some] + b[some]) / 2)[:, None, None] * along
        some = some[triangle_box(moved, *body)[0] < least - NOISE]
        out.append((a[some], b[some], owner[batch][some]))
    empty = np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int64)
    e, s, o = (np.concatenate(columns) for columns in zip(empty, *out, strict=True))
    return e, s, o


def _adds(
    enter: Floats,
    leave: Floats,
    owner: Ints,
    waiting: Ints,
    known: Iterable[tuple[Floats, Floats, Ints]],
    first: float,
    last: float,
) -> Any:
    """Which of the waiting triangles reach beyond what their parts are known to block."""
    known = [(a[b > a], b[b > a], o[b > a]) for a, b, o in known]
    adds = np.ones(len(waiting), dtype=bool)
    for who in np.unique(owner[waiting]):
        mine = owner[waiting] == who
        starts, ends = _merged(
            np.concatenate([a[o == who] for a, _, o in known]),
            np.concatenate([b[o == who] for _, b, o in known]),
        )
        low = np.maximum(enter[waiting[mine]], first)[:, None]
        high = np.minimum(leave[waiting[mine]], last)[:, None]
        covered = ((starts <= low) & (ends >= high)).any(axis=1) | (high <= low)[:, 0]
        adds[mine] = ~covered
    return adds


def _rounded(
    triangles: Floats, body: tuple[Floats, Floats], least: float, along: Floats, start: Floats
) -> Floats:
    """The last travel at which each triangle is within `least` of the body; -inf where it never is.

    The distance of two convex bodies is a convex function of the travel, so Newton's steps from
    beyond come down to the last root and never pass it.

    Parameters
    ----------
    along : (k, 3) unit vector along which each travels
    start : (k,) travels beyond the root: where the body grown by `least` all round is just free [m]
    """
    travel = start.copy()
    going = np.arange(len(triangles))
    for _ in range(_STEPS):
        moved = triangles[going] - (travel[going, None] * along[going])[:, None]
        distance, point, box_point = triangle_box(moved, *body)
        growth = ((box_point - point) * along[going]).sum(axis=1)
        growth /= np.where(distance > 0.0, distance, 1.0)
        never = growth <= 1e-12
        travel[going[never]] = -np.inf
        done = never | (distance - least <= 1e-12)
        step = (distance - least)[~done] / growth[~done]
        going = going[~done]
        travel[going] -= step
        if not len(going):
            break
    # What only grazes the distance creeps up on it without end, and is free there.
    travel[going] = -np.inf
    return travel
