"""What leaves the tool as text: reads an Evaluation, computes nothing."""

from heatcore.sheets.comparison import comparison_record, comparison_report
from heatcore.sheets.record import FORMAT, record
from heatcore.sheets.remedies import remedies_record, remedies_report
from heatcore.sheets.sizing import heaters_toml, sizing_record, sizing_report
from heatcore.sheets.terminal import report

__all__ = [
    "FORMAT",
    "comparison_record",
    "comparison_report",
    "heaters_toml",
    "record",
    "remedies_record",
    "remedies_report",
    "report",
    "sizing_record",
    "sizing_report",
]
