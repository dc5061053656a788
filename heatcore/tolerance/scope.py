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

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import Mount
from heatcore.tolerance.alike import alike_within
from heatcore.tolerance.dimension import Dimension
from heatcore.tolerance.readings import gaps, groups_of
from heatcore.tolerance.ties import TURNS_ABOUT, Ties, near
from heatcore.tolerance.variants import AS_DRAWN, Variants

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
    bounds : of each thing that can come too near, how much nearer all dimensions bring it [m]
    known : names of all parts near it as drawn; what is none of them is looked at as well
    slack : so much less to spare is looked at [m]
    wide : a bound of how far the heater and anything near it may move [m]
    """

    dimensions: tuple[Dimension, ...] = ()
    others: tuple[str, ...] = ()
    bounds: Mapping[str, float] = field(default_factory=dict)
    known: frozenset[str] = frozenset()
    slack: float = 0.0
    wide: float = 0.0

    def holds(self, part: Part, groups: Mapping[str, str]) -> bool:
        """Whether a part can come too near."""
        return groups[part.name] in self.bounds or part.name not in self.known


def moves_of(mount: Mount, variants: Variants, ties: Ties) -> Moves:
    """Find what can move a heater, and how far.

    Parameters
    ----------
    mount : the heater as drawn
    variants, ties : of its scene
    """
    drawn = variants.mount_at(mount.name, AS_DRAWN) or mount
    by: dict[Dimension, float] = {}
    for dimension in ties.dimensions_of(ties.carrying(mount)):
        hung = list(_at_both_ends(dimension, variants, mount.name))
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
    moves : of every heater, by name
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
    groups = groups_of(local.parts)
    owners = {groups[part.name]: part.owner for part in local.parts} | {n: n for n in mounts}
    gap: dict[str, float] = {}
    for key, away in gaps(mount, local, list(mounts.values()), farthest).items():
        if away < own.reach + may_move[owners[key.group]]:
            gap[key.group] = min(gap.get(key.group, away), away)
    wide = max((own.reach + may_move[owners[group]] for group in gap), default=own.reach)
    things = [owners[group] for group in gap if group not in mounts]
    dimensions = dict.fromkeys(ties.dimensions_of(dict.fromkeys(things)))

    near_by = [part for part in local.parts if groups[part.name] in gap]
    moved = {
        dimension: _moved_by(dimension, near_by, groups, mount, variants, wide)
        for dimension in dimensions
    }
    for other in mounts:
        for dimension, way in moves[other].by.items():
            moved.setdefault(dimension, {})[other] = way
    both = dict.fromkeys((*moved, *own.by))
    bounds = {
        group: MORE * sum(own.by.get(d, 0.0) + moved.get(d, {}).get(group, 0.0) for d in both)
        for group in gap
    }
    bounds = {group: bound for group, bound in bounds.items() if gap[group] <= bound}
    matter = [
        d for d in both if d in own.by or any(moved[d].get(group, 0.0) > _STILL for group in bounds)
    ]
    return Scope(
        dimensions=tuple(matter),
        others=tuple(group for group in bounds if group in mounts),
        bounds=bounds,
        known=frozenset(part.name for part in model.parts),
        slack=max(bounds.values(), default=0.0),
        wide=wide,
    )


def around(mount: Mount, model: Model, reach: float) -> Model:
    """What of a model comes within reach of a heater's clearance volumes."""
    solid = [part for part in model.parts if part.kind is not Kind.PERSON]
    parts = near(solid, *_box_of(mount), reach)
    return Model(parts, model.places, model.floor_outline)


def _box_of(mount: Mount) -> tuple[Floats, Floats]:
    """The box round a heater's clearance volumes [m]."""
    volumes = [
        mount.frame.to_world(list(product(*zip(*box, strict=True))))
        for need in (mount.type.combustible, mount.type.noncombustible)
        for box in clearance_volumes(mount.type, need)
    ]
    points = np.concatenate(volumes)
    return points.min(axis=0), points.max(axis=0)


def _moved_by(
    dimension: Dimension,
    parts: list[Part],
    groups: Mapping[str, str],
    mount: Mount,
    variants: Variants,
    room: float,
) -> dict[str, float]:
    """How far a dimension by itself moves things near a heater, by their groups [m]."""
    low, high = _box_of(mount)
    low, high = low - room, high + room
    most: dict[str, float] = {}
    for values in dimension.ends:
        for value in values:
            model = variants.model_at(frozenset({(dimension, value)}))
            if model is None:
                continue
            for part in parts:
                other = model.by_name.get(part.name)
                if other is not part:
                    way = _way(part, other, low, high, dimension)
                    most[groups[part.name]] = max(most.get(groups[part.name], 0.0), way)
            break
    return most


def _way(part: Part, other: Part | None, low: Floats, high: Floats, by: Dimension) -> float:
    """How far a part moves within a box [m]."""
    if other is not None:
        if alike_within(part.mesh, other.mesh, low, high):
            return 0.0
        if np.array_equal(part.mesh.triangles, other.mesh.triangles):
            off = other.mesh.vertices - part.mesh.vertices
            return float(np.sqrt((off * off).sum(axis=1).max()))
    # Cut into other triangles: no corner of the one is any of the other.
    return by.tolerance * (1.0 if by.unit == "m" else TURNS_ABOUT)
