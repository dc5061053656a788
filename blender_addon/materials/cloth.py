"""Cloth, leather, skin, leaves: what is soft."""

from __future__ import annotations

from .nodes import Color, Graph

SHADE = (
    "shade"  # attribute of a leaf: how deep in the plant's own shade it is; 0 where there is none
)


def woven(g: Graph, color: Color, *, threads: float = 260.0, sheen: float = 0.35) -> None:
    """Upholstery and curtains: a plain weave, `threads` to the metre."""
    uv = g.metres()
    warp = g.node("TexWave", {"Vector": uv, "Scale": threads / 6.3}, bands_direction="X").outputs[1]
    weft = g.node("TexWave", {"Vector": uv, "Scale": threads / 6.3}, bands_direction="Y").outputs[1]
    weave = g.math("MULTIPLY", warp, weft)
    melange = g.noise(uv, 90.0, 2.0)
    tint = g.mix(
        g.remap(melange, 0.3, 0.75, 0.0, 0.5), color, tuple(min(1.0, 1.5 * c) for c in color)
    )
    g.surface(Base_Color=tint, Roughness=0.9, Sheen_Weight=sheen, Normal=g.bump(weave, 0.0008, 0.5))


def knitted(g: Graph, color: Color) -> None:
    """A jumper or a scarf: ribs that run up."""
    at = g.node("TexCoord").outputs["Object"]
    ribs = g.node(
        "TexWave", {"Vector": at, "Scale": 26.0, "Distortion": 0.6}, bands_direction="DIAGONAL"
    ).outputs[1]
    tint = g.mix(
        g.noise(at, 60.0, 2.0),
        tuple(0.75 * c for c in color),
        tuple(min(1.0, 1.2 * c) for c in color),
    )
    g.surface(Base_Color=tint, Roughness=0.95, Sheen_Weight=0.4, Normal=g.bump(ribs, 0.002, 0.5))


def skin(g: Graph, color: Color) -> None:
    """Skin, without pores: the figures are not portraits."""
    at = g.node("TexCoord").outputs["Object"]
    blush = g.remap(g.noise(at, 7.0, 2.0), 0.3, 0.7, 0.0, 0.35)
    tint = g.mix(blush, color, (color[0], 0.7 * color[1], 0.62 * color[2]))
    g.surface(Base_Color=tint, Roughness=0.55, Subsurface_Weight=0.15, Subsurface_Scale=0.01)


def leaves(g: Graph, dark: Color, light: Color) -> None:
    """Leaves that let some light through, each clump with a green of its own."""
    own = g.node("ObjectInfo").outputs["Random"]
    inside = g.node("Attribute", attribute_name=SHADE).outputs["Fac"]
    at = g.node("NewGeometry").outputs["Position"]
    shade = g.math("MULTIPLY_ADD", own, 0.4, g.math("MULTIPLY", g.noise(at, 6.0, 3.0), 0.6))
    color = g.mix(g.remap(shade, 0.25, 0.7, 0.0, 1.0), dark, light)
    color = g.mix(inside, color, tuple(0.12 * c for c in dark))
    face = g.node(
        "BsdfPrincipled", {"Base Color": color, "Roughness": 0.6, "Specular IOR Level": 0.25}
    ).outputs[0]
    through = g.node("BsdfTranslucent", {"Color": g.mix(0.5, color, light)}).outputs[0]
    g.seen(g.node("MixShader", {0: 0.3, 1: face, 2: through}).outputs[0])
