"""Every corner of the tolerances of small places, one by one: none is worse than what is said."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from math import radians
from typing import Any

import pytest

from heatcore.checks import check
from heatcore.checks.clearance import margins
from heatcore.checks.finding import Verdict
from heatcore.errors import InputError
from heatcore.geometry.build import build
from heatcore.mounting import hang
from heatcore.scene.model import Scene
from heatcore.scene.space import Post
from heatcore.tolerance import judged
from tests.core.mounting_site import bracket
from tests.core.tolerance_site import heater, roof, scene, wall

OFF, TURN = 0.02, radians(0.5)
FAST = ("from", "to", "height", "base", "thickness")
SLOPE = {"form": "single_slope", "plate": 2.3, "pitch": radians(20.0), "material": "timber",
         "falls_toward": radians(-90)}  # fmt: skip
POST = Post(name="post", at=(4.62, 3.37), top=2.3, material="timber",
            measured=("width", "depth", "turn", "top"))  # fmt: skip


def at(place: Scene, kind: str, key: str, by: Any) -> Scene:
    """The place with one number of its only thing of a kind moved."""
    (thing,) = getattr(place, kind)
    attribute, _, axis = key.partition(".")
    value = getattr(thing, attribute)
    if axis:
        index = "xy".index(axis)
        value = tuple(v + by * (i == index) for i, v in enumerate(value))
    else:
        value += by
    return replace(place, **{kind: (replace(thing, **{attribute: value}),)})


PLACES = {
    # A heater beside a wall, everything level: at.x, at.y, heading, four numbers of the wall.
    "beside a wall": (
        scene(roof(), wall(4.62), heater(measured=("height",)), tolerance=OFF, angle=TURN),
        [("heater", "at.x", OFF), ("heater", "at.y", OFF), ("heater", "heading", TURN),
         ("wall", "from_.x", OFF), ("wall", "from_.y", OFF), ("wall", "to.x", OFF),
         ("wall", "to.y", OFF)],
    ),
    # Beside a post that stands just off its end, and lower than the body: a corner entry.
    "off a corner": (
        scene(roof(), POST, heater(measured=("height",)), tolerance=OFF, angle=TURN),
        [("heater", "at.x", OFF), ("heater", "at.y", OFF), ("heater", "heading", TURN),
         ("post", "at.x", OFF), ("post", "at.y", OFF)],
    ),
    # Under a slope on an arm that can be set 10 mm longer, oblique to the fall line.
    "under a slope": (
        scene(
            roof(**SLOPE, measured=("thickness", "falls_toward", "overhang")),
            heater(heading=radians(30.0), height=None, measured=()),
            tolerance=OFF, angle=TURN,
            bracket_types={"arm": bracket(name="arm", arm=0.15, fine=0.01,
                                          extensions=(0.02, 0.05, 0.07, 0.1, 0.15, 0.2), stack=2)},
        ),
        [("heater", "at.x", OFF), ("heater", "at.y", OFF), ("heater", "heading", TURN),
         ("roof", "plate", OFF), ("roof", "pitch", TURN)],
    ),
    # A half wall whose top comes up to the lower volume, and a heater at a height of its own.
    "over a half wall": (
        scene(
            roof(), wall(4.3, height=1.47, measured=("from", "to", "base", "thickness")),
            heater(measured=("heading",)), tolerance=OFF, angle=TURN,
        ),
        [("heater", "at.x", OFF), ("heater", "at.y", OFF), ("heater", "height", OFF),
         ("wall", "height", OFF)],
    ),
}  # fmt: skip


def all_corners(place: Scene, numbers: list[tuple[str, str, float]]) -> Iterator[Scene]:
    for signs in product((-1.0, 1.0), repeat=len(numbers)):
        moved = place
        for sign, (kind, key, off) in zip(signs, numbers, strict=True):
            moved = at(moved, kind, key, sign * off)
        yield moved


@pytest.mark.parametrize("name", PLACES)
def test_no_corner_is_worse_than_what_is_said(name: str) -> None:
    place, numbers = PLACES[name]
    model = build(place)
    mounts = hang(place, model)
    drawn = check(place, model, mounts)
    told = judged(place, model, mounts, drawn)
    ordered = {mount.name: mount for mount in mounts}
    said = {(f.code, f.side, f.object): f for f in told}
    broken: set[str] = set()
    for corner in all_corners(place, numbers):
        try:
            there = build(corner)
            hung = hang(corner, there, ordered)
        except InputError:
            continue
        for mount in hung:
            for found in margins(mount, there, hung, 0.5):
                finding = said.get((found.code, found.side, found.object))
                if finding is not None and finding.doubt is not None:
                    assert finding.doubt.margin <= found.margin + 1e-7, found
                if found.verdict is Verdict.FAILS:
                    broken.add(found.object)
            assert mount.holds or any(
                f.code.startswith("mount.") and f.verdict is not Verdict.HOLDS for f in told
            ), mount.faults
    # Whatever comes too near in some corner is told of, and nothing else is.
    doubtful = {f.object for f in told if f.code.startswith("clearance.") and f.doubt is not None
                and f.verdict in (Verdict.MEASURE, Verdict.FAILS)}  # fmt: skip
    assert doubtful == broken


def test_these_places_hold_as_drawn_and_some_are_in_doubt() -> None:
    verdicts = {}
    for name, (place, _) in PLACES.items():
        model = build(place)
        mounts = hang(place, model)
        drawn = check(place, model, mounts)
        assert [f for f in drawn if f.verdict is Verdict.FAILS] == [], name
        told = judged(place, model, mounts, drawn)
        verdicts[name] = any(f.verdict is Verdict.MEASURE for f in told)
    assert verdicts == dict.fromkeys(PLACES, True)
