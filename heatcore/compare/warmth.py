"""Who is warm in one option and not in another, and why; and the floor."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from heatcore.compare.causes import Causes, Why
from heatcore.compare.changes import heater_changes
from heatcore.compare.values import Difference, Side, Topic
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.units import UnitSystem, format_temperature_step

NOTICED = 1.0
"""Difference of gain that matters where the verdict stays the same [K]."""
NOISE = 0.2
"""Difference of gain below which a verdict that flips is no matter of the options [K]."""
FLOOR = 0.03
"""Difference of the warmed share that matters."""
NAMED = 3  # places that a sentence names


def warmth(first: Side, second: Side) -> Iterator[Difference]:
    """How many places are warm, and each that differs; coldest, spread and floor."""
    losses = _losses((first, second))
    yield from _counts(first, second, losses)
    yield from _places(first, second, losses)
    yield from _coldest(first, second)
    yield from _spread(first, second)
    yield from _floor(first, second)


def _counts(first: Side, second: Side, losses: Sequence[_Loss]) -> Iterator[Difference]:
    warm = [side.counted(Comfort.WARM) for side in (first, second)]
    cold = [side.places - n for side, n in zip((first, second), warm, strict=True)]
    if warm[0] == warm[1] and cold[0] == cold[1]:
        return
    said = [
        f"{n} of {side.places} places are warm with {side.name}"
        for side, n in zip((first, second), warm, strict=True)
    ]
    better = _less(-warm[0], -warm[1])
    blamed = Counter(
        loss.whys[0].object for loss in losses if loss.flips and loss.worse != better and loss.whys
    )
    most = min(blamed, key=lambda name: (-blamed[name], name), default="")
    if 2 * blamed[most] < sum(loss.flips and loss.worse != better for loss in losses):
        most = ""  # no single thing explains most of it
    yield Difference(
        Topic.WARM, (float(warm[0]), float(warm[1])), "", most, better,
        "", (said[0], said[1]), because=f", above all because of {most}" if most else "",
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class _Loss:
    """A place that gets less in one of two options."""

    name: str
    heats: tuple[BodyHeat, BodyHeat]
    worse: int
    whys: tuple[Why, ...]

    @property
    def flips(self) -> bool:
        return self.heats[0].comfort is not self.heats[1].comfort

    @property
    def alike(self) -> tuple[object, ...]:
        """What places share that a sentence tells together."""
        causes = tuple((why.kind, why.object, why.guest) for why in self.whys)
        if self.whys and self.whys[0].kind == "place":
            causes = (("place", self.heats[0].place.owner, False),)
        verdicts = tuple(heat.comfort for heat in self.heats)
        return self.worse, self.heats[0].place.owner, verdicts, causes


def _places(first: Side, second: Side, losses: Sequence[_Loss]) -> Iterator[Difference]:
    sides = first, second
    groups: dict[tuple[object, ...], list[_Loss]] = {}
    for loss in losses:
        groups.setdefault(loss.alike, []).append(loss)
    for group in groups.values():
        yield _told(group, sides)
    yield from _strangers(first, second)


def _losses(sides: tuple[Side, Side]) -> list[_Loss]:
    heats = [{p.place.name: p for p in side.evaluation.people} for side in sides]
    pairs = [(name, (heat, heats[1][name])) for name, heat in heats[0].items() if name in heats[1]]
    out: list[_Loss] = []
    for worse in (0, 1):
        lost = [
            (name, pair)
            for name, pair in pairs
            if _matters(pair) and pair[worse].gain < pair[1 - worse].gain
        ]
        causes = Causes(sides[1 - worse], sides[worse])
        found = causes.of([name for name, _ in lost]) if lost else []
        out += [
            _Loss(name, pair, worse, whys) for (name, pair), whys in zip(lost, found, strict=True)
        ]
    order = [name for name, _ in pairs]
    return sorted(out, key=lambda loss: order.index(loss.name))


def _matters(pair: tuple[BodyHeat, BodyHeat]) -> bool:
    apart = abs(pair[0].gain - pair[1].gain)
    return apart >= NOTICED or (pair[0].comfort is not pair[1].comfort and apart >= NOISE)


def _told(group: Sequence[_Loss], sides: tuple[Side, Side]) -> Difference:
    units = sides[0].evaluation.scene.site.units
    worse = group[0].worse
    causes = Causes(sides[1 - worse], sides[worse])
    because = causes.told([loss.whys for loss in group])
    gains = [[loss.heats[k].gain for loss in group] for k in (0, 1)]
    texts = [_range(g, units) for g in gains]
    names, several = _names([loss.name for loss in group]), len(group) > 1
    if group[0].flips:
        lead = f"{names} {'are' if several else 'is'} "
        verdicts = [heat.comfort for heat in group[0].heats]
        said = [
            f"{verdict} with {side.name}, gaining {text}"
            for verdict, side, text in zip(verdicts, sides, texts, strict=True)
        ]
        joint = ", and "
    else:
        lead = f"{names} {'gain' if several else 'gains'} "
        said = [f"{text} with {side.name}" for side, text in zip(sides, texts, strict=True)]
        joint = " and "
    most = max(group, key=lambda loss: abs(loss.heats[0].gain - loss.heats[1].gain))
    return Difference(
        Topic.PLACES,
        (most.heats[0].gain, most.heats[1].gain),
        "K",
        group[0].whys[0].object if group[0].whys else "",
        1 - worse,
        lead,
        (said[0], said[1]),
        joint,
        because,
        weight=len(group) * abs(most.heats[0].gain - most.heats[1].gain) + 100.0 * group[0].flips,
    )


def _strangers(first: Side, second: Side) -> Iterator[Difference]:
    """Places that only one of the two has."""
    names = [[p.place.name for p in side.evaluation.people] for side in (first, second)]
    only = [[n for n in names[k] if n not in names[1 - k]] for k in (0, 1)]
    if only[0] or only[1]:
        said = [
            f"only {side.name} has {_names(own)}" if own else f"{side.name} has none of its own"
            for side, own in zip((first, second), only, strict=True)
        ]
        yield Difference(
            Topic.PLACES, (float(len(only[0])), float(len(only[1]))), "", (only[0] or only[1])[0],
            None, "", (said[0], said[1]), ", and ",
        )  # fmt: skip


def _coldest(first: Side, second: Side) -> Iterator[Difference]:
    one, other = first.coldest, second.coldest
    if one is None or other is None or abs(one.gain - other.gain) < NOTICED / 2:
        return
    units = first.evaluation.scene.site.units
    said = [
        f"{heat.place.name} with {side.name}, gaining {format_temperature_step(heat.gain, units)}"
        for side, heat in ((first, one), (second, other))
    ]
    better = _less(-one.gain, -other.gain)
    worst = other if better == 0 else one
    yield Difference(
        Topic.COLDEST, (one.gain, other.gain), "K", worst.place.name, better,
        "the coldest place is ", (said[0], said[1]), ", and ",
    )  # fmt: skip


def _spread(first: Side, second: Side) -> Iterator[Difference]:
    if abs(first.spread - second.spread) < NOTICED or not (first.places and second.places):
        return
    units = first.evaluation.scene.site.units
    said = []
    for side in (first, second):
        assert side.coldest is not None
        assert side.hottest is not None
        spread = format_temperature_step(side.spread, units)
        said.append(
            f"{spread} with {side.name}, from {side.coldest.place.name} to "
            f"{side.hottest.place.name}"
        )
    wider = first if first.spread > second.spread else second
    assert wider.hottest is not None
    yield Difference(
        Topic.SPREAD, (first.spread, second.spread), "K", wider.hottest.place.name,
        None, "gains are spread over ", (said[0], said[1]), ", and ",
    )  # fmt: skip


def _floor(first: Side, second: Side) -> Iterator[Difference]:
    apart = first.warmed - second.warmed
    if abs(apart) < FLOOR:
        return
    better, worse = (first, second) if apart > 0.0 else (second, first)
    threshold = first.evaluation.warmed.threshold_w_m2
    said = [f"{side.warmed:.0%} of the floor with {side.name}" for side in (first, second)]
    heater, because = _floor_cause(better, worse)
    yield Difference(
        Topic.FLOOR, (first.warmed, second.warmed), "", heater, int(apart < 0.0),
        f"{threshold:.0f} W/m2 or more reach ", (said[0], said[1]), because=because,
    )  # fmt: skip


def _floor_cause(better: Side, worse: Side) -> tuple[str, str]:
    """The changed heater that brings the floor most less, or what is new, and a clause on it."""
    changes = heater_changes(better, worse)
    lost = {name: _on_floor(better, name) - _on_floor(worse, name) for name in changes}
    if not lost or max(lost.values()) <= 0.0:
        here, there = ({p.owner for p in s.evaluation.model.parts} for s in (better, worse))
        new = sorted(there - here)
        return (new[0], f", because {worse.name} has {_names(new)}") if new else ("", "")
    heater = max(sorted(lost), key=lambda name: lost[name])
    return heater, f", because {changes[heater].told}"


def _on_floor(side: Side, heater: str) -> float:
    """What a heater brings on the floor, as the mean over its grid [W/m2]."""
    field = side.evaluation.floor_map
    if heater not in field.by_heater:
        return 0.0
    return float(field.by_heater[heater][field.inside].mean())


def _less(first: float, second: float) -> int | None:
    """Which of two is the smaller, 0 or 1; None where they are equal."""
    return None if first == second else int(second < first)


def _range(gains: Sequence[float], units: UnitSystem) -> str:
    low, high = (format_temperature_step(g, units) for g in (min(gains), max(gains)))
    return low if low == high else f"{low} to {high}"


def _names(names: Sequence[str]) -> str:
    if len(names) > NAMED:
        return f"{', '.join(names[: NAMED - 1])} and {len(names) - NAMED + 1} more"
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last
