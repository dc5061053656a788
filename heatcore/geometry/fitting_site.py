"""Where a fitting is: its frame, its parts' names, and the rod that it hangs by."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import hypot, pi

import numpy as np
from shapely import Polygon
from shapely import box as rectangle
from shapely.affinity import rotate, translate

from heatcore.geometry.frames import Floats, Frame, heading_axes
from heatcore.geometry.overhead import Overhead
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import Solid, part_of, prism
from heatcore.scene.plan import polygon_of
from heatcore.scene.space import Fitting, Floor

ROD = 0.014  # m; radius of the rod that a thing hangs by
_CUP = (0.065, 0.05)  # m; radius and height of the cup where a rod meets the roof


@dataclass(frozen=True)
class FittingSite:
    """A fitting and its surroundings.

    Attributes
    ----------
    fitting : as the scene describes it
    size : its width, depth and height [m]
    overhead : what is above it
    floor : the patio's floor
    """

    fitting: Fitting
    size: tuple[float, float, float]
    overhead: Overhead
    floor: Floor

    @cached_property
    def frame(self) -> Frame:
        """Origin at the middle of its lowest face, X along its width, Y out of its front.

        The front is on the side with more of the floor, so that it looks onto the patio, and a
        mirrored plan gives the mirrored fitting.
        """
        at, turn = self.fitting.at, self.fitting.turn
        ground = polygon_of(self.floor.outline, "floor.outline")
        x0, y0, x1, y1 = ground.bounds
        reach = hypot(x1 - x0, y1 - y0) + hypot(at[0] - x0, at[1] - y0)
        ahead = translate(rectangle(-reach, 0.0, reach, reach), *at)
        ahead = rotate(ahead, turn, origin=at, use_radians=True)
        behind = ground.intersection(ahead).area < ground.area / 2
        axes = heading_axes(turn + pi if behind else turn)
        return Frame(np.array([*at, self.fitting.height]), axes)

    def part(
        self,
        solid: Solid,
        which: str = "",
        material: str = "",
        *,
        swept: bool = False,
    ) -> Part:
        """Return a part named 'NAME which', or by the fitting's own name."""
        name = f"{self.fitting.name} {which}" if which else self.fitting.name
        return part_of(solid, self.fitting, Kind.FITTING, name, material=material, swept=swept)

    def rods(self, start: float, radius: float = ROD, *, cup: bool = True) -> list[Solid]:
        """Return the rod from `start` over the fitting's foot up to the beam or roof above it [m].

        There is none where it does not hang, or in the open. A cup covers its upper end.
        """
        if not self.fitting.hung:
            return []
        bottom = self.fitting.height + start
        rod = self.overhead.column(self.circle(radius), bottom)
        if rod is None:
            return []
        top = rod.bounding_box()[5]
        room = self.overhead.column(self.circle(_CUP[0]), bottom)
        if not cup or room is None or top - _CUP[1] <= bottom:
            return [rod]
        return [rod, room ^ prism(self.circle(2.0 * _CUP[0]), top - _CUP[1], top + 1.0)]

    def circle(self, radius: float) -> Polygon:
        """Return a circle about the fitting's place in plan, as a polygon of 16 sides inside it."""
        return Polygon(np.asarray(self.fitting.at) + radius * ring(16, self.fitting.turn))


def ring(count: int, start: float = 0.0) -> Floats:
    """(count, 2) points on the unit circle, the first at the angle `start` [rad]."""
    turn = start + 2.0 * pi * np.arange(count) / count
    return np.column_stack([np.cos(turn), np.sin(turn)])
