"""Half-shadows over a grid whose points share what they see with their neighbors.

Each looks at places of the aperture that those beside it do not. Most half-shadows are far wider
than a grid's step: what four neighbors find together is what one would find that looked as often.
Only where what is seen changes quickly do points look for themselves.

After A. Keller and W. Heidrich, "Interleaved sampling", Rendering Techniques 2001.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from heatcore.geometry.frames import Floats, Ints, locked
from heatcore.geometry.rays import SKIN, Flags, Obstacles, Singles, hammersley
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.unobstructed import kernel

# Shares of a grid's highest irradiance: up to the first, points look at a single place before they
# share; up to the second, one in four looks for the others as well.
BRIGHT, FAINT = 0.05, 0.02
# How the number of places looked at follows what a point would get. The error of n places falls
# about as n**-0.7, and rays are best spent where they take off the same from the whole's.
SPENT = 0.9
CELLS = 8  # parts along the aperture, in which all places bring a point about the same
AT_ONCE = 1 << 18  # rays: bounds the memory
# Where each of four neighbors has its places, in the cells of the common set.
OFFSETS = np.array([(0.125, 0.625), (0.625, 0.125), (0.375, 0.375), (0.875, 0.875)])


def shared_fraction(
    emitter: Emitter,
    points: Floats,
    normals: Floats,
    free: Floats,
    obstacles: Obstacles,
    grid: tuple[int, int],
    scan: int,
    most: int,
    blend: float,
) -> Floats:
    """Fraction (n,) of what would reach each point of a grid that finds its way.

    Parameters
    ----------
    emitter : the heater's
    points : (n, 3) of the grid, row by row, off every surface [m]
    normals : (n, 3) unit vectors
    free : (n,) irradiance with nothing in the way [W/m2]
    obstacles : what is in the way
    grid : (ny, nx)
    scan : places that each point looks at, a power of 2
    most : places that the brightest point looks at where it looks for itself, a power of 2
    blend : how much what is found may change over two steps of the grid, as a share of its highest
        irradiance, for points to go by what they find together
    """
    if not np.any(free > 0.0):
        return np.zeros(len(points))
    bright = (free / free.max()).astype(np.float32)
    look = _Look(emitter, points, normals, obstacles, grid)
    own, brought, whole = (np.zeros(len(points), dtype=np.float32) for _ in range(3))
    faint = (bright > 0.0) & (bright <= FAINT)
    # Those beside which none of the first group can look at all look for themselves.
    lookout = faint & (look.group == 0)
    lookout |= faint & (_tent(lookout.reshape(grid).astype(np.float32)).ravel() == 0.0)
    dim = (bright > FAINT) & (bright <= BRIGHT)
    for chosen, count in ((lookout, 1), (dim, 1), (bright > BRIGHT, scan)):
        which = np.flatnonzero(chosen)
        seen = look.seen(which, count)
        weights = look.weights(which, count) * (emitter.peak_w_sr / (count * free[which]))
        own[which] = np.count_nonzero(seen, axis=0) / count
        brought[which] = np.einsum("pk,pk->k", weights, seen)
        whole[which] = weights.sum(axis=0)
    together, possible = _tent(brought.reshape(grid)), _tent(whole.reshape(grid))
    np.divide(together, possible, out=together, where=possible > 0.0)
    found = together.ravel()
    own[whole == 0.0] = found[whole == 0.0]
    rough = _changes(own.reshape(grid)).ravel() * bright > blend
    wanted = np.exp2(np.ceil(np.log2(np.maximum(most * bright**SPENT, 1.0)) - 1e-6)).astype(int)
    alone = rough & (wanted > 2 * scan)
    for count in np.unique(wanted[alone]).tolist():
        which = np.flatnonzero(alone & (wanted == count))
        step = max(1, AT_ONCE // count)
        for at in range(0, len(which), step):
            part = which[at : at + step]
            found[part] = look.fractions(part, count)
    return found.astype(np.float64)


class _Look:
    """Rays from an aperture to the points of a grid, four of which share its places."""

    def __init__(
        self,
        emitter: Emitter,
        points: Floats,
        normals: Floats,
        obstacles: Obstacles,
        grid: tuple[int, int],
    ) -> None:
        self.emitter = emitter
        self.obstacles = obstacles
        self.targets = obstacles.targets(points)
        self.local = emitter.frame.to_local(points).astype(np.float32)
        self.facing = (normals @ emitter.frame.axes.T).astype(np.float32)
        row, column = np.indices(grid)
        self.group: Ints = (row % 2 * 2 + column % 2).ravel()

    def seen(self, which: Ints, count: int) -> Flags:
        """What each of some points (k,) sees of its own places, (count, k)."""
        emitter = self.emitter
        plan = np.column_stack([self._plan(count), np.full(4 * count, -SKIN)])
        places = self.obstacles.targets(emitter.frame.to_world(plan))
        starts = (self.group[which] * count + np.arange(count)[:, None]).ravel()
        hidden = self.obstacles.hidden_between(
            places.some(starts), self.targets.some(np.tile(which, count))
        )
        return np.asarray(~hidden.reshape(count, -1))

    def weights(self, which: Ints, count: int) -> Singles:
        """What each of these places brings to its point, (count, k); see `kernel`."""
        plan = self._plan(count).astype(np.float32).reshape(4, count, 2)
        x, y = plan[self.group[which]].T
        return kernel(self.emitter.pattern, x, y, self.local[which], self.facing[which])

    def fractions(self, which: Ints, count: int) -> Singles:
        """What each of some points (k,) finds at so many places by itself."""
        # The places come in order along the aperture.
        cells = min(CELLS, count)
        seen = self.seen(which, count).reshape(cells, count // cells, -1)
        shares = seen.mean(axis=1, dtype=np.float32)
        middles = ((np.arange(cells, dtype=np.float32) + 0.5) / cells - 0.5) * self.emitter.length
        x, y = middles[:, None].astype(np.float32), np.zeros((1, 1), dtype=np.float32)
        weights = kernel(self.emitter.pattern, x, y, self.local[which], self.facing[which])
        whole, out = weights.sum(axis=0), shares.mean(axis=0)
        np.divide((weights * shares).sum(axis=0), whole, out=out, where=whole > 0.0)
        return np.asarray(out)

    def _plan(self, count: int) -> Floats:
        """The four sets of places, (4 count, 2) on the aperture [m]."""
        return np.asarray((_places(count) - 0.5) * [self.emitter.length, self.emitter.width])


@lru_cache(maxsize=32)
def _places(count: int) -> Floats:
    """Four sets of places in the unit square, (4 count, 2), each in order along it."""
    low = hammersley(count) - 0.5 / count
    return locked(np.concatenate([low + offset / count for offset in OFFSETS]))


def _tent(values: Singles) -> Singles:
    """Mean with the eight neighbors (ny, nx), in which each of the four groups counts the same."""
    wide = np.pad(values, 1, mode="reflect")
    wide = wide[:-2] + 2 * wide[1:-1] + wide[2:]
    return np.asarray((wide[:, :-2] + 2 * wide[:, 1:-1] + wide[:, 2:]) / 16)


def _changes(values: Singles) -> Singles:
    """How much values (ny, nx) change over two steps, to points that look at the same places."""
    wide = np.pad(values, 2, mode="reflect")
    rows = np.abs(wide[2:, 2:-2] - wide[:-2, 2:-2])
    columns = np.abs(wide[2:-2, 2:] - wide[2:-2, :-2])
    return _tent((rows[:-2] + rows[2:] + columns[:, :-2] + columns[:, 2:]) / 4)
