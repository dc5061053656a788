"""What every drawing carries: north and a scale bar."""

from __future__ import annotations

import numpy as np

from heatcore.units import UnitSystem, format_length
from heatcore.views.layout import MARGIN, Layout, Note, note_size
from heatcore.views.pane import FINE, MEDIUM, Pane
from heatcore.views.view import Tone

BAR = 0.3  # frame heights that a scale bar may be long
METRES = (0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
FEET = (0.5, 1.0, 2.0, 4.0, 5.0, 10.0, 20.0, 50.0, 100.0)
FOOT = 0.3048


def draw_scale_bar(pane: Pane, layout: Layout, units: UnitSystem) -> None:
    """Draw a bar of a round length in the lower right corner."""
    height = float(pane.framing.height_at(1.0))
    lengths = np.array(METRES) if units is UnitSystem.METRIC else np.array(FEET) * FOOT
    fitting = lengths[lengths <= BAR * height]
    length = float(fitting[-1] if len(fitting) else lengths[0])
    long = length / height
    text = format_length(length, units)
    label = note_size(text)
    size = np.array([max(long, 0.05) + label[0] + 0.02, label[1]])
    at = layout.reserve(
        size, [(layout.aspect / 2 - MARGIN - size[0] / 2, -0.5 + MARGIN + size[1] / 2)]
    )
    if at is None:
        return
    left = at - [size[0] / 2, 0.0]
    for part in range(4):
        ring = left + np.array([(0, -1), (1, -1), (1, 1), (0, 1)]) * [long / 4, 0.004]
        ring = ring + np.array([part * long / 4, 0.0])
        pane.draw(ring, FINE, Tone.MEASURE, closed=True, filled=part % 2 == 0)
    layout.put(
        Note(text, left + np.array([max(long, 0.05) + 0.02 + label[0] / 2, 0.0]), plate=False)
    )


def draw_north(pane: Pane, layout: Layout, north: float) -> None:
    """Draw an arrow to the north in the lower right corner, over the scale bar.

    Parameters
    ----------
    north : its direction in plan, from world X counter-clockwise [rad]
    """
    radius = 0.035
    size = np.array([2.6 * radius, 2.6 * radius + 0.05])
    at = layout.reserve(
        size, [(layout.aspect / 2 - MARGIN - size[0] / 2, -0.5 + 0.11 + size[1] / 2)]
    )
    if at is None:
        return
    way = pane.framing.camera.axes[:2] @ [np.cos(north), np.sin(north), 0.0]
    side = np.array([-way[1], way[0]])
    middle = at - [0.0, 0.025]
    tip, foot = middle + radius * way, middle - radius * way
    notch = middle - 0.45 * radius * way
    pane.draw(
        [tip, foot + 0.55 * radius * side, notch], FINE, Tone.MEASURE, closed=True, filled=True
    )
    pane.draw([tip, notch, foot - 0.55 * radius * side], MEDIUM, Tone.MEASURE, closed=True)
    layout.put(Note("N", at + np.array([0.0, size[1] / 2 - 0.018]), plate=False))
