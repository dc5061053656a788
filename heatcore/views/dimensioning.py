"""Dimension lines: running dimensions from a named reference, and single ones over all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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
    """A place on a rule: where along it, where across it its extension line begins, what it says."""

    along: float
    begins: float
    text: str


def draw_stations(pane: Pane, rule: Rule, stations: Sequence[Station]) -> list[Note]:
    """Draw a rule with its stations; return their figures, which still look for their places."""
    ends = [min(s.along for s in stations), max(s.along for s in stations)]
    pane.draw([rule.at(end, rule.line) for end in ends], FINE, Tone.MEASURE)
    for station in stations:
        _tick(pane, rule, station.along, station.begins)
    return [_figure(rule, station) for station in stations]


def draw_dimension(
    pane: Pane, rule: Rule, ends: tuple[float, float], begins: float, text: str
) -> Note:
    """Draw one dimension from end to end; return its figure, which stands on the line."""
    pane.draw([rule.at(end, rule.line) for end in ends], FINE, Tone.MEASURE)
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


def _figure(rule: Rule, station: Station) -> Note:
    """A figure outward of its tick, further out or aside where others are in its way."""
    size = note_size(station.text)
    along, across = size if not rule.upright else size[::-1]
    first = rule.line + rule.outward * (across / 2 + BEYOND + GAP)
    asides = (0.0, 0.3, -0.3, 0.6, -0.6, 1.0, -1.0, 1.5, -1.5)
    spots = [
        rule.at(
            station.along + aside * (along + GAP), first + rule.outward * row * (across + 2 * GAP)
        )
        for row in (0, 1)
        for aside in asides
    ]
    anchor = rule.at(station.along, rule.line)
    return Note(station.text, spots, Tone.MEASURE, anchor=anchor, close=1)


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


def box_ends(points: Any) -> tuple[Floats, Floats]:
    """Lowest and highest frame coordinates (2,) of points (n, 2)."""
    at = np.asarray(points, dtype=np.float64)
    return at.min(axis=0), at.max(axis=0)
