"""What fraction of an aperture a point sees, weighted by what each part of it would bring.

Rays go from places on the aperture to all points, in one batch for each place: they are coherent,
and cost little more than Embree itself. What they find is mostly one of two things, all or nothing;
only the half-shadows between get many. Which places are looked at never depends on what is found
beyond that, so that taking an obstacle away can only raise a fraction.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.rays import SKIN, Flags, Obstacles
from heatcore.heat.radiation.aperture_samples import places
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.interleaved import shared_fraction
from heatcore.heat.radiation.unobstructed import kernel

FAINT = 2e-5  # 1/m2; what would bring less than this, times the peak intensity, gets a single ray
AT_ONCE = 4096  # points: bounds the memory
RAYS = 1 << 14  # at once: what stays in the cache
WEIGHTS = 1 << 17  # weights at once: what stays in the cache


@dataclass(frozen=True)
class Quality:
    """How finely an aperture is looked at.

    Attributes
    ----------
    first : places of the aperture that each point looks at; where it sees all of them, or none,
        that is believed; a power of 2
    most : places that it looks at where it sees a part; a power of 2
    scan : places that a point of a grid looks at before all that; its neighbours look at others,
        and where they all agree that is believed; a power of 2, at most a quarter of `first`
    thrift : on a grid, where nobody reads a single point, `most` is this many times less; a power
        of 2
    blend : on a grid, neighbors share what they see (see `shared_fraction`) but where it changes by
        more than this, as a share of the grid's highest irradiance; 0 for never. Where they share,
        taking an obstacle away may lower a value, by about as much as it is off anyhow
    """

    first: int
    most: int
    scan: int = 2
    thrift: int = 1
    blend: float = 0.0

    def __post_init__(self) -> None:
        for count in (self.first, self.most, self.scan, self.thrift):
            if count < 1 or count & (count - 1):
                raise ValueError(f"{count} is no power of 2")
        if not 4 * self.scan <= self.first <= self.most:
            raise ValueError("4 scan <= first <= most does not hold")

    @property
    def thrifty(self) -> Quality:
        """The same for single points that nobody reads by themselves."""
        return replace(self, most=max(self.first, self.most // self.thrift))


LIVE = Quality(16, 64, scan=4, blend=0.007)
PREVIEW = Quality(8, 64)
FINAL = Quality(64, 4096, scan=4, thrift=4)


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
    if grid is not None and quality.blend > 0.0:
        off = off_surface(emitter, points)
        return shared_fraction(
            emitter, off, normals, free, obstacles, grid, quality.scan, quality.most, quality.blend
        )
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
        out[live] = look.fractions(np.arange(len(live)), quality.first, quality.most)
    else:
        out[live] = _on_grid(look, live, free, quality, grid)
    return out


def _on_grid(
    look: _Look, live: Ints, free: Floats, quality: Quality, grid: tuple[int, int]
) -> Floats:
    """Fractions (k,) of the points `live` (k,) of a grid, those that `look` was made for."""
    row, column = np.divmod(live, grid[1])
    seen = look.scan(row % 2 * 2 + column % 2, quality.scan)
    nothing, whole = ~seen.any(axis=0), seen.all(axis=0)
    lonely = np.ones(len(live), dtype=bool)
    for kind in (nothing, whole):
        others = np.zeros(grid, dtype=bool)
        others[row, column] = ~kind
        lonely &= _beside(others)[row, column]
    out, asked = whole.astype(np.float64), np.flatnonzero(lonely)
    most = quality.thrifty.most * np.sqrt(free[live[asked]] / free.max())
    out[asked] = look.fractions(asked, quality.first, most)
    return np.asarray(out)


def off_surface(emitter: Emitter, points: Floats) -> Floats:
    """Points (n, 3) moved by `SKIN` toward a heater, off whatever surface they lie on [m]."""
    way = emitter.frame.origin - points
    far = np.sqrt(np.einsum("ni,ni->n", way, way))
    return np.asarray(points + np.minimum(SKIN / np.maximum(far, 1e-12), 0.5)[:, None] * way)


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
    """Rays from places on one emitter's aperture to points."""

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
        self.group = np.zeros(len(points), dtype=np.int64)
        self.scanned = np.empty((0, len(points)), dtype=bool)

    def scan(self, group: Ints, rays: int) -> Flags:
        """What each point (n,) sees of so many places, another lot of them for each of 4 groups.

        Parameters
        ----------
        group : (n,) 0 to 3
        rays : to each point

        Returns
        -------
        (rays, n)
        """
        seen = np.empty((rays, len(group)), dtype=bool)
        for number in range(4):
            which = np.flatnonzero(group == number)
            seen[:, which] = self._see(which, range(rays * number, rays * (number + 1)))
        self.group, self.scanned = group, seen
        return seen

    def fractions(self, which: Ints, first: int, most: Floats | int) -> Floats:
        """Fractions (k,) of some points.

        Parameters
        ----------
        which : (k,) the points
        first : places that each looks at
        most : (k,) places that it looks at where it sees some of these and not others
        """
        most, out = np.broadcast_to(most, which.shape), np.empty(len(which))
        for at in range(0, len(which), AT_ONCE):
            part = slice(at, at + AT_ONCE)
            out[part] = self._fractions(which[part], first, most[part])
        return out

    def _fractions(self, which: Ints, first: int, most: Floats | Ints) -> Floats:
        seen = self._first(which, first)
        count = seen.sum(axis=0)
        out = np.where(count == first, 1.0, 0.0)
        partly = np.flatnonzero((count > 0) & (count < first))
        # Powers of 2, of which the places are most even.
        wanted = 2 ** np.ceil(np.log2(np.maximum(most[partly], first))).astype(np.int64)
        seen = seen[:, partly]
        done = first
        while len(partly):
            alike = wanted == done
            if alike.any():
                out[partly[alike]] = self._weighed(which[partly[alike]], seen[:, alike])
                partly, wanted, seen = partly[~alike], wanted[~alike], seen[:, ~alike]
            if len(partly):
                more = self._see(which[partly], range(done, 2 * done))
                seen, done = np.concatenate([seen, more]), 2 * done
        return out

    def _first(self, which: Ints, first: int) -> Flags:
        """What points see of the first places, (first, k), without asking twice."""
        rays = len(self.scanned)
        seen = np.empty((first, len(which)), dtype=bool)
        for number in range(4 if rays else 0):
            lot = slice(rays * number, rays * (number + 1))
            known = self.group[which] == number
            seen[lot, known] = self.scanned[:, which[known]]
            seen[lot, ~known] = self._see(which[~known], range(lot.start, lot.stop))
        seen[4 * rays :] = self._see(which, range(4 * rays, first))
        return seen

    def _see(self, which: Ints, numbers: range) -> Flags:
        """What points `which` (k,) see of places, (p, k): rays from one place after the other."""
        targets = self.targets.some(which)
        hidden = np.empty((len(numbers), len(which)), dtype=bool)
        together = max(1, RAYS // max(1, len(which)))
        for at in range(0, len(numbers), together):
            some = numbers[at : at + together]
            sources = self.sources.part(slice(some.start, some.stop))
            hidden[at : at + together] = self.obstacles.hidden_across(sources, targets)
        return np.asarray(~hidden)

    def _weighed(self, which: Ints, seen: Flags) -> Floats:
        """Fractions (k,) from what is seen of the first places, (places, k)."""
        out = np.empty(len(which))
        step = max(1, WEIGHTS // len(seen))
        for at in range(0, len(which), step):
            some, looks = which[at : at + step], seen[:, at : at + step]
            x, y = self.plan[: len(seen)].T.astype(np.float32)[..., None]
            weight = kernel(self.emitter.pattern, x, y, self.local[some], self.facing[some])
            whole, plain = weight.sum(axis=0), looks.mean(axis=0)
            share = np.einsum("pk,pk->k", weight, looks)
            out[at : at + step] = np.divide(share, whole, out=plain, where=whole > 0.0)
        return out
