"""The floor in bands, by how many beams land on it: what the pictures color."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from heatcore.heat.beams.beam import Beam
from heatcore.heat.beams.landing import shape
from heatcore.heat.planes.contours import Rings, areas

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
    pieces = (areas(found, LEAST_AREA) for found in (edge, lit.difference(twice), twice))
    return Bands(*pieces)
