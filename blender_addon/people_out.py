"""How the people of an Evaluation fare, as lines that a panel can show."""

from __future__ import annotations

import bpy

from heatcore.evaluate import Evaluation
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.units import UnitSystem, format_temperature_step

from .properties import settings_of

ORDER = (Comfort.COLD, Comfort.BORDERLINE, Comfort.WARM)


def show_people(scene: bpy.types.Scene, evaluation: Evaluation) -> None:
    """Put each person's verdict into the scene's settings, the coldest first."""
    settings, units = settings_of(scene), evaluation.scene.site.units
    settings.seats.clear()
    for body in sorted(evaluation.people, key=lambda b: (ORDER.index(b.comfort), b.gain)):
        line = settings.seats.add()
        line.comfort = body.comfort.value
        line.text = said(body, units)
        line.reason = body.reason.words if body.reason else ""


def said(body: BodyHeat, units: UnitSystem) -> str:
    """A person's place, how much warmer it feels there, and the watts that the body takes in."""
    gain = format_temperature_step(max(body.gain, 0.0), units)
    return f"{body.place.name}: +{gain}, {body.total_w:.0f} W"
