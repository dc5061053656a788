"""Doors: their leaves, closed, and all the room they take while they open."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, ceil, cos, hypot, pi, radians, sin, sqrt
from typing import Any

import numpy as np
from shapely import LineString, Polygon, union_all

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import around_arc, part_of, prism
from heatcore.geometry.walls import WallLine, opening_of
from heatcore.scene.plan import where
from heatcore.scene.space import Door

# How far a curved edge of a swept volume may lie outside the true one; half of the 1 mm allowed.
EXCESS = 0.0005  # m
_MOST_SWING = radians(250.0)  # beyond, it would come round to its own closed face


@dataclass(frozen=True, eq=False)
class _Jamb:
    """Plan coordinates at one edge of an opening.

    Attributes
    ----------
    hinge : (2,) the edge, on the wall's face toward which the door moves [m]
    across : (2,) unit vector along the wall, over the opening
    out : (2,) unit vector out of that face
    """

    hinge: Floats
    across: Floats
    out: Floats

    def plan(self, points: Any) -> Polygon:
        """Polygon of points (n, 2) across the opening and out of the face [m]."""
        axes = np.stack([self.across, self.out])
        return Polygon(self.hinge + np.asarray(points, dtype=np.float64) @ axes)


def door_parts(door: Door, line: WallLine) -> tuple[Part, ...]:
    """Return a door's leaf or leaves, closed, and the volume that they sweep.

    A leaf stands in its opening, flush with the wall's face on the side toward which it swings, and
    turns about its edge on that face. A pair's leaves turn about both edges.

    A sliding leaf hangs before that face and goes toward its hand by its own width.

    A folding door has two leaves, each half as wide as the opening. The first turns about the edge
    on its hand's side, the second hangs on the first and its far edge runs along the opening. They
    turn by the swing angle, but by no more than 90 degrees.

    Returns
    -------
    'NAME leaf', or 'NAME leaf left' and 'NAME leaf right' as seen from the patio; and 'NAME swing',
    which is never smaller than what the leaves sweep. It is at most 0.5 mm larger, except for a
    folding door: there it holds the leaves wherever their hinges sit in their thickness, which
    makes it larger by up to the thickness of a leaf and 2 mm.

    Raises
    ------
    InputError
        If the swing angle is less than nothing or more than 250 degrees.
    """
    if not 0.0 <= door.swing_angle <= _MOST_SWING:
        raise InputError(
            where(door, "swing_angle"),
            "is not between 0 and 250 degrees",
            'give the angle a leaf turns from closed; swing = "in" or "out" says to which side',
        )
    hinged, other = _jambs(door, line)
    width, thickness = door.width, door.leaf_thickness
    half = width / 2
    match door.kind:
        case "hinged":
            leaves = {"leaf": hinged.plan(_leaf(width, thickness))}
            swept = hinged.plan(hinged_sweep(width, thickness, door.swing_angle))
        case "pair":
            leaves = _sides(
                door,
                hinged.plan(_leaf(half, thickness)),
                other.plan(_leaf(half, thickness)),
            )
            turned = hinged_sweep(half, thickness, door.swing_angle)
            swept = union_all([hinged.plan(turned), other.plan(turned)])
        case "sliding":
            leaves = {"leaf": hinged.plan(_rectangle(0.0, width, 0.0, thickness))}
            swept = hinged.plan(_rectangle(-width, width, 0.0, thickness))
        case "folding":
            leaves = _sides(
                door,
                hinged.plan(_leaf(half, thickness)),
                other.plan(_leaf(half, thickness)),
            )
            fold = folding_sweep(half, thickness, min(door.swing_angle, pi / 2))
            swept = hinged.plan(np.asarray(fold.exterior.coords) - [0.0, thickness / 2])
    hole = opening_of(door)
    parts = [
        part_of(prism(plan, hole.bottom, hole.top), door, Kind.DOOR, f"{door.name} {which}")
        for which, plan in leaves.items()
    ]
    room = prism(swept, hole.bottom, hole.top)
    return (*parts, part_of(room, door, Kind.DOOR, f"{door.name} swing", swept=True))


def hinged_sweep(width: float, thickness: float, angle: float) -> Floats:
    """Return what a leaf sweeps in plan, as a polygon (n, 2) about its hinge [m].

    Closed, the leaf covers 0 <= x <= width, -thickness <= y <= 0; it turns counter-clockwise about
    the origin. The points of the leaf at distance r from the hinge lie on one arc about it, so they
    sweep one arc. For r <= width it ends at the open leaf's face; beyond, where only the leaf's
    outer corner reaches (r <= hypot(width, thickness)), at the open leaf's edge. So the swept area
    is bounded by the closed leaf, by one arc of its outer corner and by the open leaf: all of it
    exact but the arc, which the polygon runs round outside, by `EXCESS` at most.

    Parameters
    ----------
    width, thickness : of the leaf [m]
    angle : by which it turns, 0 to 250 degrees [rad]
    """
    lag = atan2(thickness, width)
    arc = around_arc(hypot(width, thickness), -lag, angle - lag, EXCESS)
    open_edge = (width * cos(angle), width * sin(angle))
    return locked(np.array([(0.0, 0.0), (0.0, -thickness), *arc, open_edge]))


def folding_sweep(panel: float, thickness: float, angle: float) -> Polygon:
    """Return what the two leaves of a folding door sweep in plan.

    Taken as thin, the first leaf turns about the origin from the X axis, and its far end runs along
    a circle; the second goes on from there, and its far end runs along the X axis. Together they
    move like half of a ladder that slides down a wall, whose envelope is an astroid
    (x^2/3 + y^2/3 = (2 panel)^2/3); the circle and the astroid touch at 45 degrees. This region,
    its circle run round outside and its hollow astroid cut by chords, both by `EXCESS` at most, is
    then grown by the leaves' thickness.

    Parameters
    ----------
    panel, thickness : width and thickness of a leaf [m]
    angle : by which the first leaf turns, 0 to pi / 2 [rad]
    """
    knuckle = min(angle, pi / 4)
    # At t the astroid of size a has the radius of curvature 3/2 a sin(2 t), and t runs along it at
    # the same rate: a chord over dt misses it by 3/16 a dt^2 at most.
    count = max(2, ceil(knuckle / sqrt(8 * EXCESS / (3 * panel))))
    t = np.linspace(0.0, knuckle, count + 1)
    hollow = 2 * panel * np.column_stack([np.cos(t) ** 3, np.sin(t) ** 3])
    if angle > knuckle:
        rim = around_arc(panel, knuckle, angle, EXCESS)[1:]
    else:
        rim = np.array([(panel * cos(angle), panel * sin(angle))])
    corners = np.concatenate([[(0.0, 0.0)], hollow, rim])
    region = Polygon(corners) if angle > 0.0 else LineString(corners[:2])
    # The library's round corners lie inside their circles, with chords over one and a half steps at
    # most; drawn out by as much, they lie outside.
    quarter = 32
    return region.buffer(thickness / cos(0.75 * pi / (2 * quarter)), quad_segs=quarter)


def _jambs(door: Door, line: WallLine) -> tuple[_Jamb, _Jamb]:
    """Return the edge on the hand's side of the opening, and the other."""
    hole = opening_of(door)
    onto_patio = door.swing == "out"
    face = 0.0 if onto_patio else -line.wall.thickness
    out = line.out if onto_patio else -line.out
    # Seen from the patio, looking against `out`, left is `out` turned by a quarter clockwise.
    left = np.array([line.out[1], -line.out[0]])
    toward_far = (float(left @ line.along) > 0.0) == (door.hand == "left")
    near = _Jamb(line.at(hole.near, face), line.along, out)
    far = _Jamb(line.at(hole.far, face), -line.along, out)
    return (far, near) if toward_far else (near, far)


def _sides(door: Door, on_hand: Polygon, other: Polygon) -> dict[str, Polygon]:
    """Return two leaves by name, the left one first."""
    left, right = (on_hand, other) if door.hand == "left" else (other, on_hand)
    return {"leaf left": left, "leaf right": right}


def _leaf(width: float, thickness: float) -> list[tuple[float, float]]:
    return _rectangle(0.0, width, -thickness, 0.0)


def _rectangle(x0: float, x1: float, y0: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
