"""Doors: their leaves, closed, and all the room they take while they open."""

from __future__ import annotations

from itertools import product
from math import pi, radians

from shapely import Polygon, union_all
from shapely import box as rectangle

from heatcore.errors import InputError
from heatcore.geometry.jambs import HANDS, Jamb, jamb
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import part_of, prism
from heatcore.geometry.sweeps import folding_sweep, hinged_sweep
from heatcore.geometry.walls import WallLine, opening_of
from heatcore.scene.plan import where
from heatcore.scene.space import Door, Hand, Swing

_SWINGS: tuple[Swing, Swing] = ("in", "out")
_FREE_SWING = pi  # a leaf that nothing stops, until it lies against the wall
_MOST_FOLD = pi / 2
_MOST_SWING = radians(250.0)  # beyond, it would come round to its own closed face


def door_parts(door: Door, line: WallLine) -> tuple[Part, ...]:
    """Return a door's leaf or leaves, closed, and the volume that they sweep.

    A leaf stands in its opening, flush with the wall's face on the side toward which it swings, and
    turns about its edge on that face. A pair's leaves turn about both edges.

    A sliding leaf hangs before that face and goes toward its hand by its own width.

    A folding door has two leaves, each half as wide as the opening. The first turns about the edge
    on its hand's side, the second hangs on the first and its far edge runs along the opening. Their
    pins lie on alternating faces (see `sweeps.folding_leaf`): those at the opening's edges on the
    face toward which it folds, the one between the leaves on the other.

    Where hand or swing is not stated, the swept volume is that of both ways together; the leaf is
    drawn as for left, and in. How far the leaves turn is told by `counted_swing`.

    Returns
    -------
    'NAME leaf', or 'NAME leaf left' and 'NAME leaf right' as seen from the patio; and 'NAME swing',
    as high as the leaves, which is never smaller than what they sweep and at most 1 mm larger.

    Raises
    ------
    InputError
        If the swing angle is less than nothing or more than 250 degrees.
    """
    if door.swing_angle is not None and not 0.0 <= door.swing_angle <= _MOST_SWING:
        raise InputError(
            where(door, "swing_angle"),
            "is not between 0 and 250 degrees",
            'give the angle a leaf turns from closed; swing = "in" or "out" says to which side',
        )
    hole = opening_of(door)
    drawn = door.swing or "in"
    edges = {hand: jamb(line, hole, hand, drawn) for hand in HANDS}
    leaves = [
        part_of(prism(plan, hole.bottom, hole.top), door, Kind.DOOR, f"{door.name} {which}")
        for which, plan in _leaves(door, edges).items()
    ]
    # A pair turns about both edges whatever its hand.
    hands = HANDS if door.hand is None or door.kind == "pair" else (door.hand,)
    swings = _SWINGS if door.swing is None else (door.swing,)
    swept = union_all(
        [_swept(door, jamb(line, hole, hand, swing)) for hand, swing in product(hands, swings)]
    )
    room = prism(swept, hole.bottom, hole.top)
    return (*leaves, part_of(room, door, Kind.DOOR, f"{door.name} swing", swept=True))


def counted_swing(door: Door) -> float:
    """How far a door's leaves count as turning from closed [rad].

    Where it is not stated, a hinged leaf or a pair's turns until it lies against the wall, for
    nothing is known to stop it. A folding door's leaves never turn by more than 90 degrees, and a
    sliding one does not turn.
    """
    match door.kind:
        case "sliding":
            return 0.0
        case "folding":
            return _MOST_FOLD if door.swing_angle is None else min(door.swing_angle, _MOST_FOLD)
    return _FREE_SWING if door.swing_angle is None else door.swing_angle


def _leaves(door: Door, edges: dict[Hand, Jamb]) -> dict[str, Polygon]:
    """Return the leaves in plan, closed, by name."""
    match door.kind:
        case "hinged":
            return {"leaf": edges[door.hand or "left"].plan(_leaf(door, door.width))}
        case "sliding":
            leaf = rectangle(0.0, 0.0, door.width, door.leaf_thickness)
            return {"leaf": edges[door.hand or "left"].plan(leaf.exterior.coords)}
    half = _leaf(door, door.width / 2)
    return {f"leaf {hand}": edges[hand].plan(half) for hand in HANDS}


def _leaf(door: Door, width: float) -> list[tuple[float, float]]:
    thickness = door.leaf_thickness
    return [(0.0, -thickness), (width, -thickness), (width, 0.0), (0.0, 0.0)]


def _swept(door: Door, edge: Jamb) -> Polygon:
    """Return what moves about one edge of the opening, through all its travel, in plan."""
    width, thickness, angle = door.width, door.leaf_thickness, counted_swing(door)
    match door.kind:
        case "hinged":
            return edge.plan(hinged_sweep(width, thickness, angle))
        case "pair":
            return edge.plan(hinged_sweep(width / 2, thickness, angle))
        case "sliding":
            return edge.plan(rectangle(-width, 0.0, width, thickness).exterior.coords)
        case "folding":
            return edge.plan(folding_sweep(width / 2, thickness, angle).exterior.coords)
