"""The structure that a heater hangs from and under, as triangles that can be asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Frame, Ints
from heatcore.geometry.parts import Part
from heatcore.geometry.soup import Soup

_LEVEL = np.eye(3)


@dataclass(frozen=True, eq=False)
class Structure:
    """Solid parts, with their triangles together.

    Attributes
    ----------
    parts : the parts, in the order in which the soups number them
    """

    parts: tuple[Part, ...]

    @cached_property
    def soup(self) -> Soup:
        """The triangles of all parts."""
        return Soup.of([part.mesh for part in self.parts])

    @cached_property
    def by_distance(self) -> tuple[tuple[bool, Ints, Soup], ...]:
        """Combustible parts and others: which it is, their numbers, their triangles."""
        out = []
        for burns in (True, False):
            index = np.flatnonzero([part.combustible is burns for part in self.parts])
            if len(index) == len(self.parts):
                return ((burns, index, self.soup),)
            out.append((burns, index, Soup.of([self.parts[i].mesh for i in index])))
        return tuple(out)

    @cached_property
    def kinds(self) -> Any:
        """(n,) kind of each part."""
        return np.array([part.kind for part in self.parts], dtype=object)

    def numbers(self, parts: Iterable[Part]) -> Ints:
        """Numbers of the given parts here."""
        wanted = {part.name for part in parts}
        return np.flatnonzero([part.name in wanted for part in self.parts])


@dataclass(frozen=True, eq=False)
class Underside:
    """A face met going straight up.

    Attributes
    ----------
    rise : how far above the point it is [m]; negative where the point stands in the solid
    part : number of the part in its soup
    up : (3,) unit normal into the face
    """

    rise: float
    part: int
    up: Floats


def underside_above(soup: Soup, point: Floats, among: Ints) -> Underside | None:
    """The first underside straight above a point, or the one that it has gone through.

    Parameters
    ----------
    soup : where to look
    point : (3,) [m]
    among : numbers of the meshes that count

    Returns
    -------
    Underside or None
        None in the open.
    """
    frame = Frame(point, _LEVEL)
    corners, owner = soup.seen_from(frame).near((0.0, 0.0, -inf), (0.0, 0.0, inf))
    counts = np.isin(owner, among)
    corners, owner = corners[counts], owner[counts]
    edges = np.roll(corners, -1, axis=1) - corners
    normal = np.cross(edges[:, 0], edges[:, 1])
    # Twice the signed area, in plan, between each edge and the point.
    beside = edges[..., 1] * corners[..., 0] - edges[..., 0] * corners[..., 1]
    facing = np.sign(normal[:, 2])
    slack = 1e-9 * np.linalg.norm(edges, axis=2)
    under = (facing != 0.0) & (beside * facing[:, None] >= -slack).all(axis=1)
    normal, facing, owner, corners = normal[under], facing[under], owner[under], corners[under]
    rise = (normal * corners[:, 0]).sum(axis=1) / normal[:, 2]
    ahead = np.flatnonzero(rise >= -1e-9)
    if not len(ahead):
        return None
    first = ahead[np.lexsort((facing[ahead], rise[ahead]))[0]]
    if facing[first] > 0.0:
        # The face ahead is a solid's upper one: the point stands in it, above the underside.
        behind = np.flatnonzero((rise < 0.0) & (facing < 0.0))
        if not len(behind):
            return None
        first = behind[rise[behind].argmax()]
    up = -normal[first] / np.linalg.norm(normal[first])
    return Underside(float(rise[first]), int(owner[first]), up)
