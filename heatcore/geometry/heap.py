"""The trees of many meshes side by side, each grown when something first comes near its mesh."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Mesh
from heatcore.geometry.tree import levels, tree_of


class Heap:
    """Boxes and triangles of many meshes, each mesh's in a run of its own.

    What belongs to a mesh that nothing came near to is not there: only its place is kept.

    Attributes
    ----------
    bottom, top : (n, 3) lowest and highest corners of all boxes [m]
    of_node : (n,) the mesh that each belongs to
    corners : (m, 3, 3) of all triangles [m]
    owner : (m,) the mesh that each belongs to
    """

    def __init__(self, meshes: Sequence[Mesh]) -> None:
        self._meshes = meshes
        self._triangles = np.cumsum([0, *(len(mesh.triangles) for mesh in meshes)])
        self._nodes = np.cumsum([0, *(sum(levels(len(mesh.triangles))) for mesh in meshes)])
        self._grown = np.zeros(len(meshes), dtype=bool)
        nodes, triangles = int(self._nodes[-1]), int(self._triangles[-1])
        # Memory is taken when it is first written to, so what stays far costs none.
        self.bottom: Floats = np.empty((nodes, 3))
        self.top: Floats = np.empty((nodes, 3))
        self.of_node: Ints = np.empty(nodes, dtype=np.int64)
        self.corners: Floats = np.empty((triangles, 3, 3))
        self.owner: Ints = np.empty(triangles, dtype=np.int64)
        self._first: Ints = np.empty(nodes, dtype=np.int64)
        self._count: Ints = np.empty(nodes, dtype=np.int64)
        self._inner = np.empty(nodes, dtype=bool)

    def triangles_of(self, mesh: int) -> Floats:
        """(k, 3, 3) the corners of one mesh's triangles [m]."""
        self._grow(mesh)
        return self.corners[self._triangles[mesh] : self._triangles[mesh + 1]]

    def descend(
        self,
        which: Ints,
        mesh: Ints,
        test: Callable[[Ints, Ints], NDArray[np.bool_]],
    ) -> tuple[Ints, Ints]:
        """Follow searches from meshes into boxes that pass a test, down to those of triangles.

        Parameters
        ----------
        which, mesh : (n,) numbers of searches, and of meshes that each is to look through
        test : from numbers of searches and boxes, which of these are looked into

        Returns
        -------
        which, node : (k,) numbers of searches, and of boxes of triangles that each came to
        """
        for one in np.unique(mesh[~self._grown[mesh]]).tolist():
            self._grow(one)
        node = self._nodes[mesh]
        ends: list[tuple[Ints, Ints]] = []
        while True:
            inner = self._inner[node]
            ends.append((which[~inner], node[~inner]))
            which, node = self.within(which[inner], node[inner])
            if not len(node):
                break
            some = np.flatnonzero(test(which, node))
            which, node = which[some], node[some]
        which, node = (np.concatenate(column) for column in zip(*ends, strict=True))
        return which, node

    def within(self, which: Ints, node: Ints) -> tuple[Ints, Ints]:
        """What stands in boxes: other boxes, or triangles."""
        count = self._count[node]
        ends = np.cumsum(count)
        within = np.repeat(self._first[node] - ends + count, count)
        return np.repeat(which, count), within + np.arange(len(within))

    def _grow(self, mesh: int) -> None:
        if self._grown[mesh]:
            return
        one, tree = self._meshes[mesh], tree_of(self._meshes[mesh])
        start, place = self._nodes[mesh], self._triangles[mesh]
        nodes = slice(start, self._nodes[mesh + 1])
        triangles = slice(place, self._triangles[mesh + 1])
        inner = np.arange(len(tree.first)) < tree.inner
        self.bottom[nodes], self.top[nodes] = tree.low, tree.high
        self.of_node[nodes] = mesh
        self._first[nodes] = tree.first + np.where(inner, start, place)
        self._count[nodes], self._inner[nodes] = tree.count, inner
        self.corners[triangles] = one.vertices[one.triangles[tree.order]]
        self.owner[triangles] = mesh
        self._grown[mesh] = True
