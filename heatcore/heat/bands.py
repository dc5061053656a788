"""The floor in bands, by how many beams land on it: what the pictures color."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.polygon import orient

from heatcore.geometry.frames import locked
from heatcore.heat.beam import Beam, Rings
from heatcore.heat.landing import shape

LEAST_AREA = 1e-4  # m2; slivers between two outlines are no band


@dataclass(frozen=True, eq=False)
class Bands:
    """Areas of a level plane, in plan, none overlapping another.

    Attributes
    ----------
    edge : in no beam, but at the edge of one
    single : in one beam
    doubled : in two beams or more
    """

    edge: tuple[Rings, ...]
    single: tuple[Rings, ...]
    doubled: tuple[Rings, ...]


def bands(beams: Sequence[Beam], level: float = 0.0) -> Bands:
    """Split the landings on the plane at `level` [m] by how many beams reach a place."""
    landings = [at for beam in beams for at in beam.landings if at.level == level]
    inside = [shape(at.beam) for at in landings]
    lit = shapely.union_all(inside)
    twice = shapely.union_all([a.intersection(b) for i, a in enumerate(inside) for b in inside[:i]])
    edge = shapely.union_all([shape(at.field) for at in landings]).difference(lit)
    return Bands(_areas(edge), _areas(lit.difference(twice)), _areas(twice))


def _areas(found: shapely.Geometry) -> tuple[Rings, ...]:
    pieces = [p for p in shapely.get_parts(found) if p.geom_type == "Polygon"]
    return tuple(
        tuple(locked(ring.coords)[:-1, :2] for ring in (p.exterior, *p.interiors))
        for p in map(orient, (p for p in pieces if p.area > LEAST_AREA))
    )
