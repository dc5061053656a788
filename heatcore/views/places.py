"""What is said of places that are not warm."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.heat.beam import Lit, PlaceLight
from heatcore.views.layout import Note, around, note_size
from heatcore.views.pane import Pane
from heatcore.views.view import Tone


def cold_places(
    evaluation: Evaluation, pane: Pane, at: Callable[[Any], Floats], most: int = 5
) -> list[Note]:
    """Labels for the places outside every beam, those of one table together.

    Parameters
    ----------
    evaluation : what was found
    pane : that they are written on
    at : frame coordinates (2,) of a place's point (3,) as the picture shows it
    most : labels at the most; the marks say the rest
    """
    by_owner: dict[str, list[PlaceLight]] = {}
    for light in evaluation.places:
        if light.best is Lit.OUTSIDE and pane.framing.shows(light.place.point):
            by_owner.setdefault(light.place.owner, []).append(light)
    # Those who stand or sit alone first: a table's cold seats are seen by their marks.
    order = sorted(by_owner.items(), key=lambda item: len(item[1]))
    notes = []
    for owner, lights in order[:most]:
        one = lights[0].place
        text = one.name if len(lights) == 1 else f"{owner}: {len(lights)} seats"
        anchor = at(one.point)
        notes.append(Note(text, around(anchor, note_size(text)), Tone.COLD, anchor=anchor))
    return notes
