"""What would make a cold place warm, and what would clear a finding.

Each change is tried through a whole evaluation before it is offered.
"""

from heatcore.remedies.seats import remedies
from heatcore.remedies.values import Advice, Change, Effect, Kind, Remedy

__all__ = ["Advice", "Change", "Effect", "Kind", "Remedy", "remedies"]
