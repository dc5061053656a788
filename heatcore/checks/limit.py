"""Required values that no type states."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limit:
    """A required value that no type states.

    Attributes
    ----------
    value : in the unit of the finding
    source : where it comes from, as findings say it
    """

    value: float
    source: str
