"""The choice of a bracket: the shortest stocked pair of arms that hangs the heater as it should.

A heater has a pose up to one free travel away from its surface (`pose`). For each travel the arms
have known lengths (`reach`), and at some travels something stands too near (`sweep`). Each stocked
pair of arms (`stock`) can be set to a range of travels, since its fine adjustment has some; what is
left of that range is where it hangs the heater well (`trials`). Under one plane this comes to the
closed forms of the design, section 5.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, Frame, Ints, locked
from heatcore.geometry.parts import Part
from heatcore.mounting.place import OVERHEAD, Spot
from heatcore.mounting.plate import Plate, crossed_by, plate, plate_frame
from heatcore.mounting.pose import Pose
from heatcore.mounting.reach import Faces, Reach, beside, faces_near, reach
from heatcore.mounting.stock import Pair, pairs
from heatcore.mounting.structure import Structure
from heatcore.mounting.sweep import Blocked, blocked
from heatcore.mounting.trials import Trials, try_all
from heatcore.scene.plan import where
from heatcore.scene.types import BracketType

_BEYOND = 0.5  # m; so much longer than stocked is an arm that is still looked for
_ROUNDS = 40
_PATIENCE = 12
_AIMED = 1e-9  # rad
_TURN = 0.5  # rad; no step toward the aim is larger


@dataclass(frozen=True, eq=False)
class Foot:
    """Where an arm stands.

    Attributes
    ----------
    point : (3,) on the surface [m]
    into : (3,) unit normal into the surface
    part : number of the part that it stands on
    off : how far beside it stands, where it has nothing there to stand on [m]
    plate : its plate
    crossed : name of the part that the arm would run through; None where it is free
    """

    point: Floats
    into: Floats
    part: int
    off: float
    plate: Plate
    crossed: str | None

    @property
    def sits(self) -> bool:
        """Whether the plate lies wholly on the surface, and the arm reaches it."""
        return self.off == 0.0 and self.plate.overhang == 0.0 and self.crossed is None


@dataclass(frozen=True, eq=False)
class Solution:
    """What was tried, and what came of it.

    Attributes
    ----------
    spot : where the heater is wanted
    tilt : about its X [rad]
    pose : how it is turned
    structure : all that it is held against
    among : numbers of the parts that the arms must clear
    blocked : the travels at which one of them stands too near
    hopeless : parts among them that no arm clears, left out of `blocked`
    trials : all trials, the best first
    chosen : number of the chosen one
    feet : where its arms stand
    unseated : feet of those that would have been chosen, had they sat well
    """

    spot: Spot
    tilt: float
    pose: Pose
    structure: Structure
    among: Ints
    blocked: Blocked
    hopeless: frozenset[int]
    trials: Trials
    chosen: int
    feet: tuple[Foot, Foot]
    unseated: dict[int, tuple[Foot, Foot]]

    @property
    def pair(self) -> Pair:
        """The chosen pair of arms."""
        return self.trials.pairs[int(self.trials.pair[self.chosen])]

    @property
    def good(self) -> bool:
        """Whether the chosen pair fails in nothing and sits well."""
        return bool(self.trials.good[self.chosen]) and all(foot.sits for foot in self.feet)

    @property
    def travel(self) -> float:
        """How far from its surface the heater hangs [m]."""
        return float(self.trials.travel[self.chosen])

    @property
    def lengths(self) -> Floats:
        """(2,) of its arms [m]."""
        out: Floats = self.trials.lengths[self.chosen]
        return out

    @property
    def frame(self) -> Frame:
        """The heater's frame, hung."""
        return self.pose.at(self.travel)

    def arms_at(self, travel: float) -> tuple[Floats, bool]:
        """Arms that would hang the heater at another travel, whatever is stocked.

        Returns
        -------
        lengths : (2,) of its arms there [m]
        stands : whether both find something to stand on
        """
        reached = self.trials.reaches[int(self.trials.reach[self.chosen])]
        held = np.flatnonzero((reached.first <= travel) & (travel <= reached.last))
        # Longer than the longest stocked arm, it goes on as on the last stretch.
        row = int(held[0]) if len(held) else int(reached.last.argmax())
        lengths: Floats = reached.intercept[row] + reached.slope[row] * travel
        return lengths, not bool(reached.off[row].any())


def solve(
    spot: Spot,
    brackets: Sequence[BracketType],
    structure: Structure,
    only: Pair | None = None,
) -> Solution:
    """Hang one heater.

    Parameters
    ----------
    spot : where it is wanted
    brackets : the bracket types that it may take
    structure : all that it is held against
    only : the pair of arms that is there already; None to choose among all that is stocked

    Raises
    ------
    InputError
        If there is nothing to fix it to, or if what it is aimed at lies too near for any tilt.
    """
    tilt = spot.tilt_from(spot.pose(0.0).at(spot.wanted or 0.0).origin)
    stocked = {b.name: pairs(b) if only is None else (only,) for b in brackets}
    solution = _solve(spot, tilt, brackets, stocked, structure, at_least=0.0)
    before: tuple[Pair, float, float] | None = None
    lowest = 0.0
    for turn in range(_ROUNDS):
        # The axis turns as the heater goes down, and the heater goes down as it turns.
        pair, miss = solution.pair, spot.tilt_from(solution.frame.origin) - solution.tilt
        if abs(miss) <= _AIMED:
            return solution
        if turn >= _PATIENCE:
            # Two brackets hand it to each other: only the longer one does at its own tilt.
            lowest = max(lowest, float(sum(pair.shortest)))
        step = miss
        if before is not None and before[0] == pair and before[2] != miss:
            # On one and the same bracket a secant gets there sooner.
            step = miss * (solution.tilt - before[1]) / (before[2] - miss)
        before = (pair, solution.tilt, miss)
        tilt = solution.tilt + float(np.clip(step, -_TURN, _TURN))
        solution = _solve(spot, tilt, brackets, stocked, structure, at_least=lowest)
    raise InputError(
        where(spot.heater, "aim_at"),
        "lies too near to it: the axis swings past it whatever the tilt",
        "aim at something farther off, or give a tilt",
    )


def _solve(
    spot: Spot,
    tilt: float,
    brackets: Sequence[BracketType],
    stocked: Mapping[str, Sequence[Pair]],
    structure: Structure,
    at_least: float,
) -> Solution:
    """Hang a heater that has its tilt, by arms that are together at least so long [m]."""
    pose = spot.pose(tilt)
    made = {
        b.name: tuple(p for p in stocked[b.name] if sum(p.shortest) >= at_least) for b in brackets
    }
    longest = max(max(p.shortest) + p.bracket.fine for some in made.values() for p in some)
    # Beyond the stock too, to say what would do: under a slope one arm is longer than the other.
    longest += _BEYOND + (1.0 + 2.0 * spot.steepness) * spot.spacing
    reaches = _Reaches(spot, pose, structure, longest)
    stock = [(b, made[b.name], reaches.of(b)) for b in brackets if made[b.name]]
    overhead = [i for i, part in enumerate(structure.parts) if part.kind in OVERHEAD]
    surface = structure.numbers(spot.surface)
    among = np.union1d(overhead, surface)
    first = min(float(r.first.min()) for _, _, r in stock)
    last = max(float(r.last.max()) for _, _, r in stock)
    barred = blocked(spot.type, pose.frame, pose.away, structure, among, first, last)

    trials = try_all(pose, tilt, stock, barred, spot.wanted)
    hopeless: frozenset[int] = frozenset()
    only_short = trials.only_fails_in("arm")
    if spot.wanted is None and only_short.any() and not trials.good.any():
        travels = trials.travel[only_short]
        hopeless = barred.throughout(float(travels.min()), float(travels.max()))
        hopeless -= frozenset(surface.tolist())
        if hopeless:
            barred = barred.without(hopeless)
            trials = try_all(pose, tilt, stock, barred, spot.wanted)

    seats = _Seats(pose, trials, structure)
    unseated = {}
    for number in np.flatnonzero(trials.good).tolist():
        feet = seats.of(number)
        if all(foot.sits for foot in feet):
            break
        unseated[number] = feet
    else:
        number = min(unseated, key=lambda n: _unrest(unseated[n]), default=0)
        feet = seats.of(number)
    return Solution(
        spot, tilt, pose, structure, among, barred, hopeless, trials, number, feet, unseated
    )


def _unrest(feet: tuple[Foot, Foot]) -> tuple[int, float]:
    """How badly feet sit."""
    return (
        sum(foot.crossed is not None for foot in feet),
        round(max(foot.plate.overhang for foot in feet), 6),
    )


class _Reaches:
    """How far arms reach, by their style and by what they must be screwed to."""

    def __init__(self, spot: Spot, pose: Pose, structure: Structure, longest: float) -> None:
        self._spot, self._pose, self._structure = spot, pose, structure
        self._longest = longest
        self._known: dict[tuple[bool, bool], Reach] = {}
        self._faces: dict[tuple[str, ...], Faces] = {}

    def of(self, bracket: BracketType) -> Reach:
        # On a wall every arm stands square to it.
        plumb = bracket.style == "plumb" and self._spot.heater.mount != "wall"
        key = (plumb, bracket.structure_only)
        if key not in self._known:
            self._known[key] = self._find(*key)
        return self._known[key]

    def _find(self, plumb: bool, structure_only: bool) -> Reach:
        spot = self._spot
        found = self._on(spot.sound if structure_only else spot.surface, plumb)
        if len(found) == 0 and structure_only:
            found = self._on(spot.surface, plumb)
            found = replace(found, off=np.ones_like(found.off))
        if len(found) == 0:
            raise InputError(
                where(spot.heater),
                f'finds nothing of "{spot.carrier}" to stand on',
                "move it, or name what carries it under `mounted_on`",
            )
        return found

    def _on(self, parts: Sequence[Part], plumb: bool) -> Reach:
        key = tuple(part.name for part in parts)
        if key not in self._faces:
            among = self._structure.numbers(parts)
            self._faces[key] = faces_near(self._pose, self._structure, among, self._longest)
        faces = self._faces[key]
        if plumb:
            faces = replace(
                faces, toward=locked(np.broadcast_to(-self._pose.away, faces.into.shape))
            )
        return reach(self._pose, faces, self._longest)


class _Seats:
    """Where the arms of trials stand, each place looked at once."""

    def __init__(self, pose: Pose, trials: Trials, structure: Structure) -> None:
        self._pose, self._trials, self._structure = pose, trials, structure
        self._known: dict[tuple[object, ...], Foot] = {}

    def of(self, number: int) -> tuple[Foot, Foot]:
        return self._foot(number, 0), self._foot(number, 1)

    def _foot(self, number: int, arm: int) -> Foot:
        trials = self._trials
        bracket = trials.pairs[int(trials.pair[number])].bracket
        reached = trials.reaches[int(trials.reach[number])]
        stretch = int(trials.stretch[number])
        face = int(reached.face[stretch, arm])
        pivot = self._pose.pivots[arm] + trials.travel[number] * self._pose.away
        length = float(trials.lengths[number, arm])
        toward, into = reached.faces.toward[face], reached.faces.into[face]
        point = pivot + length * toward
        size = (bracket.plate_length, bracket.plate_width)
        key = (*size, face, id(reached), *np.round([*point, length], 6).tolist())
        if key not in self._known:
            part = int(reached.faces.part[face])
            frame = plate_frame(point, into, self._pose.frame.x)
            off = 0.0
            if reached.off[stretch, arm]:
                off = max(float(beside(point[None], reached.faces.corners[face][None])[0]), 1e-9)
            laid = plate(frame, bracket, part, self._structure)
            if off > laid.overhang:
                laid = replace(laid, overhang=off)
            crossed = crossed_by(frame, pivot, length, self._structure)
            self._known[key] = Foot(locked(point), into, part, off, laid, crossed)
        return self._known[key]
