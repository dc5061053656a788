"""The lamps of the place: soft warm light under the roof, and a glow in every lantern."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, pi, sqrt
from typing import Any

import bpy
import numpy as np
import shapely

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind
from heatcore.views.view import View

from .canvas import Canvas, Shown, is_drawing
from .daylight import hour
from .forms import along
from .keys import Keys

APART = 4.6  # m between two lamps, about
# Height of what shines down, over every head, and of what shines up. Level with each other they
# would leave a dark line round the walls.
DOWN, UP = 2.15, 1.45  # m
WHITE, LAMP = np.array([1.0, 0.93, 0.84]), np.array([1.0, 0.79, 0.56])
UP_SHARE = 0.55  # of the light that goes up to the ceiling, where the heaters hang
LANTERN_W = 14.0
FILL_BESIDE = (-0.3, 0.25, 0.0)  # of its distance: left of the camera, and over it
FILL_W_M2 = 12.0  # at the square of its distance [W/m2]


def draw_lights(canvas: Canvas, evaluation: Evaluation, views: Sequence[View], keys: Keys) -> None:
    """Light the place from within."""
    collection = canvas.collection("Lights")
    hours = [hour(view.dusk) for view in views]
    places, area = lamp_places(evaluation.model.floor_outline)
    warm = hours[0].warm if hours else 1.0
    for number, (x, y) in enumerate(places, start=1):
        for name, share, turn, height in (
            ("up", UP_SHARE, pi, UP),
            ("down", 1.0 - UP_SHARE, 0.0, DOWN),
        ):
            data: Any = bpy.data.lights.new(f"lamp {number} {name}", "AREA")
            data.shape, data.size = "DISK", 2.8 * canvas.per_metre
            data.color = (WHITE + (LAMP - WHITE) * warm).tolist()
            lamp = canvas.put(data.name, data, Shown(None), collection)
            lamp.location = canvas.units([x, y, height]).tolist()
            lamp.rotation_euler = (turn, 0.0, 0.0)
            lamp.visible_camera = lamp.visible_glossy = False
            watts = share * area / len(places) * canvas.per_metre**2
            data.energy = watts
            keys.hold(data, {"energy": [watts * h.lamps_w_m2 for h in hours]}, alike=("lamp", name))
    draw_lanterns(canvas, evaluation, collection)
    for view in views:
        if view.heaters and not is_drawing(view):
            draw_fill(canvas, evaluation, view, collection)


def lamp_places(outline: Floats) -> tuple[Floats, float]:
    """Return places (n, 2) of lamps spread over the floor [m], and the floor's area [m2]."""
    floor = shapely.Polygon(outline)
    low, high = outline.min(axis=0), outline.max(axis=0)
    across, deep = (max(1, ceil((b - a) / APART - 0.3)) for a, b in zip(low, high, strict=True))
    grid = np.stack(
        np.meshgrid((np.arange(across) + 0.5) / across, (np.arange(deep) + 0.5) / deep), -1
    )
    places = low + grid.reshape(-1, 2) * (high - low)
    inside = places[shapely.contains_xy(floor, places[:, 0], places[:, 1])]
    if not len(inside):
        inside = np.array([floor.representative_point().coords[0]])
    return inside, float(floor.area)


def draw_lanterns(canvas: Canvas, evaluation: Evaluation, collection: bpy.types.Collection) -> None:
    """Put a small light into every fitting that is one."""
    lamps = {fitting.name for fitting in evaluation.scene.fitting if fitting.kind == "light"}
    for part in evaluation.model.of(Kind.FITTING):
        if part.owner not in lamps:
            continue
        lamps.discard(part.owner)
        size = part.mesh.bounds[1] - part.mesh.bounds[0]
        data: Any = bpy.data.lights.new(f"{part.owner} light", "POINT")
        data.shadow_soft_size = 0.5 * float(sqrt(size @ size)) * canvas.per_metre
        data.color = LAMP.tolist()
        data.energy = LANTERN_W * canvas.per_metre**2
        lamp = canvas.put(data.name, data, Shown(None), collection)
        middle = part.mesh.bounds.mean(axis=0)
        lamp.location = canvas.units(middle - [0.0, 0.0, size[2]]).tolist()
        lamp.visible_camera = lamp.visible_glossy = False


def draw_fill(
    canvas: Canvas, evaluation: Evaluation, view: View, collection: bpy.types.Collection
) -> None:
    """Light a close-up of heaters from beside the camera, as a photographer would."""
    origins = [m.frame.origin for m in evaluation.mounts if m.name in view.heaters]
    subject = np.mean(origins, axis=0)
    away = float(np.linalg.norm(view.camera.origin - subject))
    at = view.camera.to_world(np.array(FILL_BESIDE) * away)
    data: Any = bpy.data.lights.new(f"{view.name} fill", "AREA")
    data.shape, data.size = "DISK", 0.6 * away * canvas.per_metre
    data.color = WHITE.tolist()
    data.energy = FILL_W_M2 * (away * canvas.per_metre) ** 2
    data.use_shadow = False  # the close-up is cut open: what is cut away would stand in the light
    lamp = canvas.put(data.name, data, Shown(None, view=view.name), collection)
    canvas.place(lamp, along(subject, at).moved(at - subject))
    lamp.visible_camera = lamp.visible_glossy = False
