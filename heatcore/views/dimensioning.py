"""Dimension lines: running dimensions from a named reference, and single ones over all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from textwrap import fill
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.views.layout import GAP, Note, note_size
from heatcore.views.pane import FINE, MEDIUM, Pane
from heatcore.views.view import Tone

TICK = 0.009  # half length of the slanted stroke that ends a dimension [frame heights]
BEYOND = 0.012  # by which an extension line runs past its dimension line
CLEAR = 0.01  # from what is measured to the beginning of its extension line
MOST_NAMES = 3  # at one station; more are counted
MOST_LETTERS = 16
ASIDE = 0.035  # from the rule to a figure that does not stand at its tick


@dataclass(frozen=True, eq=False)
class Rule:
    """The line along which is measured, beside the drawing.

    Attributes
    ----------
    upright : whether it runs up the picture instead of along it
    line : where it lies, across it [frame heights]
    outward : +1 or -1: to which side of it, across it, its figures stand
    """

    upright: bool
    line: float
    outward: float = -1.0

    def at(self, along: float, across: float) -> Floats:
        """(2,) the frame coordinates of a place along and across the rule."""
        return np.array([across, along] if self.upright else [along, across])

    def box(self, alongs: Sequence[float]) -> Floats:
        """(4,) the strip round the line from its first to its last place, ticks included."""
        low, high = self.at(min(alongs), self.line), self.at(max(alongs), self.line)
        return np.concatenate([low - TICK, high + TICK])


@dataclass(frozen=True)
class Station:
    """A place on a rule: where along it, where across its extension line begins, what it says."""

    along: float
    begins: float
    text: str


def draw_stations(
    pane: Pane, rule: Rule, stations: Sequence[Station], limits: tuple[float, float]
) -> list[Note]:
    """Draw a rule with its stations; return their figures.

    The figures stand in the stations' order, each as near to its tick as the others let it. Those
    that find no room between the limits along the rule get no spot.
    """
    ends = [min(s.along for s in stations), max(s.along for s in stations)]
    pane.draw([rule.at(end, rule.line) for end in ends], MEDIUM, Tone.MEASURE)
    for station in stations:
        _tick(pane, rule, station.along, station.begins)
    ordered = sorted(stations, key=lambda station: station.along)
    sizes = np.array([note_size(station.text)[1 if rule.upright else 0] for station in ordered])
    wanted = np.array([station.along for station in ordered])
    kept = list(range(len(ordered)))
    while (places := spread(wanted[kept], sizes[kept], limits)) is None:
        # The one nearest to its neighbour says the least that is new; the reference stays.
        gaps = np.diff(wanted[kept])
        kept.pop(int(np.argmin(gaps)) + 1)
    notes = [
        _figure(rule, ordered[index], float(place))
        for index, place in zip(kept, places, strict=True)
    ]
    missing = [station for index, station in enumerate(ordered) if index not in kept]
    return [*notes, *(Note(station.text, np.zeros((0, 2))) for station in missing)]


def spread(wanted: Floats, sizes: Floats, limits: tuple[float, float]) -> Floats | None:
    """Places (n,) nearest to the wanted ones (n,), in order, at which things (n,) wide stand apart.

    None where they do not fit between the limits. Least squares under an order: isotonic
    regression by pooling adjacent violators.
    """
    apart = np.concatenate([[0.0], np.cumsum((sizes[:-1] + sizes[1:]) / 2 + 2 * GAP)])
    low, high = limits[0] + sizes[0] / 2, limits[1] - sizes[-1] / 2 - apart[-1]
    if high < low and len(wanted) > 1:
        return None
    pools: list[tuple[float, int]] = []
    for value in wanted - apart:
        mean, count = float(value), 1
        while pools and pools[-1][0] > mean:
            before, number = pools.pop()
            mean = (before * number + mean * count) / (number + count)
            count += number
        pools.append((mean, count))
    level = np.concatenate([np.full(count, mean) for mean, count in pools])
    return np.asarray(np.clip(level, low, max(low, high)) + apart)


def draw_dimension(
    pane: Pane, rule: Rule, ends: tuple[float, float], begins: float, text: str
) -> Note:
    """Draw one dimension from end to end; return its figure, which stands on the line."""
    pane.draw([rule.at(end, rule.line) for end in ends], MEDIUM, Tone.MEASURE)
    for end in ends:
        _tick(pane, rule, end, begins)
    middle = (ends[0] + ends[1]) / 2
    spots = [rule.at(middle + aside, rule.line) for aside in (0.0, 0.08, -0.08, 0.16, -0.16)]
    return Note(text, spots, Tone.MEASURE, turn=np.pi / 2 if rule.upright else 0.0)


def _tick(pane: Pane, rule: Rule, along: float, begins: float) -> None:
    way = np.sign(rule.line - begins)
    across = (begins + way * CLEAR, rule.line + way * BEYOND)
    pane.draw([rule.at(along, place) for place in across], FINE)
    middle = rule.at(along, rule.line)
    pane.draw([middle - TICK, middle + TICK], MEDIUM, Tone.MEASURE, sheet=4)


def _figure(rule: Rule, station: Station, along: float) -> Note:
    """A figure outward of the rule at a place along it, tied to its tick where it stands aside."""
    across = note_size(station.text)[0 if rule.upright else 1]
    stand = BEYOND + GAP if abs(along - station.along) < TICK else ASIDE
    # Where something else stands in its place, further out.
    spots = [
        rule.at(along, rule.line + rule.outward * (across / 2 + stand + further))
        for further in (0.0, 0.03, 0.06, 0.1)
    ]
    return Note(
        station.text,
        spots,
        Tone.MEASURE,
        anchor=rule.at(station.along, rule.line),
        close=int(stand < ASIDE),
        side=(-rule.outward, 0.0) if rule.upright else (0.0, -rule.outward),
    )


def gathered(values: Mapping[str, float], least: float) -> list[tuple[float, list[str]]]:
    """Values with the names that have them; values nearer together than `least` are one."""
    out: list[tuple[float, list[str]]] = []
    for name, value in sorted(values.items(), key=lambda item: item[1]):
        if out and value - out[-1][0] <= least:
            out[-1][1].append(name)
        else:
            out.append((value, [name]))
    order = list(values)
    return [(value, sorted(names, key=order.index)) for value, names in out]


def named(names: Sequence[str]) -> str:
    """Several names as one short text."""
    listed = ", ".join(names)
    short = len(names) <= MOST_NAMES and len(listed) <= MOST_LETTERS
    return listed if short or len(names) == 1 else f"{len(names)} heaters"


def wrapped(text: str) -> str:
    """A name in lines that leave room for the drawing beside it."""
    return fill(text, MOST_LETTERS, break_long_words=True)


def box_ends(points: Any) -> tuple[Floats, Floats]:
    """Lowest and highest frame coordinates (2,) of points (n, 2)."""
    at = np.asarray(points, dtype=np.float64)
    return at.min(axis=0), at.max(axis=0)
