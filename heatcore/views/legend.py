"""Legends: what the colors, lines and marks of a picture mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.heat.people.body import Comfort
from heatcore.views.floor import FloorPicture
from heatcore.views.layout import MARGIN, Layout, Note, note_size, overlaps
from heatcore.views.marks import TONES, draw_mark
from heatcore.views.pane import BOLD, FINE, Pane
from heatcore.views.view import FloorShows, Tone

PAD = 0.016  # frame heights round a legend's rows
SWATCH = 0.032  # width of a legend's swatch [frame heights]
ASIDE = 0.006  # from a swatch to what it means
ROW = 0.038  # from row to row [frame heights]
BETWEEN = 0.03  # from column to column [frame heights]
RADIUS = 0.0115  # of a mark

TITLES = {
    FloorShows.IRRADIANCE: "floor in W/m\N{SUPERSCRIPT TWO}",
    FloorShows.LANDING: "floor",
}
WORDS = {
    Comfort.WARM: "warm enough",
    Comfort.BORDERLINE: "borderline",
    Comfort.COLD: "too cold",
}


@dataclass(frozen=True, eq=False)
class Row:
    """One row of a legend.

    Attributes
    ----------
    text : what it means
    tone : the color of its field; of its line where there is one
    comfort : the verdict whose mark it shows instead
    outline : whether a heater's outline is shown instead
    line : the tone of a bold line drawn over the field
    title : whether it stands over the rows below it, without any swatch
    """

    text: str
    tone: Tone = Tone.QUIET
    comfort: Comfort | None = None
    outline: bool = False
    line: Tone | None = None
    title: bool = False

    @property
    def width(self) -> float:
        """Of the row with its swatch [frame heights]."""
        wide = float(note_size(self.text, plate=False)[0])
        return wide if self.title else SWATCH + ASIDE + wide


def floor_rows(picture: FloorPicture) -> list[Row]:
    """What the colors on the floor mean, the most glowing first."""
    if not picture.patches:
        return []
    return [
        Row(TITLES[picture.shows], title=True),
        *(Row(patch.text, patch.tone) for patch in reversed(picture.patches)),
    ]


def threshold_rows(picture: FloorPicture) -> list[Row]:
    """What the bold line means."""
    if not picture.patches or not picture.threshold_w_m2:
        return []
    text = f"warmed: from {picture.threshold_w_m2:g}"
    for contour in picture.contours:
        if contour.threshold:
            return [Row(text, contour.tone, line=Tone.THRESHOLD)]
    return [Row(f"{text}, nowhere", picture.patches[-1].tone, line=Tone.THRESHOLD)]


def place_rows(evaluation: Evaluation) -> list[Row]:
    """What the marks mean; nothing where nobody is to be warmed."""
    if not evaluation.people:
        return []
    marks = [Row(WORDS[comfort], TONES[comfort], comfort) for comfort in Comfort]
    return [Row("places", title=True), *marks]


@dataclass(frozen=True, eq=False)
class Legend:
    """Rows in their places.

    Attributes
    ----------
    rows : what is shown
    starts : (n, 2) the left end of each, from the upper left corner [frame heights]
    size : (2,) width and height of it all
    """

    rows: tuple[Row, ...]
    starts: Floats
    size: Floats

    @classmethod
    def columns(cls, parts: Sequence[Sequence[Row]]) -> Legend:
        """Each part a column, one beside the other."""
        widths = [max(row.width for row in part) for part in parts]
        lefts = np.cumsum([0.0, *(width + BETWEEN for width in widths)])
        starts = [
            (left, -ROW * (number + 0.5))
            for part, left in zip(parts, lefts, strict=False)
            for number in range(len(part))
        ]
        size = (sum(widths) + BETWEEN * (len(parts) - 1), ROW * max(map(len, parts)))
        return cls._framed([row for part in parts for row in part], starts, size)

    @classmethod
    def strip(cls, parts: Sequence[Sequence[Row]]) -> Legend:
        """Each part a line, one below the other."""
        starts, width = [], 0.0
        for number, part in enumerate(parts):
            ends = np.cumsum([row.width + BETWEEN for row in part])
            starts += [(float(end - part[i].width - BETWEEN), number) for i, end in enumerate(ends)]
            width = max(width, float(ends[-1]) - BETWEEN)
        placed = [(left, -ROW * (number + 0.5)) for left, number in starts]
        return cls._framed(
            [row for part in parts for row in part], placed, (width, ROW * len(parts))
        )

    @classmethod
    def _framed(cls, rows: Sequence[Row], starts: Any, size: Any) -> Legend:
        return cls(
            tuple(rows), np.array(starts) + PAD * np.array([1, -1]), np.array(size) + 2 * PAD
        )


def place_legend(
    pane: Pane, layout: Layout, parts: Sequence[Sequence[Row]], clear_of: Floats
) -> None:
    """Draw a legend where it hides least: in one column, in several, or as a strip.

    Parameters
    ----------
    parts : its rows, by what they belong to
    clear_of : (n, 4) boxes in the frame that it hides only where there is no other place for it
    """
    parts = [part for part in parts if part]
    if not parts:
        return
    whole = [row for part in parts for row in part]
    shapes = [Legend.columns(parts), Legend.columns([whole]), Legend.strip(parts)]
    found = [*_fits(layout, shapes, clear_of)] or [*_fits(layout, shapes, np.zeros((0, 4)))]
    if found:
        _, at, legend = min(found, key=lambda entry: entry[0])
        draw_legend(pane, layout, legend, at)


def _fits(
    layout: Layout, shapes: Sequence[Legend], clear_of: Floats
) -> Iterator[tuple[float, Floats, Legend]]:
    """Each shape that finds a place: how much it hides there, the place (2,), the shape."""
    for legend in shapes:
        size = legend.size
        spots = np.concatenate([corners(layout.aspect, size), layout.anywhere(size, 9)])
        boxes = np.concatenate([spots - size / 2, spots + size / 2], axis=1)
        best = layout.best(size, spots[~overlaps(boxes, clear_of).any(axis=1)])
        if best is not None:
            # What counts is how much it hides, not which share of it does.
            yield best[0] * float(np.prod(size)), best[1], legend


def draw_legend(pane: Pane, layout: Layout, legend: Legend, at: Any) -> None:
    """Draw a legend about a spot (2,), if that is free."""
    if layout.reserve(legend.size, at) is None:
        return
    if pane.framing.lens:
        pane.draw(rectangle(at, *legend.size), FINE, sheet=0, closed=True, filled=True)
    corner = np.asarray(at) + legend.size / 2 * np.array([-1, 1])
    for row, start in zip(legend.rows, legend.starts, strict=True):
        _draw_row(pane, layout, row, corner + start)


def _draw_row(pane: Pane, layout: Layout, row: Row, start: Floats) -> None:
    """Draw one row from its left end (2,)."""
    text = start
    if not row.title:
        text = start + np.array([SWATCH + ASIDE, 0.0])
        _draw_swatch(pane, row, start + np.array([SWATCH / 2, 0.0]))
    half = float(note_size(row.text, plate=False)[0]) / 2
    layout.put(Note(row.text, text + np.array([half, 0.0]), plate=False))


def _draw_swatch(pane: Pane, row: Row, at: Floats) -> None:
    if row.outline:
        pane.draw(rectangle(at, SWATCH, 0.012), 0.003, row.tone, sheet=4, closed=True)
        return
    if row.comfort is not None:
        draw_mark(pane, row.comfort, at, RADIUS)
        return
    pane.draw(rectangle(at, SWATCH, 0.022), FINE, row.tone, sheet=4, closed=True, filled=True)
    if row.line is not None:
        ends = at + np.array([(-SWATCH / 2, 0.0), (SWATCH / 2, 0.0)])
        pane.draw(ends, 1.2 * BOLD, row.line, sheet=5)


def rectangle(at: Any, width: float, height: float) -> Floats:
    """A rectangle (4, 2) about a point."""
    half = np.array([width, height]) / 2
    return np.asarray(np.asarray(at) + half * [(-1, -1), (1, -1), (1, 1), (-1, 1)])


def corners(aspect: float, size: Floats) -> Floats:
    """(4, 2) spots for a block in the corners of the picture, the lower ones first."""
    x, y = np.array([aspect / 2, 0.5]) - MARGIN - np.asarray(size) / 2
    return np.array([(-x, -y), (x, -y), (-x, y), (x, y)])
