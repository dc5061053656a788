"""The table of materials: the word in a material's name that picks its recipe."""

from __future__ import annotations

import colorsys
from collections.abc import Callable
from functools import partial
from zlib import crc32

from . import cloth, mineral, plain, wood
from .nodes import Color, Graph

Recipe = Callable[[Graph], None]
Entry = tuple[Recipe, Color]

# Linear colors, dark and light.
CEDAR = (0.155, 0.066, 0.027), (0.40, 0.205, 0.09)
OAK = (0.19, 0.105, 0.048), (0.42, 0.27, 0.14)
WALNUT = (0.05, 0.026, 0.014), (0.145, 0.08, 0.043)
DRIFTWOOD = (0.16, 0.135, 0.11), (0.36, 0.31, 0.26)

# The first word that a name contains decides, so the longer names stand first.
TABLE: tuple[tuple[str, Recipe, Color], ...] = (
    ("timber board", partial(wood.boards, dark=CEDAR[0], light=CEDAR[1]), (0.30, 0.15, 0.07)),
    ("decking", partial(wood.boards, dark=DRIFTWOOD[0], light=DRIFTWOOD[1], width=0.14, gap=0.006), (0.27, 0.23, 0.19)),
    ("board", partial(wood.boards, dark=OAK[0], light=OAK[1]), (0.30, 0.19, 0.1)),
    ("bark", partial(wood.timber, dark=(0.03, 0.022, 0.016), light=(0.09, 0.07, 0.05), roughness=0.9), (0.06, 0.045, 0.035)),
    ("walnut", partial(wood.timber, dark=WALNUT[0], light=WALNUT[1], roughness=0.42), (0.09, 0.05, 0.03)),
    ("oak", partial(wood.timber, dark=OAK[0], light=OAK[1], roughness=0.48), (0.32, 0.2, 0.1)),
    ("cedar", partial(wood.timber, dark=CEDAR[0], light=CEDAR[1]), (0.28, 0.14, 0.07)),
    ("teak", partial(wood.timber, dark=OAK[0], light=OAK[1]), (0.3, 0.19, 0.1)),
    ("timber", partial(wood.timber, dark=(0.105, 0.05, 0.024), light=(0.27, 0.145, 0.07)), (0.2, 0.1, 0.05)),
    ("wood", partial(wood.timber, dark=OAK[0], light=OAK[1]), (0.3, 0.19, 0.1)),
    ("brick", partial(mineral.masonry, dark=(0.17, 0.052, 0.03), light=(0.36, 0.13, 0.075), mortar=(0.42, 0.38, 0.33), block=(0.225, 0.075), joint=0.005, relief=0.005), (0.3, 0.11, 0.07)),
    ("stone", partial(mineral.masonry, dark=(0.13, 0.115, 0.1), light=(0.42, 0.385, 0.33), mortar=(0.16, 0.145, 0.125), block=(0.46, 0.19), joint=0.009, wander=0.05, relief=0.022), (0.3, 0.27, 0.24)),
    ("tile", partial(mineral.masonry, dark=(0.36, 0.24, 0.17), light=(0.48, 0.34, 0.25), mortar=(0.3, 0.27, 0.24), block=(0.3, 0.3), joint=0.003, relief=0.002, roughness=0.5), (0.42, 0.3, 0.22)),
    ("pav", partial(mineral.masonry, dark=(0.25, 0.235, 0.215), light=(0.42, 0.4, 0.37), mortar=(0.12, 0.11, 0.1), block=(0.6, 0.4), joint=0.004, relief=0.003), (0.35, 0.33, 0.3)),
    ("concrete", partial(mineral.cast, dark=(0.24, 0.235, 0.225), light=(0.4, 0.39, 0.37)), (0.33, 0.32, 0.3)),
    ("slate", partial(mineral.masonry, dark=(0.07, 0.075, 0.08), light=(0.14, 0.145, 0.15), mortar=(0.05, 0.05, 0.05), block=(0.6, 0.3), joint=0.003, relief=0.003, roughness=0.55), (0.1, 0.105, 0.11)),
    ("stucco", partial(mineral.cast, dark=(0.54, 0.48, 0.39), light=(0.72, 0.66, 0.56), grit=0.003), (0.64, 0.58, 0.48)),
    ("plaster", partial(mineral.cast, dark=(0.6, 0.56, 0.49), light=(0.74, 0.7, 0.63), grit=0.0008), (0.68, 0.64, 0.57)),
    ("gypsum", partial(mineral.cast, dark=(0.66, 0.64, 0.6), light=(0.76, 0.74, 0.7), grit=0.0004), (0.7, 0.68, 0.64)),
    ("lawn", partial(mineral.ground, dark=(0.022, 0.04, 0.012), light=(0.06, 0.088, 0.024)), (0.045, 0.07, 0.02)),
    ("soil", partial(mineral.ground, dark=(0.035, 0.024, 0.016), light=(0.08, 0.055, 0.036)), (0.05, 0.035, 0.025)),
    ("gravel", partial(mineral.ground, dark=(0.2, 0.185, 0.16), light=(0.36, 0.34, 0.3)), (0.28, 0.26, 0.23)),
    ("foliage", partial(cloth.leaves, dark=(0.012, 0.035, 0.01), light=(0.075, 0.15, 0.03)), (0.045, 0.1, 0.025)),
    ("leaves", partial(cloth.leaves, dark=(0.012, 0.035, 0.01), light=(0.075, 0.15, 0.03)), (0.045, 0.1, 0.025)),
    ("plant", partial(cloth.leaves, dark=(0.012, 0.035, 0.01), light=(0.075, 0.15, 0.03)), (0.045, 0.1, 0.025)),
    ("glass", partial(plain.glass, tint=(0.93, 0.96, 0.95)), (0.6, 0.68, 0.7)),
    ("screen", partial(cloth.woven, color=(0.1, 0.1, 0.095), threads=420.0, sheen=0.05), (0.1, 0.1, 0.095)),
    ("skin", partial(cloth.skin, color=(0.46, 0.25, 0.165)), (0.46, 0.25, 0.165)),
    ("hair", partial(plain.matte, color=(0.03, 0.02, 0.014), roughness=0.5), (0.03, 0.02, 0.014)),
    ("knit", partial(cloth.knitted, color=(0.42, 0.34, 0.25)), (0.42, 0.34, 0.25)),
    ("wool", partial(cloth.knitted, color=(0.2, 0.24, 0.27)), (0.2, 0.24, 0.27)),
    ("denim", partial(cloth.woven, color=(0.035, 0.06, 0.115), threads=600.0, sheen=0.1), (0.04, 0.065, 0.12)),
    ("trouser", partial(cloth.woven, color=(0.06, 0.062, 0.07), threads=600.0, sheen=0.1), (0.06, 0.06, 0.07)),
    ("linen", partial(cloth.woven, color=(0.5, 0.45, 0.36)), (0.5, 0.45, 0.36)),
    ("fabric", partial(cloth.woven, color=(0.2, 0.215, 0.205)), (0.21, 0.22, 0.21)),
    ("cushion", partial(cloth.woven, color=(0.46, 0.4, 0.31)), (0.46, 0.4, 0.31)),
    ("leather", partial(plain.matte, color=(0.085, 0.042, 0.022), roughness=0.5), (0.085, 0.042, 0.022)),
    ("shoe", partial(plain.matte, color=(0.035, 0.026, 0.02), roughness=0.5), (0.035, 0.026, 0.02)),
    ("rattan", partial(cloth.woven, color=(0.28, 0.18, 0.095), threads=90.0, sheen=0.0), (0.28, 0.18, 0.095)),
    ("stainless", partial(plain.brushed, color=(0.58, 0.57, 0.55)), (0.5, 0.5, 0.5)),
    ("alumin", partial(plain.brushed, color=(0.62, 0.62, 0.62)), (0.55, 0.55, 0.55)),
    ("steel", partial(plain.matte, color=(0.045, 0.046, 0.048), roughness=0.42, metallic=0.3), (0.06, 0.06, 0.065)),
    ("iron", partial(plain.matte, color=(0.03, 0.03, 0.03), roughness=0.5, metallic=0.3), (0.04, 0.04, 0.04)),
    ("metal", partial(plain.matte, color=(0.1, 0.1, 0.1), roughness=0.4, metallic=0.6), (0.12, 0.12, 0.12)),
    ("white", partial(plain.matte, color=(0.7, 0.69, 0.66), roughness=0.5), (0.7, 0.69, 0.66)),
    ("black", partial(plain.matte, color=(0.022, 0.022, 0.023), roughness=0.5), (0.03, 0.03, 0.03)),
)  # fmt: skip

# What is walked on lies in slabs.
FLOORS: tuple[tuple[str, Recipe, Color], ...] = (
    ("stone", partial(mineral.masonry, dark=(0.2, 0.185, 0.165), light=(0.36, 0.335, 0.3), mortar=(0.11, 0.1, 0.09), block=(0.9, 0.6), joint=0.006, relief=0.004, roughness=0.72), (0.3, 0.28, 0.25)),
    ("timber", partial(wood.boards, dark=DRIFTWOOD[0], light=DRIFTWOOD[1], width=0.14, gap=0.006), (0.27, 0.23, 0.19)),
)  # fmt: skip


def recipe_for(name: str, *, floor: bool) -> Entry:
    """Find the recipe of a material's name, and its plain color."""
    plain_name = name.lower()
    for word, recipe, seen in (*(FLOORS if floor else ()), *TABLE):
        if word in plain_name:
            return recipe, seen
    seen = calm_color(plain_name)
    return partial(plain.matte, color=seen), seen


def calm_color(name: str) -> Color:
    """Derive a muted color from a name, always the same for the same name."""
    code = crc32(name.encode())
    hue, depth = (code % 360) / 360.0, (code // 360 % 100) / 100.0
    return colorsys.hsv_to_rgb(hue, 0.25 + 0.15 * depth, 0.16 + 0.22 * depth)
