"""A heater changed farther and farther along one way, and the least change that will do.

Of a convex thing the places along a line at which it stands too near are one stretch. So where one
and the same thing stands too near at two marks, it does so at all between them; only where it is
another one can there be a gap, which is looked for down to a single mark.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from heatcore.mounting.mount import Mount
from heatcore.remedies.findings.looks import Blockers
from heatcore.remedies.values import Change
from heatcore.scene.model import Heater

STEP = 0.05  # m, between the places looked at first
_ALIKE = 1e-6  # m
SEATING = 0.012  # m; no plate sits on a timber by less to either side than half of this


@dataclass(frozen=True, eq=False)
class Track:
    """A heater changed farther and farther.

    Attributes
    ----------
    family : what is alike in what it comes to; of alike ones the least disturbing goes first
    what : what is tried, as the beginning of a sentence
    heater : at each mark, from 1 on
    change : the change to that mark, where the heater hangs as given
    marks : the last mark
    mark : length of one [m]
    """

    family: str
    what: str
    heater: Callable[[int], Heater]
    change: Callable[[int, Mount], Change]
    marks: int
    mark: float


def least(track: Track, blockers: Callable[[Heater], Blockers], start: int = 1) -> int | None:
    """The first mark, from one on, at which nothing speaks against it; None if nowhere."""
    step = max(round(STEP / track.mark), 1)
    fine = max(round(SEATING / track.mark), 1)

    def against(mark: int) -> Blockers:
        return blockers(track.heater(mark))

    def between(low: int, high: int) -> int | None:
        """The first free mark after a blocked one, up to another."""
        if high - low > 1:
            if _all_along(against(low), against(high), narrow=high - low > fine):
                return None
            middle = (low + high) // 2
            found = between(low, middle)
            return between(middle, high) if found is None else found
        return None if against(high) else high

    if start > track.marks:
        return None
    if not against(start):
        return start
    for low in range(start, track.marks, step):
        found = between(low, min(low + step, track.marks))
        if found is not None:
            return found
    return None


def _all_along(one: Blockers, other: Blockers, *, narrow: bool) -> bool:
    """Whether what speaks against two places does so against those between them as well.

    Parameters
    ----------
    narrow : whether more than a plate's width lies between, so that one may find its timber, or an
        arm its length, unless nothing changes at all
    """
    both = one.keys() & other.keys()
    return any(
        not key[0].startswith("mount.") or not narrow or abs(one[key] - other[key]) < _ALIKE
        for key in both
    )
