"""A door or a window hung otherwise: on its other side, the other way, or stopped earlier."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, degrees, radians, sin
from typing import Any

from heatcore.geometry.doors import counted_swing
from heatcore.geometry.windows import counted_opening
from heatcore.remedies.findings.case import Case
from heatcore.remedies.findings.looks import Goal
from heatcore.remedies.values import Change, Kind, change
from heatcore.scene.space import Door, Window

STOP = 5  # degrees between stops
LEAST_DOOR = 90  # degrees; a door that opens less is in the way of whoever goes through
LEAST_WINDOW = 15  # degrees
_TOWARD = {"in": "away from the patio", "out": "onto the patio"}


def openings(case: Case, goal: Goal) -> Iterator[tuple[Change, ...]]:
    """What can be done to each door and window of a goal: of each kind, the least first."""
    scene, by_name = case.evaluation.scene, case.evaluation.model.by_name
    owners = {by_name[name].owner for _, _, name, _ in goal if name in by_name}
    for door in scene.door:
        if door.name in owners:
            leaf = door.width / 2 if door.kind == "pair" else door.width
            yield from _stopped(door, "swing_angle", counted_swing(door), LEAST_DOOR, leaf)
            yield from _rehung(door, leaf)
    for window in scene.window:
        if window.name in owners:
            size = window.width if window.kind == "casement" else window.height
            yield from _stopped(
                window, "opening_angle", counted_opening(window), LEAST_WINDOW, size
            )
            yield from _rehung(window, size)


def _stopped(
    thing: Door | Window, key: str, angle: float, least: int, leaf: float
) -> Iterator[tuple[Change, ...]]:
    """Opening less far, the least less first."""
    if thing.kind in ("sliding", "folding", "fixed", None):
        return
    now = degrees(angle)
    said = "now" if getattr(thing, key) is not None else "not stated, it counts as"
    stops = range(STOP * (ceil(now / STOP - 1e-9) - 1), least - 1, -STOP)
    yield tuple(
        _change(
            thing,
            f"Stop {thing.name} at {stop}°, so that it opens no farther ({said} {now:.4g}°)",
            2.0 * leaf * sin((angle - radians(stop)) / 2.0),
            {key: f"{stop} deg"},
        )
        for stop in stops
    )


def _rehung(thing: Door | Window, leaf: float) -> Iterator[tuple[Change, ...]]:
    """On the other side, the other way, or both; what is not stated may be either."""
    if thing.kind in ("fixed", "awning", "hopper"):
        sides: list[str] = []
    else:
        sides = [side for side in ("left", "right") if side != thing.hand]
    ways = [way for way in ("in", "out") if way != thing.swing]
    if thing.kind in ("pair", "sliding"):
        sides, ways = ([], ways) if thing.kind == "pair" else (sides, [])
    if thing.kind in ("fixed", None):
        return
    yield tuple(_change(thing, _side(thing, side), leaf, {"hand": side}) for side in sides)
    yield tuple(_change(thing, _way(thing, way), 2.0 * leaf, {"swing": way}) for way in ways)
    yield tuple(
        _change(
            thing,
            f"{_side(thing, side)}, and so that it opens {way}, {_TOWARD[way]}",
            3.0 * leaf,
            {"hand": side, "swing": way},
        )
        for side in sides
        for way in ways
    )


def _side(thing: Door | Window, side: str) -> str:
    if thing.kind in ("sliding", "folding"):
        return f"Let {thing.name} go to its {side} side, seen from the patio"
    return f"Hang {thing.name} on its {side} side, seen from the patio"


def _way(thing: Door | Window, way: str) -> str:
    return f"Hang {thing.name} so that it opens {way}, {_TOWARD[way]}"


def _change(thing: Door | Window, words: str, far: float, values: dict[str, Any]) -> Change:
    kind = type(thing).__name__.lower()
    return change(Kind.OPENING, f"{words}.", far, set_={kind: {thing.name: values}})
