"""Boxes within boxes over the triangles of one mesh, built once for each mesh."""

from __future__ import annotations

from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Mesh

WIDTH = 16  # boxes, or triangles, in each box


@dataclass(frozen=True, eq=False)
class Tree:
    """Triangles in an order that keeps neighbours together, and boxes round runs of them.

    Attributes
    ----------
    order : (m,) the triangles
    low, high : (n, 3) lowest and highest corners of the boxes [m], the outermost first
    first, count : (n,) which boxes stand in each; in those that hold triangles, places in `order`
    inner : how many boxes, the first ones, hold boxes
    """

    order: Ints
    low: Floats
    high: Floats
    first: Ints
    count: Ints
    inner: int


# A mesh never changes, and most meshes of one model are those of the model before it.
_TREES: WeakKeyDictionary[Mesh, Tree] = WeakKeyDictionary()


def tree_of(mesh: Mesh) -> Tree:
    """The boxes over a mesh that has triangles."""
    tree = _TREES.get(mesh)
    if tree is None:
        tree = _TREES[mesh] = _grown(mesh)
    return tree


def levels(triangles: int) -> list[int]:
    """How many boxes each level has over so many triangles, the outermost level first."""
    counts: list[int] = []
    below = triangles
    while below and (not counts or below > 1):
        below = -(-below // WIDTH)
        counts.append(below)
    return counts[::-1]


def spans(corners: Floats) -> tuple[Floats, Floats]:
    """(k, 3) lowest and (k, 3) highest corners of the boxes round triangles (k, 3, 3)."""
    # Reducing so short an axis costs numpy far more than comparing its three slices.
    a, b, c = (corners[:, i] for i in range(3))
    return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)


def _grown(mesh: Mesh) -> Tree:
    count = len(mesh.triangles)
    low, high = spans(mesh.vertices[mesh.triangles])
    order = _neighbours_together(low, high)
    low, high = low[order], high[order]
    lows, highs = [], []
    for _ in levels(count):
        low, high = _together(low, np.minimum), _together(high, np.maximum)
        lows.append(low)
        highs.append(high)
    first, held = _held(count)
    inner = len(first) - -(-count // WIDTH)
    low, high = np.concatenate(lows[::-1]), np.concatenate(highs[::-1])
    return Tree(order, low, high, first, held, inner)


def _together(values: Floats, reduce: np.ufunc) -> Floats:
    """(ceil(n / WIDTH), 3) of each run of rows the least, or the greatest."""
    short = -len(values) % WIDTH
    if short:
        values = np.concatenate([values, np.broadcast_to(values[-1:], (short, 3))])
    values = values.reshape(-1, WIDTH, 3)
    # Halving it again and again is far faster than reducing along so short an axis.
    while (half := values.shape[1] // 2) > 0:
        values = reduce(values[:, :half], values[:, half:])
    return values[:, 0]


def _held(triangles: int) -> tuple[Ints, Ints]:
    """Where the children of each box begin, and how many they are."""
    sizes = levels(triangles)
    # Boxes hold those of the level that follows; the last ones hold triangles, from 0 on.
    starts = [*np.cumsum(sizes)[:-1].tolist(), 0]
    places = [np.arange(size) * WIDTH for size in sizes]
    first = [place + start for place, start in zip(places, starts, strict=True)]
    below = zip(places, [*sizes[1:], triangles], strict=True)
    held = [np.minimum(count - place, WIDTH) for place, count in below]
    return np.concatenate(first), np.concatenate(held)


def _neighbours_together(low: Floats, high: Floats) -> Ints:
    """Order of boxes by size, and within a size along Morton's curve through their middles."""
    if len(low) <= WIDTH:
        return np.arange(len(low))
    middle = (low + high) / 2
    start = middle.min(axis=0)
    extent = float((middle.max(axis=0) - start).max())
    cell = ((middle - start) * (255.0 / max(extent, 1e-30))).astype(np.uint8)
    code = _SPREAD[cell[:, 0]] | _SPREAD[cell[:, 1]] << 1 | _SPREAD[cell[:, 2]] << 2
    # Large triangles among small ones would swell every box that they fall into.
    size = np.frexp((high - low).max(axis=1))[1]
    usual = int(np.partition(size, len(size) // 2)[len(size) // 2])
    larger = np.clip((size - usual) // 2, 0, 255).astype(np.uint32)
    # Sixteen bits at a time, numpy sorts in one pass.
    coarse = (larger << 8 | code >> 16).astype(np.uint16)
    fine = np.argsort(code.astype(np.uint16), kind="stable")
    return fine[np.argsort(coarse[fine], kind="stable")]


def _spread_bits(value: Ints) -> Ints:
    """Eight bits, each followed by two zeros."""
    value = (value | value << 8) & 0x0300F00F
    value = (value | value << 4) & 0x030C30C3
    return (value | value << 2) & 0x09249249


_SPREAD = _spread_bits(np.arange(256)).astype(np.uint32)
