"""The edges of an opening, from which what moves in it is set out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from shapely import Polygon

from heatcore.geometry.frames import Floats, Frame, locked
from heatcore.geometry.walls import Opening, WallLine
from heatcore.scene.space import Hand, Swing

HANDS: tuple[Hand, Hand] = ("left", "right")


@dataclass(frozen=True, eq=False)
class Jamb:
    """Plan coordinates at one edge of an opening.

    Attributes
    ----------
    hinge : (2,) the edge, on the wall's face toward which a leaf moves [m]
    across : (2,) unit vector along the wall, over the opening
    out : (2,) unit vector out of that face
    """

    hinge: Floats
    across: Floats
    out: Floats

    def __post_init__(self) -> None:
        for name in ("hinge", "across", "out"):
            object.__setattr__(self, name, locked(getattr(self, name)))

    def plan(self, points: Any) -> Polygon:
        """Polygon of points (n, 2) across the opening and out of the face [m]."""
        axes = np.stack([self.across, self.out])
        return Polygon(self.hinge + np.asarray(points, dtype=np.float64) @ axes)

    def section(self, height: float, up: float) -> Frame:
        """Frame at a height, X up (`up` = 1) or down (-1), Y out of the face, Z along the wall."""
        x, y = np.array([0.0, 0.0, up]), np.array([*self.out, 0.0])
        return Frame(np.array([*self.hinge, height]), np.stack([x, y, np.cross(x, y)]))


def jamb(line: WallLine, hole: Opening, hand: Hand, swing: Swing) -> Jamb:
    """Return the edge of an opening on a hand's side, seen from the patio."""
    onto_patio = swing == "out"
    face = 0.0 if onto_patio else -line.wall.thickness
    out = line.out if onto_patio else -line.out
    # Seen from the patio, looking against `out`, left is `out` turned by a quarter clockwise.
    left = np.array([line.out[1], -line.out[0]])
    if (float(left @ line.along) > 0.0) == (hand == "left"):
        return Jamb(line.at(hole.far, face), -line.along, out)
    return Jamb(line.at(hole.near, face), line.along, out)
