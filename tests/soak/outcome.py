"""What came of one case."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

REFUSED, EVALUATED = "refused", "evaluated"

# What Python says of itself, and people have no use for.
_INTERNALS = re.compile(
    r"Traceback|array\(|object at 0x|np\.|float64|int64|<class|NoneType|dtype|\bnan\b|\binf\b"
    r"|\bNone\b|\bTrue\b|\bFalse\b|\bself\b|__\w+__|\bsite-packages\b",
)


@dataclass(frozen=True)
class Outcome:
    """What came of one case.

    Attributes
    ----------
    kind : refused or evaluated
    faults : what is wrong with the tool, one sentence each; empty where nothing is
    heaters : how many heaters were held against the independent checks
    seconds : of CPU
    peak : most memory that was in use [bytes]; 0 where it cannot be told
    """

    kind: str
    faults: tuple[str, ...] = ()
    heaters: int = 0
    seconds: float = 0.0
    peak: int = 0


def unfit(messages: Iterable[str], source: str) -> list[str]:
    """Messages that are empty, or speak of Python's insides where the user's own text did not."""
    faults = []
    for message in messages:
        if not message.strip():
            faults.append("an empty message")
        known = source.casefold()
        strange = [word for word in _INTERNALS.findall(message) if word.casefold() not in known]
        if strange:
            faults.append(f"Python's insides ({', '.join(strange)}) in a message: {message[:300]}")
    return faults
