"""What lies around the place: ground, and planting at a distance."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin
from typing import Any

import bpy
import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats, Frame
from heatcore.geometry.parts import Mesh
from heatcore.views.view import View

from ..materials import camera_only, material
from ..materials.cloth import SHADE
from .canvas import Canvas, Shown, is_drawing
from .forms import tube
from .shapes import new_mesh

SEED = 11
OUTDOORS = Shown(None, outdoors=True)
GROUND = -0.035  # m, just below the floor
HORIZON = 140.0  # m
SHRUBS, TREES = 44, 60


def draw_surroundings(canvas: Canvas, evaluation: Evaluation, views: Sequence[View]) -> None:
    """Put the place into a garden."""
    collection = canvas.collection("Surroundings")
    outline = evaluation.model.floor_outline
    middle = outline.mean(axis=0)
    radius = float(np.linalg.norm(outline - middle, axis=1).max())
    draw_ground(canvas, middle, collection)
    random = np.random.default_rng(SEED)
    cameras = [view.camera for view in views if not is_drawing(view)]

    shrub = foliage(
        canvas, "shrub", random, leaves=3200, size=(0.95, 0.95, 0.75), leaf=0.085, lift=0.55
    )
    crown = foliage(canvas, "crown", random, leaves=7000, size=(2.5, 2.5, 2.6), leaf=0.18, lift=4.0)
    trunk = new_trunk(canvas)
    spread = [(SHRUBS, 3.0, 11.0, (0.7, 1.5)), (TREES, 10.0, 46.0, (0.8, 1.7))]
    for kind, (count, near, far, sizes) in enumerate(spread):
        for number in range(count):
            turn = 2.0 * pi * (number + random.uniform(-0.4, 0.4)) / count
            away = radius + random.uniform(near, far)
            at = np.array([*(middle + away * np.array([cos(turn), sin(turn)])), GROUND])
            size, spin = random.uniform(*sizes), random.uniform(0.0, 2.0 * pi)
            if in_the_way(at, cameras, np.array([*middle, 1.5])):
                continue
            for data in ((shrub,), (crown, trunk))[kind]:
                plant = canvas.put(f"{data.name} {number + 1}", data, OUTDOORS, collection)
                plant.location = canvas.units(at).tolist()
                plant.scale = (size, size, size * random.uniform(0.85, 1.2))
                plant.rotation_euler = (0.0, 0.0, spin)
                camera_only(plant)


def in_the_way(at: Floats, cameras: Sequence[Frame], middle: Floats) -> bool:
    """Whether a plant would stand before what a camera looks at, or on the photographer's toes."""
    for camera in cameras:
        way, subject = at - camera.origin, middle - camera.origin
        distance, far = float(np.linalg.norm(way)), float(np.linalg.norm(subject))
        if distance < 4.0 or (distance < far + 2.0 and way @ subject > 0.45 * distance * far):
            return True
    return False


def draw_ground(canvas: Canvas, middle: Floats, collection: bpy.types.Collection) -> None:
    """Draw the ground out to the horizon."""
    turns = np.arange(64) * 2.0 * pi / 64
    ring = np.column_stack([HORIZON * np.cos(turns), HORIZON * np.sin(turns), np.zeros(64)])
    data = bpy.data.meshes.new("ground")
    data.from_pydata(canvas.units(ring).tolist(), [], [range(64)])
    data.materials.append(material("lawn"))
    thing = canvas.put("ground", data, OUTDOORS, collection)
    thing.location = canvas.units([*middle, GROUND]).tolist()


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


def new_trunk(canvas: Canvas) -> bpy.types.Mesh:
    """A trunk for the crowns."""
    form: Mesh = tube((0.0, 0.0, -0.2), (0.15, 0.05, 4.0), 0.11, sides=10)
    data = new_mesh("trunk", canvas.units(form.vertices), form.triangles)
    data.materials.append(material("bark"))
    return data
