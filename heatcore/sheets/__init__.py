"""What leaves the tool as text: reads an Evaluation, computes nothing."""

from heatcore.sheets.record import FORMAT, record
from heatcore.sheets.terminal import report

__all__ = ["FORMAT", "record", "report"]
