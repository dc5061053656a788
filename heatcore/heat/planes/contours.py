"""Contours of values on a grid, as lines and areas in plan."""

from __future__ import annotations

from itertools import pairwise

import contourpy
import numpy as np
import shapely
from shapely.geometry.polygon import orient

from heatcore.geometry.frames import Floats, locked

# Rings of a plan polygon: the outer ring first (counter-clockwise), then its holes (clockwise).
Rings = tuple[Floats, ...]

LEAST_AREA = 1e-6  # m2; slivers between two outlines are no area
# m; every area's corners lie on a lattice this fine. Without it, areas between lines that nearly
# touch come out wrong now and then, since GEOS does not find their crossings safely.
LATTICE = 1e-6


class Contours:
    """Contours of a field that is linear between the points of a grid, cut to an area in plan.

    Parameters
    ----------
    x, y : (nx,) and (ny,) where the points lie [m], ascending
    field : (ny, nx) the values
    within : the area; the grid reaches beyond it on every side
    """

    def __init__(self, x: Floats, y: Floats, field: Floats, within: shapely.Polygon) -> None:
        self._within = within
        self._most = float(np.max(field))
        self._found = contourpy.contour_generator(
            x,
            y,
            field,
            line_type=contourpy.LineType.Separate,
            fill_type=contourpy.FillType.OuterOffset,
        )

    def lines(self, value: float) -> tuple[Floats, ...]:
        """Where the field has a value: (n, 2) each; a closed one ends where it begins."""
        found = [line for line in self._found.lines(value) if len(line) >= 2]
        # Cutting opens a closed line where it happened to begin.
        cut = shapely.line_merge(shapely.MultiLineString(found).intersection(self._within))
        return tuple(
            locked(shapely.get_coordinates(line))
            for line in shapely.get_parts(cut)
            if line.geom_type == "LineString" and line.length > 0.0
        )

    def at_least(self, value: float) -> shapely.Geometry:
        """The area where the field is at least a value."""
        if value > self._most:
            return shapely.MultiPolygon()
        polygons = []
        just_below = np.nextafter(value, -np.inf)  # contourpy's areas lie above a value, not at it
        for corners, offsets in zip(*self._found.filled(just_below, self._most + 1.0), strict=True):
            rings = [corners[a:b] for a, b in pairwise(offsets)]
            rings = [ring for ring in rings if len(ring) >= 4]
            if rings:
                polygons.append(shapely.Polygon(rings[0], rings[1:]))
        valid = shapely.make_valid(polygons, method="structure", keep_collapsed=False)
        found = shapely.union_all(valid, grid_size=LATTICE)
        return _flat(found.intersection(self._within, grid_size=LATTICE))


def parted(whole: shapely.Geometry, part: shapely.Geometry) -> shapely.Geometry:
    """What of an area lies outside a part of it."""
    return _flat(whole.difference(part, grid_size=LATTICE))


def areas(found: shapely.Geometry, least: float = LEAST_AREA) -> tuple[Rings, ...]:
    """An area's pieces, each as its outer ring and its holes; those below `least` [m2] left out."""
    return tuple(
        tuple(locked(ring.coords)[:-1, :2] for ring in (p.exterior, *p.interiors))
        for p in map(orient, (p for p in _polygons(found) if p.area > least))
    )


def _flat(found: shapely.Geometry) -> shapely.Geometry:
    return shapely.MultiPolygon(_polygons(found))


def _polygons(found: shapely.Geometry) -> list[shapely.Polygon]:
    """What an overlay left, without the lines and points where areas touch."""
    return [p for p in shapely.get_parts(found) if p.geom_type == "Polygon"]
