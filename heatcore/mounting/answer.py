"""What the installer marks on the ceiling, and what would do where nothing stocked does."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, inf

import numpy as np

from heatcore.mounting.mount import Answer
from heatcore.mounting.pitch import steepest_pitch, steepest_served
from heatcore.mounting.solve import Solution
from heatcore.mounting.tape import taped
from heatcore.mounting.trials import FAILS
from heatcore.scene.types import BracketType


def answer_of(solution: Solution, brackets: Sequence[BracketType], ordered: bool) -> Answer:
    """Work out the figures of a hung heater.

    Parameters
    ----------
    solution : how it hangs
    brackets : what is stocked
    ordered : whether its brackets were ordered before
    """
    one, other = solution.feet
    apart = other.point - one.point
    if solution.spot.heater.mount == "wall":
        along = float(np.linalg.norm(apart))
    else:
        parts = np.array([one.part, other.part])
        along = taped(solution.structure.soup, parts, one.point, other.point)
    pivots = solution.pose.pivots
    return Answer(
        feet_spacing_along=along,
        feet_spacing_level=hypot(*apart[:2]),
        drop_difference=float(apart[2] - (pivots[1] - pivots[0])[2]),
        least_arms=_least_arms(solution),
        steepest_pitch=None if ordered else steepest(solution, brackets),
        cross_lean=max((solution.pose.leans(foot.into)[1] for foot in (one, other)), key=abs),
    )


def _least_arms(solution: Solution) -> tuple[float, float] | None:
    """Both arms where the clearances would just hold."""
    least = least_travel(solution)
    if least == -inf:
        return 0.0, 0.0
    lengths, stands = solution.arms_at(least)
    first, second = np.maximum(lengths, 0.0).tolist()
    return (first, second) if stands else None


def least_travel(solution: Solution) -> float:
    """The travel nearest to the surface from which on the clearances hold [m].

    Minus infinity where nothing stands too near at any.
    """
    beyond = float(solution.blocked.next(solution.travel))
    return beyond if beyond > solution.travel else solution.blocked.since(solution.travel)


def steepest(solution: Solution, brackets: Sequence[BracketType]) -> float | None:
    """The steepest pitch that is served, where there is a slope and it can be the cause [rad]."""
    spot, foot = solution.spot, solution.feet[int(np.argmin(solution.lengths))]
    if spot.heater.mount not in ("ceiling", "stem") or spot.heater.attitude == "slope":
        return None
    if not solution.good and not _of_the_slope(solution):
        return None
    burns = solution.structure.parts[foot.part].combustible
    distances = spot.type.combustible if burns else spot.type.noncombustible
    find = steepest_served if solution.good else steepest_pitch
    return find(solution.pose, foot.into, distances, brackets)


def _of_the_slope(solution: Solution) -> bool:
    """Whether all that it fails in is what a slope asks of brackets."""
    fails = solution.trials.fails[solution.chosen]
    codes = {code for code, by in zip(FAILS, fails, strict=True) if by > 0.0}
    return bool(codes) and codes <= {"hinge", "level", "arm"}
