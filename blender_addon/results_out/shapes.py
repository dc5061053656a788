"""Solids of the core as Blender meshes: laid out in metres, smooth where round, edges broken."""

from __future__ import annotations

from math import radians
from typing import Any
from zlib import crc32

import bmesh
import bpy
import numpy as np

from heatcore.geometry.frames import Floats, Ints
from heatcore.geometry.parts import Mesh

from ..declarations import METRES
from .canvas import Canvas, Shown

FLAT = radians(0.5)  # two faces that meet at less lie in one plane
ROUND = radians(38.0)  # two faces that meet at less are one round surface


def solid(
    canvas: Canvas,
    name: str,
    mesh: Mesh,
    material: bpy.types.Material,
    shown: Shown,
    *,
    bevel: float = 0.0,
    grain: bool = False,
    origin: Floats | None = None,
    collection: bpy.types.Collection | None = None,
) -> bpy.types.Object:
    """Put a closed solid into the scene.

    Parameters
    ----------
    bevel : width of the broken edges [m]; 0 leaves them sharp
    grain : whether the material runs along the solid's length, as timber does
    origin : (3,) the object's origin [m]; left out, the solid's middle
    """
    at = mesh.bounds.mean(axis=0) if origin is None else origin
    data = new_mesh(name, canvas.units(mesh.vertices - at), mesh.triangles)
    if bevel:
        merge_planes(data)
    lay_out(data, 1.0 / canvas.per_metre, name, along=length_axis(mesh) if grain else None)
    data.shade_smooth()
    data.set_sharp_from_angle(angle=ROUND)
    data.materials.append(material)
    thing = canvas.put(name, data, shown, collection)
    thing.location = canvas.units(at).tolist()
    if bevel:
        round_edges(thing, bevel * canvas.per_metre)
    return thing


def new_mesh(name: str, vertices: Floats, triangles: Ints) -> bpy.types.Mesh:
    """Make a mesh of triangles, in Blender units."""
    data = bpy.data.meshes.new(name)
    data.vertices.add(len(vertices))
    data.vertices.foreach_set("co", np.ascontiguousarray(vertices, dtype=np.float32).ravel())
    data.loops.add(3 * len(triangles))
    data.loops.foreach_set("vertex_index", np.ascontiguousarray(triangles, dtype=np.int32).ravel())
    data.polygons.add(len(triangles))
    data.polygons.foreach_set("loop_start", np.arange(0, 3 * len(triangles), 3, dtype=np.int32))
    data.update(calc_edges=True)
    return data


def merge_planes(data: bpy.types.Mesh) -> None:
    """Make one face of the triangles of a plane, so that only true edges get broken."""
    work = bmesh.new()
    work.from_mesh(data)
    bmesh.ops.dissolve_limit(work, angle_limit=FLAT, verts=list(work.verts), edges=list(work.edges))
    work.to_mesh(data)
    work.free()


def round_edges(thing: bpy.types.Object, width: float) -> None:
    """Break an object's edges, as every real edge is."""
    modifier: Any = thing.modifiers.new("broken edges", "BEVEL")
    modifier.width = width
    modifier.segments = 2
    modifier.limit_method = "ANGLE"
    modifier.angle_limit = ROUND
    modifier.harden_normals = True


def length_axis(mesh: Mesh) -> Floats:
    """Return the direction (3,) in which a solid is longest."""
    spread = mesh.vertices - mesh.vertices.mean(axis=0)
    _, axes = np.linalg.eigh(spread.T @ spread)
    out: Floats = axes[:, -1]
    return out


def lay_out(data: bpy.types.Mesh, metres: float, name: str, *, along: Floats | None = None) -> None:
    """Lay the faces out flat in metres: first level or along the solid, second square to that.

    Faces of one plane join without a seam. Where a solid has a grain, its name shifts it, so that
    no two timbers are the same piece.
    """
    loops, faces = len(data.loops), len(data.polygons)
    corner = np.empty(loops, dtype=np.int32)
    data.loops.foreach_get("vertex_index", corner)
    points = np.empty(3 * len(data.vertices), dtype=np.float32)
    data.vertices.foreach_get("co", points)
    normals = np.empty(3 * faces, dtype=np.float32)
    data.polygons.foreach_get("normal", normals)
    totals = np.empty(faces, dtype=np.int32)
    data.polygons.foreach_get("loop_total", totals)
    normal = np.repeat(normals.reshape(-1, 3), totals, axis=0)

    first = (
        np.cross([0.0, 0.0, 1.0], normal)
        if along is None
        else along - normal * (normal @ along)[:, None]
    )
    size = np.linalg.norm(first, axis=1, keepdims=True)
    # Faces square to that direction: level ones of a plain solid, the end grain of a timber.
    other = np.array([1.0, 0.0, 0.0]) - normal * normal[:, :1]
    fallback = np.where(np.abs(normal[:, :1]) > 0.9, np.cross(normal, [0.0, 0.0, 1.0]), other)
    first = np.where(size > 0.05, first, fallback)
    first /= np.maximum(np.linalg.norm(first, axis=1, keepdims=True), 1e-9)
    second = np.cross(normal, first)

    point = points.reshape(-1, 3)[corner] * metres
    uv = np.stack([(point * first).sum(axis=1), (point * second).sum(axis=1)], axis=1)
    if along is not None:
        uv += np.array(divmod(crc32(name.encode()) % 10_000, 100)) * 0.37
    layer = data.uv_layers.new(name=METRES)
    layer.uv.foreach_set("vector", np.ascontiguousarray(uv, dtype=np.float32).ravel())
