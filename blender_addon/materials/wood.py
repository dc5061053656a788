"""Timber: boards, beams, and polished tops."""

from __future__ import annotations

from typing import Any

from .nodes import Color, Graph


def grain(g: Graph, along: Any, dark: Color, light: Color) -> tuple[Any, Any]:
    """Color and unevenness of sawn timber whose fibres run along the vector's first axis."""
    wander = g.noise(g.stretched(along, 0.7, 2.5), 2.0, 2.0)
    fibres = g.noise(g.stretched(along, 2.2, 75.0), 1.0, 5.0, 0.5)
    bands = g.noise(g.stretched(along, 0.5, 11.0), 1.0, 2.0, 0.9)
    light_share = g.remap(
        g.math("MULTIPLY_ADD", bands, 0.55, g.math("MULTIPLY", fibres, 0.45)), 0.34, 0.66, 0.0, 1.0
    )
    color = g.mix(light_share, dark, light)
    color = g.mix(g.remap(wander, 0.35, 0.7, 0.0, 0.4), color, dark)
    return color, fibres


def boards(
    g: Graph,
    dark: Color,
    light: Color,
    *,
    width: float = 0.125,
    length: float = 3.1,
    gap: float = 0.004,
) -> None:
    """Tongue and groove, or decking: each board its own piece, with its own tint."""
    uv = g.metres()
    brick = g.node(
        "TexBrick",
        {
            "Vector": uv,
            "Color1": (0.0, 0.0, 0.0),
            "Color2": (1.0, 1.0, 1.0),
            "Mortar": (0.5, 0.5, 0.5),
            "Scale": 1.0,
            "Mortar Size": gap,
            "Mortar Smooth": 0.3,
            "Brick Width": length,
            "Row Height": width,
        },
        offset=0.37,
        offset_frequency=2,
    )
    piece, joint = brick.outputs["Color"], brick.outputs["Fac"]
    shift = g.node("VectorMath", {0: piece, 1: (7.3, 4.1, 0.0)}, operation="MULTIPLY").outputs[0]
    along = g.node("VectorMath", {0: uv, 1: shift}, operation="ADD").outputs[0]
    color, fibres = grain(g, along, dark, light)
    tone = g.remap(piece, 0.0, 1.0, 0.68, 1.14)
    color = g.node("HueSaturation", {"Color": color, "Value": tone}).outputs[0]
    color = g.mix(joint, color, tuple(0.18 * c for c in dark))
    height = g.math("SUBTRACT", g.math("MULTIPLY", fibres, 0.12), joint)
    g.surface(
        Base_Color=color,
        Roughness=g.remap(fibres, 0.2, 0.8, 0.62, 0.45),
        Normal=g.bump(height, 0.004, 0.8),
    )


def timber(g: Graph, dark: Color, light: Color, *, roughness: float = 0.6) -> None:
    """One piece of timber, each with a tint of its own."""
    color, fibres = grain(g, g.metres(), dark, light)
    own = g.node("ObjectInfo").outputs["Random"]
    color = g.node(
        "HueSaturation", {"Color": color, "Value": g.remap(own, 0.0, 1.0, 0.8, 1.12)}
    ).outputs[0]
    g.surface(Base_Color=color, Roughness=roughness, Normal=g.bump(fibres, 0.0012, 0.5))
