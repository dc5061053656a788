"""The fewest positions that together give everybody enough.

What positions give adds up, so this is a covering problem: a number of rows (bodies), each of which
needs 1, and a number of columns (positions), each of which gives every row something. A greedy
choice from many starts is trimmed; then a search tries to do with one fewer, and mostly proves that
none can.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints, locked

ENOUGH = 1.0 - 1e-9
STARTS = 64  # first choices that are tried for what they give all, and as many for one row each
EFFORT = 400_000_000  # of the search for one fewer; some two seconds
STEP_EFFORT = 20_000  # of one step of it, beside one for each number looked at

Pairs = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Cover:
    """A choice of positions.

    Attributes
    ----------
    chosen : their numbers, ascending
    reached : (n,) what each row is given, of what it needs
    fewest : whether no smaller choice serves the same rows
    """

    chosen: tuple[int, ...]
    reached: Floats
    fewest: bool

    @property
    def served(self) -> Pairs:
        """(n,) rows that have enough."""
        out: Pairs = self.reached >= ENOUGH
        return out


def cover(gives: Floats, apart: Pairs, effort: int = EFFORT) -> Cover:
    """Serve as many rows as can be, with few positions.

    Parameters
    ----------
    gives : (n, m) what each position gives each row, of what it needs
    apart : (m, m) which two exclude each other
    effort : what the search for one fewer may cost, in numbers looked at
    """
    possible = gives.sum(axis=1) >= ENOUGH
    wanted = gives[possible]
    best = _trim(_greedy(wanted, apart), wanted, apart)
    most_help = np.argsort(-np.minimum(wanted, 1.0).sum(axis=0), kind="stable")[:STARTS]
    hardest = wanted[np.argsort(wanted.sum(axis=1), kind="stable")[:STARTS]]
    for first in dict.fromkeys([*most_help.tolist(), *hardest.argmax(axis=1).tolist()]):
        best = min(best, _trim(_greedy(wanted, apart, first), wanted, apart), key=_worth(wanted))
    served = _sum(wanted, best) >= ENOUGH
    fewest = not best
    search = _Search(wanted[served], apart, effort)
    while best and not fewest:
        fewer = search.serve(len(best) - 1)
        if fewer is None:
            fewest = not search.exhausted
            break
        best = fewer
    chosen = tuple(sorted(best))
    return Cover(chosen, locked(_sum(gives, chosen)), fewest)


def _sum(gives: Floats, chosen: Iterable[int]) -> Floats:
    out: Floats = gives[:, list(chosen)].sum(axis=1)
    return out


def _worth(gives: Floats) -> Callable[[tuple[int, ...]], tuple[int, int, float]]:
    def rank(chosen: tuple[int, ...]) -> tuple[int, int, float]:
        got = _sum(gives, chosen)
        return -int((got >= ENOUGH).sum()), len(chosen), -float(np.minimum(got, 1.0).sum())

    return rank


def _greedy(gives: Floats, apart: Pairs, first: int | None = None) -> tuple[int, ...]:
    """Whatever helps most, until all have enough or nothing helps."""
    chosen: list[int] = []
    open_to = np.ones(gives.shape[1], dtype=bool)
    lack = np.ones(len(gives))
    while (short := lack > 1.0 - ENOUGH).any():
        helps = np.minimum(gives[short], lack[short, None]).sum(axis=0)
        helps[~open_to] = 0.0
        take = int(helps.argmax()) if first is None or chosen else first
        if helps[take] <= 1e-6:
            break
        chosen.append(take)
        open_to &= ~apart[take]
        open_to[take] = False
        lack = np.maximum(lack - gives[:, take], 0.0)
    return tuple(chosen)


def _trim(chosen: tuple[int, ...], gives: Floats, apart: Pairs) -> tuple[int, ...]:
    """Without those that the served rows do not need; then one in the place of two."""
    served = gives[_sum(gives, chosen) >= ENOUGH]
    kept = list(chosen)
    for one in sorted(chosen, key=lambda c: float(np.minimum(served[:, c], 1.0).sum())):
        rest = [c for c in kept if c != one]
        if (_sum(served, rest) >= ENOUGH).all():
            kept = rest
    return _swapped(tuple(kept), served, apart)


def _swapped(chosen: tuple[int, ...], served: Floats, apart: Pairs) -> tuple[int, ...]:
    for i, one in enumerate(chosen):
        for other in chosen[i + 1 :]:
            rest = [c for c in chosen if c not in (one, other)]
            lack = 1.0 - _sum(served, rest)
            fits = (served >= lack[:, None] - (1.0 - ENOUGH)).all(axis=0)
            fits &= ~apart[rest].any(axis=0)
            fits[list(chosen)] = False
            if fits.any():
                return _swapped((*rest, int(fits.argmax())), served, apart)
    return chosen


class _Search:
    """Depth first for a choice of a given size that serves all rows."""

    def __init__(self, gives: Floats, apart: Pairs, effort: int) -> None:
        self.gives, self.apart, self.left = gives, apart, effort

    @property
    def exhausted(self) -> bool:
        """Whether the effort did not suffice."""
        return self.left <= 0

    def serve(self, count: int) -> tuple[int, ...] | None:
        """A choice of that many, or of fewer; None where none was found."""
        rows, columns = self.gives.shape
        return self._from((), np.ones(rows), np.arange(columns), count)

    def _from(
        self, chosen: tuple[int, ...], lack: Floats, open_to: Ints, count: int
    ) -> tuple[int, ...] | None:
        short = np.flatnonzero(lack > 1.0 - ENOUGH)
        if not len(short):
            return chosen
        if count == 0 or not len(open_to) or self.exhausted:
            return None
        gives, need = self.gives[np.ix_(short, open_to)], lack[short]
        self.left -= gives.size + STEP_EFFORT
        if count == 1:
            fits = (gives >= need[:, None] - (1.0 - ENOUGH)).all(axis=0)
            return (*chosen, int(open_to[fits.argmax()])) if fits.any() else None
        helps = np.minimum(gives, need[:, None]).sum(axis=0)
        if _largest(helps, count).sum() < need.sum() - 1e-6:
            return None
        # One of the `count` gives a row at least its part of what it lacks.
        able = gives >= (need / count)[:, None] - (1.0 - ENOUGH)
        row = int(able.sum(axis=1).argmin())
        branches = np.flatnonzero(able[row])
        tried = np.zeros(len(open_to), dtype=bool)
        for at in branches[np.argsort(-helps[branches], kind="stable")].tolist():
            take = int(open_to[at])
            # What serves all together with an earlier branch has been looked for there.
            tried[at] = True
            rest = open_to[~tried & ~self.apart[take, open_to]]
            found = self._from(
                (*chosen, take), np.maximum(lack - self.gives[:, take], 0.0), rest, count - 1
            )
            if found is not None:
                return found
        return None


def _largest(values: Floats, count: int) -> Floats:
    if len(values) <= count:
        return values
    out: Floats = np.partition(values, len(values) - count)[-count:]
    return out
