"""What the drawing's tolerances leave of each finding, and what to measure on site."""

from __future__ import annotations

from heatcore.tolerance.judging import judged
from heatcore.tolerance.measuring import ToMeasure, to_measure

__all__ = ["ToMeasure", "judged", "to_measure"]
