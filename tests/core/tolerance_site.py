"""Small drawn places whose tolerances can be worked out by hand. All figures invented."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from heatcore.checks import check
from heatcore.checks.finding import Finding
from heatcore.geometry.build import build
from heatcore.mounting import hang
from heatcore.scene.model import Heater, Scene, Site
from heatcore.scene.space import Floor, Post, Roof, Wall
from heatcore.tolerance import judged
from tests.core.mounting_site import HERE, LINEAR, Ground, bracket

SIZE = 8.0  # m
# Whatever the height, one arm can be set to it.
ARM = bracket(name="arm", arm=0.05, fine=2.0)
ROOF_KEYS = ("outline", "overhang", "plate", "pitch", "thickness", "falls_toward", "beam_depth")


def roof(**changes: Any) -> Roof:
    """A flat ceiling at 3 m, exactly as drawn but for what is changed."""
    base: dict[str, Any] = {"name": "ceiling", "form": "flat", "plate": 3.0}
    base |= {"measured": ROOF_KEYS, "material": "concrete"}
    return Roof(**(base | changes))


def wall(y: float, ground: Ground = HERE, **changes: Any) -> Wall:
    """A wall of timber beside the heater, along X, whose patio face looks toward -Y."""
    ends = [ground.plan((SIZE, y)), ground.plan((0.0, y))]
    from_, to = ends[::-1] if ground.mirrored else ends
    base: dict[str, Any] = {"name": "back wall", "from_": from_, "to": to, "height": 2.8}
    base |= {"measured": ("height", "base", "thickness"), "material": "timber"}
    return Wall(**(base | changes))


def heater(ground: Ground = HERE, **changes: Any) -> Heater:
    """A heater in the middle, along X, 2.4 m high; only its place may be off."""
    base: dict[str, Any] = {"name": "H1", "type": "linear", "at": ground.plan((4.0, 4.0))}
    base |= {"heading": ground.heading(0.0), "height": 2.4, "measured": ("heading", "height")}
    return Heater(**(base | changes))


def scene(
    *things: Any, tolerance: float = 0.0, angle: float = 0.0, ground: Ground = HERE, **more: Any
) -> Scene:
    """A place of such things."""
    corners = [(0.0, 0.0), (SIZE, 0.0), (SIZE, SIZE), (0.0, SIZE)]
    outline = tuple(ground.plan(corner) for corner in corners)
    kinds = {Roof: "roof", Wall: "wall", Post: "post", Heater: "heater"}
    lists: dict[str, tuple[Any, ...]] = {}
    for thing in things:
        key = kinds[type(thing)]
        lists[key] = (*lists.get(key, ()), thing)
    base: dict[str, Any] = {
        "site": Site(name="test", tolerance=tolerance, angle_tolerance=angle),
        "floor": Floor(outline=outline, measured=("outline", "thickness")),
        "heater_types": {LINEAR.name: LINEAR},
        "bracket_types": {ARM.name: ARM},
    }
    return Scene(**(base | lists | more))


def judge(place: Scene) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """The findings as drawn, and judged."""
    model = build(place)
    mounts = hang(place, model)
    drawn = check(place, model, mounts)
    return drawn, judged(place, model, mounts, drawn)


def one(findings: Sequence[Finding], code: str, thing: str, side: str = "") -> Finding:
    """The finding of that code about that thing."""
    (found,) = (
        f
        for f in findings
        if (f.code, f.object) == (code, thing) and f.side in (side, side or f.side)
    )
    return found
