"""Metal, glass, and the calm matte that stands in for what has no recipe."""

from __future__ import annotations

from .nodes import Color, Graph


def matte(g: Graph, color: Color, *, roughness: float = 0.7, metallic: float = 0.0) -> None:
    """An even coat, a little uneven in its sheen."""
    at = g.node("TexCoord").outputs["Object"]
    spread = g.remap(g.noise(at, 5.0, 3.0), 0.3, 0.7, roughness - 0.06, roughness + 0.06)
    g.surface(Base_Color=color, Roughness=spread, Metallic=metallic)


def brushed(g: Graph, color: Color, *, roughness: float = 0.32) -> None:
    """Bare metal, brushed along the part."""
    lines = g.noise(g.stretched(g.metres(), 3.0, 260.0), 1.0, 3.0)
    spread = g.remap(lines, 0.3, 0.7, roughness - 0.08, roughness + 0.1)
    g.surface(Base_Color=color, Roughness=spread, Metallic=1.0, Normal=g.bump(lines, 0.0004, 0.3))


def glass(g: Graph, tint: Color) -> None:
    """A thin pane: clear from the front, a mirror at a glance."""
    clear = g.node("BsdfTransparent", {"Color": tint}).outputs[0]
    mirror = g.node("BsdfGlossy", {"Color": (1.0, 1.0, 1.0), "Roughness": 0.02}).outputs[0]
    share = g.math(
        "MULTIPLY_ADD",
        g.node("Fresnel", {"IOR": 1.45}).outputs[0],
        0.5,
        0.03,
    )
    g.output(g.node("MixShader", {0: share, 1: clear, 2: mirror}).outputs[0])
