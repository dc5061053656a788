"""Whether a bracket's plate lies wholly on its surface, and its arm reaches it through the open."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, inf, radians

import numpy as np
from shapely import Point, Polygon, box, distance, get_parts, points, polygons, unary_union

from heatcore.geometry.clip import clip_to_box
from heatcore.geometry.frames import Floats, Frame, locked
from heatcore.mounting.structure import Structure
from heatcore.mounting.uneven import UNEVEN
from heatcore.scene.types import BracketType

# What lies within `UNEVEN` of a plate is what it lies on, unless it turns away by more than this.
_FLAT = cos(radians(45.0))
_JOIN = 1e-6  # m; neighbours whose edges miss each other by less are one surface
_THICK = 0.005  # m; of a plate
_ARM = 0.001  # m; half the width of an arm's core, that nothing may cross


@dataclass(frozen=True, eq=False)
class Plate:
    """A plate on its surface.

    Attributes
    ----------
    corners : (4, 3) in order round it [m]
    overhang : how far it reaches beyond its surface, or over something that stands on it [m]
    object : name of what stands in its way, or of the surface that it leaves
    """

    corners: Floats
    overhang: float
    object: str


def plate_frame(foot: Floats, into: Floats, heading: Floats) -> Frame:
    """A plate's frame: Z into the surface, X along the heater's heading as it falls on the surface.

    Parameters
    ----------
    foot : (3,) [m]
    into : (3,) unit normal into the surface
    heading : (3,) the heater's X
    """
    x = heading - (heading @ into) * into
    if np.linalg.norm(x) < 1e-6:
        x = np.cross(into, np.eye(3)[np.abs(into).argmin()])
    x = x / np.linalg.norm(x)
    return Frame(foot, np.stack([x, np.cross(into, x), into]))


def plate(frame: Frame, bracket: BracketType, part: int, structure: Structure) -> Plate:
    """Lay a bracket's plate on a part of the structure.

    Parameters
    ----------
    frame : of the plate
    bracket : its type
    part : number of the part in the structure
    structure : all that the plate may lie on or run into
    """
    x, y = bracket.plate_length / 2, bracket.plate_width / 2
    corners = frame.to_world([(-x, -y, 0), (x, -y, 0), (x, y, 0), (-x, y, 0)])
    # Farther off than this a surface is no longer one that the plate nearly lies on.
    room = 2.0 * hypot(x, y) + 0.5
    around = np.array([room, room, UNEVEN])
    triangles, owner = structure.soup.seen_from(frame).near(-around, around)
    own, outline = triangles[owner == part], box(-x, -y, x, y)
    under = (np.abs(own[..., :2]).min(axis=1) <= [x, y]) | (
        np.sign(own[..., :2]).min(axis=1) != np.sign(own[..., :2]).max(axis=1)
    )
    # What lies under the plate settles it mostly; how far off it is, only what lies around can say.
    beyond = _beyond(own[under.all(axis=1)], outline)
    if beyond > 0.0:
        beyond = _beyond(own, outline)
    intrusion, other = _intrusion(triangles[owner != part], owner[owner != part], x, y)
    if intrusion > max(beyond, _JOIN):
        return Plate(locked(corners), intrusion, structure.parts[other].name)
    return Plate(locked(corners), beyond if beyond > _JOIN else 0.0, structure.parts[part].name)


def _beyond(triangles: Floats, outline: Polygon) -> float:
    """How far an outline reaches beyond the flat region of triangles that holds the origin [m]."""
    edges = np.roll(triangles, -1, axis=1) - triangles
    normal = np.cross(edges[:, 0], edges[:, 1])
    size = np.linalg.norm(normal, axis=1)
    turned = (-normal[:, 2] >= _FLAT * size) & (size > 0.0)
    slab = np.array([inf, inf, UNEVEN])
    flat = clip_to_box(triangles[turned], -slab, slab)[0][..., :2]
    if not len(flat):
        return hypot(*outline.bounds[2:])
    region = unary_union(polygons(flat), grid_size=_JOIN / 10)
    pieces = get_parts(region)
    own = pieces[distance(pieces, Point(0.0, 0.0)).argmin()]
    left = outline.difference(own)
    if left.is_empty:
        return 0.0
    corners = np.concatenate([np.asarray(p.exterior.coords) for p in get_parts(left)])
    return float(distance(points(corners), own).max())


def _intrusion(triangles: Floats, owner: Floats, x: float, y: float) -> tuple[float, int]:
    """How far a plate would have to move to be free of the other parts [m], and of which."""
    low, high = np.array([-x, -y, -_THICK]), np.array([x, y, -_JOIN])
    inside, index = clip_to_box(triangles, low, high)
    if not len(inside):
        return 0.0, 0
    found = []
    for who in np.unique(owner[index]):
        corners = inside[owner[index] == who][..., :2]
        least, most = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
        # The plate comes free on the side to which it has the shortest way.
        ways = (x - least[0], x + most[0], y - least[1], y + most[1])
        found.append((float(min(ways)), int(who)))
    return max(found)


def crossed_by(frame: Frame, pivot: Floats, length: float, structure: Structure) -> str | None:
    """Name of the first part that an arm would run through before it comes to its foot.

    Parameters
    ----------
    frame : of the plate
    pivot : (3,) where the arm starts [m]
    length : of the arm [m]
    """
    along = (frame.origin - pivot) / np.linalg.norm(frame.origin - pivot)
    across = np.cross(along, np.eye(3)[np.abs(along).argmin()])
    across /= np.linalg.norm(across)
    arm = Frame(pivot, np.stack([across, np.cross(along, across), along]))
    low = np.array([-_ARM, -_ARM, 0.0])
    high = np.array([_ARM, _ARM, length - _THICK])
    if high[2] <= low[2]:
        return None
    triangles, owner = structure.soup.seen_from(arm).near(low, high)
    inside, index = clip_to_box(triangles, low, high)
    if not len(inside):
        return None
    first = inside[..., 2].min(axis=1, initial=inf).argmin()
    return structure.parts[int(owner[index[first]])].name
