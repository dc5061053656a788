"""A plain covered patio as text, to be sized. Invented for tests."""

from heatcore.scene import parse_scene
from heatcore.scene.model import Scene

SEATS = ((1.0, 1.0), (3.0, 1.0), (2.0, 3.0))


def patio(
    width=4.0, depth=4.0, seats=SEATS, wind="0.8 m/s", target="", supply="", roof=True, more="",
    air="8 C",
) -> Scene:  # fmt: skip
    """A flat roof at 2.9 m over a rectangle, with chairs' places and nothing else."""
    corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)]
    outline = ", ".join(f'["{x} m", "{y} m"]' for x, y in corners)
    text = f"""
[site]
name = "patio"
[site.climate]
air_temperature = "{air}"
wind = "{wind}"
[site.target]
{target}
[site.supply]
{supply}
[floor]
outline = [{outline}]
"""
    if roof:
        text += '[[roof]]\nname = "roof"\nform = "flat"\nplate = "2.9 m"\ncombustible = false\n'
    for number, (x, y) in enumerate(seats):
        text += f'[[seat]]\nname = "seat {number + 1}"\nat = ["{x} m", "{y} m"]\n'
    return parse_scene(text + more)
