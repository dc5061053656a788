"""What the heaters draw: currents, circuits, legs, switching, energy and its price.

A calculation for planning. A licensed electrician decides on circuits, conductors and protection,
and the maker's listing says at which voltages a heater may work.
"""

from __future__ import annotations

from heatcore.checks.electrical.circuits import Circuit, Electrical, electrical
from heatcore.checks.electrical.findings import (
    electrical_findings,
    electrical_said,
    electrical_subject,
)
from heatcore.checks.electrical.legs import LineCurrents, feed_at, spread
from heatcore.checks.electrical.loads import Load
from heatcore.checks.electrical.practice import (
    CONTINUOUS,
    OFF,
    RATINGS,
    RULES,
    current,
    design_current,
    next_rating,
    three_phase_current,
)
from heatcore.checks.electrical.switching import Switched, switching

__all__ = [
    "CONTINUOUS",
    "OFF",
    "RATINGS",
    "RULES",
    "Circuit",
    "Electrical",
    "LineCurrents",
    "Load",
    "Switched",
    "current",
    "design_current",
    "electrical",
    "electrical_findings",
    "electrical_said",
    "electrical_subject",
    "feed_at",
    "next_rating",
    "spread",
    "switching",
    "three_phase_current",
]
