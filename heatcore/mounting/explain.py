"""Why the shorter brackets do not do, and what is wrong with a mount where none does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from math import inf

import numpy as np

from heatcore.geometry.closest import nearest_point
from heatcore.geometry.distance import NOISE, Face, Reading, measure
from heatcore.mounting.answer import steepest
from heatcore.mounting.mount import Fault, Passed
from heatcore.mounting.place import DOWN
from heatcore.mounting.solve import Foot, Solution
from heatcore.mounting.stock import Pair
from heatcore.mounting.sweep import blocked
from heatcore.mounting.trials import FAILS
from heatcore.mounting.words import ARMS, Words, away, bracket_name
from heatcore.scene.types import BracketType
from heatcore.units import UnitSystem, format_angle, format_angle_miss, format_miss, format_pitch

# What a bracket type fails in with all its arms, or with all equal ones: said once for the type.
_OF_THE_TYPE = frozenset({"surface", "tilt", "load", "hinge", "level"})
_ORDER = tuple(Face)
_LOWER = 3.0  # m; so much lower is looked for a height at which a wall heater clears the roof


class Explainer:
    """Says what came of hanging one heater."""

    def __init__(
        self, solution: Solution, brackets: Sequence[BracketType], units: UnitSystem
    ) -> None:
        """Take what `solve` found, what was stocked, and the site's units."""
        self.solution = solution
        self.brackets = brackets
        self.words = Words(units)
        self._readings: dict[tuple[float, frozenset[int]], tuple[Reading, str] | None] = {}

    # ------------------------------------------------------------------ the shorter brackets

    def passed(self) -> tuple[Passed, ...]:
        """What is shorter than the chosen pair of arms and does not do, the shortest first.

        Of each bracket type: what it fails in with any arms, and of its pairs the shortest and the
        nearest miss.
        """
        trials, chosen = self.solution.trials, self.solution.chosen
        most = float(trials.lengths[chosen].sum()) - 1e-6
        of_the_type: dict[tuple[str, str], tuple[float, int, int]] = {}
        of_the_arms: dict[str, list[tuple[float, int, int]]] = {}
        for number, trial in zip(*np.unique(trials.pair, return_index=True), strict=True):
            pair, code = trials.pairs[number], self._fails_in(trial)
            typical = code in _OF_THE_TYPE
            length = sum(pair.shortest) if typical else float(trials.lengths[trial].sum())
            if code is None or trial == chosen or length > most:
                continue
            entry = (round(length, 6), int(number), int(trial))
            if typical and not (code == "level" and pair.unequal):
                key = (pair.bracket.name, code)
                of_the_type[key] = min(of_the_type.get(key, entry), entry)
            elif not typical:
                of_the_arms.setdefault(pair.bracket.name, []).append(entry)
        told = list(of_the_type.values())
        for name, misses in of_the_arms.items():
            # An unequal pair is of interest only where no equal one hangs level.
            some = sorted(
                miss
                for miss in misses
                if (name, "level") in of_the_type or not trials.pairs[miss[1]].unequal
            )
            told += dict.fromkeys([*some[:1], *some[-1:]])
        return tuple(self._passed(trial) for *_, trial in sorted(told))

    def _passed(self, trial: int) -> Passed:
        """One trial that does not do."""
        pair, code = self._pair(trial), self._fails_in(trial)
        assert code is not None
        if code in _OF_THE_TYPE:
            pair = Pair(pair.bracket, (), ())
        reason, shortfall = self._why(trial, code, pair)
        return Passed(pair.bracket.name, (pair.first, pair.second), reason, shortfall)

    def _pair(self, trial: int) -> Pair:
        """The pair of arms of a trial."""
        return self.solution.trials.pairs[int(self.solution.trials.pair[trial])]

    def _fails_in(self, trial: int) -> str | None:
        """What a trial fails in first; None where in nothing."""
        fails = self.solution.trials.fails[trial]
        if trial in self.solution.unseated:
            return "plate"
        return next((code for code, by in zip(FAILS, fails, strict=True) if by > 0.0), None)

    def _why(self, trial: int, code: str, pair: Pair) -> tuple[str, float]:
        """Why a trial does not do, in one sentence, and how far it misses."""
        trials = self.solution.trials
        by = float(trials.fails[trial][FAILS.index(code)]) if code in FAILS else 0.0
        name = self.words.pair(pair)
        if code == "surface":
            lacking = "a timber or masonry" if pair.bracket.structure_only else "a surface"
            return f"{name} does not find {lacking} for both its plates", by
        if code == "plate":
            foot = max(self.solution.unseated[trial], key=lambda f: f.plate.overhang)
            return f"{name} does not sit: {self._unseated(foot)}", foot.plate.overhang
        if code == "tilt":
            return f"{name} {self._tilt(pair.bracket)}", by
        if code == "load":
            return f"{name} {self._load(pair.bracket)}", by
        if code == "hinge":
            return f"{name} {self._hinge(trial)[0]}", by
        if code == "level":
            alike = ", with the same extensions on both arms," if not pair.unequal else ""
            return f"{name}{alike} cannot hang it level: {self._level(trial)[0]}", by
        if code == "height":
            return f"{name} hangs it {self.words.length(by, 'up')} off the height asked for", by
        near = self._too_near(float(trials.travel[trial]))
        if near is None:
            return f"{name} is {self.words.length(by, 'up')} too short", by
        return f"{name} {self.words.too_near(*near)}", near[0].required - near[0].distance

    # ------------------------------------------------------------------ what is wrong

    def faults(self) -> tuple[Fault, ...]:
        """All that is wrong with the chosen pair of arms."""
        fails = self.solution.trials.fails[self.solution.chosen]
        codes = {code for code, by in zip(FAILS, fails, strict=True) if by > 0.0}
        return (
            *self._of_the_heater(),
            *self._of_the_feet(),
            *self._of_the_bracket(codes),
            *self._of_the_arms(codes),
            *self._of_the_hopeless(),
        )

    def _of_the_heater(self) -> Iterator[Fault]:
        spot = self.solution.spot
        kind, spacing = spot.type, spot.spacing
        limit = min(max(spacing, kind.least_spacing), kind.most_spacing)
        if abs(spacing - limit) > NOISE:
            length = self.words.length
            yield Fault(
                "spacing",
                f"its brackets are {length(spacing, away(spacing, limit))} apart, and "
                f"{kind.name} takes them from "
                f"{length(kind.least_spacing)} to {length(kind.most_spacing)} apart",
                spacing, limit, spot.carrier,
            )  # fmt: skip
        roll = self.solution.pose.roll
        limit = min(max(roll, kind.tilt_from), kind.tilt_to)
        if abs(roll - limit) > NOISE:
            yield Fault(
                "tilt",
                f"it leans {format_angle_miss(roll, limit)[0]}, and {kind.name} works from "
                f"{format_angle(kind.tilt_from)} to {format_angle(kind.tilt_to)}",
                roll, limit, spot.carrier,
            )  # fmt: skip

    def _of_the_feet(self) -> Iterator[Fault]:
        solution, length = self.solution, self.words.length
        spot, bracket = solution.spot, solution.pair.bracket
        for which, foot in zip(ARMS, solution.feet, strict=True):
            part = solution.structure.parts[foot.part].name
            if foot.off > 0.0 and bracket.structure_only:
                away = min(
                    (float(np.linalg.norm(nearest_point(p.mesh.corners, foot.point) - foot.point))
                     for p in spot.sound),
                    default=inf,
                )  # fmt: skip
                said = f"finds none drawn at {part}: find out what lies behind it"
                if away < inf:
                    said = f"lies {length(away)} from the nearest one: move the heater, or turn it"
                yield Fault(
                    "structure",
                    f"{bracket_name(bracket)} must be screwed to a timber or masonry, and the "
                    f"{which} arm's plate {said}",
                    away, 0.0, part,
                )  # fmt: skip
            elif foot.off > 0.0:
                yield Fault(
                    "surface",
                    f"the {which} arm finds nothing to stand on; {part} ends "
                    f"{length(foot.off, 'up')} short of it: move the heater, or hang it elsewhere",
                    foot.off, 0.0, part,
                )  # fmt: skip
            elif foot.crossed is not None:
                yield Fault(
                    "surface",
                    f"the {which} arm would run through {foot.crossed} before it comes to {part}: "
                    "move the heater, or mount it on what is in the way",
                    foot.plate.overhang, 0.0, foot.crossed,
                )  # fmt: skip
            elif foot.plate.overhang > 0.0:
                yield Fault(
                    "plate",
                    f"the {which} arm does not sit: {self._unseated(foot)}; move the heater, "
                    "or take a smaller plate",
                    foot.plate.overhang, 0.0, foot.plate.object,
                )  # fmt: skip

    def _of_the_bracket(self, codes: Iterable[str]) -> Iterator[Fault]:
        solution, kind = self.solution, self.solution.spot.type
        bracket, name = solution.pair.bracket, bracket_name(solution.pair.bracket)
        if "tilt" in codes:
            limit = min(max(solution.tilt, bracket.tilt_from), bracket.tilt_to)
            message = f"{name} {self._tilt(bracket)}"
            yield Fault("tilt", message, solution.tilt, limit, solution.spot.carrier)
        if "load" in codes and bracket.load is not None:
            message = f"{name} {self._load(bracket)}"
            yield Fault("load", message, kind.mass, bracket.load, solution.spot.carrier)
        if "hinge" in codes:
            said, lean, limit, part = self._hinge(solution.chosen)
            yield Fault("hinge", f"{name} {said}{self._pitch()}", lean, limit, part)

    def _of_the_arms(self, codes: Iterable[str]) -> Iterator[Fault]:
        solution, length = self.solution, self.words.length
        name, part = self.words.pair(solution.pair), self._first_part
        height = float(solution.frame.origin[2])
        if "level" in codes:
            said, can, must = self._level(solution.chosen)
            message = f"{name} cannot hang it level: {said}{self._pitch()}"
            yield Fault("level", message, can, must, part)
        wanted = None if solution.spot.wanted is None else solution.spot.heater.height
        if "height" in codes and wanted is not None:
            reached, asked = format_miss(height, wanted, self.words.units)
            message = (
                f"it cannot hang at {asked}: the nearest that stock reaches is {reached}, by {name}"
            )
            yield Fault("height", message, height, wanted, part)
        if "arm" not in codes:
            return
        near = self._too_near(solution.travel)
        travel = float(solution.blocked.next(solution.travel))
        on = part if near is None else near[1]
        how = "is too short" if near is None else self.words.too_near(*near)
        if wanted is not None:
            would = float(solution.pose.at(travel).origin[2])
            message = (
                f"hung at {length(height, 'up')}, {name} {how}; at {length(would, 'down')} it "
                "would do"
            )
            yield Fault("height", message, height, would, on)
            return
        needed, stands = solution.arms_at(travel)
        longest = max(max(p.shortest) + p.bracket.fine for p in solution.trials.pairs)
        if stands:
            message = (
                f"{name} {how}. {self._arms(needed)} from the surface to the pivot would do; the "
                f"longest arm stocked is {length(longest, 'down')}{self._pitch()}"
            )
        else:
            message = (
                f"{name} {how}, and a longer arm finds nothing here to stand on: move the heater"
            )
        yield Fault("arm", message, float(solution.lengths.min()), float(needed.min()), on)

    def _of_the_hopeless(self) -> Iterator[Fault]:
        """What stands too near whatever the arms are."""
        solution, length = self.solution, self.words.length
        for number in sorted(solution.hopeless):
            part = solution.structure.parts[number].name
            near = self._too_near(solution.travel, frozenset({number}))
            if near is None:
                continue
            said = self.words.too_near(*near)
            if solution.spot.heater.mount == "wall":
                height = float(solution.frame.origin[2])
                lower = blocked(
                    solution.spot.type, solution.frame, DOWN, solution.structure,
                    np.array([number]), 0.0, _LOWER,
                )  # fmt: skip
                would = height - float(lower.next(0.0))
                message = (
                    f"a height of {length(height, 'up')} {said}; at {length(would, 'down')} it "
                    "would do"
                )
                yield Fault("height", message, height, would, part)
            else:
                short = length(near[0].required - near[0].distance, "up")
                message = f"every stocked arm {said}: move the heater {short} away from it"
                yield Fault("arm", message, near[0].distance, near[0].required, part)

    # ------------------------------------------------------------------ phrases and figures

    @property
    def _first_part(self) -> str:
        return self.solution.structure.parts[self.solution.feet[0].part].name

    def _arms(self, lengths: Iterable[float]) -> str:
        first, second = (self.words.length(x, "up") for x in lengths)
        return f"Arms of {first}" if first == second else f"Arms of {first} and {second}"

    def _unseated(self, foot: Foot) -> str:
        part = self.solution.structure.parts[foot.part].name
        if foot.crossed is not None:
            return f"its arm would run through {foot.crossed}"
        by = self.words.length(foot.plate.overhang, "up")
        if foot.plate.object != part:
            return f"{foot.plate.object} stands {by} into the plate's place"
        return f"its plate reaches {by} past an edge or a fold of {part}"

    def _tilt(self, bracket: BracketType) -> str:
        low, high = format_angle(bracket.tilt_from), format_angle(bracket.tilt_to)
        tilt = self.solution.tilt
        limit = min(max(tilt, bracket.tilt_from), bracket.tilt_to)
        asked, _ = format_angle_miss(tilt, limit)
        return f"tilts from {low} to {high}; {asked} is asked for"

    def _load(self, bracket: BracketType) -> str:
        kind = self.solution.spot.type
        return f"carries {bracket.load or 0.0:g} kg; {kind.name} weighs {kind.mass:g} kg"

    def _hinge(self, trial: int) -> tuple[str, float, float, str]:
        """What the hinges would have to take; the lean, its limit, and the part it happens on."""
        trials, pose = self.solution.trials, self.solution.pose
        bracket = self._pair(trial).bracket
        reached = trials.reaches[int(trials.reach[trial])]
        leans = [
            (abs(lean) - limit, abs(lean), limit, way, int(face))
            for face in reached.face[int(trials.stretch[trial])]
            for lean, limit, way in zip(
                pose.leans(reached.faces.into[face]),
                (bracket.hinge_along, bracket.hinge_across),
                ("along", "across"),
                strict=True,
            )
        ]
        _, lean, limit, way, face = max(leans)
        part = self.solution.structure.parts[int(reached.faces.part[face])].name
        asked, most = format_angle_miss(lean, limit)
        said = f"leans {most} {way} the body at most; {part} asks {asked}"
        return said, lean, limit, part

    def _level(self, trial: int) -> tuple[str, float, float]:
        """Why the arms of a trial hang no heater level, and by what figures [m]."""
        return self.words.level(self._pair(trial), self.solution.trials.lengths[trial])

    def _too_near(
        self, travel: float, parts: frozenset[int] | None = None
    ) -> tuple[Reading, str] | None:
        """The reading that falls short by most at a travel, and its part's name."""
        solution = self.solution
        if parts is None:
            parts = frozenset(solution.among.tolist()) - solution.hopeless
        key = (round(travel, 6), parts)
        if key not in self._readings:
            kind = solution.spot.type
            size, frame = (kind.length, kind.width, kind.height), solution.pose.at(travel)
            # Of several that fall short alike, the same is told wherever the site lies.
            short = [
                (
                    round(reading.margin, 6),
                    _ORDER.index(reading.face),
                    int(index[reading.owner]),
                    reading,
                )
                for burns, index, soup in solution.structure.by_distance
                for reading in measure(
                    frame, size, kind.combustible if burns else kind.noncombustible, soup, 0.0
                )
                if not reading.holds and int(index[reading.owner]) in parts
            ]
            worst = min(short, key=lambda found: found[:3], default=None)
            self._readings[key] = (
                None if worst is None else (worst[3], solution.structure.parts[worst[2]].name)
            )
        return self._readings[key]

    def _pitch(self) -> str:
        """What the stock would serve, where the slope of the ceiling is the cause."""
        said = self._steepest
        return "" if said is None else f"; the stocked brackets serve a pitch of up to {said}"

    @cached_property
    def _steepest(self) -> str | None:
        pitch = steepest(self.solution, self.brackets)
        imperial = self.words.units is UnitSystem.IMPERIAL
        return None if pitch is None else format_pitch(pitch, "x:12" if imperial else "deg")
