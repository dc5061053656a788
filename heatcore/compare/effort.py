"""What one option takes more than another: power, money, heaters; and how it looks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from statistics import median

from heatcore.compare.changes import heater_changes
from heatcore.compare.looks import ALIKE, Looks
from heatcore.compare.values import Difference, Side, Topic
from heatcore.units import UnitSystem, format_length, format_power

MORE = 0.01
"""Share by which a power or a cost must differ."""
OFF_LINE = 0.05  # m
LOPSIDED = 0.1  # m
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def effort(first: Side, second: Side) -> Iterator[Difference]:
    """Input power, current, circuits, running cost, and the number of heaters."""
    yield from _power(first, second)
    yield from _circuits(first, second)
    yield from _running(first, second)
    yield from _heaters(first, second)


def _power(first: Side, second: Side) -> Iterator[Difference]:
    """Input power, and the current at full output."""
    heater, because = _power_cause(first, second)
    powers = first.load.input_w, second.load.input_w
    if _differ(*powers):
        said = _each((first, second), (f"{format_power(p)} with" for p in powers))
        yield Difference(
            Topic.POWER, powers, "W", heater, int(powers[1] < powers[0]),
            "the heaters draw ", said, because=because,
        )  # fmt: skip
    currents = first.load.current_a or 0.0, second.load.current_a or 0.0
    if _differ(*currents):
        said = _each((first, second), (f"{a:.1f} A with" for a in currents))
        yield Difference(
            Topic.CURRENT, currents, "A", heater, int(currents[1] < currents[0]),
            "at full output the heaters take ", said, because=because,
        )  # fmt: skip


def _circuits(first: Side, second: Side) -> Iterator[Difference]:
    counts = len(first.load.circuits), len(second.load.circuits)
    if counts[0] == counts[1]:
        return
    said = _each(
        (first, second),
        (f"{_count(n)} {'circuit' if n == 1 else 'circuits'} with" for n in counts),
    )
    few, many = (first, second) if counts[0] < counts[1] else (second, first)
    own = {circuit.name for circuit in few.load.circuits}
    missing = [circuit.name for circuit in many.load.circuits if circuit.name not in own]
    yield Difference(
        Topic.CIRCUITS, (float(counts[0]), float(counts[1])), "", missing[0],
        int(counts[1] < counts[0]), "the heaters take ", said,
        because=f": {few.name} does without {_listed(missing)}",
    )  # fmt: skip


def _running(first: Side, second: Side) -> Iterator[Difference]:
    sides = first, second
    costs = first.load.cost, second.load.cost
    energies = first.energy_kwh, second.energy_kwh
    both = costs[0] is not None and costs[1] is not None
    if not _differ(*energies) and not (both and _differ(costs[0] or 0.0, costs[1] or 0.0)):
        return
    told = []
    for side, energy, cost in zip(sides, energies, costs, strict=True):
        price = "" if cost is None else f" ({side.load.supply.currency}{cost:.2f})"
        told.append(f"{energy:.1f} kWh{price} with")
    heater, because = _power_cause(first, second)
    values, unit = energies, "kWh"
    if costs[0] is not None and costs[1] is not None:
        values, unit = (costs[0], costs[1]), ""
    yield Difference(
        Topic.COST, values, unit, heater, int(values[1] < values[0]),
        "an evening takes ", _each(sides, told), because=because,
    )  # fmt: skip


def _heaters(first: Side, second: Side) -> Iterator[Difference]:
    counts = first.heaters, second.heaters
    if counts[0] == counts[1]:
        return
    said = _each(
        (first, second),
        (f"{_count(n)} {'heater hangs' if n == 1 else 'heaters hang'} with" for n in counts),
    )
    few, many = (first, second) if counts[0] < counts[1] else (second, first)
    own = {mount.name for mount in few.evaluation.mounts}
    missing = [m.name for m in many.evaluation.mounts if m.name not in own]
    yield Difference(
        Topic.HEATERS, (float(counts[0]), float(counts[1])), "", missing[0],
        int(counts[1] < counts[0]), "", said,
        because=f": {few.name} does without {_listed(missing)}",
    )  # fmt: skip


def appearance(first: Side, second: Side) -> Iterator[Difference]:
    """Mounting heights, common lines, and symmetry."""
    one, other = first.looks, second.looks
    if one is None or other is None:
        return
    sides, both = (first, second), (one, other)
    yield from _heights(sides, both)
    yield from _lines(sides, both)
    yield from _symmetry(sides, both)


def _heights(sides: tuple[Side, Side], both: tuple[Looks, Looks]) -> Iterator[Difference]:
    units = sides[0].evaluation.scene.site.units
    counts, ranges = [len(look.heights) for look in both], [look.height_range for look in both]
    apart = abs(ranges[0] - ranges[1]) > ALIKE
    if counts[0] == counts[1] and not apart:
        return
    better = int(ranges[1] < ranges[0]) if apart else int(counts[1] < counts[0])
    uneven = sides[1 - better]
    heater, height = _outlier(uneven)
    yield Difference(
        Topic.HEIGHTS, (ranges[0], ranges[1]), "m", heater, better, "the heaters hang at ",
        _each(sides, (f"{_at_heights(look, units)} with" for look in both)), ", and at ",
        f", because {heater} hangs at {format_length(height, units)} in {uneven.name}",
    )  # fmt: skip


def _lines(sides: tuple[Side, Side], both: tuple[Looks, Looks]) -> Iterator[Difference]:
    off = both[0].off_line, both[1].off_line
    if abs(off[0] - off[1]) <= OFF_LINE:
        return
    better = int(off[1] < off[0])
    said = [_off_line(look, side) for look, side in zip(both, sides, strict=True)]
    yield Difference(
        Topic.LINES, off, "m", both[1 - better].off_line_heater, better,
        "", (said[0], said[1]), ", and ",
    )  # fmt: skip


def _symmetry(sides: tuple[Side, Side], both: tuple[Looks, Looks]) -> Iterator[Difference]:
    units = sides[0].evaluation.scene.site.units
    off = both[0].asymmetry, both[1].asymmetry
    if abs(off[0] - off[1]) <= LOPSIDED:
        return
    better = int(off[1] < off[0])
    heater = both[1 - better].asymmetric_heater
    about = both[0].axis if both[0].axis == both[1].axis else "their axis"
    yield Difference(
        Topic.SYMMETRY, off, "m", heater, better,
        f"mirrored about {about}, the heaters miss each other's places by up to ",
        _each(sides, (f"{format_length(o, units)} with" for o in off)),
        because=f", because {heater} has no nearer partner in {sides[1 - better].name}",
    )  # fmt: skip


def _each(sides: tuple[Side, Side], told: Iterable[str]) -> tuple[str, str]:
    """What goes for each side, with its name after it."""
    one, other = (f"{text} {side.name}" for text, side in zip(told, sides, strict=True))
    return one, other


def _differ(one: float, other: float) -> bool:
    return abs(one - other) > MORE * max(abs(one), abs(other))


def _power_cause(first: Side, second: Side) -> tuple[str, str]:
    """The heater that one draws most less by, and a clause about it."""
    more, less = (first, second) if first.load.input_w > second.load.input_w else (second, first)
    powers = [{load.heater: load.input_w for load in side.load.loads} for side in (more, less)]
    changes = heater_changes(more, less)
    saved = {name: powers[0].get(name, 0.0) - powers[1].get(name, 0.0) for name in changes}
    if not saved or max(saved.values()) <= 0.0:
        return "", ""
    heater = max(sorted(saved), key=lambda name: saved[name])
    gone = [name for name in saved if name in powers[0] and name not in powers[1]]
    if heater in gone:
        told = [f"{name} ({format_power(powers[0][name])})" for name in gone]
        return heater, f", because {less.name} does without {_listed(told)}"
    return heater, f", because {changes[heater].told}"


def _at_heights(look: Looks, units: UnitSystem) -> str:
    if len(look.heights) == 1:
        return f"one height of {format_length(look.lowest, units)}"
    low, high = (format_length(z, units) for z in (look.lowest, look.highest))
    return f"{_count(len(look.heights))} heights between {low} and {high}"


def _outlier(side: Side) -> tuple[str, float]:
    """The heater farthest from the middle one's height, and its own height [m]."""
    heights = {mount.name: float(mount.frame.origin[2]) for mount in side.evaluation.mounts}
    middle = median(heights.values())
    name = max(heights, key=lambda name: abs(heights[name] - middle))
    return name, heights[name]


def _off_line(look: Looks, side: Side) -> str:
    if look.off_line < ALIKE:
        return f"with {side.name} the heaters hang in common lines"
    off = format_length(look.off_line, side.evaluation.scene.site.units)
    return f"with {side.name} {look.off_line_heater} hangs {off} off the line that it shares"


def _count(number: int) -> str:
    return COUNTS[number] if number < len(COUNTS) else str(number)


def _listed(names: list[str]) -> str:
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last
