"""The glow of a hot element."""

from __future__ import annotations

from .nodes import Color, Graph

DRAPER_POINT = 798.0  # K; below it a hot body does not glow to the eye (Draper 1847, from memory)
CELSIUS_ZERO = 273.15


def hot(g: Graph, temperature: float, cold: Color, *, strength: float) -> None:
    """A heated body at a temperature [deg C]: a blackbody's color, and dark where it does not glow.

    Only the camera sees the glow: what the elements do to the room is done by lights, which take
    far fewer samples to come out clean.
    """
    kelvin = temperature + CELSIUS_ZERO
    if kelvin < DRAPER_POINT:
        g.surface(Base_Color=cold, Roughness=0.6)
        return
    color = g.node("Blackbody", {"Temperature": kelvin}).outputs[0]
    seen = g.node("LightPath").outputs["Is Camera Ray"]
    g.surface(
        Base_Color=cold,
        Roughness=0.6,
        Emission_Color=color,
        Emission_Strength=g.math("MULTIPLY", seen, strength),
    )
