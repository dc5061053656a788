"""Uneven and bent surfaces: the plane that a plate finds on many small faces, and their bends.

A plate is screwed to what lies under it, not to one face of a scan or of a finely cut model. So a
small face takes the mean plane of what lies about it, where that is a surface at all and no fold.
"""

from __future__ import annotations

from itertools import product

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.sheets import distinct

UNEVEN = 0.003  # m; a plate bridges what is uneven by so much (common practice, no source)
_FINE = 0.2  # m; a face without a longer edge is a small one
_CELL = 0.05  # m; about the size of a plate
_AROUND = np.array(list(product((-1, 0, 1), repeat=3)))
_EXACT = 1e-9
_MOST_BEND = 0.1  # rad; faces that turn from each other by more meet at a fold
_LEAST_BEND = 1e-6  # rad; what floating point leaves between faces of one plane
_JOIN = 1e-6  # m; corners nearer than this are one


def mean_planes(corners: Floats, into: Floats, part: Ints) -> tuple[Floats, Floats]:
    """The plane that counts at each face.

    Parameters
    ----------
    corners : (m, 3, 3) of the faces [m]
    into : (m, 3) their unit normals
    part : (m,) what each belongs to

    Returns
    -------
    point : (m, 3) on the plane [m]
    into : (m, 3) its unit normal
    """
    point, turned = corners[:, 0].copy(), into.copy()
    edges = np.roll(corners, -1, axis=1) - corners
    small = np.flatnonzero(np.linalg.norm(edges, axis=2).max(axis=1, initial=0.0) < _FINE)
    if not len(small):
        return point, turned
    area = np.linalg.norm(np.cross(edges[small, 0], edges[small, 1]), axis=1)
    origin = corners[small].mean(axis=(0, 1))
    middle = corners[small].mean(axis=1) - origin
    # Sums of area, first and second moments and normals over cells, and over those about each.
    square = (middle[:, :, None] * middle[:, None, :]).reshape(-1, 9)
    columns = np.column_stack([np.ones(len(small)), middle, square, into[small]]) * area[:, None]
    cell = np.floor(middle / _CELL).astype(np.int64)
    cell -= cell.min(axis=0) - 1
    shape = (*(cell.max(axis=0) + 2), int(part.max()) + 1)
    key = np.ravel_multi_index((*cell.T, part[small]), shape)
    cells, number = np.unique(key, return_inverse=True)
    sums = np.stack([np.bincount(number, weights=c) for c in columns.T], axis=1)
    about = np.zeros_like(sums)
    where = np.stack(np.unravel_index(cells, shape), axis=1)
    for step in _AROUND:
        beside = np.ravel_multi_index((*(where[:, :3] + step).T, where[:, 3]), shape)
        found = np.minimum(np.searchsorted(cells, beside), len(cells) - 1)
        about += np.where((cells[found] == beside)[:, None], sums[found], 0.0)
    whole = np.maximum(about[:, :1], 1e-30)
    mean, normal = about[:, 1:4] / whole, about[:, 13:]
    normal = normal / np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-30)
    spread = (about[:, 4:13] / whole).reshape(-1, 3, 3) - mean[:, :, None] * mean[:, None, :]
    off = np.einsum("ni,nij,nj->n", normal, spread, normal)
    level = (off <= (UNEVEN / 2) ** 2)[number]
    plane, at = normal[number], mean[number]
    turn = np.abs(plane - into[small]).max(axis=1)
    height = np.abs(((corners[small] - origin - at[:, None]) * plane[:, None]).sum(axis=2))
    # An exact plane stays exactly what it is.
    rough = level & ((turn > _EXACT) | (height.max(axis=1) > _EXACT))
    point[small[rough]] = at[rough] + origin
    turned[small[rough]] = plane[rough]
    return point, turned


def bends(corners: Floats, into: Floats, longest: float) -> Floats:
    """How far past each edge of the faces a foot may stand, (m, 3) [m].

    Between two faces that bulge toward the heater lies a wedge in which a square arm meets neither;
    where they bend but little, each reaches half way into it.

    Parameters
    ----------
    corners : (m, 3, 3) of the faces [m]
    into : (m, 3) unit normals of the planes that count there
    longest : the longest arm [m]
    """
    count = len(corners)
    _, vertex = distinct(np.round(corners.reshape(-1, 3) / _JOIN))
    vertex = vertex.reshape(count, 3)
    edges = np.concatenate([vertex[:, [i, (i + 1) % 3]] for i in range(3)])
    key = edges.min(axis=1) * (vertex.max(initial=0) + 1) + edges.max(axis=1)
    order = np.argsort(key, kind="stable")
    key = key[order]
    same = np.flatnonzero(key[1:] == key[:-1])
    one, other = order[same], order[same + 1]
    turn = np.arccos(np.clip((into[one % count] * into[other % count]).sum(axis=1), -1.0, 1.0))
    slack = np.zeros(3 * count)
    bent = (turn > _LEAST_BEND) & (turn <= _MOST_BEND)
    reach = np.where(bent, longest * np.tan(turn / 2), 0.0)
    # Never so far that it would stand off the surface by more than a plate bridges.
    reach = np.minimum(reach, UNEVEN / 2 / np.maximum(np.sin(turn), 1e-9))
    np.maximum.at(slack, one, reach)
    np.maximum.at(slack, other, reach)
    return slack.reshape(3, count).T
