"""Marks and legends: shapes that say the same as their colors, and what they mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.heat.beam import Lit
from heatcore.views.layout import MARGIN, Layout, Note, note_size
from heatcore.views.pane import FINE, Pane
from heatcore.views.view import Tone

TONES = {Lit.BEAM: Tone.WARM, Lit.EDGE: Tone.EDGE, Lit.OUTSIDE: Tone.COLD}
PAD = 0.016  # frame heights round a legend's rows
SWATCH = 0.032  # width of a legend's swatch [frame heights]
ROW = 0.042  # from row to row [frame heights]


def mark(lit: Lit, at: Any, radius: float) -> Floats:
    """The mark of a place (n, 2): a disc in a beam, a triangle at its edge, a cross outside."""
    if lit is Lit.BEAM:
        turns = np.arange(28) * 2 * np.pi / 28
        shape = 0.92 * np.column_stack([np.cos(turns), np.sin(turns)])
    elif lit is Lit.EDGE:
        shape = np.array([(0.0, 1.1), (-1.05, -0.8), (1.05, -0.8)])
    else:
        thin, long = 0.34, 1.2
        quarter = np.array([(long, -thin), (long, thin), (thin, thin)])
        turns = np.pi / 4 + np.arange(4) * np.pi / 2
        shape = np.concatenate([quarter @ _turn(turn) for turn in turns])
    return np.asarray(np.asarray(at) + radius * shape)


def rectangle(at: Any, width: float, height: float) -> Floats:
    """A rectangle (4, 2) about a point."""
    half = np.array([width, height]) / 2
    return np.asarray(np.asarray(at) + half * [(-1, -1), (1, -1), (1, 1), (-1, 1)])


@dataclass(frozen=True, eq=False)
class Swatch:
    """One row of a legend.

    Attributes
    ----------
    text : what it means
    tone : its color
    lit : the verdict whose mark it shows; None for a filled field of the color
    outline : whether a heater's outline is shown instead
    """

    text: str
    tone: Tone
    lit: Lit | None = None
    outline: bool = False


def legend_size(rows: Sequence[Swatch]) -> Floats:
    """(2,) width and height of a legend [frame heights]."""
    widest = max(note_size(row.text, plate=False)[0] for row in rows)
    return np.array([widest + SWATCH + 0.006 + 2 * PAD, ROW * len(rows) + 2 * PAD])


def draw_legend(pane: Pane, layout: Layout, rows: Sequence[Swatch], spots: Any = None) -> None:
    """Draw a legend into the first of the corners, or of the given spots (k, 2), that is free."""
    size = legend_size(rows)
    at = layout.reserve(size, corners(layout.aspect, size) if spots is None else spots)
    if at is None:
        return
    if pane.framing.lens:
        pane.draw(rectangle(at, *size), FINE, sheet=0, closed=True, filled=True)
    left, top = at[0] - size[0] / 2 + PAD, at[1] + size[1] / 2 - PAD - ROW / 2
    for number, row in enumerate(rows):
        middle = np.array([left + SWATCH / 2, top - ROW * number])
        if row.outline:
            pane.draw(rectangle(middle, SWATCH, 0.012), 0.003, row.tone, sheet=4, closed=True)
        elif row.lit is None:
            pane.draw(
                rectangle(middle, SWATCH, 0.02), FINE, row.tone, sheet=4, closed=True, filled=True
            )
        else:
            pane.draw(
                mark(row.lit, middle, 0.012), FINE, row.tone, sheet=4, closed=True, filled=True
            )
        wide = note_size(row.text, plate=False)[0]
        layout.put(Note(row.text, [left + SWATCH + 0.006 + wide / 2, middle[1]], plate=False))


def corners(aspect: float, size: Floats) -> Floats:
    """(4, 2) spots for a block in the corners of the picture, the lower ones first."""
    x, y = np.array([aspect / 2, 0.5]) - MARGIN - np.asarray(size) / 2
    return np.array([(-x, -y), (x, -y), (-x, y), (x, y)])


def _turn(angle: float) -> Floats:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, s], [-s, c]])
