"""Distances outward from the faces of a heater's body, and from its corners."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from heatcore.geometry.clip import clip, clip_to_box
from heatcore.geometry.closest import feet
from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.nearest import Search, nearest, reaches
from heatcore.geometry.reading import DIRECTION, NOISE, Body, Face, Reading
from heatcore.geometry.view import Mask, View

FACES = tuple(DIRECTION)
TURNS = np.array([(1.0, 1.0, 1.0), (-1.0, 1.0, 1.0), (-1.0, -1.0, 1.0), (1.0, -1.0, 1.0)])


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
    asked = max(body.required(face) for face in FACES) + slack
    for reach in reaches(asked, sight):
        pending = [face for face in FACES if not found[face]]
        search = _outward(body, pending, reach, slack)
        which, triangles, owner = nearest(view, search)
        polygons, index = clip_to_box(triangles, search.low[which], search.high[which])
        which, owner = which[index], owner[index]
        distance, _ = search.bounds(which[:, None], polygons, polygons)
        # Of each mesh before each face the least distance.
        pairs, group = np.unique(which * len(view.soup.meshes) + owner, return_inverse=True)
        faces, owners = np.divmod(pairs, len(view.soup.meshes) or 1)
        least = np.full(len(pairs), np.inf)
        np.minimum.at(least, group, distance.min(axis=1, initial=np.inf))
        best = np.full(len(pending), np.inf)
        np.minimum.at(best, faces, least)
        wanted = (least < search.asked[faces]) | (least <= best[faces])
        level = (distance <= least[group, None] + NOISE) & wanted[group, None]
        places = _places(polygons, level, group, search.middle[which])
        for k, point in places.items():
            face, who = pending[faces[k]], int(owners[k])
            found[face][who] = _face_reading(body, face, who, float(least[k]), point)
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
        owners &= set(view.soup.holders(view.to_world(centre)).tolist())
    return {who: _face_reading(body, face, who, 0.0, centre) for who in owners}


def from_corners(view: View, body: Body, slack: float, most: float) -> dict[int, Reading]:
    """Measure what stands beside a side and an end at once, in the heater's frame.

    Returns
    -------
    dict
        By mesh, the reading with the least margin: of each mesh whose margin is less than the
        slack, and of the nearest, where that is no more than `most` [m].
    """
    search = _beside_corners(body, slack, most)
    which, triangles, owners = nearest(view, search)
    mirror = TURNS[which]
    low, high = _quadrant(body, most)
    polygons, index = clip_to_box(triangles * mirror[:, None], low, high)
    needs = np.array([body.distances.ends, body.distances.sides])
    found: dict[int, Reading] = {}
    for sense in (1.0, -1.0):
        # On either side of this plane one of the two margins is the greater: there it is linear,
        # so its least lies at a corner of what is left.
        margins = polygons[..., :2] - body.high[:2] - needs
        part, some = clip(polygons, sense * (margins[..., 0] - margins[..., 1]))
        margin = (part[..., :2] - body.high[:2] - needs).max(axis=2)
        for i in least_of_each(owners[index[some]], margin.min(axis=1, initial=np.inf)):
            who, k = int(owners[index[some[i]]]), int(margin[i].argmin())
            if who not in found or margin[i, k] < found[who].margin:
                found[who] = _corner_reading(body, who, part[i, k], mirror[index[some[i]]])
    return found


def _outward(body: Body, faces: Sequence[Face], reach: float, slack: float) -> Search:
    """Look outward from faces, up to a reach."""
    regions = np.array([body.region(face, reach) for face in faces])
    low, high = regions[:, 0], regions[:, 1]
    heights = np.array([body.height(face) for face in faces])
    # A coordinate along a face's direction, what rises along it apart from what falls.
    rises, falls = np.zeros((2, len(faces), 3))
    for i, face in enumerate(faces):
        axis, sign = DIRECTION[face]
        rises[i, axis], falls[i, axis] = max(sign, 0.0), min(sign, 0.0)

    def bounds(which: Ints, lowest: Floats, highest: Floats) -> tuple[Floats, Floats]:
        up, down, height = rises[which], falls[which], heights[which]
        lower = (up * lowest + down * highest).sum(axis=-1) - height
        upper = (up * highest + down * lowest).sum(axis=-1) - height
        within = ((lowest >= low[which]) & (highest <= high[which])).all(axis=-1)
        return lower, np.where(within, upper, np.inf)

    asked = np.array([body.required(face) for face in faces]) + slack
    middle = np.array([body.centre(face) for face in faces])
    return Search(np.zeros(len(faces), dtype=np.int64), low, high, middle, asked, bounds)


def _quadrant(body: Body, most: float) -> tuple[Floats, Floats]:
    """What is looked through beside the side and the end on the positive axes."""
    needs = np.array([body.distances.ends, body.distances.sides])
    # What stands exactly on the line between a corner and a side belongs to both.
    low = np.array([*(body.high[:2] - NOISE), NOISE - body.distances.below])
    return low, np.array([*(body.high[:2] + needs + most), body.high[2] - NOISE])


def _beside_corners(body: Body, slack: float, most: float) -> Search:
    """Look beside all four corners."""
    start, end = _quadrant(body, most)
    low, high = np.minimum(TURNS * start, TURNS * end), np.maximum(TURNS * start, TURNS * end)
    needed = body.high[:2] + np.array([body.distances.ends, body.distances.sides])

    def bounds(which: Ints, lowest: Floats, highest: Floats) -> tuple[Floats, Floats]:
        turn = TURNS[which][..., :2]
        a, b = turn * lowest[..., :2], turn * highest[..., :2]
        lower = (np.minimum(a, b) - needed).max(axis=-1)
        upper = (np.maximum(a, b) - needed).max(axis=-1)
        within = ((lowest >= low[which]) & (highest <= high[which])).all(axis=-1)
        return lower, np.where(within, upper, np.inf)

    middle = TURNS * [*body.high[:2], 0.0]
    return Search(np.zeros(4, dtype=np.int64), low, high, middle, np.full(4, slack), bounds)


def least_of_each(owner: Ints, values: Floats) -> list[int]:
    """Where each owner has its least value."""
    order = np.lexsort((values, owner))
    _, first = np.unique(owner[order], return_index=True)
    return [int(i) for i in order[first]]


def _face_reading(body: Body, face: Face, owner: int, distance: float, point: Floats) -> Reading:
    axis, sign = DIRECTION[face]
    heater_point = point.copy()
    heater_point[axis] = sign * body.height(face)
    return Reading(face, owner, max(distance, 0.0), body.required(face), point, heater_point)


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


def _places(polygons: Floats, level: Mask, group: Ints, middle: Floats) -> dict[int, Floats]:
    """Of the places where each group of polygons is level, the one nearest to a middle.

    Parameters
    ----------
    polygons : (n, k, 3) their corners [m]
    level : (n, k) which of these are as near to the face as any of the group
    group : (n,) which group each belongs to
    middle : (n, 3) of the face that each stands before [m]
    """
    some = np.flatnonzero(level.any(axis=1))
    polygons, level, group, middle = polygons[some], level[some], group[some], middle[some]
    # Of each polygon its lowest edge, or all of it: a fan over the corners that are level.
    first = polygons[np.arange(len(polygons)), level.argmax(axis=1), None]
    flat = np.where(level[..., None], polygons, first)
    fan = np.stack([np.broadcast_to(first, flat.shape), flat, np.roll(flat, -1, axis=1)], axis=2)
    count = 4 * polygons.shape[1]
    places = feet(fan.reshape(-1, 3, 3), np.repeat(middle, polygons.shape[1], axis=0))
    away = places.reshape(-1, count, 3) - middle[:, None]
    group = np.repeat(group, count)
    chosen = least_of_each(group, np.einsum("nki,nki->nk", away, away).ravel())
    return {int(group[i]): places.reshape(-1, 3)[i] for i in chosen}
