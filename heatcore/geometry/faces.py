"""Distances outward from the faces of a heater's body, and from its corners."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from heatcore.geometry.clip import clip, clip_to_box
from heatcore.geometry.closest import nearest_point
from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.reading import DIRECTION, NOISE, Body, Face, Reading
from heatcore.geometry.soup import View, reaches, worth_a_look

FACES = tuple(DIRECTION)
AXES = np.array([axis for axis, _ in DIRECTION.values()])
SIGNS = np.array([sign for _, sign in DIRECTION.values()])


def from_faces(
    view: View, body: Body, sight: float, slack: float
) -> dict[Face, dict[int, Reading]]:
    """Measure from each face, in the heater's frame.

    Returns
    -------
    dict
        By face and by mesh: the nearest of each mesh whose margin is less than the slack, and of
        the nearest mesh.
    """
    found: dict[Face, dict[int, Reading]] = {face: {} for face in FACES}
    asked = np.array([body.required(face) for face in FACES]) + slack
    heights = np.array([body.height(face) for face in FACES])
    for reach in reaches(float(asked.max()), sight):
        pending = [i for i, face in enumerate(FACES) if not found[face]]
        regions = [body.region(FACES[i], reach) for i in pending]
        seen = [view.near(*region) for region in regions]
        counts = [len(owner) for _, owner in seen]
        triangles = np.concatenate([np.zeros((0, 3, 3)), *(corners for corners, _ in seen)])
        owner = np.concatenate([np.zeros(0, dtype=np.int64), *(owner for _, owner in seen)])
        face = np.repeat(np.array(pending, dtype=np.int64), counts)
        low, high = (
            np.repeat(np.reshape(b, (-1, 3)), counts, 0) for b in zip(*regions, strict=True)
        )

        outward = _outward(triangles, face) - heights[face, None]
        lower = outward.min(axis=1, initial=np.inf)
        within = ((triangles >= low[:, None]) & (triangles <= high[:, None])).all(axis=2)
        upper = np.where(within, outward, np.inf).min(axis=1, initial=np.inf)
        chosen = worth_a_look(lower, upper, owner, face, asked[face])
        polygons, index = clip_to_box(triangles[chosen], low[chosen], high[chosen])
        face, owner = face[chosen][index], owner[chosen][index]
        for i, who in {*zip(face.tolist(), owner.tolist(), strict=True)}:
            theirs = polygons[(face == i) & (owner == who)]
            point = _representative(theirs, body, FACES[i])
            found[FACES[i]][who] = _face_reading(body, FACES[i], who, point)
        if all(found.values()):
            break
    return found


def swallowed(
    view: View, body: Body, face: Face, overlapping: Iterable[Reading]
) -> dict[int, Reading]:
    """Readings of the meshes that a whole face stands in: no surface is there to be measured."""
    centre = body.centre(face)
    owners = {reading.owner for reading in overlapping if reading.distance < -NOISE}
    if owners:
        owners &= set(view.soup.holders(view.frame.to_world(centre)).tolist())
    return {who: _face_reading(body, face, who, centre) for who in owners}


def from_corners(view: View, body: Body, slack: float) -> dict[int, Reading]:
    """Measure what stands beside a side and an end at once, in the heater's frame.

    Returns
    -------
    dict
        By mesh, the reading with the least margin, where that is no more than `slack` [m].
    """
    ends, sides = body.distances.ends, body.distances.sides
    grown = np.array([ends + slack, sides + slack, -NOISE])
    low, high = body.low - grown, body.high + grown
    low[2] = NOISE - body.distances.below
    triangles, owners = view.near(low, high)
    found: dict[int, Reading] = {}
    for turn in ((1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)):
        mirror = np.array([*turn, 1.0])
        # What stands exactly on the line between a corner and a side belongs to both.
        start = np.array([*(body.high[:2] - NOISE), low[2]])
        polygons, index = clip_to_box(triangles * mirror, start, high)
        for sense in (1.0, -1.0):
            # On either side of this plane one of the two margins is the greater: there it is
            # linear, so its least lies at a corner of what is left.
            margins = polygons[..., :2] - body.high[:2] - (ends, sides)
            part, some = clip(polygons, sense * (margins[..., 0] - margins[..., 1]))
            margin = (part[..., :2] - body.high[:2] - (ends, sides)).max(axis=2)
            for i, k in enumerate(margin.argmin(axis=1).tolist() if len(part) else ()):
                who = int(owners[index[some[i]]])
                if who not in found or margin[i, k] < found[who].margin:
                    found[who] = _corner_reading(body, who, part[i, k], mirror)
    return found


def _outward(polygons: Floats, face: Ints) -> Floats:
    """(n, k) coordinates of corners along the direction that each polygon's face looks to."""
    axis, sign = AXES[face], SIGNS[face]
    out: Floats = sign[:, None] * polygons[np.arange(len(polygons)), :, axis]
    return out


def _face_reading(body: Body, face: Face, owner: int, point: Floats) -> Reading:
    axis, sign = DIRECTION[face]
    height = body.height(face)
    heater_point = point.copy()
    heater_point[axis] = sign * height
    distance = max(float(sign * point[axis]) - height, 0.0)
    return Reading(face, owner, distance, body.required(face), point, heater_point)


def _corner_reading(body: Body, owner: int, point: Floats, mirror: Floats) -> Reading:
    end, side = np.maximum(point - body.high, 0.0)[:2].tolist()
    ends, sides = body.distances.ends, body.distances.sides
    # Where both fall short alike, as along an edge across the corner, it is the end's.
    by_end = end - ends >= side - sides - NOISE
    distance, asked = (end, ends) if by_end else (side, sides)
    heater_point = np.array([*body.high[:2], np.clip(point[2], 0.0, body.high[2])])
    return Reading(
        Face.CORNER, owner, distance, asked, point * mirror, heater_point * mirror, (side, end)
    )


def _representative(polygons: Floats, body: Body, face: Face) -> Floats:
    """Of the points nearest to a face, the one nearest to its middle."""
    axis, sign = DIRECTION[face]
    outward = sign * polygons[..., axis]
    level = outward <= outward.min() + NOISE
    some = level.any(axis=1)
    polygons, level = polygons[some], level[some]
    # Of each polygon its lowest edge, or all of it: a fan over the corners that are level.
    first = polygons[np.arange(len(polygons)), level.argmax(axis=1), None]
    flat = np.where(level[..., None], polygons, first)
    fan = np.stack([np.broadcast_to(first, flat.shape), flat, np.roll(flat, -1, axis=1)], axis=2)
    return nearest_point(fan.reshape(-1, 3, 3), body.centre(face))
