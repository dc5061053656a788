"""Bracket geometry on any ceiling, wall or beam: where each heater hangs, and on what."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from types import MappingProxyType

import numpy as np

from heatcore.errors import InputError, Mistake
from heatcore.geometry.distance import NOISE
from heatcore.geometry.parts import Kind, Model
from heatcore.geometry.soup import Soup
from heatcore.mounting.answer import answer_of, least_travel
from heatcore.mounting.explain import Explainer
from heatcore.mounting.mount import Arm, Mount, body_corners
from heatcore.mounting.place import OVERHEAD, place
from heatcore.mounting.solve import Solution, solve
from heatcore.mounting.stock import Pair
from heatcore.mounting.structure import Structure, undersides_above
from heatcore.mounting.trials import LEVEL
from heatcore.mounting.words import Words
from heatcore.scene.model import Heater, Scene
from heatcore.scene.plan import where
from heatcore.scene.types import BracketType
from heatcore.units import UnitSystem

__all__ = ["hang"]

STRUCTURE = (*OVERHEAD, Kind.WALL)


def hang(
    scene: Scene, model: Model, ordered: Mapping[str, Mount] = MappingProxyType({})
) -> tuple[Mount, ...]:
    """Hang every heater of a scene on the shortest stocked bracket that keeps its clearances.

    Parameters
    ----------
    scene : its option already chosen
    model : the scene made solid
    ordered : by heater, mounts whose brackets and extensions are there already: such a heater
        hangs on those and no others, adjusted as far as they can be

    Returns
    -------
    tuple of Mount
        One for each heater, in the scene's order. Where nothing stocked is right, the one that
        fails least, with its faults.

    Raises
    ------
    InputError
        Where a heater cannot be put where it is described: every mistake found.
    """
    structure = Structure(tuple(model.of(*STRUCTURE)))
    mounts, mistakes = [], list[Mistake]()
    for heater in scene.heater:
        try:
            mounts.append(_hang(heater, scene, model, structure, ordered.get(heater.name)))
        except InputError as error:
            mistakes += error.mistakes
    if mistakes:
        raise InputError.of(mistakes)
    return tuple(mounts)


def _hang(
    heater: Heater, scene: Scene, model: Model, structure: Structure, ordered: Mount | None
) -> Mount:
    spot = place(heater, scene, model, structure)
    brackets = _stocked(heater, scene) if ordered is None else (ordered.bracket,)
    solution = solve(spot, brackets, structure, None if ordered is None else made_up(ordered))
    _refuse_inside(solution, model, structure)
    units = UnitSystem(scene.site.units)
    explainer = Explainer(solution, brackets, units)
    corners = solution.frame.to_world(body_corners(spot.type))[4:]
    overhead = structure.numbers(model.of(*OVERHEAD))
    above = undersides_above(structure.soup, corners, overhead)
    return Mount(
        heater=heater,
        type=spot.type,
        frame=solution.frame,
        tilt=solution.tilt,
        bracket=solution.pair.bracket,
        arms=_arms(solution),
        gaps=np.array([inf if over is None else over.rise for over in above]),
        gap_surface=tuple("" if o is None else structure.parts[o.part].name for o in above),
        spare=_spare(solution),
        passed=explainer.passed(),
        faults=explainer.faults(),
        parts=Words(units).parts(solution.pair),
        answer=answer_of(solution, brackets, ordered is not None),
    )


def made_up(mount: Mount) -> Pair:
    """The pair of arms that a mount hangs on."""
    first, second = mount.arms
    return Pair(mount.bracket, first.extensions, second.extensions)


def _stocked(heater: Heater, scene: Scene) -> tuple[BracketType, ...]:
    """The bracket types that a heater may take."""
    if heater.bracket is None:
        fit = tuple(b for b in scene.bracket_types.values() if b.mount == heater.mount)
        if not fit:
            raise InputError(
                where(heater, "mount"),
                f"there is no bracket type for a {heater.mount} mount",
                "load a types file that has one, or choose another mount",
            )
        return fit
    bracket = scene.bracket_types.get(heater.bracket)
    if bracket is None:
        raise InputError(
            where(heater, "bracket"),
            f'refers to "{heater.bracket}", and there is no such bracket type',
            f"name one of {', '.join(sorted(scene.bracket_types))}",
        )
    if bracket.mount != heater.mount:
        raise InputError(
            where(heater, "bracket"),
            f'"{bracket.name}" is for a {bracket.mount} mount, and the heater is on a '
            f"{heater.mount} mount",
            "name a bracket for this mount, or change the mount",
        )
    return (bracket,)


def _refuse_inside(solution: Solution, model: Model, structure: Structure) -> None:
    """Refuse a heater whose body has its middle inside a solid."""
    middle = solution.frame.to_world([0.0, 0.0, solution.spot.type.height / 2])
    holders = [structure.parts[i] for i in structure.soup.holders(middle)]
    for part in model.parts:
        low, high = part.mesh.bounds
        if part.swept or part.kind in STRUCTURE or not ((low <= middle) & (middle <= high)).all():
            continue
        if len(Soup.of([part.mesh]).holders(middle)):
            holders.append(part)
    if holders:
        raise InputError(
            where(solution.spot.heater),
            f"is inside {holders[0].name}",
            "move it out into the open",
        )


def _arms(solution: Solution) -> tuple[Arm, ...]:
    pair, pose = solution.pair, solution.pose
    made = zip(
        solution.feet,
        pose.pivots + solution.travel * pose.away,
        (pair.first, pair.second),
        pair.shortest,
        solution.lengths.tolist(),
        strict=True,
    )
    arms = []
    for foot, pivot, extensions, shortest, length in made:
        along, across = pose.leans(foot.into)
        fine = length - shortest
        arms.append(
            Arm(
                pivot=pivot,
                foot=foot.point,
                direction=(foot.point - pivot) / length,
                plate=foot.plate.corners,
                normal=foot.into,
                surface=solution.structure.parts[foot.part].name,
                extensions=extensions,
                # What is less than an arm can be made to is no adjustment.
                fine=fine if abs(fine) > LEVEL else 0.0,
                length=length,
                overhang=foot.plate.overhang,
                lean_along=along,
                lean_across=across,
            )
        )
    return tuple(arms)


def _spare(solution: Solution) -> float:
    """How much more arm there is than the clearances ask for, on the shorter arm [m]."""
    short = int(np.argmin(solution.lengths))
    now = float(solution.lengths[short])
    least = least_travel(solution)
    if least == -inf:
        return now
    spare = min(now - float(solution.arms_at(least)[0][short]), now)
    return spare if abs(spare) > NOISE else 0.0
