"""One family of errors: each names the thing that is wrong and what to do about it.

An error means input that cannot be used or a tool that is not there. An unsafe layout is no error:
it is a result, and is reported as a finding.

Messages and remedies are written as clauses, without a capital or a full stop, so that they read
well both in a list of mistakes and alone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Self

__all__ = [
    "HeatcoreError",
    "InputError",
    "MeshError",
    "MissingBlender",
    "Mistake",
    "UnitError",
]


@dataclass(frozen=True)
class Mistake:
    """One thing wrong with the input.

    Attributes
    ----------
    where : str
        Path of the value, such as ``heater "H1".tilt`` or ``door[2].width``; empty for the whole.
    message : str
        What is wrong.
    remedy : str
        What to do about it; empty when the message already says it.
    line : int or None
        Line of the file [1-based], where it can be had.
    """

    where: str
    message: str
    remedy: str
    line: int | None = None

    def __str__(self) -> str:
        line = "" if self.line is None else f"line {self.line}"
        place = ": ".join(filter(None, (line, self.where, self.message)))
        return "; ".join(filter(None, (place, self.remedy)))


class HeatcoreError(Exception):
    """Base of every error heatcore raises on purpose.

    Attributes
    ----------
    message, remedy : str
        What is wrong, and what to do about it.
    """

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message, remedy)
        self.message = message
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.message}. {self.remedy[:1].upper()}{self.remedy[1:]}"


class InputError(HeatcoreError):
    """Input that cannot be used (exit status 2), with every mistake found in it.

    Attributes
    ----------
    mistakes : tuple of Mistake
        At least one. `message` and `remedy` are those of the first.
    """

    def __init__(self, where: str, message: str, remedy: str, line: int | None = None) -> None:
        super().__init__(message, remedy)
        self.args = (where, message, remedy, line)
        self.mistakes: tuple[Mistake, ...] = (Mistake(where, message, remedy, line),)

    @classmethod
    def of(cls, mistakes: Iterable[Mistake]) -> Self:
        """Make one error of all the mistakes of one pass.

        Raises
        ------
        ValueError
            If there is no mistake: nothing is wrong, so there is nothing to raise.
        """
        found = tuple(mistakes)
        if not found:
            raise ValueError("an InputError needs at least one mistake")
        first = found[0]
        error = cls(first.where, first.message, first.remedy, first.line)
        error.mistakes = found
        return error

    def __str__(self) -> str:
        return "\n".join(map(str, self.mistakes))


class MeshError(InputError):
    """A mesh that cannot stand for a solid: open, inverted, degenerate, or not finite."""


class UnitError(HeatcoreError, ValueError):
    """Text that is no such quantity."""


class MissingBlender(HeatcoreError):  # noqa: N818 (it says what is missing)
    """Building or rendering was asked for and no Blender can be found."""
