"""The sky, and the sun low in it."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, radians
from typing import Any

import bpy
import numpy as np

from heatcore.views.view import View

from ..declarations import BEFORE
from ..materials.nodes import Graph
from .canvas import Canvas, Shown, is_drawing, own
from .daylight import hour
from .inks import PAPER, PAPER_LIGHT
from .keys import Keys

ASIDE = radians(62.0)  # the sun stands behind the first camera's left shoulder by this much
HAZE = (1.0, 0.9, 0.99)  # takes the green out of a low sun's horizon
OZONE = 4.0  # of the usual; it is what makes an evening sky blue
LEAST_ELEVATION = radians(1.5)  # of the direct light; the sky's own sun may be lower


def draw_sky(canvas: Canvas, views: Sequence[View], keys: Keys) -> None:
    """Give the scene a sky and a sun, keyed to each view's dusk."""
    world: Any = bpy.data.worlds.new("Heatcore sky")
    own(world)
    if bpy.app.version < (5, 0):
        world.use_nodes = True
    azimuth = sun_azimuth(views)
    build(Graph(world.node_tree), azimuth)
    if canvas.scene.world is not None:
        world[BEFORE] = canvas.scene.world
    # What it takes Blender to find out where a sky is bright grows with the square of this, and a
    # sky without its sun is smooth.
    world.cycles.sampling_method, world.cycles.sample_map_resolution = "MANUAL", 256
    canvas.scene.world = world
    hours = [hour(view.dusk) for view in views]
    keys.hold(
        world.node_tree,
        {
            'nodes["sky"].sun_elevation': [h.sun_elevation for h in hours],
            'nodes["brightness"].outputs[0].default_value': [h.sky for h in hours],
            'nodes["drawing"].outputs[0].default_value': [float(is_drawing(v)) for v in views],
        },
    )
    draw_sun(canvas, views, azimuth, keys)


def sun_azimuth(views: Sequence[View]) -> float:
    """Direction in plan from which the sun shines, from world X counter-clockwise [rad]."""
    if not views:
        return -pi / 2
    back = views[0].camera.z
    return float(np.arctan2(back[1], back[0])) - ASIDE


def build(g: Graph, azimuth: float) -> None:
    """Build the sky's nodes: the physical sky for everything, plain paper behind drawings."""
    sky = g.node("TexSky", sun_disc=False, sun_rotation=pi / 2 - azimuth, ozone_density=OZONE)
    sky.name = "sky"
    # One name for the same single-scattering sky in both; the newer default is another sky.
    sky.sky_type = "NISHITA" if bpy.app.version < (5, 0) else "SINGLE_SCATTERING"
    brightness, drawing = g.node("Value"), g.node("Value")
    brightness.name, drawing.name = "brightness", "drawing"
    brightness.outputs[0].default_value = hour(0.5).sky
    drawing.outputs[0].default_value = 0.0
    air = g.mix(1.0, sky.outputs[0], HAZE, "MULTIPLY")
    outside = g.node("Background", {"Color": air, "Strength": brightness.outputs[0]})
    paper = g.node("Background", {"Color": PAPER, "Strength": PAPER_LIGHT})
    seen = g.math("MULTIPLY", g.node("LightPath").outputs["Is Camera Ray"], drawing.outputs[0])
    mixed = g.node("MixShader", {0: seen, 1: outside.outputs[0], 2: paper.outputs[0]}).outputs[0]
    g.node("OutputWorld", {"Surface": mixed})


def draw_sun(canvas: Canvas, views: Sequence[View], azimuth: float, keys: Keys) -> None:
    """Make the sun's direct light."""
    data: Any = bpy.data.lights.new("Heatcore sun", "SUN")
    data.angle = radians(2.5)
    data.color = (1.0, 0.62, 0.34)
    sun = canvas.put("Heatcore sun", data, Shown(None), canvas.root)
    hours = [hour(view.dusk) for view in views]
    elevation = max(LEAST_ELEVATION, hours[0].sun_elevation) if hours else radians(5.0)
    sun.rotation_euler = (pi / 2 - elevation, 0.0, azimuth + pi / 2)
    keys.hold(
        sun, {"rotation_euler": [pi / 2 - max(LEAST_ELEVATION, h.sun_elevation) for h in hours]}
    )
    keys.hold(data, {"energy": [h.sun_w_m2 for h in hours]})
