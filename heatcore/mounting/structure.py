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


def undersides_above(soup: Soup, points: Floats, among: Ints) -> list[Underside | None]:
    """The first underside straight above each point, or the one that it has gone through.

    Parameters
    ----------
    soup : where to look
    points : (n, 3) [m]
    among : numbers of the meshes that count

    Returns
    -------
    list of (Underside or None)
        None in the open.
    """
    level = Frame(points[0], np.eye(3))
    local = level.to_local(points)
    low, high = local.min(axis=0), local.max(axis=0)
    low[2], high[2] = -inf, inf
    corners, owner = soup.seen_from(level).near(low, high)
    counts = np.isin(owner, among)
    corners, owner = corners[counts], owner[counts]
    edges = np.roll(corners, -1, axis=1) - corners
    normal = np.cross(edges[:, 0], edges[:, 1])
    facing = np.sign(normal[:, 2])
    slack = 1e-9 * np.linalg.norm(edges, axis=2)
    found = []
    for point in local:
        off = corners - point
        # Twice the signed area, in plan, between each edge and the point.
        beside = edges[..., 1] * off[..., 0] - edges[..., 0] * off[..., 1]
        under = (facing != 0.0) & (beside * facing[:, None] >= -slack).all(axis=1)
        rise = (normal[under] * off[under, 0]).sum(axis=1) / normal[under, 2]
        found.append(_first(_Met(rise, facing[under], owner[under], normal[under])))
    return found


@dataclass(frozen=True, eq=False)
class _Met:
    """Faces that the line straight up from a point meets."""

    rise: Floats
    facing: Floats
    owner: Ints
    normal: Floats


def _first(met: _Met) -> Underside | None:
    """The one of them that counts."""
    ahead = np.flatnonzero(met.rise >= -1e-9)
    if not len(ahead):
        return None
    first = ahead[np.lexsort((met.facing[ahead], met.rise[ahead]))[0]]
    if met.facing[first] > 0.0:
        # The face ahead is a solid's upper one: the point stands in it, above the underside.
        behind = np.flatnonzero((met.rise < 0.0) & (met.facing < 0.0))
        if not len(behind):
            return None
        first = behind[met.rise[behind].argmax()]
    up = -met.normal[first] / np.linalg.norm(met.normal[first])
    return Underside(float(met.rise[first]), int(met.owner[first]), up)
