"""What one option does differently from another, heater by heater and thing by thing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from math import degrees, pi
from typing import Any

import numpy as np

from heatcore.compare.values import Side
from heatcore.geometry.compass import compass_point
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene
from heatcore.scene.write import table_data
from heatcore.units import UnitSystem, format_length

MOVED = 0.01  # m
TURNED = pi / 360  # rad


@dataclass(frozen=True)
class Change:
    """How a heater of one option differs in another.

    Attributes
    ----------
    heater : its name
    words : what it does in the other option, told with the options' names: 'hangs 2 ft farther
        north in B'
    only : whether only one of the two has it
    """

    heater: str
    words: str
    only: bool = False

    @property
    def told(self) -> str:
        """The change as a clause of its own."""
        return self.words if self.only else f"{self.heater} {self.words}"


def heater_changes(here: Side, there: Side) -> Mapping[str, Change]:
    """For each heater's name that differs, what is different there.

    A heater that only one of them has is told from the one that has it.
    """
    mine = {mount.name: mount for mount in here.evaluation.mounts}
    theirs = {mount.name: mount for mount in there.evaluation.mounts}
    site = here.evaluation.scene.site
    found: dict[str, Change] = {}
    for name in dict.fromkeys([*mine, *theirs]):
        if name not in theirs:
            found[name] = Change(name, f"{there.name} does without {name}", only=True)
        elif name not in mine:
            found[name] = Change(name, f"{here.name} does without {name}", only=True)
        else:
            one, other = (mine[name], here.name), (theirs[name], there.name)
            words = _differently(*one, *other, site.north, site.units)
            if words:
                found[name] = Change(name, words)
    return found


def thing_change(here: Side, there: Side, name: str) -> str:
    """What is different about a named thing there: 'D1 has swing out in B and in in A'.

    '' where nothing is, or where it is no thing of the scene.
    """
    mine, theirs = (_thing(side.evaluation.scene, name) for side in (here, there))
    if mine is None or theirs is None or mine == theirs:
        if (mine is None) is (theirs is None):
            return ""
        return f"{there.name} {'does without' if theirs is None else 'has'} {name}"
    units = here.evaluation.scene.site.units
    told = [table_data(thing, units) for thing in (theirs, mine)]
    keys = dict.fromkeys([*told[0], *told[1]])
    key = next(key for key in keys if told[0].get(key) != told[1].get(key))
    values = [_plainly(data.get(key, "as usual")) for data in told]
    return f"{name} has {key} {values[0]} in {there.name} and {values[1]} in {here.name}"


def _thing(scene: Scene, name: str) -> Any:
    """The thing of a scene with a name; None where there is none."""
    for field in fields(scene):
        things = getattr(scene, field.name)
        if isinstance(things, tuple):
            for thing in things:
                if getattr(thing, "name", None) == name:
                    return thing
    return None


def _plainly(value: Any) -> str:
    return ", ".join(map(_plainly, value)) if isinstance(value, list) else str(value)


def _differently(
    here: Mount, mine: str, there: Mount, theirs: str, north: float, units: UnitSystem
) -> str:
    """What is different about a heater there; '' where nothing is."""
    said: list[str] = []
    if here.type.name != there.type.name:
        said.append(f"is a {there.type.name} in {theirs} and a {here.type.name} in {mine}")
    way = there.frame.origin - here.frame.origin
    flat = float(np.hypot(way[0], way[1]))
    if flat >= MOVED:
        point = compass_point(way[:2], north)
        said.append(
            f"hangs {format_length(flat, units)} farther {point} in {theirs} than in {mine}"
        )
    elif abs(way[2]) >= MOVED:
        higher = "higher" if way[2] > 0 else "lower"
        rise = format_length(abs(float(way[2])), units)
        said.append(f"hangs {rise} {higher} in {theirs}")
    if abs(there.tilt - here.tilt) >= TURNED:
        said.append(
            f"is tilted by {degrees(there.tilt):.0f}° in {theirs} and {degrees(here.tilt):.0f}° "
            f"in {mine}"
        )
    turn = _heading(there) - _heading(here)
    if abs((turn + pi) % (2.0 * pi) - pi) >= TURNED:
        said.append(
            f"is headed {degrees(_heading(there)) % 360.0:.0f}° in {theirs} and "
            f"{degrees(_heading(here)) % 360.0:.0f}° in {mine}"
        )
    if here.heater.output != there.heater.output:
        said.append(
            f"runs at {there.heater.output:.0%} in {theirs} and {here.heater.output:.0%} in {mine}"
        )
    return " and ".join(said)


def _heading(mount: Mount) -> float:
    return float(np.arctan2(mount.frame.x[1], mount.frame.x[0]))
