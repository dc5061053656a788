"""Stone, brick, concrete, stucco, tiles and the ground."""

from __future__ import annotations

from .nodes import Color, Graph


def masonry(
    g: Graph,
    dark: Color,
    light: Color,
    mortar: Color,
    *,
    block: tuple[float, float],
    joint: float,
    wander: float = 0.0,
    roughness: float = 0.85,
    relief: float = 0.006,
) -> None:
    """Blocks in courses: `wander` [m] is how far their edges stray from straight."""
    uv = g.metres()
    if wander:
        stray = g.node("TexNoise", {"Vector": uv, "Scale": 3.3, "Detail": 2.0}).outputs["Color"]
        stray = g.node("VectorMath", {0: stray, 1: (0.5, 0.5, 0.5)}, operation="SUBTRACT").outputs[
            0
        ]
        stray = g.node(
            "VectorMath", {0: stray, 1: (wander, wander, 0.0)}, operation="MULTIPLY"
        ).outputs[0]
        uv = g.node("VectorMath", {0: uv, 1: stray}, operation="ADD").outputs[0]
    width, height = block
    brick = g.node(
        "TexBrick",
        {
            "Vector": uv,
            "Color1": (0.0, 0.0, 0.0),
            "Color2": (1.0, 1.0, 1.0),
            "Mortar": (0.5, 0.5, 0.5),
            "Scale": 1.0,
            "Mortar Size": joint,
            "Mortar Smooth": 0.35,
            "Brick Width": width,
            "Row Height": height,
        },
        offset=0.5 if not wander else 0.41,
        squash=1.0 if not wander else 1.5,
        squash_frequency=3,
    )
    piece, gap = brick.outputs["Color"], brick.outputs["Fac"]
    rough = g.noise(uv, 9.0, 6.0, 0.3)
    speckle = g.noise(uv, 60.0, 3.0)
    color = g.mix(piece, dark, light)
    color = g.mix(g.remap(rough, 0.35, 0.7, 0.0, 0.55), color, dark)
    color = g.mix(g.remap(speckle, 0.5, 0.8, 0.0, 0.25), color, light)
    color = g.mix(gap, color, mortar)
    height_ = g.math(
        "SUBTRACT", g.math("MULTIPLY_ADD", rough, 0.6, g.math("MULTIPLY", speckle, 0.12)), gap
    )
    g.surface(Base_Color=color, Roughness=roughness, Normal=g.bump(height_, relief, 0.9))


def cast(
    g: Graph, dark: Color, light: Color, *, grit: float = 0.0012, roughness: float = 0.8
) -> None:
    """Concrete, stucco, render: one even mass with soft clouds and a fine grit."""
    at = g.metres()
    clouds = g.noise(at, 0.9, 5.0, 0.4)
    fine = g.noise(at, 55.0, 4.0)
    color = g.mix(g.remap(clouds, 0.3, 0.72, 0.0, 1.0), dark, light)
    color = g.mix(g.remap(fine, 0.45, 0.8, 0.0, 0.25), color, dark)
    height = g.math("MULTIPLY_ADD", clouds, 0.5, fine)
    g.surface(Base_Color=color, Roughness=roughness, Normal=g.bump(height, grit, 0.7))


def ground(g: Graph, dark: Color, light: Color) -> None:
    """Grass or gravel, seen from some way off."""
    at = g.node("NewGeometry").outputs["Position"]
    patches = g.noise(at, 0.35, 5.0, 0.5)
    blades = g.noise(at, 24.0, 5.0)
    color = g.mix(g.remap(patches, 0.3, 0.7, 0.0, 1.0), dark, light)
    color = g.mix(g.remap(blades, 0.35, 0.75, 0.0, 0.6), color, tuple(0.4 * c for c in dark))
    g.surface(Base_Color=color, Roughness=0.95, Normal=g.bump(blades, 0.03, 0.8))
