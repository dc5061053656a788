"""How much memory this process has used at most."""

from __future__ import annotations

import re
from pathlib import Path

_STATUS, _REFS = Path("/proc/self/status"), Path("/proc/self/clear_refs")


def forget_peak() -> None:
    """Count the peak from now on, where the system can."""
    if _REFS.exists():
        _REFS.write_text("5")


def peak() -> int:
    """The most that was in use [bytes]; 0 where the system does not say.

    Not `ru_maxrss`: that begins with what the parent had.
    """
    if not _STATUS.exists():
        return 0
    found = re.search(r"VmHWM:\s+(\d+) kB", _STATUS.read_text())
    return int(found[1]) * 1024 if found else 0
