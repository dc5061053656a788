"""How doors and windows open, where the drawings do not say it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import degrees

from heatcore.checks.unknown import Unknown, listed, quoted
from heatcore.geometry.doors import counted_swing
from heatcore.geometry.windows import counted_opening
from heatcore.scene.model import Scene
from heatcore.scene.space import Door, Window

Near = Callable[..., tuple[str, ...]]
_EVERY_WAY = "every way that is not ruled out, together"


def swings(scene: Scene, near: Near) -> Iterator[Unknown]:
    """Yield what is not stated of the ways of doors and windows, in one question for all alike.

    Parameters
    ----------
    scene : as described
    near : gives the names of the heaters that have one of some things within sight
    """
    yield from _doors(scene, near)
    yield from _whether_windows_open(scene, near)
    yield from _casements(scene, near)


def _doors(scene: Scene, near: Near) -> Iterator[Unknown]:
    alike: dict[tuple[str, ...], list[Door]] = {}
    for door in scene.door:
        missing = _missing(door)
        if missing and near(door.name):
            # Alike is what the same question is asked of: a hinged door and a pair may be.
            alike.setdefault(tuple(_door_clauses(door, missing, [""])), []).append(door)
    for doors in alike.values():
        missing = _missing(doors[0])
        names = [door.name for door in doors]
        clauses = _door_clauses(doors[0], missing, names)
        taken = [_EVERY_WAY] if missing != ("angle",) else []
        question = f"Could you tell us {listed(clauses)}?"
        if "angle" in missing:
            angle = degrees(counted_swing(doors[0]))
            taken.append(f"opened by {angle:.0f} degrees, since nothing is known to stop it before")
            if missing == ("angle",):
                do, it = ("does", "it") if len(names) == 1 else ("do", "them")
                question = f"How far {do} {_called('door', names)} open, and what stops {it}?"
        yield Unknown(
            key=f"swing.door {listed(map(quoted, names))}",
            subject=listed(clauses),
            taken="; ".join(taken),
            question=question,
            heaters=near(*names),
        )


def _missing(door: Door) -> tuple[str, ...]:
    """What is not stated of a door's way, and would matter."""
    unstated = {
        "hand": door.hand is None and door.kind != "pair",
        "swing": door.swing is None,
        # A folding door folds by 90 degrees at most, and counts so.
        "angle": door.swing_angle is None and door.kind in ("hinged", "pair"),
    }
    return tuple(what for what, is_so in unstated.items() if is_so)


def _door_clauses(door: Door, missing: Sequence[str], names: Sequence[str]) -> list[str]:
    """What is asked of doors like this one: the first clause names them."""
    one = len(names) == 1
    they, it, its = _called("door", names), "it" if one else "they", "its" if one else "their"
    s, are, them = ("s", "is", "it") if one else ("", "are", "them")
    clauses: list[str] = []
    for what in missing:
        match what, door.kind:
            case "hand", "hinged":
                clauses.append(f"on which side {they} {are} hinged")
            case "hand", kind:
                verb = "slide" if kind == "sliding" else "fold"
                clauses.append(f"which side {they} {verb}{s} to")
            case "swing", "sliding":
                wall = f"the patio's side of {its} wall"
                clauses.append(f"whether {they} slide{s} on {wall} or on the other")
            case "swing", kind:
                verb = "fold" if kind == "folding" else "open"
                clauses.append(f"whether {they} {verb}{s} onto the patio or away from it")
            case _:
                clauses.append(f"how far {they} open{s} and what stops {them}")
        they = it
    return clauses


def _whether_windows_open(scene: Scene, near: Near) -> Iterator[Unknown]:
    alike: dict[str, list[str]] = {}
    for window in scene.window:
        if window.kind is None and near(window.name):
            alike.setdefault(_taken_ways(window), []).append(window.name)
    for taken, names in alike.items():
        called, one = _called("window", names), len(names) == 1
        do, it, s = ("Does", "it", "s") if one else ("Do", "they", "")
        yield Unknown(
            key=f"swing.window {listed(map(quoted, names))}",
            subject=f"whether {called} open{s}, and if so how",
            taken=taken,
            question=f"{do} {called} open, and if so how: which edge {'is' if one else 'are'} "
            f"{it} hinged at, or {'does' if one else 'do'} {it} slide?",
            heaters=near(*names),
        )


def _taken_ways(window: Window) -> str:
    side = "at either side" if window.hand is None else f"at the {window.hand}"
    way = "onto the patio" if window.swing == "out" else "away from the patio"
    angle = degrees(counted_opening(window))
    return f"hinged {side} and at the top, opened {way} by {angle:.0f} degrees, all together"


def _casements(scene: Scene, near: Near) -> Iterator[Unknown]:
    alike: dict[float, list[str]] = {}
    for window in scene.window:
        if window.kind == "casement" and window.hand is None and near(window.name):
            alike.setdefault(degrees(counted_opening(window)), []).append(window.name)
    for angle, names in alike.items():
        clause = (
            f"on which side {_called('window', names)} {'is' if len(names) == 1 else 'are'} hinged"
        )
        yield Unknown(
            key=f"swing.window {listed(map(quoted, names))}",
            subject=clause,
            taken=f"{_EVERY_WAY}, opened by {angle:.0f} degrees",
            question=f"Could you tell us {clause}?",
            heaters=near(*names),
        )


def _called(kind: str, names: Sequence[str]) -> str:
    return f"the {kind}{'s' if len(names) > 1 else ''} {listed(map(quoted, names))}"
