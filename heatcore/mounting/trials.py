"""Every stocked pair of arms, tried: where it would hang the heater, and what it fails in.

A trial is one pair on one stretch of travel (see `reach`). It fails in nothing, or by so much in
each of `FAILS`; of all trials the best is the one that fails least in the first of them in which
two differ, and of those that fail alike the one with the shortest arms.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from heatcore.geometry.distance import NOISE
from heatcore.geometry.frames import Floats, Ints
from heatcore.mounting.pose import Pose
from heatcore.mounting.reach import Reach
from heatcore.mounting.stock import Pair
from heatcore.mounting.sweep import Blocked
from heatcore.scene.types import BracketType

# What a mount can fail in, the worst first: a longer arm is sooner found than another surface.
FAILS = ("surface", "tilt", "load", "hinge", "level", "height", "arm")

LEVEL = 1e-6  # m; arms that are made to a micrometre hang level
HEIGHT = 0.002  # m; what rounding to the shown eighth of an inch can hide
_ALIKE = 7  # decimals: what differs by less is alike


@dataclass(frozen=True, eq=False)
class Trials:
    """All trials of one heater, the best first.

    Attributes
    ----------
    reaches : the reaches, by number
    pairs : the pairs of arms, by number
    pair, reach, stretch : (n,) numbers of each trial's pair, reach and stretch of it
    travel : (n,) where the heater would hang [m]
    lengths : (n, 2) of its arms there [m]
    fails : (n, 7) by how much it fails in each of `FAILS`; 0 where it does not
    """

    reaches: tuple[Reach, ...]
    pairs: tuple[Pair, ...]
    pair: Ints
    reach: Ints
    stretch: Ints
    travel: Floats
    lengths: Floats
    fails: Floats

    @property
    def good(self) -> Any:
        """(n,) whether each fails in nothing."""
        return (self.fails == 0.0).all(axis=1)

    def only_fails_in(self, code: str) -> Any:
        """(n,) whether each fails at most in this."""
        others = [i for i, c in enumerate(FAILS) if c != code]
        return (self.fails[:, others] == 0.0).all(axis=1)


def try_all(
    pose: Pose,
    tilt: float,
    stock: Sequence[tuple[BracketType, tuple[Pair, ...], Reach]],
    blocked: Blocked,
    wanted: float | None,
) -> Trials:
    """Try every pair of arms.

    Parameters
    ----------
    pose : the heater
    tilt : its set tilt [rad]
    stock : each bracket type with its pairs of arms, and the reach of such arms
    blocked : the travels at which a clearance does not hold
    wanted : the travel at which it must hang [m]; None to hang it as high as the clearances allow
    """
    reaches = tuple(dict.fromkeys(reach for _, _, reach in stock))
    everything: list[Pair] = []
    columns = []
    for bracket, pairs, reach in stock:
        base = np.array([pair.shortest for pair in pairs])
        travel, misfit = _hang(base, bracket.fine, reach, blocked, wanted)
        shape = travel.shape
        miss = np.zeros(shape) if wanted is None else np.abs(travel - wanted)
        short = blocked.next(travel) - travel
        fails = [
            reach.off.any(axis=1) * 1.0,
            _outside(tilt, bracket.tilt_from, bracket.tilt_to),
            max(pose.type.mass - bracket.load, 0.0) if bracket.load is not None else 0.0,
            _hinge_excess(pose, bracket, reach),
            np.where(misfit > LEVEL, misfit, 0.0),
            np.where(miss > HEIGHT, miss, 0.0),
            np.where(short > NOISE, short, 0.0),
        ]
        number, stretch = np.nonzero(_hangs(misfit))
        columns.append(
            (
                number + len(everything),
                np.full(len(number), reaches.index(reach)),
                stretch,
                travel[number, stretch],
                (reach.intercept + reach.slope * travel[..., None])[number, stretch],
                np.stack([np.broadcast_to(f, shape)[number, stretch] for f in fails], axis=1),
            )
        )
        everything += pairs
    pair, which, stretch, travel, lengths, by = map(np.concatenate, zip(*columns, strict=True))
    extensions = np.array([p.extensions for p in everything])[pair]
    unequal = np.array([p.unequal for p in everything])[pair]
    by = np.round(by, _ALIKE)
    total = np.round(lengths.sum(axis=1), _ALIKE - 1)
    order = np.lexsort([pair, unequal, extensions, total, *by.T[::-1]])
    return Trials(
        reaches, tuple(everything),
        pair[order], which[order], stretch[order], travel[order], lengths[order], by[order],
    )  # fmt: skip


def _hang(
    base: Floats, fine: float, reach: Reach, blocked: Blocked, wanted: float | None
) -> tuple[Floats, Floats]:
    """Where pairs of arms hang the heater, and by how much both arms together miss their lengths.

    Parameters
    ----------
    base : (p, 2) lengths with the fine adjustment at its shortest [m]
    fine : travel of the fine adjustment [m]

    Returns
    -------
    travel, misfit : (p, n) for each pair on each of the reach's n stretches [m]
    """
    first = (base[:, None] - reach.intercept) / reach.slope
    last = (base[:, None] + fine - reach.intercept) / reach.slope
    low = np.maximum(first.max(axis=2), reach.first)
    high = np.minimum(last.min(axis=2), reach.last)
    if wanted is None:
        free = blocked.next(low)
        travel = np.where(free <= high + LEVEL, free, np.maximum(high, low))
    else:
        travel = np.clip(wanted, low, np.maximum(low, high))
        # A height that was read off a sheet must not fail for the sheet's rounding.
        free = blocked.next(travel)
        travel = np.where((free <= travel + HEIGHT) & (free <= high + LEVEL), free, travel)
    # Where no travel suits both arms, one arm at an end of its own range comes nearest; of two
    # such travels the farther one, which the clearances like better.
    ends = np.clip(np.concatenate([first, last], axis=2), reach.first[:, None], reach.last[:, None])
    missed = _misfit(ends, base, fine, reach)
    least = np.round(missed, _ALIKE)
    level = np.where(least == least.min(axis=2, keepdims=True), ends, -np.inf)
    nearest = level.argmax(axis=2)[..., None]
    fits = high >= low - LEVEL
    travel = np.where(fits, travel, np.take_along_axis(ends, nearest, axis=2)[..., 0])
    misfit = np.where(fits, 0.0, np.take_along_axis(missed, nearest, axis=2)[..., 0])
    return travel, misfit


def _hangs(misfit: Floats) -> Any:
    """(p, n) whether each pair hangs on each stretch: wherever it fits, or where it nearly does."""
    fits = misfit <= LEVEL
    nearest = np.arange(misfit.shape[1]) == np.round(misfit, _ALIKE).argmin(axis=1)[:, None]
    return np.where(fits.any(axis=1)[:, None], fits, nearest)


def _misfit(travel: Floats, base: Floats, fine: float, reach: Reach) -> Floats:
    """By how much both arms together miss what they can be set to, at travels (p, n, k) [m]."""
    length = reach.intercept[:, None] + reach.slope[:, None] * travel[..., None]
    short = base[:, None, None] - length
    out: Floats = np.maximum(np.maximum(short, -short - fine), 0.0).sum(axis=3)
    return out


def _hinge_excess(pose: Pose, bracket: BracketType, reach: Reach) -> Floats:
    """(n,) how far the plates lean beyond what the hinges allow, on each stretch [rad]."""
    excess = {
        face: max(
            *(abs(lean) - limit for lean, limit in zip(
                pose.leans(reach.faces.into[face]),
                (bracket.hinge_along, bracket.hinge_across),
                strict=True,
            )),
            0.0,
        )
        for face in np.unique(reach.face).tolist()
    }  # fmt: skip
    return np.array([max(excess[a], excess[b]) for a, b in reach.face.tolist()])


def _outside(value: float, least: float, most: float) -> float:
    """By how much a value lies outside a range."""
    return max(least - value, value - most, 0.0)
