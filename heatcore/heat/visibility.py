"""What fraction of an aperture a point sees, weighted by what each part of it would bring.

Rays go from places on the aperture to all points, in one batch for each place: they are coherent,
and cost little more than Embree itself. What they find is mostly one of two things, all or nothing;
only the half-shadows between need many. There the aperture is looked at the way a picture is
compressed: a grid of cells, each known by one ray, of which those that differ from a neighbour are
split in two, again and again. A cell amid its like is left as it is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.rays import SKIN, Flags, Obstacles, Singles, Targets
from heatcore.heat.aperture_samples import level, places
from heatcore.heat.emitter import Emitter
from heatcore.heat.pattern import over_tangents

FAINT = 2e-5  # 1/m2; what would bring less than this, times the peak intensity, gets a single ray
SCAN = 4  # rays to each point of a grid; four neighbours together look from four times as many
WEIGHED = 64  # places at most at which the weight is worked out; it changes slowly
AT_ONCE = 4096  # points: bounds the memory


@dataclass(frozen=True)
class Quality:
    """How finely an aperture is looked at.

    Attributes
    ----------
    first : cells that every point looks at; a power of 2 from 16
    most : cells where it sees a part of them, as if each had a ray of its own; a power of 2
    """

    first: int
    most: int

    def __post_init__(self) -> None:
        for count in (self.first, self.most):
            if count < 16 or count & (count - 1):
                raise ValueError(f"{count} is no power of 2 from 16")


PREVIEW = Quality(16, 64)
FINAL = Quality(64, 512)


def visible_fraction(
    emitter: Emitter,
    points: Floats,
    normals: Floats,
    free: Floats,
    obstacles: Obstacles,
    quality: Quality,
    grid: tuple[int, int] | None = None,
) -> Floats:
    """Fraction of what would reach each point that finds its way.

    Parameters
    ----------
    emitter : the heater's
    points : (n, 3) [m]
    normals : (n, 3) unit vectors
    free : (n,) irradiance with nothing in the way [W/m2]
    obstacles : what is in the way
    quality : how finely the aperture is looked at
    grid : (ny, nx) where the points are those of a grid, row by row: then neighbours that all see
        the whole aperture, or nothing of it, are believed, and places that get little compared to
        the grid's highest are looked at less finely

    Returns
    -------
    (n,) from 0 to 1; 0 where `free` is 0
    """
    out = np.zeros(len(points))
    faint = free < FAINT * emitter.peak_w_sr
    live = np.flatnonzero(~faint)
    alone = np.flatnonzero(faint & (free > 0.0))
    if len(alone):
        targets = obstacles.targets(off_surface(emitter, points[alone]))
        out[alone] = ~obstacles.hidden(emitter.frame.to_world([0.0, 0.0, -SKIN]), targets)
    if not len(live):
        return out
    look = _Look(emitter, points[live], normals[live], obstacles, quality.most)
    if grid is None:
        most = np.full(len(live), quality.most)
        out[live] = look.fractions(np.arange(len(live)), quality.first, most)
        return out
    seen = np.full(len(points), NEUTRAL, dtype=np.int8)
    seen[live] = look.scan(live, grid[1])
    settled = _settled(seen.reshape(grid)).ravel()[live]
    found = np.where(seen[live] == WHOLE, 1.0, 0.0)
    asked = np.flatnonzero(~settled)
    most = quality.most * np.sqrt(free[live[asked]] / free.max())
    found[asked] = look.fractions(asked, quality.first, most)
    out[live] = found
    return out


def off_surface(emitter: Emitter, points: Floats) -> Floats:
    """Points (n, 3) moved by `SKIN` toward a heater, off whatever surface they lie on [m]."""
    way = emitter.frame.origin - points
    far = np.sqrt(np.einsum("ni,ni->n", way, way))
    return np.asarray(points + np.minimum(SKIN / np.maximum(far, 1e-12), 0.5)[:, None] * way)


NOTHING, WHOLE, PARTLY, NEUTRAL = 0, 1, 2, 3


def _settled(seen: NDArray[np.int8]) -> Flags:
    """Which points of a grid see the same, all or nothing, as all that surround them."""
    out = np.ones(seen.shape, dtype=bool)
    for kind in (NOTHING, WHOLE):
        out &= (seen == kind) <= ~_beside((seen != kind) & (seen != NEUTRAL))
    return out & (seen != PARTLY)


def _beside(flags: Flags) -> Flags:
    """Where a flag (..., ny, nx) is set, or that of any of the eight around."""
    out = flags.copy()
    out[..., 1:, :] |= flags[..., :-1, :]
    out[..., :-1, :] |= flags[..., 1:, :]
    rows = out.copy()
    out[..., :, 1:] |= rows[..., :, :-1]
    out[..., :, :-1] |= rows[..., :, 1:]
    return out


class _Look:
    """Rays from one emitter's aperture to points."""

    def __init__(
        self, emitter: Emitter, points: Floats, normals: Floats, obstacles: Obstacles, most: int
    ) -> None:
        self.emitter = emitter
        self.obstacles = obstacles
        self.plan = (places(most) - 0.5) * [emitter.length, emitter.width]
        sources = emitter.frame.to_world(np.column_stack([self.plan, np.full(most, -SKIN)]))
        self.sources = obstacles.targets(sources)
        self.targets = obstacles.targets(off_surface(emitter, points))
        self.local = emitter.frame.to_local(points).astype(np.float32)
        self.facing = (normals @ emitter.frame.axes.T).astype(np.float32)
        self.scanned = np.zeros((0, 0), dtype=bool)
        self.group = np.zeros(0, dtype=np.int64)

    def scan(self, numbers: Ints, columns: int) -> NDArray[np.int8]:
        """What each point of a grid sees from few places, its neighbours from others.

        Parameters
        ----------
        numbers : (n,) of the points, counted over the grid row by row
        columns : of the grid
        """
        row, column = np.divmod(numbers, columns)
        self.group = row % 2 * 2 + column % 2
        self.scanned = np.empty((SCAN, len(numbers)), dtype=bool)
        for group in range(4):
            which = np.flatnonzero(self.group == group)
            targets = self.targets.some(which)
            for k in range(SCAN):
                self.scanned[k, which] = self._sees(SCAN * group + k, targets)
        count = self.scanned.sum(axis=0)
        return np.where(count == 0, NOTHING, np.where(count == SCAN, WHOLE, PARTLY)).astype(np.int8)

    def fractions(self, which: Ints, first: int, most: Floats | Ints) -> Floats:
        """Fractions (k,) of the points `which` (k,), looked at in up to `most` (k,) cells."""
        out = np.empty(len(which))
        for at in range(0, len(which), AT_ONCE):
            part = slice(at, at + AT_ONCE)
            out[part] = self._fractions(which[part], first, most[part])
        return out

    def _fractions(self, which: Ints, first: int, most: Floats | Ints) -> Floats:
        seen = self._first(which, first)
        count = seen.sum(axis=1)
        out = np.where(count == first, 1.0, 0.0)
        partly = np.flatnonzero((count > 0) & (count < first))
        if not len(partly):
            return out
        last = np.ceil(np.log2(np.maximum(most[partly], first))).astype(np.int64)
        which, seen = which[partly], self._split(which[partly], seen[partly], first, last)
        for m in np.unique(last).tolist():
            alike = np.flatnonzero(last == m)
            out[partly[alike]] = self._weighed(which[alike], seen[alike, : 1 << m])
        return out

    def _first(self, which: Ints, first: int) -> Flags:
        """What points see of the first places, (k, first)."""
        seen = np.empty((first, len(which)), dtype=bool)
        targets = self.targets.some(which)
        for group in range(4 if len(self.group) else 0):
            known = self.group[which] == group
            rest = np.flatnonzero(~known)
            others = self.targets.some(which[rest])
            for k in range(SCAN):
                row = seen[SCAN * group + k]
                row[known] = self.scanned[k, which[known]]
                row[rest] = self._sees(SCAN * group + k, others)
        for k in range(4 * SCAN if len(self.group) else 0, first):
            seen[k] = self._sees(k, targets)
        return seen.T

    def _split(self, which: Ints, seen: Flags, first: int, last: Ints) -> Flags:
        """Go on from the first cells, point by point to 2**last, where neighbours differ."""
        m, top = first.bit_length() - 1, int(last.max())
        out = np.empty((len(which), 1 << top), dtype=bool)
        out[:, :first] = seen
        for m in range(m, top):
            grid, active = level(m), np.flatnonzero(last > m)
            cells = out[active][:, grid.place]
            shaped = cells.reshape(-1, *grid.across)
            unsure = (_beside(shaped) & _beside(~shaped)).reshape(cells.shape)
            inside = grid.cell[1 << m :]
            fresh, asked = cells[:, inside], unsure[:, inside]
            place, point = np.nonzero(asked.T)
            rays = self.sources.some(place + (1 << m)), self.targets.some(which[active[point]])
            fresh[point, place] = ~self.obstacles.hidden_between(*rays)
            out[active, 1 << m : 2 << m] = fresh
        return out

    def _weighed(self, which: Ints, seen: Flags) -> Floats:
        """Visible fractions (k,) from what is seen in cells (k, cells)."""
        count = seen.shape[1]
        cells = min(count, WEIGHED)
        if count > cells:  # how much of each larger cell is seen
            order = np.argsort(_cells(count, cells), kind="stable")
            parts = seen[:, order].reshape(len(seen), cells, -1).mean(axis=2, dtype=np.float32)
            at = self.plan[level(cells.bit_length() - 1).place]
        else:
            parts, at = seen.astype(np.float32), self.plan[:count]
        weight = _weights(self.emitter, at, self.local[which], self.facing[which])
        whole = weight.sum(axis=1)
        plain = parts.mean(axis=1)
        share = np.einsum("kc,kc->k", weight, parts)
        return np.divide(share, whole, out=plain, where=whole > 0.0).astype(np.float64)

    def _sees(self, place: int, targets: Targets) -> Flags:
        start = self.sources.some(np.array([place]))
        return ~self.obstacles.hidden_between(start, targets)


def _cells(count: int, cells: int) -> Ints:
    """Which of so many cells each of the first `count` places lies in, (count,)."""
    rows, columns = level(cells.bit_length() - 1).across
    at = places(count)
    return (at[:, 1] * rows).astype(np.int64) * columns + (at[:, 0] * columns).astype(np.int64)


def _weights(emitter: Emitter, plan: Floats, local: Singles, facing: Singles) -> Singles:
    """What each place of the aperture (c, 2) brings to each point, (k, c), on any scale.

    Intensity x cos / d**2.
    """
    at = plan.astype(np.float32)
    right, ahead = local[:, 0, None] - at[:, 0], local[:, 1, None] - at[:, 1]
    depth = -local[:, 2, None]
    d2 = right * right + ahead * ahead + depth * depth
    height = facing[:, 2, None] * depth - facing[:, 0, None] * right - facing[:, 1, None] * ahead
    height = np.maximum(height, np.float32(0.0))
    share = over_tangents(emitter.pattern, right / depth, ahead / depth)
    return np.asarray(share * height / (d2 * np.sqrt(d2)))
