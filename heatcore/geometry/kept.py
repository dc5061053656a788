"""What was made before, for whoever asks for the same again.

A model is built hundreds of times with one dimension changed. Everything that goes into a maker is
frozen: what the scene says is compared by value, what another maker made by being the same object.
So what has not changed need not be made again, and comes out as the same object, by which those who
work on it know that they can keep their own work.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any, TypeVar
from weakref import WeakValueDictionary

import numpy as np

from heatcore.geometry.parts import Part

T = TypeVar("T")


@dataclass
class _Entry:
    value: Any
    asked: int


class Kept:
    """Keeps what makers made, while any of the last rounds asked for it.

    Parameters
    ----------
    rounds : what none of so many rounds asked for is let go
    """

    def __init__(self, rounds: int) -> None:
        self._rounds = rounds
        self._round = 0
        self._entries: dict[Any, _Entry] = {}
        self._latest: WeakValueDictionary[Any, Part] = WeakValueDictionary()
        self._lock = Lock()

    def __len__(self) -> int:
        return len(self._entries)

    def new_round(self) -> None:
        """Begin a round, and let go what none of the last ones asked for."""
        with self._lock:
            self._round += 1
            oldest = self._round - self._rounds
            self._entries = {k: e for k, e in self._entries.items() if e.asked >= oldest}

    def of(self, make: Callable[..., T], *args: Any, stamp: Any = None) -> T:
        """Return what a maker makes of its arguments, made before or made now.

        Parts made now that are what the same maker last made under the same name are handed out as
        those.

        Parameters
        ----------
        make : a function of its arguments alone, whose parts stand in tuples if in anything
        args : its arguments; hashable
        stamp : the state of what it reads besides; hashable
        """
        key = (make, args, stamp)
        with self._lock:
            entry = self._entries.get(key)
            if entry is not None:
                entry.asked = self._round
        # Made outside the lock: the worst that two threads can do is to make a thing twice.
        value = make(*args) if entry is None else entry.value
        with self._lock:
            if entry is None:
                value = self._known(make, value)
                self._entries[key] = _Entry(value, self._round)
            else:
                self._remember(make, value)
        return value

    def _known(self, make: Any, value: Any) -> Any:
        """Return a value with each part that was made before replaced by its earlier self."""
        if isinstance(value, tuple):
            items = tuple(self._known(make, item) for item in value)
            return items if any(a is not b for a, b in zip(items, value, strict=True)) else value
        if isinstance(value, Part):
            earlier = self._latest.get((make, value.name))
            if earlier is not None and _same(earlier, value):
                return earlier
            self._latest[make, value.name] = value
        return value

    def _remember(self, make: Any, value: Any) -> None:
        if isinstance(value, tuple):
            for item in value:
                self._remember(make, item)
        elif isinstance(value, Part):
            self._latest[make, value.name] = value


def file_stamp(folder: Path | None, file: str | None) -> Any:
    """Return what tells whether a mesh file in a folder has changed since; None for no file.

    A glTF in several files counts as changed always: which ones they are only its reader knows.
    """
    if folder is None or file is None:
        return None
    path = folder / file
    if path.suffix.lower() == ".gltf":
        return object()
    try:
        state = path.stat()
    except OSError:
        return None  # its reader says what is wrong
    return state.st_mtime_ns, state.st_size, state.st_ino


def _same(one: Part, other: Part) -> bool:
    return (
        np.array_equal(one.mesh.vertices, other.mesh.vertices)
        and np.array_equal(one.mesh.triangles, other.mesh.triangles)
        and all(
            getattr(one, name) == getattr(other, name)
            for name in ("name", "owner", "kind", "material", "combustible", "swept")
        )
    )
