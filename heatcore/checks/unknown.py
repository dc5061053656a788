"""One thing that the drawings do not say, as a plain value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

FAN_QUESTION = "Is there, or will there be, a ceiling fan near the heaters, and where?"
SIDES_QUESTION = "Will the open sides stay open, or may any of them be closed later?"

_NAMED = 8  # names that a sentence carries


@dataclass(frozen=True)
class Unknown:
    """Something that the drawings do not say.

    Attributes
    ----------
    key : stable: 'material.roof "porch roof"', 'material.window', 'material "ipe"',
        'swing.door "D1"', 'swing.window "W1" and "W2"', 'fans', 'fittings', 'sides',
        'structure "porch roof"', 'load.bracket "arm"', 'supply.voltage'
    subject : what is not known, a clause
    taken : what it was taken as, the cautious value, a clause
    question : one plain question to the client
    heaters : names of those whose findings it touches; none for all of them
    """

    key: str
    subject: str
    taken: str
    question: str
    heaters: tuple[str, ...] = ()


def quoted(name: str) -> str:
    """A name as a sentence gives it."""
    return f'"{name}"'


def listed(words: Iterable[str], last: str = "and") -> str:
    """Words as a sentence lists them; of many the first, and how many more."""
    some = list(words)
    if len(some) > _NAMED:
        some = [*some[:_NAMED], f"{len(some) - _NAMED} more"]
    *rest, final = some
    return f"{', '.join(rest)} {last} {final}" if rest else final
