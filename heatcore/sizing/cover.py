"""The fewest positions that together give everybody enough.

What positions give adds up, so this is a covering problem: a number of rows (bodies), each of which
needs 1, and a number of columns (positions), each of which gives every row something. A greedy
choice from many starts is trimmed; a search tries to serve more rows, and then to do with one
position fewer, and mostly proves that none can.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints, locked

ENOUGH = 1.0 - 1e-9
STARTS = 64  # first choices that are tried for what they give all, and as many for one row each
MORE = 2  # positions that one more row may cost
EFFORT = 400_000_000  # of each of four searches, in numbers looked at; some two seconds
STEP_EFFORT = 20_000  # of one step, beside one for each number looked at

Pairs = NDArray[np.bool_]


class _Effort:
    """What may still be spent: counted, not timed, so that an answer is always the same."""

    def __init__(self, left: int) -> None:
        self.left = left

    def spend(self, numbers: int) -> None:
        """Count one step that looks at so many numbers."""
        self.left -= numbers + STEP_EFFORT

    @property
    def gone(self) -> bool:
        """Whether nothing is left."""
        return self.left <= 0


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
    effort : what each of the searches may cost, in numbers looked at
    """
    possible = gives.sum(axis=1) >= ENOUGH
    if not possible.any():
        return Cover((), locked(np.zeros(len(gives))), fewest=True)
    wanted = gives[possible]
    spare = _Effort(effort)
    best = _trim(_greedy(wanted, apart, spare), wanted)
    most_help = np.argsort(-np.minimum(wanted, 1.0).sum(axis=0), kind="stable")[:STARTS]
    hardest = wanted[np.argsort(wanted.sum(axis=1), kind="stable")[:STARTS]]
    for first in dict.fromkeys([*most_help.tolist(), *hardest.argmax(axis=1).tolist()]):
        if spare.gone:
            break
        other = _trim(_greedy(wanted, apart, spare, first), wanted)
        best = min(best, other, key=_worth(wanted))
    best = _widened(best, wanted, apart, _Effort(effort))
    served = wanted[_sum(wanted, best) >= ENOUGH]
    best = _swapped(best, served, apart, _Effort(effort))
    search = _Search(served, apart, _Effort(effort))
    while best and (fewer := search.serve(len(best) - 1)) is not None:
        best = fewer
    chosen = tuple(sorted(best))
    return Cover(chosen, locked(_sum(gives, chosen)), not best or not search.effort.gone)


def _sum(gives: Floats, chosen: Iterable[int]) -> Floats:
    out: Floats = gives[:, list(chosen)].sum(axis=1)
    return out


def _worth(gives: Floats) -> Callable[[tuple[int, ...]], tuple[int, int, float]]:
    def rank(chosen: tuple[int, ...]) -> tuple[int, int, float]:
        got = _sum(gives, chosen)
        return -int((got >= ENOUGH).sum()), len(chosen), -float(np.minimum(got, 1.0).sum())

    return rank


def _greedy(
    gives: Floats, apart: Pairs, effort: _Effort, first: int | None = None
) -> tuple[int, ...]:
    """Whatever helps most, until all have enough or nothing helps."""
    chosen: list[int] = []
    open_to = np.ones(gives.shape[1], dtype=bool)
    lack = np.ones(len(gives))
    while (short := lack > 1.0 - ENOUGH).any():
        effort.spend(gives.size)
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


def _trim(chosen: tuple[int, ...], gives: Floats) -> tuple[int, ...]:
    """Without those that the rows which have enough do not need."""
    served = gives[_sum(gives, chosen) >= ENOUGH]
    kept = list(chosen)
    for one in sorted(chosen, key=lambda c: float(np.minimum(served[:, c], 1.0).sum())):
        rest = [c for c in kept if c != one]
        if (_sum(served, rest) >= ENOUGH).all():
            kept = rest
    return tuple(kept)


def _widened(
    chosen: tuple[int, ...], gives: Floats, apart: Pairs, effort: _Effort
) -> tuple[int, ...]:
    """Another choice, some positions larger, that serves rows which the greedy one missed."""
    for row in np.argsort(-gives.sum(axis=1), kind="stable").tolist():
        served = _sum(gives, chosen) >= ENOUGH
        if served[row]:
            continue
        served[row] = True
        search = _Search(gives[served], apart, effort)
        tries = (search.serve(len(chosen) + more) for more in range(MORE + 1))
        chosen = next((found for found in tries if found is not None), chosen)
    return chosen


def _swapped(
    chosen: tuple[int, ...], served: Floats, apart: Pairs, effort: _Effort
) -> tuple[int, ...]:
    """One in the place of two, as often as that does."""
    for one, other in combinations(chosen, 2):
        if effort.gone:
            break
        effort.spend(served.size)
        rest = [c for c in chosen if c not in (one, other)]
        lack = 1.0 - _sum(served, rest)
        fits = (served >= lack[:, None] - (1.0 - ENOUGH)).all(axis=0)
        fits &= ~apart[rest].any(axis=0)
        fits[list(chosen)] = False
        if fits.any():
            return _swapped((*rest, int(fits.argmax())), served, apart, effort)
    return chosen


class _Search:
    """Depth first for a choice of a given size that serves all rows."""

    def __init__(self, gives: Floats, apart: Pairs, effort: _Effort) -> None:
        self.gives, self.apart, self.effort = gives, apart, effort

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
        if count == 0 or not len(open_to) or self.effort.gone:
            return None
        gives, need = self.gives[np.ix_(short, open_to)], lack[short]
        self.effort.spend(gives.size)
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
