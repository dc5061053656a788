"""The smallest move of a seat, or of a person, that makes it warm."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from heatcore.geometry.compass import POINTS, compass_point, compass_way
from heatcore.geometry.frames import Floats
from heatcore.remedies.seats.case import Case, share
from heatcore.remedies.seats.room import Room
from heatcore.remedies.seats.verdicts import objection
from heatcore.remedies.values import Change, Kind, change
from heatcore.scene.model import Furniture, Person, Scene, Seat

FARTHEST = 3.0  # m
RINGS = 12  # looked at together
APART = 0.1  # m; of what was refused for the sake of others, nothing nearer is tried again
TRIES = 6


def moved_seat(case: Case) -> Change | str:
    """The smallest move that helps; else what was tried, in a sentence."""
    search = _Search(case)
    found = search.run()
    if isinstance(found, Change):
        return found
    what = f"Moving {search.called} up to {case.length(FARTHEST)} in any of 16 directions"
    if found:
        return f"{what}: {found}."
    if search.best < 0.0:
        return f"{what}: there is no room."
    return f"{what}: it gains at most {share(max(search.best, case.reached))} of what is asked for."


class _Search:
    """Rings about the place, from the inside outward."""

    def __init__(self, case: Case) -> None:
        self.case, self.best = case, -1.0
        model, owner = case.evaluation.model, case.place.owner
        self.thing = _thing(case.evaluation.scene, owner)
        along = [place for place in model.places if place.owner == owner]
        self.room = Room(model, owner, along)
        seats = f" with its {len(along)} places" if len(along) > 1 else ""
        self.called = f"{owner}{seats}"

    def run(self) -> Change | str:
        first = ""
        refused: list[Floats] = []
        for tries, (offset, made) in enumerate(self.promising(refused)):
            against = objection(self.case.trials, made, self.case.place.name)
            if not against:
                return made
            first = first or against
            if not against.startswith(f"{self.case.place.name} would be"):
                refused.append(offset)
            if tries + 1 == TRIES:
                break
        return first

    def promising(self, refused: list[Floats]) -> Iterator[tuple[Floats, Change]]:
        """Moves after which the place is warm in a quick look, the smallest first."""
        case, north = self.case, self.case.evaluation.scene.site.north
        ways = np.array([compass_way(point, north) for point in range(len(POINTS))])
        count = int(FARTHEST / case.step)
        for at in range(1, count + 1, RINGS):
            rings = np.arange(at, min(at + RINGS, count + 1)) * case.step
            wanted = (rings[:, None, None] * ways).reshape(-1, 2)
            start = np.asarray(self.thing.at)
            targets = [case.at(start + offset) for offset in wanted]
            offsets = np.array([point - start for point, _ in targets])
            free = np.flatnonzero(self.room.free(offsets))
            if not len(free):
                continue
            scores = case.screen.moved(case.index, offsets[free])
            self.best = max(self.best, float(scores.max()))
            for i in free[scores >= 1.0].tolist():
                near = [np.hypot(*(offsets[i] - other)) < APART for other in refused]
                if not any(near):
                    yield offsets[i], self.made(wanted[i], targets[i][1])

    def made(self, offset: Floats, at: list[str | float]) -> Change:
        far = float(np.hypot(*offset))
        point = compass_point(offset, self.case.evaluation.scene.site.north)
        kind = type(self.thing).__name__.lower()
        return change(
            Kind.SEAT,
            f"Move {self.called} {self.case.length(far)} {point}.",
            far,
            set_={kind: {self.thing.name: {"at": at}}},
        )


def _thing(scene: Scene, name: str) -> Furniture | Seat | Person:
    things: tuple[Furniture | Seat | Person, ...] = (*scene.furniture, *scene.seat, *scene.person)
    return next(thing for thing in things if thing.name == name)
