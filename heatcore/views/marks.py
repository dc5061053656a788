"""Marks: shapes that say how a person fares, the same as their colors do."""

from __future__ import annotations

from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.heat.people.body import Comfort
from heatcore.views.pane import FINE, Pane
from heatcore.views.view import Tone

TONES = {Comfort.WARM: Tone.WARM, Comfort.BORDERLINE: Tone.EDGE, Comfort.COLD: Tone.COLD}
RIM = 0.3  # of a mark's radius: the dark rim that parts it from a floor of its own color


def mark(comfort: Comfort, at: Any, radius: float, grown: float = 0.0) -> Floats:
    """The mark of a place (n, 2): a disc where it is warm, a triangle at the limit, a cross.

    Parameters
    ----------
    comfort : the verdict
    at : (2,) where
    radius : of the disc; the others look as large
    grown : by how much it is larger all round, as a share of the radius
    """
    if comfort is Comfort.WARM:
        turns = np.arange(28) * 2 * np.pi / 28
        shape = (0.92 + grown) * np.column_stack([np.cos(turns), np.sin(turns)])
    elif comfort is Comfort.BORDERLINE:
        # Its corners run further out than its sides.
        shape = np.array([(0.0, 1.1), (-1.05, -0.8), (1.05, -0.8)])
        shape += grown * np.array([(0.0, 2.1), (-1.7, -1.0), (1.7, -1.0)])
    else:
        thin, long = 0.34 + grown, 1.2 + grown
        quarter = np.array([(long, -thin), (long, thin), (thin, thin)])
        turns = np.pi / 4 + np.arange(4) * np.pi / 2
        shape = np.concatenate([quarter @ _turn(turn) for turn in turns])
    return np.asarray(np.asarray(at) + radius * shape)


def draw_mark(pane: Pane, comfort: Comfort, at: Any, radius: float) -> Floats:
    """Draw a mark with its rim; return the outline (n, 2) of all that it takes."""
    rim = mark(comfort, at, radius, RIM)
    pane.draw(rim, FINE, Tone.RIM, sheet=5, closed=True, filled=True)
    shape = mark(comfort, at, radius)
    pane.draw(shape, FINE, TONES[comfort], sheet=6, closed=True, filled=True)
    return rim


def _turn(angle: float) -> Floats:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, s], [-s, c]])
