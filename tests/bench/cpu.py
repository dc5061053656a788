"""CPU seconds: what a process and its finished children have used, however busy the machine is."""

from __future__ import annotations

import resource
import statistics
from collections.abc import Callable
from typing import Any


def used() -> float:
    """CPU seconds of this process and of its finished children so far, all threads."""
    parts = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(part.ru_utime + part.ru_stime for part in parts)


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """CPU seconds of one call, and what it returned."""
    before = used()
    out = work()
    return used() - before, out


def typical(work: Callable[[], Any], repeats: int = 5) -> float:
    """Median CPU seconds of a call, after one to warm the caches."""
    work()
    return statistics.median(timed(work)[0] for _ in range(repeats))
