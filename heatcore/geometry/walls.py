"""Walls with their openings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np
from shapely import LineString

from heatcore.errors import InputError, Mistake
from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.overhead import SLIP, Overhead
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.roofs import RoofShape
from heatcore.geometry.solids import (
    Solid,
    checked,
    part_of,
    solid_of,
    to_mesh,
    union,
    upright_box,
)
from heatcore.scene.plan import patio_side, where
from heatcore.scene.space import Door, Floor, Wall, Window
from heatcore.units import UnitSystem, format_length

# Common practice, no source: a usual height of a storey.
OPEN_HEIGHT = 2.4  # m

_FAR = 1.0  # m; by how much what cuts reaches past what it cuts


@dataclass(frozen=True, eq=False)
class WallLine:
    """A wall in plan.

    Attributes
    ----------
    wall : as the scene describes it
    start : (2,) the `from_` end of its patio face [m]
    along : (2,) unit vector from there to the other end
    out : (2,) unit vector out of its patio face
    length : of its patio face [m]
    """

    wall: Wall
    start: Floats
    along: Floats
    out: Floats
    length: float

    def __post_init__(self) -> None:
        for name in ("start", "along", "out"):
            object.__setattr__(self, name, locked(getattr(self, name)))

    def at(self, along: float, out: float) -> Floats:
        """(2,) plan point so far along the face, and so far out of it toward the patio [m]."""
        point: Floats = self.start + along * self.along + out * self.out
        return point

    def block(
        self, along: tuple[float, float], out: tuple[float, float], bottom: float, top: float
    ) -> Solid:
        """Return the box between two distances along the face, out of it, and two heights [m]."""
        corners = [self.at(along[i], out[j]) for i, j in ((0, 0), (1, 0), (1, 1), (0, 1))]
        return upright_box(corners, bottom, top)


@dataclass(frozen=True)
class Opening:
    """The hole of a door or a window.

    Attributes
    ----------
    near, far : distances of its edges along the wall's face [m]
    bottom, top : its heights [m]
    where : the door or window, as mistakes name it
    """

    near: float
    far: float
    bottom: float
    top: float
    where: str


def wall_line(wall: Wall, floor: Floor) -> WallLine:
    """Return a wall in plan.

    Raises
    ------
    InputError
        If it has no length.
    """
    out = patio_side(wall, floor)
    start, end = np.asarray(wall.from_), np.asarray(wall.to)
    length = hypot(*(end - start))
    return WallLine(wall, start, (end - start) / length, np.asarray(out), length)


def opening_of(thing: Door | Window) -> Opening:
    """Return the hole of a door, whose lower edge is its threshold, or of a window."""
    bottom = thing.threshold if isinstance(thing, Door) else thing.sill
    return Opening(thing.at, thing.at + thing.width, bottom, bottom + thing.height, where(thing))


def wall_part(
    line: WallLine,
    overhead: Overhead,
    openings: Sequence[Opening] = (),
    units: UnitSystem = UnitSystem.METRIC,
) -> Part:
    """Return a wall with its openings cut out.

    A wall without a height goes up to the underside of the lowest roof over its patio face, and
    follows it through its whole thickness. A stretch without a roof over it ends level at the
    highest plate among the roofs over the rest of the wall; with no roof at all, at 2.4 m.

    Raises
    ------
    InputError
        If its height does not lie above its base; for each opening that reaches beyond the wall or
        into another opening.
    """
    wall = line.wall
    if wall.height is not None and wall.height <= wall.base:
        raise InputError(
            where(wall, "height"), "does not lie above its base", "give a height above the base"
        )
    covers = (
        []
        if wall.height is not None
        else overhead.stretches(LineString([line.at(0.0, 0.0), line.at(line.length, 0.0)]))
    )
    solid = checked(_solid(line, covers), where(wall))
    mistakes = []
    through = (-wall.thickness - _FAR, _FAR)
    for opening in openings:
        # A slip of the drawing at an edge leaves nothing standing there, and is no mistake.
        inner = line.block(
            (opening.near + SLIP, opening.far - SLIP),
            (-0.9 * wall.thickness, -0.1 * wall.thickness),
            opening.bottom + SLIP,
            opening.top - SLIP,
        )
        if (inner - solid).volume() > SLIP**2 * wall.thickness:
            mistakes.append(_misplaced(opening, line, solid, units))
            continue
        near = opening.near if opening.near > SLIP else -_FAR
        far = opening.far if opening.far < line.length - SLIP else line.length + _FAR
        bottom = opening.bottom if opening.bottom > wall.base + SLIP else wall.base - _FAR
        solid -= line.block((near, far), through, bottom, opening.top)
    if mistakes:
        raise InputError.of(mistakes)
    return part_of(solid, wall, Kind.WALL)


def apart(part: Part, earlier: Sequence[Part]) -> Part:
    """Return a wall without what an earlier one fills already, such as the corner they share.

    The two would otherwise have faces in one place, which no renderer can tell apart.

    Raises
    ------
    InputError
        If nothing of the wall is left.
    """
    low, high = part.mesh.bounds
    near = [
        other
        for other in earlier
        if np.all(other.mesh.bounds[0] < high) and np.all(other.mesh.bounds[1] > low)
    ]
    if not near:
        return part
    left = solid_of(part.mesh, part.name) - union(solid_of(o.mesh, o.name) for o in near)
    if left.is_empty():
        names = ", ".join(f'"{other.name}"' for other in near)
        raise InputError(f'wall "{part.name}"', f"lies wholly inside {names}", "leave it out")
    return replace(part, mesh=to_mesh(left))


def _solid(line: WallLine, covers: list[tuple[RoofShape, float, float]]) -> Solid:
    """Return a wall without openings, under the roofs that cover stretches of it."""
    wall = line.wall
    whole, depth = (0.0, line.length), (-wall.thickness, 0.0)
    if wall.height is not None:
        return line.block(whole, depth, wall.base, wall.height)
    level = max((shape.plate for shape, _, _ in covers), default=OPEN_HEIGHT)
    corners = np.array([line.at(a, o) for a in whole for o in depth])
    tops = [shape.highest(corners) for shape, _, _ in covers]
    top = max([level, wall.base, *tops]) + _FAR
    solid = line.block(whole, depth, wall.base, top)
    wide = (-wall.thickness - _FAR, _FAR)
    for near, far in _open_stretches(line, covers):
        solid -= line.block((near, far), wide, level, top + _FAR)
    for shape, near, far in covers:
        stretch = line.block(_past_the_ends(line, near, far), wide, wall.base - _FAR, top + _FAR)
        solid -= shape.above(stretch)
    return solid


def _past_the_ends(line: WallLine, near: float, far: float) -> tuple[float, float]:
    """Return a stretch, drawn out past an end of the wall that it reaches."""
    return (
        -_FAR if near <= 2 * SLIP else near,
        line.length + _FAR if far >= line.length - 2 * SLIP else far,
    )


def _open_stretches(
    line: WallLine, covers: list[tuple[RoofShape, float, float]]
) -> list[tuple[float, float]]:
    """Return the stretches of a wall's face that no roof covers."""
    found, reached = [], 0.0
    for _, near, far in sorted(covers, key=lambda cover: cover[1]):
        if near > reached + 2 * SLIP:
            found.append((reached, near))
        reached = max(reached, far)
    if line.length > reached + 2 * SLIP:
        found.append((reached, line.length))
    return [_past_the_ends(line, near, far) for near, far in found]


def _misplaced(opening: Opening, line: WallLine, solid: Solid, units: UnitSystem) -> Mistake:
    """Say what is wrong with an opening that is not wholly in its wall."""
    wall, base = f'wall "{line.wall.name}"', line.wall.base
    top = solid.bounding_box()[5]
    near, far, bottom, end, length, foot, head = (
        format_length(value, units)
        for value in (
            opening.near,
            opening.far,
            opening.bottom,
            opening.top,
            line.length,
            base,
            top,
        )
    )
    if opening.near < -SLIP or opening.far > line.length + SLIP:
        return Mistake(
            opening.where,
            f"lies from {near} to {far} along {wall}, which is {length} long",
            "check at, width and the wall's ends",
        )
    if opening.top > top + SLIP or opening.bottom < base - SLIP:
        return Mistake(
            opening.where,
            f"goes from {bottom} to {end} above the floor, but {wall} from {foot} to {head}",
            "check the heights of both",
        )
    return Mistake(
        opening.where,
        f"cuts into another opening of {wall}, or through its sloping top",
        "check at, width and height",
    )
