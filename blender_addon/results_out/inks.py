"""The colors that writing takes: light on a dusky picture, dark on a pale drawing."""

from __future__ import annotations

import bpy

from heatcore.views.view import Tone, View

from ..materials import made
from ..materials.nodes import Color
from ..materials.overlay import film
from .canvas import is_drawing

PAPER, SOOT = (0.93, 0.925, 0.905), (0.017, 0.017, 0.018)
PAPER_LIGHT = 2.2  # of paper's own; the film's curve leaves less of it white
BAND_COVER = 0.75  # of the floor

# What the film's curve turns into the colors of `heatcore.views.ramp`.
RAMP: dict[Tone, Color] = {
    Tone.BAND_1: (0.0982, 0.0271, 0.0684),
    Tone.BAND_2: (0.2632, 0.0375, 0.0820),
    Tone.BAND_3: (0.6224, 0.0516, 0.0521),
    Tone.BAND_4: (0.9933, 0.1617, 0.0205),
    Tone.BAND_5: (1.1861, 0.5162, 0.0055),
    Tone.BAND_6: (1.9817, 1.4641, 0.0023),
}
SIGNAL: dict[Tone, Color] = {
    Tone.WARM: (1.0, 0.36, 0.05),
    Tone.EDGE: (0.80, 0.45, 0.16),
    Tone.COLD: (0.10, 0.28, 0.62),
    Tone.ALARM: (1.0, 0.025, 0.015),
    Tone.GOOD: (0.06, 0.42, 0.12),
    Tone.THRESHOLD: PAPER,
    **RAMP,
}
PLATES: dict[Tone, Color] = {
    Tone.WARM: (0.46, 0.115, 0.012),
    Tone.EDGE: (0.26, 0.12, 0.04),
    Tone.COLD: (0.025, 0.075, 0.19),
    Tone.ALARM: (0.62, 0.01, 0.007),
    Tone.GOOD: (0.012, 0.15, 0.04),
}


def stroke_ink(view: View, tone: Tone) -> bpy.types.Material:
    """What lines are drawn with."""
    plain = SOOT if is_drawing(view) else PAPER
    return ink("line", SIGNAL.get(tone, plain), 1.0)


def fill_ink(view: View, tone: Tone) -> bpy.types.Material:
    """What outlines are filled with; a plain one is a cut through something solid."""
    return ink("fill", SIGNAL.get(tone, SOOT), 1.0)


def plate_ink(view: View, tone: Tone) -> bpy.types.Material:
    """What lies behind a label."""
    plain = PAPER if is_drawing(view) else SOOT
    return ink("plate", PLATES.get(tone, plain), 1.0 if is_drawing(view) else 0.93)


def letter_ink(view: View, tone: Tone, *, plate: bool) -> bpy.types.Material:
    """What a label is written with."""
    dark = is_drawing(view) and (tone not in PLATES or not plate)
    return ink("letters", SOOT if dark else PAPER, 1.0)


def halo_ink(view: View) -> bpy.types.Material:
    """What surrounds letters that stand without a plate."""
    return ink("halo", PAPER if is_drawing(view) else SOOT, 0.9)


def lighter(color: Color) -> Color:
    """A color on its way to paper."""
    red, green, blue = (0.45 * c + 0.55 * light for c, light in zip(color, PAPER, strict=True))
    return red, green, blue


def ink(use: str, color: Color, cover: float) -> bpy.types.Material:
    """Return the film of a color for a use."""
    code = "".join(f"{round(255 * c):02x}" for c in color)
    strength = PAPER_LIGHT if color == PAPER else 1.0
    name = f"{use} {code} {cover:.2f}"
    return made(name, film, (*color, cover), color=color, cover=cover, strength=strength)
