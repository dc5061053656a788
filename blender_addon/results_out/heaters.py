"""The heaters: a plain housing, glowing elements in a reflector, the brackets it hangs on."""

from __future__ import annotations

from math import cos, pi, sin
from typing import Any

import bpy
import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats, Frame
from heatcore.geometry.parts import Mesh
from heatcore.mounting.mount import Arm, Mount
from heatcore.scene.types import HeaterType
from heatcore.views.view import Layer

from ..materials import made, material
from ..materials.glow import CELSIUS_ZERO, DRAPER_POINT, hot
from .canvas import Canvas, Shown
from .forms import along, bar, box, joined, slab, tube
from .shapes import solid

SHEET = 0.004  # m, the housing's sheet as drawn: thinner than this its edge is not seen
PLATE = 0.006  # m
LOOKS = Shown(Layer.HEATERS)


def draw_heaters(canvas: Canvas, evaluation: Evaluation) -> None:
    """Draw each heater with its brackets."""
    for mount in evaluation.mounts:
        draw_body(canvas, mount)
        for number, arm in enumerate(mount.arms, start=1):
            draw_arm(canvas, mount, arm, f"{mount.name} bracket {number}")


def draw_body(canvas: Canvas, mount: Mount) -> None:
    """Draw the housing, open below, with what is seen inside it."""
    kind, frame, name = mount.type, mount.frame, mount.name
    solid(canvas, name, housing(kind, frame), material("housing"), LOOKS, bevel=0.003)
    depth = recess(kind)
    solid(
        canvas,
        f"{name} reflector",
        trough(kind, frame, depth),
        material("aluminium"),
        LOOKS,
    )
    glow = made(
        f"glow {kind.element_temperature:.0f}", hot, (1.0, 0.35, 0.08),
        temperature=kind.element_temperature, cold=(0.05, 0.045, 0.04),
        strength=14.0 if kind.rods else 5.0,
    )  # fmt: skip
    solid(canvas, f"{name} element", elements(kind, frame, depth), glow, LOOKS)
    if kind.rods:
        solid(canvas, f"{name} guard", guard(kind, frame), material("stainless"), LOOKS)
    if kind.element_temperature + CELSIUS_ZERO >= DRAPER_POINT:
        draw_light(canvas, mount)


def recess(kind: HeaterType) -> float:
    """How deep the element lies behind the emitting face [m]."""
    return 0.55 * kind.height if kind.rods else 0.12 * kind.height


def housing(kind: HeaterType, frame: Frame) -> Mesh:
    """A box without a bottom over the aperture: a back, and a frame of four walls round it."""
    x, y, top = kind.length / 2, kind.width / 2, kind.height
    a, b = min(kind.aperture_length / 2, x - SHEET), min(kind.aperture_width / 2, y - SHEET)
    # One solid: an outer box whose lower face has a rectangular hole of the recess's depth.
    depth = recess(kind)
    outer, inner = [(-x, -y), (x, -y), (x, y), (-x, y)], [(-a, -b), (a, -b), (a, b), (-a, b)]
    points = [(*p, 0.0) for p in outer] + [(*p, top) for p in outer]
    points += [(*p, 0.0) for p in inner] + [(*p, depth) for p in inner]
    faces = [(4, 5, 6), (4, 6, 7), (12, 14, 13), (12, 15, 14)]
    for i in range(4):
        j = (i + 1) % 4
        faces += [(i, j, 4 + j), (i, 4 + j, 4 + i)]  # outside
        faces += [(8 + i, 12 + j, 8 + j), (8 + i, 12 + i, 12 + j)]  # inside the recess
        faces += [(i, 8 + j, j), (i, 8 + i, 8 + j)]  # the rim
    return Mesh(frame.to_world(points), np.array(faces))


def trough(kind: HeaterType, frame: Frame, depth: float) -> Mesh:
    """A thin reflector that lines the recess, arched over the elements."""
    a, b = kind.aperture_length / 2 - 0.002, kind.aperture_width / 2 - 0.002
    steps = 12
    profile = [
        (b * cos(pi * i / steps), 0.004 + (depth - 0.008) * sin(pi * i / steps) ** 0.6)
        for i in range(steps + 1)
    ]
    thick = [(y * 1.0, z + 0.002) for y, z in reversed(profile)]
    ring = [(y, z) for y, z in profile + thick]
    n = len(ring)
    ends = [[(x, y, z) for y, z in ring] for x in (-a, a)]
    faces = []
    for i in range(n):
        j = (i + 1) % n
        faces += [(i, j, n + j), (i, n + j, n + i)]
    for i in range(steps):
        quad = (i, i + 1, n - 2 - i, n - 1 - i)
        faces += [(quad[0], quad[2], quad[1]), (quad[0], quad[3], quad[2])]
        faces += [(n + quad[0], n + quad[1], n + quad[2]), (n + quad[0], n + quad[2], n + quad[3])]
    return Mesh(frame.to_world(ends[0] + ends[1]), np.array(faces))


def elements(kind: HeaterType, frame: Frame, depth: float) -> Mesh:
    """The rods, side by side; where the type has none, the radiant face."""
    a, b = kind.aperture_length / 2, kind.aperture_width / 2
    if not kind.rods:
        return box((-a, -b, 0.35 * depth), (a, b, 0.9 * depth), frame)
    radius = min(0.011, 0.3 * kind.aperture_width / kind.rods)
    places = (np.arange(kind.rods) + 0.5) / kind.rods * 1.5 * b - 0.75 * b
    ends = [
        frame.to_world([[-0.97 * a, y, radius + 0.006], [0.97 * a, y, radius + 0.006]])
        for y in places
    ]
    return joined(*(tube(start, end, radius) for start, end in ends))


def guard(kind: HeaterType, frame: Frame) -> Mesh:
    """A few wires across the opening."""
    a, b = kind.aperture_length / 2, kind.aperture_width / 2
    count = max(3, round(kind.aperture_length / 0.12))
    places = (np.arange(count) + 0.5) / count * 2.0 * a - a
    ends = [frame.to_world([[x, -b, 0.003], [x, b, 0.003]]) for x in places]
    return joined(*(tube(start, end, 0.0016, sides=8) for start, end in ends))


def draw_light(canvas: Canvas, mount: Mount) -> None:
    """Light the room by the element's faint visible glow."""
    kind = mount.type
    data: Any = bpy.data.lights.new(f"{mount.name} glow", "AREA")
    data.shape = "RECTANGLE"
    data.size = kind.aperture_length * canvas.per_metre
    data.size_y = kind.aperture_width * canvas.per_metre
    data.color = (1.0, 0.36, 0.11)
    data.energy = 9.0 * kind.aperture_length * canvas.per_metre**2
    lamp = canvas.put(f"{mount.name} glow", data, LOOKS)
    canvas.place(lamp, Frame(mount.frame.to_world([0.0, 0.0, -0.006]), mount.frame.axes))
    lamp.visible_camera = False
    lamp.visible_glossy = False


def draw_arm(canvas: Canvas, mount: Mount, arm: Arm, name: str) -> None:
    """Draw one bracket: plate, hinge, arm with its extensions, fork on the heater."""
    steel, bare = material("bracket"), material("stainless")
    away = -np.asarray(arm.normal)
    solid(canvas, f"{name} plate", slab(arm.plate, away * PLATE), steel, LOOKS, bevel=0.0015)
    x, z = mount.frame.x, mount.frame.z
    foot = arm.foot + away * PLATE
    hinge = joined(
        tube(arm.foot + away * 0.016 - x * 0.022, arm.foot + away * 0.016 + x * 0.022, 0.011),
        bar(foot, foot + away * 0.016, 0.03, 0.02, x),
    )
    solid(canvas, f"{name} hinge", hinge, bare, LOOKS, bevel=0.001)
    solid(canvas, f"{name} arm", arm_bars(arm, foot, x), steel, LOOKS, bevel=0.002)
    top = mount.frame.origin + z * mount.type.height
    base = arm.pivot - z * ((arm.pivot - top) @ z)
    ears = [
        bar(base + x * side, arm.pivot + x * side + z * 0.014, 0.004, 0.03, x)
        for side in (-0.019, 0.019)
    ]
    shoe = bar(base, base + z * 0.004, 0.06, 0.05, x)
    pin = tube(arm.pivot - x * 0.028, arm.pivot + x * 0.028, 0.006)
    solid(canvas, f"{name} fork", joined(*ears, shoe), steel, LOOKS, bevel=0.001)
    solid(canvas, f"{name} pivot", pin, bare, LOOKS)


def arm_bars(arm: Arm, foot: Floats, across: Floats) -> Mesh:
    """The arm from its plate to its pivot, thicker where a piece slides into the next."""
    up = along(arm.pivot, arm.foot).z
    ends = [0.0]
    for extension in (arm.fine, *arm.extensions):
        ends.append(ends[-1] + extension)
    bars = [bar(arm.pivot - up * 0.01, foot, 0.026, 0.026, across)]
    for at in ends[1:]:
        middle = arm.pivot + up * max(at, 0.03)
        bars.append(bar(middle - up * 0.014, middle + up * 0.014, 0.034, 0.034, across))
    return joined(*bars)
