"""What would make a cold place warm, and what would clear a finding.

Each change is tried through a whole evaluation before it is offered.
"""

from heatcore.remedies.findings import fixable, fixes
from heatcore.remedies.seats import remedies
from heatcore.remedies.values import Advice, Change, Effect, FindingAdvice, Fix, Kind, Remedy

__all__ = [
    "Advice",
    "Change",
    "Effect",
    "FindingAdvice",
    "Fix",
    "Kind",
    "Remedy",
    "fixable",
    "fixes",
    "remedies",
]
