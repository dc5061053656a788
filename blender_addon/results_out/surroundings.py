"""What lies around the place: a forecourt, the ground, and planting at a distance."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, pi, sin

import bpy
import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats, Frame
from heatcore.views.view import View

from ..materials import camera_only, material
from .canvas import Canvas, Shown, is_drawing
from .plants import crown, shrub, trunk

SEED = 11
OUTDOORS = Shown(None, outdoors=True)
GROUND = -0.04  # m, just below the floor
HORIZON = 140.0  # m
FORECOURT = 3.2  # m beyond the floor

# What is planted, how many, how far beyond the floor [m], and how large.
BELTS = (
    (("shrub",), 26, (4.5, 11.0), (0.7, 1.4)),
    (("shrub",), 80, (13.0, 24.0), (1.5, 2.8)),
    (("crown", "trunk"), 50, (14.0, 50.0), (0.8, 1.7)),
)


def draw_surroundings(canvas: Canvas, evaluation: Evaluation, views: Sequence[View]) -> None:
    """Put the place into a garden."""
    collection = canvas.collection("Surroundings")
    outline = evaluation.model.floor_outline
    middle = outline.mean(axis=0)
    radius = float(np.linalg.norm(outline - middle, axis=1).max())
    draw_ground(canvas, middle, radius, collection)
    cameras = [view.camera for view in views if not is_drawing(view)]
    subject = np.array([*middle, 1.5])
    random = np.random.default_rng(SEED)
    forms = {
        "shrub": shrub(canvas, random), "crown": crown(canvas, random), "trunk": trunk(canvas)
    }  # fmt: skip
    for names, count, (near, far), (least, most) in BELTS:
        for number in range(count):
            turn = 2.0 * pi * (number + random.uniform(-0.4, 0.4)) / count
            away = radius + random.uniform(near, far)
            at = np.array([*(middle + away * np.array([cos(turn), sin(turn)])), GROUND])
            size, spin = random.uniform(least, most), random.uniform(0.0, 2.0 * pi)
            tall = size * random.uniform(0.85, 1.3)
            if in_the_way(at, cameras, subject):
                continue
            for name in names:
                plant = canvas.put(name, forms[name], OUTDOORS, collection)
                plant.location = canvas.units(at).tolist()
                plant.scale = (size, size, tall)
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


def draw_ground(
    canvas: Canvas, middle: Floats, radius: float, collection: bpy.types.Collection
) -> None:
    """Draw a forecourt around the floor, and the ground out to the horizon."""
    turns = np.arange(96) * 2.0 * pi / 96
    wander = 1.0 + 0.06 * np.sin(3.0 * turns) + 0.04 * np.sin(5.0 * turns + 1.0)
    rings = (("ground", "lawn", HORIZON * np.ones(96), GROUND),
             ("forecourt", "gravel", (radius + FORECOURT) * wander, GROUND + 0.012))  # fmt: skip
    for name, look, away, height in rings:
        ring = np.column_stack([away * np.cos(turns), away * np.sin(turns), np.zeros(96)])
        data = bpy.data.meshes.new(name)
        data.from_pydata(canvas.units(ring).tolist(), [], [range(96)])
        data.materials.append(material(look))
        thing = canvas.put(name, data, OUTDOORS, collection)
        thing.location = canvas.units([*middle, height]).tolist()
