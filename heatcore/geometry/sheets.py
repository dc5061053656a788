"""Open surfaces made solid: joined up, turned one way, and given their thickness."""

from __future__ import annotations

from typing import Any

import numpy as np

from heatcore.errors import MeshError
from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Mesh

# A face of a ceiling that looks up by more than this, as a sine, lies over another part of it.
_LOOKS_UP = 0.02


def ceiling_solid(sheet: Mesh, thickness: float, name: str) -> Mesh:
    """Give a ceiling its thickness, straight up, whichever way round its faces are.

    Parameters
    ----------
    sheet : the undersides, open; upright faces between two levels may be among them
    thickness : vertical [m]
    name : what a message calls it

    Returns
    -------
    Mesh
        Closed, its faces turned outward: the sheet itself, its copy above, sides along its edges.

    Raises
    ------
    MeshError
        If the sheet is one-sided, all upright, or lies over itself.
    """
    vertices, faces, piece = _turned_alike(sheet, name)
    cross = _crosses(vertices, faces)
    plan = np.bincount(piece, weights=cross[:, 2])[piece]
    faces = np.where((plan > 0.0)[:, None], faces[:, ::-1], faces)
    # What is left looking up lies over what looks down.
    up = np.where(plan > 0.0, -cross[:, 2], cross[:, 2])
    if (up > _LOOKS_UP * np.linalg.norm(cross, axis=1)).any():
        raise MeshError(
            name,
            "is open and lies over itself, so it cannot be made thicker upward",
            "export only its undersides, or export it with its upper side, as a closed surface",
        )
    if not (np.abs(cross[:, 2]).sum() > _LOOKS_UP * np.linalg.norm(cross, axis=1).sum()):
        raise MeshError(
            name,
            "is an open upright surface, and no ceiling",
            'give it the role "wall", or export it as a closed surface',
        )
    return _closed(vertices, vertices + np.array([0.0, 0.0, thickness]), faces)


def backed_solid(sheet: Mesh, thickness: float, name: str) -> Mesh:
    """Give an open surface its thickness, on the side that its faces look away from.

    Parameters
    ----------
    sheet : the faces that are seen; where they do not all look to one side, most of them count
    thickness : square to them [m]
    name : what a message calls it

    Returns
    -------
    Mesh
        Closed, its faces turned outward.

    Raises
    ------
    MeshError
        If the sheet is one-sided, or bends so tightly that its back would cross itself.
    """
    vertices, faces, _ = _turned_alike(sheet, name)
    cross = _crosses(vertices, faces)
    size = np.linalg.norm(cross, axis=1, keepdims=True)
    normal = np.divide(cross, size, out=np.zeros_like(cross), where=size > 0.0)
    # Weighted by the corner's angle a vertex's normal does not depend on how a face is cut up.
    corners = vertices[faces]
    ahead, behind = np.roll(corners, -1, axis=1) - corners, np.roll(corners, 1, axis=1) - corners
    turn = np.linalg.norm(np.cross(ahead, behind), axis=2)
    angle = np.arctan2(turn, (ahead * behind).sum(axis=2))
    total = np.zeros_like(vertices)
    for i in range(3):
        np.add.at(total, faces[:, i], angle[:, i, None] * normal)
    length = np.linalg.norm(total, axis=1, keepdims=True)
    total = np.divide(total, length, out=np.zeros_like(total), where=length > 0.0)
    # At a bend the back lies farther off, so that it is as thick square to either face.
    least = np.ones(len(vertices))
    for i in range(3):
        np.minimum.at(least, faces[:, i], (total[faces[:, i]] * normal).sum(axis=1))
    back = vertices - thickness * total / np.maximum(least, 0.25)[:, None]
    behind_too = (_crosses(back, faces) * normal).sum(axis=1)
    if (behind_too[size[:, 0] > 0.0] <= 0.0).any() or (least <= 0.0).any():
        raise MeshError(
            name,
            "is open and bends more tightly than its thickness, so that its back crosses itself",
            "give it less thickness, or export it as a closed surface",
        )
    return _closed(vertices, back, faces)


def is_closed(mesh: Mesh) -> bool:
    """Whether along every edge of a mesh as many faces run one way as the other."""
    edges, count = _edges(mesh.triangles), len(mesh.vertices)
    forth = np.sort(edges[:, 0] * count + edges[:, 1])
    back = np.sort(edges[:, 1] * count + edges[:, 0])
    return bool(np.array_equal(forth, back))


def cleaned(mesh: Mesh) -> Mesh:
    """The mesh without faces that are a mere line, and without a second face in one place."""
    faces = mesh.triangles
    a, b, c = faces.T
    faces = faces[(a != b) & (b != c) & (c != a)]
    first, _ = distinct(np.sort(faces, axis=1))
    return Mesh(mesh.vertices, faces[np.sort(first)])


def distinct(rows: Any) -> tuple[Ints, Ints]:
    """Tell the rows (n, 3) of an array apart, in their order.

    Returns
    -------
    first : (k,) where each distinct row first stands
    number : (n,) which of them each row is
    """
    order = np.lexsort(rows.T[::-1])
    ordered = rows[order]
    new = np.concatenate([[True], (ordered[1:] != ordered[:-1]).any(axis=1)])[: len(rows)]
    number = np.empty(len(rows), dtype=np.int64)
    number[order] = np.cumsum(new) - 1
    return order[new], number


def _turned_alike(sheet: Mesh, name: str) -> tuple[Floats, Ints, Ints]:
    """Vertices, faces that look to one side, and of which connected piece each face is.

    Faces hang together over an edge that just two of them share; along any other edge, and where
    pieces meet in a single point, the sheet is cut, so that what becomes of it is always closed.
    """
    faces, count = sheet.triangles, len(sheet.triangles)
    one, other = _shared(faces, len(sheet.vertices))
    face, next_to = one % count, other % count
    # Faces that look to one side run along a shared edge in opposite directions.
    a, b = _edges(faces)[one], _edges(faces)[other]
    against = a[:, 0] == b[:, 0]
    if against.any():
        # Each face and its reverse: the two must not hang together.
        twin = np.where(against, next_to + count, next_to)
        twin_back = np.where(against, next_to, next_to + count)
        label = _pieces(
            2 * count,
            np.concatenate([face, face + count]),
            np.concatenate([twin, twin_back]),
        )
        if (label[:count] == label[count:]).any():
            raise MeshError(
                name,
                "is a surface with one side only, so it has no inside",
                "repair it in the client's model, or export it as a closed surface",
            )
        area = np.linalg.norm(_crosses(sheet.vertices, faces), axis=1)
        # Of both ways round the one in which most of it was drawn.
        drawn = np.bincount(label[:count], weights=area, minlength=2 * count)
        turned = drawn[label[:count]] < drawn[label[count:]]
        faces = np.where(turned[:, None], faces[:, ::-1], faces)
        one, other = _shared(faces, len(sheet.vertices))
        face, next_to = one % count, other % count
    piece = _pieces(count, face, next_to)
    a, b = _edges(faces)[one], _edges(faces)[other]
    assert (a[:, 0] == b[:, 1]).all()
    # Each face's own corners, joined over the shared edges: a's start is b's end.
    start, after = one, (one // count + 1) % 3 * count + face
    ends, begins = (other // count + 1) % 3 * count + next_to, other
    corner = _pieces(3 * count, np.concatenate([start, after]), np.concatenate([ends, begins]))
    used, number = np.unique(corner, return_inverse=True)
    vertices = sheet.vertices[faces.T.reshape(-1)[used]]
    return vertices, number.reshape(3, count).T, piece


def _edges(faces: Ints) -> Ints:
    """(3 m, 2) the edges of faces: all first ones, then all second ones, then the third."""
    return np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])


def _shared(faces: Ints, vertices: int) -> tuple[Ints, Ints]:
    """The numbers of the two edges wherever just two faces share one."""
    edges = _edges(faces)
    key = edges.min(axis=1) * vertices + edges.max(axis=1)
    order = np.argsort(key, kind="stable")
    key = key[order]
    starts = np.flatnonzero(np.concatenate([[True], key[1:] != key[:-1]]))
    pairs = starts[np.diff(np.append(starts, len(key))) == 2]
    return order[pairs], order[pairs + 1]


def _pieces(count: int, one: Ints, other: Ints) -> Ints:
    """(count,) a number for each thing, the same for all that hang together."""
    label = np.arange(count)
    while len(one):
        a, b = label[one], label[other]
        apart = a != b
        one, other, a, b = one[apart], other[apart], a[apart], b[apart]
        # Each piece's first thing joins the least that the piece touches.
        np.minimum.at(label, np.maximum(a, b), np.minimum(a, b))
        while (label[label] != label).any():
            label = label[label]
    return label


def _closed(front: Floats, back: Floats, faces: Ints) -> Mesh:
    """The solid between a surface that looks outward and a copy behind it."""
    count = len(front)
    edges = _edges(faces)
    forth, reverse = edges[:, 0] * count + edges[:, 1], edges[:, 1] * count + edges[:, 0]
    rim = edges[~np.isin(forth, reverse)]
    a, b = rim.T
    sides = [np.stack([b, a, a + count], 1), np.stack([b, a + count, b + count], 1)]
    return Mesh(
        np.concatenate([front, back]), np.concatenate([faces, faces[:, ::-1] + count, *sides])
    )


def _crosses(vertices: Any, faces: Ints) -> Floats:
    """(m, 3) twice each face's area along its normal."""
    a, b, c = (vertices[faces[:, i]] for i in range(3))
    out: Floats = np.cross(b - a, c - a)
    return out
