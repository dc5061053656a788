"""What can matter to one heater at all, before anything is measured anew.

How far each dimension by itself moves the heater is known from hanging it there, and how far it
moves a thing from the corners of that thing's mesh. A distance between two bodies changes by no
more than both of them move. So what stands farther from the clearance volumes than all dimensions
together can move it stays out of them, and need not be looked at again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product

import numpy as np

from heatcore.checks.height import heights
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import Mount
from heatcore.tolerance.alike import alike_within, moved_within
from heatcore.tolerance.dimension import Dimension
from heatcore.tolerance.readings import gaps, groups_of
from heatcore.tolerance.ties import TURNS_ABOUT, Ties, near
from heatcore.tolerance.variants import AS_DRAWN, Corner, Variants

MORE = 1.5  # how much more all dimensions may do together than each by itself
_STILL = 1e-9  # m; what moves by less stands still


@dataclass(frozen=True, eq=False)
class Moves:
    """What can move one heater.

    Attributes
    ----------
    by : how far each dimension that matters to how it hangs moves it by itself [m]
    """

    by: Mapping[Dimension, float]

    @property
    def reach(self) -> float:
        """A bound of how far they move it together [m]."""
        return MORE * sum(self.by.values())


@dataclass(frozen=True, eq=False)
class Scope:
    """What can matter to one heater.

    Attributes
    ----------
    dimensions : that can
    others : names of the heaters that can come too near
    things : that can come too near
    known : names of all parts near it as drawn; what is none of them is looked at as well
    slack : a bound of how much nearer the heater and anything can come; what has less than that to
        spare is looked at [m]
    brings : the things that can come too near and that each dimension moves as the heater sees them
    within : things that stand in a clearance volume as drawn
    """

    dimensions: tuple[Dimension, ...] = ()
    others: tuple[str, ...] = ()
    things: frozenset[str] = frozenset()
    known: frozenset[str] = frozenset()
    slack: float = 0.0
    brings: Mapping[Dimension, frozenset[str]] = field(default_factory=dict)
    within: frozenset[str] = frozenset()

    def holds(self, part: Part, groups: Mapping[str, str]) -> bool:
        """Whether a part can come too near."""
        return groups[part.name] in self.things or part.name not in self.known


def moves_of(name: str, variants: Variants, ties: Ties) -> Moves:
    """Find what can move a heater, and how far.

    Parameters
    ----------
    name : of the heater
    variants, ties : of its scene
    """
    mount = variants.ordered[name]
    drawn = variants.mount_at(name, AS_DRAWN) or mount
    by: dict[Dimension, float] = {}
    for dimension in ties.dimensions_of(ties.carrying(mount)):
        hung = list(_at_both_ends(dimension, variants, name))
        if any(there is not drawn for there in hung):
            ways = (np.linalg.norm(there.body - drawn.body, axis=1).max() for there in hung)
            by[dimension] = max(map(float, ways))
    return Moves(by)


def _at_both_ends(dimension: Dimension, variants: Variants, name: str) -> Iterator[Mount]:
    for values in dimension.ends:
        for value in values:
            hung = variants.mount_at(name, frozenset({(dimension, value)}))
            if hung is not None:
                yield hung
                break


def scope_of(name: str, variants: Variants, ties: Ties, moves: Mapping[str, Moves]) -> Scope:
    """Find what can matter to a heater.

    Parameters
    ----------
    name : of the heater
    variants, ties : of its scene
    moves : of it and of the heaters near it, by name
    """
    model, mount = variants.model_at(AS_DRAWN), variants.mount_at(name, AS_DRAWN)
    if model is None or mount is None:
        return Scope()
    own = moves[name]
    mounts = {n: m for n in moves if (m := variants.mount_at(n, AS_DRAWN)) is not None}
    may_move = {part.owner: ties.may_move(part.owner) for part in model.parts}
    may_move |= {n: moves[n].reach for n in mounts}
    farthest = own.reach + max(may_move.values(), default=0.0)
    local = around(mount, model, farthest)
    groups = groups_of(model.parts)
    owners = {groups[part.name]: part.owner for part in local.parts} | {n: n for n in mounts}
    gap: dict[str, float] = {}
    for key, away in gaps(mount, local, list(mounts.values()), farthest, groups).items():
        if away < own.reach + may_move[owners[key.group]]:
            gap[key.group] = min(gap.get(key.group, away), away)
    things = [owners[group] for group in gap if group not in mounts]
    # What it hangs over counts from however far below.
    counts = {finding.object for finding in heights(mount, model)}
    stood_on = [part.owner for part in model.of(Kind.PLATFORM) if part.name in counts]
    count = [*(owners[group] for group in gap), *stood_on]
    wide = own.reach + max((may_move[thing] for thing in count), default=0.0)
    raised = frozenset(ties.dimensions_of(stood_on))
    dimensions = dict.fromkeys(ties.dimensions_of(dict.fromkeys((*things, *stood_on))))

    near_by = [part for part in local.parts if groups[part.name] in gap]
    others = [n for n in mounts if n in gap]
    both = dict.fromkeys(
        d for some in (dimensions, *(moves[n].by for n in others), own.by) for d in some
    )
    view = _View(name, variants, moves, near_by, others, groups, wide)
    moved = {dimension: view.moved_by(dimension) for dimension in both}
    brings = {
        d: frozenset(group for group in gap if moved[d].get(group, 0.0) > _STILL) for d in both
    }
    return Scope(
        dimensions=tuple(d for d in both if d in own.by or d in raised or brings[d]),
        others=tuple(others),
        things=frozenset(gap),
        known=frozenset(part.name for part in model.parts),
        slack=wide,
        brings=brings,
        within=frozenset(group for group in gap if gap[group] == 0.0),
    )


def around(mount: Mount, model: Model, reach: float) -> Model:
    """What of a model comes within reach of a heater's clearance volumes."""
    solid = [part for part in model.parts if part.kind is not Kind.PERSON]
    parts = near(solid, *_box_of(mount), reach)
    return Model(parts, model.places, model.floor_outline)


def _box_of(mount: Mount) -> tuple[Floats, Floats]:
    """The box round a heater's clearance volumes [m]."""
    low, high = _volumes_of(mount)
    points = mount.frame.to_world(list(product(*zip(low, high, strict=True))))
    return points.min(axis=0), points.max(axis=0)


def _volumes_of(mount: Mount) -> tuple[Floats, Floats]:
    """The box round a heater's clearance volumes in its frame [m]."""
    boxes = [
        box
        for need in (mount.type.combustible, mount.type.noncombustible)
        for box in clearance_volumes(mount.type, need)
    ]
    lows, highs = zip(*boxes, strict=True)
    return np.min(lows, axis=0), np.max(highs, axis=0)


@dataclass(frozen=True, eq=False)
class _View:
    """What is near a heater, as seen from it."""

    name: str
    variants: Variants
    moves: Mapping[str, Moves]
    parts: list[Part]
    others: list[str]
    groups: Mapping[str, str]
    room: float

    def moved_by(self, dimension: Dimension) -> dict[str, float]:
        """How far a dimension moves things as the heater sees them, by their groups [m]."""
        most: dict[str, float] = {}
        for values in dimension.ends:
            for value in values:
                corner = frozenset({(dimension, value)})
                model, mount = self.variants.model_at(corner), self._hung(self.name, corner)
                if model is None or mount is None:
                    continue
                for group, way in self._ways(model, mount, corner, dimension):
                    most[group] = max(most.get(group, 0.0), way)
                break
        return most

    def _ways(
        self, model: Model, mount: Mount, corner: Corner, by: Dimension
    ) -> Iterator[tuple[str, float]]:
        drawn = self._drawn(self.name)
        low, high = _volumes_of(drawn)
        low, high = low - self.room, high + self.room
        for part in self.parts:
            other = model.by_name.get(part.name)
            if other is part and mount is drawn:
                continue
            way = None
            if other is not None:
                way = moved_within(
                    part.mesh, drawn.frame, other.mesh, mount.frame, low, high, self.room
                )
            if way is None:
                way = self._at_most(part, other, mount, by)
            yield self.groups[part.name], way
        for name in self.others:
            there = self._hung(name, corner)
            if there is not None and (mount is not drawn or there is not self._drawn(name)):
                before = drawn.frame.to_local(self._drawn(name).body)
                off = mount.frame.to_local(there.body) - before
                yield name, float(np.linalg.norm(off, axis=1).max())

    def _at_most(self, part: Part, other: Part | None, mount: Mount, by: Dimension) -> float:
        """How far a part moves that is cut into other triangles [m]."""
        drawn = self._drawn(self.name)
        low, high = _box_of(drawn)
        low, high = low - self.room, high + self.room
        if mount is drawn and other and alike_within(part.mesh, other.mesh, low, high):
            return 0.0
        points = list(product(*zip(*_volumes_of(drawn), strict=True)))
        off = mount.frame.to_world(points) - drawn.frame.to_world(points)
        own = float(np.linalg.norm(off, axis=1).max())
        return own + by.tolerance * (1.0 if by.unit == "m" else TURNS_ABOUT)

    def _drawn(self, name: str) -> Mount:
        mount = self.variants.mount_at(name, AS_DRAWN)
        assert mount is not None
        return mount

    def _hung(self, name: str, corner: Corner) -> Mount | None:
        moving = self.moves[name].by
        return self.variants.mount_at(name, frozenset(c for c in corner if c[0] in moving))
