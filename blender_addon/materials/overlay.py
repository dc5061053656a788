"""What is laid over the picture: light of its own, mixed with what lies behind.

An overlay is for the camera alone. Its objects are hidden from every other ray (see `camera_only`),
so that it neither tints the room nor casts a shadow.
"""

from __future__ import annotations

from typing import Any

import bpy

from .nodes import Color, Graph


def overlay(g: Graph, color: Color, cover: Any, strength: float = 1.0) -> None:
    """End in a film of colored light that hides `cover` (0 to 1) of what lies behind."""
    light = g.node("Emission", {"Color": color, "Strength": strength}).outputs[0]
    clear = g.node("BsdfTransparent").outputs[0]
    g.output(g.node("MixShader", {0: cover, 1: clear, 2: light}).outputs[0])


def film(g: Graph, color: Color, *, cover: float, strength: float = 1.0) -> None:
    """An even film."""
    overlay(g, color, cover, strength)


def beam(g: Graph, color: Color, *, near: float, far: float, reach: float, rim: float) -> None:
    """A body of light, thinner below its origin: from `near` to `far` at `reach`.

    Where it turns away from the camera it covers more, up to `rim`: that draws its outline.
    """
    at = g.node("SeparateXYZ", {0: g.node("TexCoord").outputs["Object"]})
    body = g.remap(g.math("MULTIPLY", at.outputs[2], -1.0), 0.0, reach, near, far)
    facing = g.node("LayerWeight", {"Blend": 0.5}).outputs["Facing"]
    outline = g.math("MULTIPLY", g.math("POWER", facing, 6.0), rim)
    overlay(g, color, g.math("ADD", body, outline))


def hatched(g: Graph, color: Color, dark: Color, *, pitch: float, strength: float = 1.0) -> None:
    """A solid signal color with dark diagonal hatching, `pitch` [m] from line to line."""
    at = g.node("SeparateXYZ", {0: g.node("NewGeometry").outputs["Position"]})
    across = g.math("ADD", g.math("ADD", at.outputs[0], at.outputs[1]), at.outputs[2])
    place = g.math("FRACT", g.math("DIVIDE", across, pitch))
    line = g.math("GREATER_THAN", place, 0.7)
    overlay(g, g.mix(line, color, dark), 1.0, strength)


def camera_only(thing: bpy.types.Object) -> None:
    """Hide an object from every ray but the camera's."""
    for ray in ("diffuse", "glossy", "transmission", "volume_scatter", "shadow"):
        setattr(thing, f"visible_{ray}", False)
