"""How many heaters: the trade's area rule, and beside it what physics asks for."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from heatcore.checks.electrical import electrical
from heatcore.errors import InputError
from heatcore.geometry.build import build
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Model
from heatcore.heat import emitters_of, surroundings
from heatcore.heat.people.evening import Evening
from heatcore.heat.people.exposure import head_heats
from heatcore.heat.people.warmth import body_heats
from heatcore.heat.radiation.surroundings import Surroundings
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene import shipped
from heatcore.scene.document import Guesses, listed, quoted
from heatcore.scene.model import Heater, Scene
from heatcore.scene.types import HeaterType
from heatcore.sizing.area_rule import AreaRule, area_rule
from heatcore.sizing.candidates import MOST, Candidates, candidates, named, too_near
from heatcore.sizing.cover import ENOUGH, Pairs, cover
from heatcore.sizing.demand import COARSE, Anywhere, Demand, Room, Seats, Together
from heatcore.sizing.result import Answer, Layout, Left, Sizing, Way

__all__ = ["Answer", "Layout", "Left", "Sizing", "Way", "size"]

USUAL = "long linear"
ROUNDS = 4  # in which heaters that shade one another are made up for
MOST_PAIRS = 600_000  # seats times positions: bounds the time
FEWEST_TRIED = 60


def size(scene: Scene, type_name: str | None = None) -> Sizing:
    """Settle how many heaters of one type a scene takes.

    Parameters
    ----------
    scene : its option already chosen
    type_name : the heater type; left out, the one that the scene uses most

    Raises
    ------
    InputError
        Where there is no such type, or the scene cannot be made solid or hung.
    """
    kind, why = _kind(scene, type_name)
    return _Sizer(scene, build(scene), kind).answer(why)


def _kind(scene: Scene, name: str | None) -> tuple[HeaterType, str]:
    """The type to count, and why that one."""
    types = scene.heater_types or shipped().heaters
    if name is not None:
        if name not in types:
            guess = Guesses().guess(name, types)
            meant = f"did you mean {quoted(guess)}? " if guess else ""
            remedy = f"{meant}choose from {listed(map(quoted, sorted(types)))}"
            raise InputError("--type", f"there is no heater type {quoted(name)}", remedy)
        return types[name], "asked for"
    used = Counter(heater.type for heater in scene.heater)
    if used:
        return types[used.most_common(1)[0][0]], "the one that the scene uses most"
    return types.get(USUAL, shipped().heaters[USUAL]), "the scene has no heaters: a usual type"


@dataclass(frozen=True, eq=False)
class _Sizer:
    """One scene and one heater type, on the way to the answer."""

    scene: Scene
    model: Model
    kind: HeaterType

    def answer(self, why: str) -> Sizing:
        rule = area_rule(self.scene, self.kind)
        answers = [self._by_rule(rule)]
        if self.scene.heater:
            answers.insert(0, self._answer(Way.DRAWN, self._layout(hang(self.scene, self.model))))
        found = self.found
        answers.append(self._answer(Way.SEATS, self._seats(found)))
        answers.append(self._answer(Way.FLOOR, self._floor(found)))
        return Sizing(
            scene=self.scene,
            places=self.model.places,
            kind=self.kind,
            why=why,
            rule=rule,
            answers=tuple(answers),
            needed_gain=self.evening.needed_gain,
            utci_without=self.evening.utci_without,
            within_reach=bool(np.isfinite(self.evening.needed_radiant)),
            tried=found.tried,
            held=len(found.mounts),
            step=found.step,
            room=float(self.room.area.area),
            spots=len(self.room.spots),
        )

    @cached_property
    def evening(self) -> Evening:
        return Evening(self.scene.site.climate, self.scene.site.target)

    @cached_property
    def room(self) -> Room:
        return Room(self.model)

    @cached_property
    def anywhere(self) -> Anywhere:
        return Anywhere(self.room.spots, self.evening)

    @cached_property
    def seats(self) -> Seats:
        return Seats(self.model.places, self.evening)

    @cached_property
    def seat_gives(self) -> Floats:
        return self.seats.shares(
            emitters_of(self.found.mounts, self.scene.site.supply.voltage), self.around
        )

    @cached_property
    def around(self) -> Surroundings:
        return surroundings((), self.model)

    @cached_property
    def found(self) -> Candidates:
        if self.evening.needed_gain <= 0.0 or not np.isfinite(self.evening.needed_radiant):
            return Candidates((), 0, 0.0)
        most = min(MOST, MOST_PAIRS // max(1, len(self.model.places)))
        return candidates(self.scene, self.model, self.kind, max(most, FEWEST_TRIED))

    @cached_property
    def apart(self) -> Pairs:
        return too_near(self.found.mounts)

    # ------------------------------------------------------------------

    def _by_rule(self, rule: AreaRule) -> Answer:
        heaters = (Heater(name=str(n + 1), type=self.kind.name) for n in range(rule.heaters))
        fed = electrical([(heater, self.kind) for heater in heaters], self.scene.site.supply)
        return Answer(Way.RULE, fed, None)

    def _answer(self, way: Way, layout: Layout) -> Answer:
        fed = [(mount.heater, mount.type) for mount in layout.mounts]
        return Answer(way, electrical(fed, self.scene.site.supply, self.scene.circuit), layout)

    def _seats(self, found: Candidates) -> Layout:
        places, gives = self.model.places, self.seat_gives
        layout, reached = self._propose(self.seats, gives, found, "N")
        most = gives.sum(axis=1)
        left = (
            Left(place.name, float(share))
            for place, got, share in zip(places, reached, most, strict=True)
            if got < ENOUGH
        )
        return replace(layout, left=tuple(left)) if self.evening.needed_gain > 0.0 else layout

    def _floor(self, found: Candidates) -> Layout:
        spots = self.anywhere.shares(
            emitters_of(found.mounts, self.scene.site.supply.voltage), self.around, COARSE
        )
        everyone = Together((self.seats, self.anywhere))
        gives = np.concatenate([self.seat_gives, spots])
        layout, _ = self._propose(everyone, gives, found, "F")
        return layout

    def _propose(
        self, demand: Demand, gives: Floats, found: Candidates, letter: str
    ) -> tuple[Layout, Floats]:
        """The fewest heaters for a demand, and what they give each row.

        Parameters
        ----------
        demand : who is to be warm
        gives : what each position gives each row, nothing else hanging
        found : the positions
        letter : that the heaters' names begin with
        """
        for _ in range(ROUNDS):
            chosen = cover(gives, self.apart)
            mounts = named(tuple(found.mounts[i] for i in chosen.chosen), self.scene, letter)
            around = self.around.hung_anew(mounts)
            reached = demand.shares(
                emitters_of(mounts, self.scene.site.supply.voltage), around
            ).sum(axis=1)
            short = chosen.served & (reached < ENOUGH)
            if not short.any():
                break
            # The heaters' own bodies are in the way too: whom they shade needs more.
            gives = gives.copy()
            gives[short] *= (0.999 * reached / chosen.reached)[short, None]
        return self._layout(mounts, fewest=chosen.fewest), reached

    def _layout(self, mounts: tuple[Mount, ...], *, fewest: bool = False) -> Layout:
        site, emitters = self.scene.site, emitters_of(mounts, self.scene.site.supply.voltage)
        around = self.around.hung_anew(mounts)
        if self.evening.needed_gain <= 0.0:
            floor, coldest = 1.0, None
        else:
            got = self.anywhere.warmed(self.anywhere.shares(emitters, around).sum(axis=1))
            floor = float((got >= ENOUGH).mean()) if len(got) else 0.0
            coldest = self.room.spots[int(got.argmin())] if len(got) else None
        heads = head_heats(emitters, self.model, around, site.climate)
        return Layout(
            mounts=mounts,
            people=body_heats(emitters, self.model, around, site.climate, site.target, site.units),
            floor=floor,
            coldest=coldest,
            head_w_m2=max((head.total_w_m2 for head in heads), default=0.0),
            fewest=fewest,
        )
