"""Plants: clouds of leaves, and trunks. Each is one mesh, however often it is planted."""

from __future__ import annotations

from typing import Any

import bpy
import numpy as np

from ..materials import material
from ..materials.cloth import SHADE
from .canvas import Canvas
from .forms import tube
from .shapes import new_mesh


def shrub(canvas: Canvas, random: np.random.Generator) -> bpy.types.Mesh:
    """Grow a shrub, about as high as a table."""
    size = (0.95, 0.95, 0.75)
    return foliage(canvas, "shrub", random, leaves=4500, size=size, leaf=0.07, lift=0.55)


def crown(canvas: Canvas, random: np.random.Generator) -> bpy.types.Mesh:
    """Grow the crown of a tree."""
    size = (2.5, 2.5, 2.6)
    return foliage(canvas, "crown", random, leaves=12000, size=size, leaf=0.13, lift=4.0)


def trunk(canvas: Canvas) -> bpy.types.Mesh:
    """Grow a trunk for the crowns."""
    form = tube((0.0, 0.0, -0.2), (0.15, 0.05, 4.0), 0.11, sides=10)
    data = new_mesh("trunk", canvas.units(form.vertices), form.triangles)
    data.materials.append(material("bark"))
    return data


def foliage(
    canvas: Canvas,
    name: str,
    random: np.random.Generator,
    *,
    leaves: int,
    size: tuple[float, float, float],
    leaf: float,
    lift: float,
) -> bpy.types.Mesh:
    """A cloud of leaves in an uneven ellipsoid, `lift` [m] over the ground."""
    # A few overlapping lobes, so that no two sides have the same outline.
    lobes = random.normal(size=(7, 3)) * [0.42, 0.42, 0.36]
    sizes = random.uniform(0.42, 0.68, size=7)
    lobe = random.choice(7, size=leaves, p=sizes**2 / (sizes**2).sum())
    way = random.normal(size=(leaves, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    depth = random.uniform(0.35, 1.0, size=(leaves, 1)) ** 0.4
    middle = (lobes[lobe] + way * depth * sizes[lobe, None]) * size + [0.0, 0.0, lift]
    first = np.cross(way + 0.8 * random.normal(size=(leaves, 3)), random.normal(size=(leaves, 3)))
    first /= np.linalg.norm(first, axis=1, keepdims=True)
    second = np.cross(first, way)
    second /= np.maximum(np.linalg.norm(second, axis=1, keepdims=True), 1e-6)
    scale = leaf * random.uniform(0.6, 1.2, size=(leaves, 1))
    corners = np.stack(
        [
            middle - first * scale,
            middle + second * scale * 0.42,
            middle + first * scale,
            middle - second * scale * 0.42,
        ],
        1,
    )
    index = np.arange(leaves)[:, None] * 4
    data = new_mesh(
        name,
        canvas.units(corners.reshape(-1, 3)),
        (index[:, :, None] + np.array([[0, 1, 2], [0, 2, 3]])).reshape(-1, 3),
    )
    # The deeper in the crown and the lower, the darker: what the leaves' own shadows would do,
    # which cost more rays than all the rest of the picture.
    low = 0.5 - 0.5 * ((middle[:, 2] - lift) / size[2]).clip(-1.0, 1.0)
    shade = (1.15 - 0.85 * depth[:, 0] ** 1.5 + 0.45 * low).clip(0.0, 1.0)
    attribute: Any = data.attributes.new(SHADE, "FLOAT", "FACE")
    attribute.data.foreach_set("value", np.repeat(shade, 2).astype(np.float32))
    data.materials.append(material("foliage"))
    return data
