"""What leaves the tool as text: reads an Evaluation, computes nothing."""

from heatcore.sheets.record import record
from heatcore.sheets.terminal import report

__all__ = ["record", "report"]
