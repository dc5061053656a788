"""How far everything is from a heater's body, face by face, exactly against triangles.

Heater frame: origin at the centre of the emitting face, the body over it from z = 0 to its height,
X along its length, Y across (design, section 3). Every figure here is measured in that frame, so it
turns with the heater.

- Above and below: over the body's plan, up from its top and down from its lower face.
- A side (+Y, -Y): outward over the body's own length, between `below` under the lower face and the
  body's top. An end (+X, -X) likewise over the body's width.
- Corner: what stands beside a side and an end at once; it falls short where it comes nearer than
  `sides` and `ends` together, and is measured along the axis in which it falls short by less.
- Shortest: the plain shortest distance from the body, against the smallest of the four distances.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from math import inf

import numpy as np

from heatcore.geometry.clip import clip, clip_to_box
from heatcore.geometry.closest import triangle_box
from heatcore.geometry.frames import Floats, Frame, Ints, locked
from heatcore.geometry.parts import Mesh
from heatcore.geometry.soup import Soup, View
from heatcore.scene.types import Distances

Body = tuple[float, float, float]

NOISE = 1e-9  # m; what floating point leaves on a length, and far below what anybody can measure


class Face(StrEnum):
    """What a distance is measured from."""

    ABOVE = "above"
    BELOW = "below"
    PLUS_SIDE = "+side"
    MINUS_SIDE = "-side"
    PLUS_END = "+end"
    MINUS_END = "-end"
    CORNER = "corner"
    SHORTEST = "shortest"


DIRECTION = {
    Face.ABOVE: (2, 1.0),
    Face.BELOW: (2, -1.0),
    Face.PLUS_SIDE: (1, 1.0),
    Face.MINUS_SIDE: (1, -1.0),
    Face.PLUS_END: (0, 1.0),
    Face.MINUS_END: (0, -1.0),
}


@dataclass(frozen=True, eq=False)
class Reading:
    """One distance from one heater to one mesh.

    Attributes
    ----------
    face : what it is measured from
    owner : number of the mesh in its soup
    distance : measured [m]; of interpenetrating bodies 0 from a face, and the plain shortest is
        minus how far the deepest triangle would have to be shifted to come out
    required : what is asked for [m]
    point : (3,) where, on the object [m]
    heater_point : (3,) where, on the heater, or on its face's plane below the body where the object
        stands lower [m]
    offsets : of a corner, the distances outward from side and end [m]
    """

    face: Face
    owner: int
    distance: float
    required: float
    point: Floats
    heater_point: Floats
    offsets: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "point", locked(self.point))
        object.__setattr__(self, "heater_point", locked(self.heater_point))

    @property
    def margin(self) -> float:
        """How much farther than required it is [m]; negative where it falls short."""
        return self.distance - self.required

    @property
    def holds(self) -> bool:
        """Whether it is far enough; at exactly the required distance it is."""
        return self.margin >= -NOISE


def required(distances: Distances, face: Face) -> float:
    """What is asked for from a face, or for the plain shortest distance [m]."""
    if face in (Face.ABOVE, Face.BELOW):
        return distances.above if face is Face.ABOVE else distances.below
    if face in (Face.PLUS_SIDE, Face.MINUS_SIDE):
        return distances.sides
    if face in (Face.PLUS_END, Face.MINUS_END):
        return distances.ends
    return distances.least


def clearance_margin(frame: Frame, body: Body, distances: Distances, mesh: Mesh | Soup) -> float:
    """Least margin of a heater against a mesh over all faces, corners and the shortest distance.

    Parameters
    ----------
    frame : the heater's frame
    body : its length, width and height [m]
    distances : what is required
    mesh : a closed surface, or a soup made once of several, where many frames are tried

    Returns
    -------
    float
        Measured minus required at the face where that is least [m]; negative where something is
        too near or the body overlaps it, infinite where there is nothing at all.
    """
    soup = mesh if isinstance(mesh, Soup) else Soup.of([mesh])
    return min((r.margin for r in measure(frame, body, distances, soup)), default=inf)


def measure(
    frame: Frame, body: Body, distances: Distances, soup: Soup, sight: float = inf
) -> tuple[Reading, ...]:
    """Measure from each face, at the corners and the plain shortest distance.

    Parameters
    ----------
    frame : the heater's frame
    body : its length, width and height [m]
    distances : what is required
    soup : what stands round it
    sight : what stands farther than this, and far enough, is not looked for [m]

    Returns
    -------
    tuple of Reading
        From each face: every mesh that falls short, and otherwise the nearest within sight. A
        corner likewise, where something stands beside it no farther than the other margins reach.

    Raises
    ------
    ValueError
        If the frame is not finite.
    """
    if not (np.isfinite(frame.origin).all() and np.isfinite(frame.axes).all()):
        raise ValueError("a heater's frame must be finite")
    view = soup.seen_from(frame)
    box = _Box(
        np.array([-body[0] / 2, -body[1] / 2, 0.0]),
        np.array([body[0] / 2, body[1] / 2, body[2]]),
        distances,
    )
    sight = min(sight, view.farthest + sum(body))
    shortest = _short_or_nearest(_shortest(view, box, sight), sight)
    faces = [r for face in DIRECTION for r in _from_face(view, box, face, sight, shortest)]
    slack = min((r.margin for r in (*faces, *shortest)), default=sight)
    corners = _short_or_nearest(_corners(view, box, max(slack, 0.0)), inf)
    return tuple(_in_world(frame, r) for r in (*faces, *corners, *shortest))


@dataclass(frozen=True, eq=False)
class _Box:
    """A heater's body in its own frame, and what is required round it."""

    low: Floats
    high: Floats
    distances: Distances

    @property
    def middle(self) -> Floats:
        """(3,) the body's middle."""
        return (self.low + self.high) / 2

    def plane(self, face: Face) -> tuple[int, float, float]:
        """Axis, sign and height along the signed axis of a face of the body."""
        axis, sign = DIRECTION[face]
        return axis, sign, float(self.high[axis] if sign > 0.0 else -self.low[axis])

    def region(self, face: Face, reach: float) -> tuple[Floats, Floats]:
        """Lowest and highest corner of what lies outward of a face.

        What merely touches it from beside does not stand in it: it is drawn in by what floating
        point leaves, but not at the face itself.
        """
        axis, sign, height = self.plane(face)
        low, high = self.low + NOISE, self.high - NOISE
        if axis != 2:
            low[2] = NOISE - self.distances.below
        near, far = sign * (height - NOISE), sign * (height + reach)
        low[axis], high[axis] = min(near, far), max(near, far)
        return low, high


def _from_face(
    view: View, box: _Box, face: Face, sight: float, shortest: Iterable[Reading]
) -> list[Reading]:
    """Readings from one face."""
    axis, sign, height = box.plane(face)
    asked = required(box.distances, face)
    low, high = box.region(face, max(sight, asked))
    triangles, owner = view.near(low, high)
    outward = sign * triangles[..., axis] - height
    within = ((triangles >= low) & (triangles <= high)).all(axis=2)
    bound = np.where(within, outward, inf).min(axis=1, initial=inf)
    chosen = _worth_a_look(outward.min(axis=1, initial=inf), bound, owner, asked)
    polygons, index = clip_to_box(triangles[chosen], low, high)
    owner = owner[chosen][index]
    found = {}
    for who in np.unique(owner):
        point = _representative(polygons[owner == who], box, face)
        found[int(who)] = _face_reading(box, face, int(who), point)
    for overlap in shortest:
        # A solid that the whole face stands in has no surface there to be measured.
        if overlap.distance < -NOISE:
            centre = _centre(box, face)
            if overlap.owner in view.soup.holders(view.frame.to_world(centre)):
                found[overlap.owner] = _face_reading(box, face, overlap.owner, centre)
    return _short_or_nearest(found.values(), sight)


def _face_reading(box: _Box, face: Face, owner: int, point: Floats) -> Reading:
    axis, sign, height = box.plane(face)
    heater_point = point.copy()
    heater_point[axis] = sign * height
    distance = max(float(sign * point[axis] - height), 0.0)
    return Reading(face, owner, distance, required(box.distances, face), point, heater_point)


def _centre(box: _Box, face: Face) -> Floats:
    """Middle of a face of the body."""
    axis, sign, height = box.plane(face)
    centre = box.middle.copy()
    centre[axis] = sign * height
    return centre


def _representative(polygons: Floats, box: _Box, face: Face) -> Floats:
    """A nearest point of polygons to a face; of many, one beside the body and near its middle."""
    axis, sign, _ = box.plane(face)
    nearest = float((sign * polygons[..., axis]).min())
    beside, _ = clip(polygons, (0.0, 0.0, -1.0), 0.0)
    if len(beside) and float((sign * beside[..., axis]).min()) <= nearest + NOISE:
        polygons = beside
    level = sign * polygons[..., axis] <= nearest + NOISE
    some = level.any(axis=1)
    weight = level[some][..., None]
    middles = (polygons[some] * weight).sum(axis=1) / weight.sum(axis=1)
    away = np.linalg.norm(middles - _centre(box, face), axis=1)
    out: Floats = middles[away.argmin()]
    return out


def _corners(view: View, box: _Box, slack: float) -> list[Reading]:
    """Readings of what stands beside a side and an end at once."""
    ends, sides = box.distances.ends, box.distances.sides
    grown = np.array([ends + slack, sides + slack, 0.0])
    low = np.array([*(box.low - grown)[:2], NOISE - box.distances.below])
    high = np.array([*(box.high + grown)[:2], box.high[2] - NOISE])
    triangles, owners = view.near(low, high)
    found: dict[int, Reading] = {}
    for turn in ((1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)):
        mirror = np.array([*turn, 1.0])
        # What stands exactly on the line between a corner and a side belongs to both.
        start = np.array([*(box.high[:2] - NOISE), low[2]])
        polygons, index = clip_to_box(triangles * mirror, start, high)
        for normal in ((1.0, -1.0, 0.0), (-1.0, 1.0, 0.0)):
            # Outward of this plane one of the two shortfalls is the less: there it is linear.
            away = (box.high[0] + ends) - (box.high[1] + sides)
            part, some = clip(polygons, normal, normal[0] * away)
            out = part - box.high
            margin = np.maximum(out[..., 0] - ends, out[..., 1] - sides)
            corner = margin.argmin(axis=1)
            for i, k in enumerate(corner):
                who = int(owners[index[some[i]]])
                if who not in found or margin[i, k] < found[who].margin:
                    found[who] = _corner_reading(box, who, part[i, k], mirror)
    return list(found.values())


def _corner_reading(box: _Box, owner: int, point: Floats, mirror: Floats) -> Reading:
    end, side = (float(v) for v in np.maximum(point - box.high, 0.0)[:2])
    ends, sides = box.distances.ends, box.distances.sides
    distance, asked = (end, ends) if end - ends >= side - sides else (side, sides)
    heater_point = np.array([*box.high[:2], np.clip(point[2], 0.0, box.high[2])])
    offsets = (side, end)
    return Reading(
        Face.CORNER, owner, distance, asked, point * mirror, heater_point * mirror, offsets
    )


def _shortest(view: View, box: _Box, sight: float) -> list[Reading]:
    """Readings of the plain shortest distance, negative where bodies overlap."""
    asked = box.distances.least
    inside = set(view.soup.holders(view.frame.to_world(box.middle)).tolist())
    found: dict[int, Reading] = {}
    reach = max(asked, 0.1)
    while True:
        triangles, owner = view.near(box.low - reach, box.high + reach)
        apart = np.maximum(box.low - triangles, triangles - box.high)
        bound = np.linalg.norm(np.maximum(apart, 0.0), axis=2).min(axis=1, initial=inf)
        gap = np.maximum(box.low - triangles.max(axis=1), triangles.min(axis=1) - box.high)
        lower = np.linalg.norm(np.maximum(gap, 0.0), axis=1)
        chosen = _worth_a_look(lower, bound, owner, asked, inside)
        distance, point, box_point = triangle_box(triangles[chosen], box.low, box.high)
        for k, who in enumerate(owner[chosen].tolist()):
            if who not in found or distance[k] < found[who].distance:
                found[who] = Reading(
                    Face.SHORTEST, who, float(distance[k]), asked, point[k], box_point[k]
                )
        near = min((r.distance for r in found.values()), default=inf)
        everybody = all(who in found and found[who].distance <= reach for who in inside)
        if everybody and (near <= reach or reach >= sight):
            break
        reach *= 2.0
    for who in inside:
        if found[who].distance > 0.0:
            # To come out, the body must cross the surface and then be clear of it.
            deep = found[who].distance + float((box.high - box.low).min())
            found[who] = replace(found[who], distance=-deep)
    return list(found.values())


def _worth_a_look(
    lower: Floats, upper: Floats, owner: Ints, asked: float, always: Iterable[int] = ()
) -> Ints:
    """Triangles that may be their mesh's nearest where that falls short, or the nearest of all.

    Parameters
    ----------
    lower, upper : (k,) bounds of each triangle's distance [m]
    owner : (k,) the mesh of each
    asked : the required distance [m]
    always : meshes whose nearest is wanted in any case
    """
    if not len(owner):
        return np.zeros(0, dtype=np.int64)
    best = np.full(int(owner.max()) + 1, inf)
    np.minimum.at(best, owner, upper)
    wanted = (lower < asked) | (lower <= best.min() + NOISE) | np.isin(owner, list(always))
    return np.flatnonzero(wanted & (lower <= best[owner] + NOISE))


def _short_or_nearest(readings: Iterable[Reading], sight: float) -> list[Reading]:
    """The readings that fall short; where none does, the nearest within sight."""
    ordered = sorted(readings, key=lambda r: (r.margin, r.owner))
    return [r for r in ordered if not r.holds] or [r for r in ordered[:1] if r.distance <= sight]


def _in_world(frame: Frame, reading: Reading) -> Reading:
    return replace(
        reading,
        point=frame.to_world(reading.point),
        heater_point=frame.to_world(reading.heater_point),
    )
