"""What is said of people who are cold."""

from __future__ import annotations

from collections.abc import Sequence

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.heat.people.body import BodyHeat
from heatcore.units import format_temperature_step
from heatcore.views.layout import Note, around, note_size
from heatcore.views.view import Tone

MOST = 5  # labels; the marks say the rest


def cold_notes(
    evaluation: Evaluation, cold: Sequence[tuple[BodyHeat, Floats]], clear: float = 0.0
) -> list[Note]:
    """Labels for cold places: one by itself with what it gains, those of one table together.

    Parameters
    ----------
    evaluation : what was found
    cold : each with its mark (2,) in the frame
    clear : room that a mark takes round it [frame heights]
    """
    by_owner: dict[str, list[tuple[BodyHeat, Floats]]] = {}
    for body, at in cold:
        by_owner.setdefault(body.place.owner, []).append((body, at))
    # Those who stand or sit alone first: a table's cold seats are seen by their marks.
    order = sorted(by_owner.items(), key=lambda item: len(item[1]))
    notes = []
    for owner, bodies in order[:MOST]:
        body, anchor = bodies[0]
        if len(bodies) == 1:
            notes.append(_alone(evaluation, body, anchor, clear))
        else:
            notes.append(_note(f"{owner}: {len(bodies)} cold seats", anchor, clear))
    return notes


def _alone(evaluation: Evaluation, body: BodyHeat, anchor: Floats, clear: float) -> Note:
    """A place's name with what it gains; the name alone where there is no more room."""
    short = _note(body.place.name, anchor, clear)
    if not evaluation.mounts:
        return short
    gain = format_temperature_step(max(body.gain, 0.0), evaluation.scene.site.units)
    return _note(f"{body.place.name} +{gain}", anchor, clear, short)


def _note(text: str, anchor: Floats, clear: float, shorter: Note | None = None) -> Note:
    spots = around(anchor, note_size(text) + clear)
    return Note(text, spots, Tone.COLD, anchor=anchor, shorter=shorter)
