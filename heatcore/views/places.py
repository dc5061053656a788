"""What is said of people who are not warm."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.heat.body import BodyHeat, Comfort
from heatcore.units import format_temperature_step
from heatcore.views.layout import Note, around, note_size
from heatcore.views.pane import Pane
from heatcore.views.view import Tone


def cold_note(evaluation: Evaluation, body: BodyHeat, anchor: Floats, clear: float = 0.0) -> Note:
    """A cold place's name with what it gains; the name alone where there is no more room.

    Parameters
    ----------
    anchor : (2,) its mark in the frame
    clear : room that the mark takes round it [frame heights]
    """
    name = body.place.name
    short = Note(name, around(anchor, note_size(name) + clear), Tone.COLD, anchor=anchor)
    if not evaluation.mounts:
        return short
    text = f"{name} {gained(evaluation, body.gain)}"
    spots = around(anchor, note_size(text) + clear)
    return Note(text, spots, Tone.COLD, anchor=anchor, shorter=short)


def cold_places(
    evaluation: Evaluation, pane: Pane, at: Callable[[Any], Floats], most: int = 5
) -> list[Note]:
    """Labels for the places that are cold, those of one table together.

    Parameters
    ----------
    evaluation : what was found
    pane : that they are written on
    at : frame coordinates (2,) of a place's point (3,) as the picture shows it
    most : labels at the most; the marks say the rest
    """
    by_owner: dict[str, list[BodyHeat]] = {}
    for body in evaluation.people:
        if body.comfort is Comfort.COLD and pane.framing.shows(body.place.point):
            by_owner.setdefault(body.place.owner, []).append(body)
    # Those who stand or sit alone first: a table's cold seats are seen by their marks.
    order = sorted(by_owner.items(), key=lambda item: len(item[1]))
    notes = []
    for owner, bodies in order[:most]:
        anchor = at(bodies[0].place.point)
        if len(bodies) == 1:
            notes.append(cold_note(evaluation, bodies[0], anchor))
            continue
        text = f"{owner}: {len(bodies)} cold seats"
        notes.append(Note(text, around(anchor, note_size(text)), Tone.COLD, anchor=anchor))
    return notes


def gained(evaluation: Evaluation, gain_k: float) -> str:
    """How much warmer it feels, with its sign, in the site's units."""
    return "+" + format_temperature_step(max(gain_k, 0.0), evaluation.scene.site.units)
