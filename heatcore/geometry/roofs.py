"""Roofs: the planes of their underside, and the solids above them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import acos, ceil, cos, hypot, sin, tan
from typing import Any

import numpy as np
from shapely import Polygon

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, Frame, locked
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import Solid, box, keep, part_of, prism, union
from heatcore.scene.heights import Support, resolve_heights, roof_outline, support_of
from heatcore.scene.plan import where
from heatcore.scene.space import Floor, Roof
from heatcore.units import UnitSystem

_MOST_SLATS = 2000
# A vault's facets are chords: they lie below its arc, by this at most, and end on it.
_CHORD = 0.001  # m
# Beyond this the tip of an acute corner is cut off, as a carpenter would.
_MITRE_LIMIT = 10.0


@dataclass(frozen=True, eq=False)
class Slope:
    """One plane of a roof's underside: z = level + gradient . (p - center of the roof).

    Attributes
    ----------
    gradient : (2,) rise over run in plan
    level : height of the plane over the roof's center [m]
    inward : (2,) unit vector in plan from the plane's eaves inward
    across : (2,) unit vector in plan along the eaves
    hipped : whether it is a hipped end
    """

    gradient: Floats
    level: float
    inward: Floats
    across: Floats
    hipped: bool = False

    def __post_init__(self) -> None:
        for name in ("gradient", "inward", "across"):
            object.__setattr__(self, name, locked(getattr(self, name)))

    @property
    def upward(self) -> Floats:
        """(3,) the plane's upward normal, its Z one."""
        return np.array([-self.gradient[0], -self.gradient[1], 1.0])

    @property
    def steepness(self) -> float:
        """Length along the slope for a unit of plan."""
        return hypot(1.0, *self.gradient)


@dataclass(frozen=True, eq=False)
class RoofShape:
    """The underside of a roof: the lowest of its planes, or of a valley roof the highest.

    A vault is a strip of planes: chords of its arc, none of them more than 1 mm below it.

    Attributes
    ----------
    roof : as the scene describes it
    outline : the roof in plan, its overhang included
    support : the rectangle that its planes are set out from
    slopes : its planes: first the side of the outline's first corner, then the other, then the
        hipped ends; a vault's facets from that side over the crown to the other
    plate : height of the underside where its slopes start [m]
    """

    roof: Roof
    outline: Polygon
    support: Support
    slopes: tuple[Slope, ...]
    plate: float

    @property
    def hollow(self) -> bool:
        """Whether the highest of the planes counts, as in a valley roof."""
        return self.roof.form == "valley"

    @cached_property
    def center(self) -> Floats:
        """(2,) middle of the support rectangle [m], read-only."""
        return locked(self.support.center)

    @cached_property
    def corners(self) -> Floats:
        """(n, 2) corners of the outline [m], read-only."""
        return locked(np.asarray(self.outline.exterior.coords)[:-1])

    def underside(self, points: Floats) -> Floats:
        """Heights (...,) of the underside over plan points (..., 2) [m], outline or not."""
        heights: Floats = np.stack(
            [s.level + (np.asarray(points) - self.center) @ s.gradient for s in self.slopes]
        )
        under: Floats = heights.max(axis=0) if self.hollow else heights.min(axis=0)
        return under

    def highest(self, points: Floats) -> float:
        """A height [m] that the underside does not exceed in the hull of plan points (n, 2)."""
        return self._bound(points, np.max, 0.0)

    def _bound(self, points: Floats, end: Callable[..., Any], thickness: float) -> float:
        """The least, or the most, that the underside or the upper face can be over plan points."""
        over = np.asarray(points) - self.center
        ends = [
            float(end(s.level + over @ s.gradient)) + thickness * s.steepness for s in self.slopes
        ]
        # Neither the lowest nor the highest of the planes can leave the bounds of any one of them.
        return max(ends) if self.hollow else min(ends)

    def on(self, slope: Slope, lift: float = 0.0) -> Floats:
        """(3,) the point of a plane, lifted square to it [m], over the roof's center."""
        return np.array([*self.center, slope.level + lift * slope.steepness])

    def below(self, solid: Solid, lift: float = 0.0) -> Solid:
        """Return what of a solid lies below the underside, outline or not.

        Parameters
        ----------
        solid : any
        lift : by how much each plane is lifted, square to it [m]
        """
        if self.hollow:
            return solid - self.above(_around(solid), lift)
        for slope in self.slopes:
            solid = keep(solid, -slope.upward, self.on(slope, lift))
        return solid

    def above(self, solid: Solid, lift: float = 0.0) -> Solid:
        """Return what of a solid lies above the underside lifted as `below` says."""
        if not self.hollow:
            return solid - self.below(_around(solid), lift)
        for slope in self.slopes:
            solid = keep(solid, slope.upward, self.on(slope, lift))
        return solid

    def column(self) -> Solid:
        """Return the prism over the outline that holds the whole roof, with room to spare."""
        low = float(self.underside(self.corners).min())
        if self.hollow:
            low = self._bound(self.corners, np.min, 0.0)
        high = self._bound(self.corners, np.max, self.roof.thickness)
        return prism(self.outline, low - 1.0, high + 1.0)

    def cell(self, slope: Slope) -> Solid:
        """Return the upright column over the part of the outline where a plane is the underside."""
        sign = -1.0 if self.hollow else 1.0
        solid = self.column()
        for other in self.slopes:
            if other is not slope:
                steeper = sign * (other.gradient - slope.gradient)
                # Where both planes are level with each other, along the steepest way between them.
                gap = sign * (slope.level - other.level) / float(steeper @ steeper)
                edge = self.center + gap * steeper
                solid = keep(solid, [*steeper, 0.0], [*edge, 0.0])
        return solid


def roof_shape(roof: Roof, floor: Floor, units: UnitSystem = UnitSystem.METRIC) -> RoofShape:
    """Return a roof's planes.

    They rise from the edges of the rectangle round the roof's outline, in the direction of the
    ridge or of the fall; on an outline that is no rectangle they go on to that rectangle all the
    same, so that jogs and wings are cut out of the roof rather than roofed by themselves. The
    overhang is the outline grown square to its edges, mitred, and covered by the same planes.

    Parameters
    ----------
    roof, floor : as the scene describes them
    units : in which mistakes are written

    Raises
    ------
    InputError
        If the outline is no polygon, or its heights are too few or contradict each other.
    """
    heights = resolve_heights(roof, floor, units=units)
    support = support_of(roof, floor)
    u, v = np.array(support.along), np.array(support.across)
    rise = tan(heights.pitch)
    plate, length, width = heights.plate, support.half_length, support.half_width
    slopes: list[Slope] = []
    match roof.form:
        case "gable" | "hip":
            slopes = [
                Slope(-side * rise * v, plate + rise * width, -side * v, u) for side in (-1.0, 1.0)
            ]
            if roof.form == "hip":
                ends = {"first": (-1.0,), "last": (1.0,), "both": (-1.0, 1.0)}[roof.hip_ends]
                slopes += [
                    Slope(-end * rise * u, plate + rise * length, -end * u, v, hipped=True)
                    for end in ends
                ]
        case "vault":
            slopes = list(_facets(support, plate, heights.ridge - plate))
        case "valley":
            slopes = [Slope(side * rise * v, plate, -side * v, u) for side in (-1.0, 1.0)]
        case _:
            slopes = [Slope(-rise * u, plate + rise * length, -u, v)]
    if rise == 0.0:
        slopes = slopes[:1]
    outline = roof_outline(roof, floor)
    if roof.overhang > 0.0:
        outline = outline.buffer(roof.overhang, join_style="mitre", mitre_limit=_MITRE_LIMIT)
    return RoofShape(roof, outline, support, tuple(slopes), plate)


def _facets(support: Support, plate: float, rise: float) -> Iterator[Slope]:
    """Yield the facets of a vault, an even number of chords of its arc."""
    u, v = np.array(support.along), np.array(support.across)
    half = support.half_width
    if rise <= 0.0:
        yield Slope(np.zeros(2), plate, v, u)
        return
    # The circle through both springing lines and the crown: half of a chord and its rise.
    radius = (half**2 + rise**2) / (2.0 * rise)
    widest = 2.0 * acos(max(1.0 - _CHORD / radius, 0.0))
    turn = 2.0 * float(np.arctan2(rise, half))
    count = 2 * ceil(turn / widest)
    angles = np.linspace(-turn, turn, count + 1)
    y, z = radius * np.sin(angles), plate + rise - radius * (1.0 - np.cos(angles))
    for i in range(count):
        gradient = (z[i + 1] - z[i]) / (y[i + 1] - y[i])
        inward = v if i < count // 2 else -v
        yield Slope(gradient * v, float(z[i] - gradient * y[i]), inward, u)


def roof_part(shape: RoofShape) -> Part:
    """Return a roof as a solid: its thickness square to the planes, its edges plumb.

    Raises
    ------
    InputError
        If a slatted roof has more slats than can be meant.
    """
    if shape.roof.form == "slatted":
        solid = _slats(shape)
    else:
        solid = shape.above(shape.below(shape.column(), shape.roof.thickness))
    return part_of(solid, shape.roof, Kind.ROOF)


def _slats(shape: RoofShape) -> Solid:
    """Return the slats, set out evenly from the middle of the roof.

    As many as fit with the whole gap between them; what is left over is shared by both edges.
    """
    roof, slope = shape.roof, shape.slopes[0]
    heading = np.array([cos(roof.slat_direction), sin(roof.slat_direction)])
    up = slope.upward / slope.steepness
    # The slats keep their direction in plan, and lie in the plane.
    x = np.array([*heading, heading @ slope.gradient])
    x = x / np.linalg.norm(x)
    frame = Frame(shape.on(slope), np.stack([x, np.cross(up, x), up]))
    over = shape.corners - shape.center
    local = frame.to_local(np.column_stack([shape.corners, slope.level + over @ slope.gradient]))
    low, high = local[:, :2].min(axis=0), local[:, :2].max(axis=0)
    step = roof.slat_width + roof.slat_gap
    count = max(1, int((high[1] - low[1] + roof.slat_gap) / step + 1e-9))
    if count > _MOST_SLATS:
        raise InputError(
            where(roof, "slat_gap"),
            f"slats of this width and gap would be {count} in number",
            f"give a slat_width and a slat_gap that make {_MOST_SLATS} slats at most",
        )
    first = (low[1] + high[1]) / 2 - (count * step - roof.slat_gap) / 2
    # The plumb edges of the outline cut the slats, so each reaches past them.
    reach = 1.0 + roof.thickness * slope.steepness
    slats = [
        box(
            frame,
            (low[0] - reach, first + i * step, 0.0),
            (high[0] + reach, first + i * step + roof.slat_width, roof.thickness),
        )
        for i in range(count)
    ]
    return union(slats) ^ shape.column()


def _around(solid: Solid) -> Solid:
    """Return a box that holds a solid, with room to spare."""
    low, high = np.reshape(solid.bounding_box(), (2, 3))
    return box(Frame(np.zeros(3), np.eye(3)), low - 1.0, high + 1.0)
