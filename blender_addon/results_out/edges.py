"""Lines in space: the true edges of a solid, and round lines drawn along points."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from math import cos, radians

import bpy
import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Mesh

from .canvas import Canvas, Shown

SHARP = cos(radians(20.0))
SAME = 1e-6  # m; corners nearer than this are one


def true_edges(mesh: Mesh) -> list[Floats]:
    """Edges (2, 3) [m] at which a solid's surface turns by more than 20 degrees, or ends."""
    _, first, same = np.unique(
        np.round(mesh.vertices / SAME).astype(np.int64),
        axis=0,
        return_index=True,
        return_inverse=True,
    )
    welded = same.reshape(-1)[mesh.triangles]
    faces: dict[tuple[int, int], list[int]] = defaultdict(list)
    for face, triangle in enumerate(welded.tolist()):
        for a, b in zip(triangle, triangle[1:] + triangle[:1], strict=True):
            if a != b:
                faces[min(a, b), max(a, b)].append(face)
    normals, points = mesh.normals, mesh.vertices[first]
    return [
        points[list(edge)]
        for edge, sides in faces.items()
        if len(sides) != 2 or normals[sides[0]] @ normals[sides[1]] < SHARP
    ]


def draw_lines(
    canvas: Canvas,
    name: str,
    lines: Iterable[Floats],
    width: float,
    material: bpy.types.Material,
    shown: Shown,
    collection: bpy.types.Collection | None = None,
    *,
    closed: bool = False,
) -> bpy.types.Object:
    """Draw round lines of one width [m] along points (n, 3) [m], as one curve object."""
    curve = bpy.data.curves.new(name, "CURVE")
    curve.dimensions = "3D"
    curve.bevel_depth = width / 2 * canvas.per_metre
    curve.bevel_resolution = 1
    curve.use_fill_caps = True
    for points in lines:
        spline = curve.splines.new("POLY")
        spline.points.add(len(points) - 1)
        homogeneous = np.column_stack([canvas.units(points), np.ones(len(points))])
        spline.points.foreach_set("co", homogeneous.astype(np.float32).ravel())
        spline.use_cyclic_u = closed
    curve.materials.append(material)
    return canvas.put(name, curve, shown, collection)
