"""What was worked out lately, for whoever asks for the same again."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

T = TypeVar("T")


class Recent(Generic[T]):
    """Keeps the answers that were asked for last.

    Parameters
    ----------
    most : how many
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._answers: OrderedDict[Hashable, T] = OrderedDict()
        self._lock = Lock()

    def of(self, question: Hashable, answer: Callable[[], T]) -> T:
        """Return the answer to a question, kept or worked out now.

        Parameters
        ----------
        question : all that the answer depends on
        answer : works it out
        """
        with self._lock:
            if question in self._answers:
                self._answers.move_to_end(question)
                return self._answers[question]
        # Outside the lock: the worst that two threads can do is to work it out twice.
        found = answer()
        with self._lock:
            self._answers[question] = found
            while len(self._answers) > self._most:
                self._answers.popitem(last=False)
        return found

    def clear(self) -> None:
        """Keep nothing."""
        with self._lock:
            self._answers.clear()
