"""The table of materials: the word in a material's name that picks its recipe."""

from __future__ import annotations

import colorsys
from collections.abc import Callable
from functools import partial
from typing import Any
from zlib import crc32

from . import cloth, mineral, plain, wood
from .nodes import Color, Graph

Recipe = Callable[[Graph], None]
Look = tuple[Recipe, Color]
"""A recipe, and the plain color that stands for it where a window shows no materials."""


def two(recipe: Callable[..., None], dark: Color, light: Color, **more: Any) -> Look:
    """Look between two colors."""
    r, g, b = (0.45 * low + 0.55 * high for low, high in zip(dark, light, strict=True))
    return partial(recipe, dark=dark, light=light, **more), (r, g, b)


def one(recipe: Callable[..., None], color: Color, **more: Any) -> Look:
    """Look of one color, which a word in the name can tint."""
    return partial(recipe, color=color, **more), color


# Linear colors, dark and light.
CEDAR = (0.15, 0.075, 0.036), (0.40, 0.24, 0.125)
OAK = (0.19, 0.105, 0.048), (0.42, 0.27, 0.14)
WALNUT = (0.05, 0.026, 0.014), (0.145, 0.08, 0.043)
SAWN = (0.105, 0.05, 0.024), (0.27, 0.145, 0.07)
BARK = (0.03, 0.022, 0.016), (0.09, 0.07, 0.05)
DRIFTWOOD = (0.16, 0.135, 0.11), (0.36, 0.31, 0.26)
BRICK = (0.17, 0.052, 0.03), (0.36, 0.13, 0.075)
STONE = (0.13, 0.115, 0.1), (0.42, 0.385, 0.33)
FLAGS = (0.2, 0.185, 0.165), (0.36, 0.335, 0.3)
SLATE = (0.07, 0.075, 0.08), (0.14, 0.145, 0.15)
TILES = (0.36, 0.24, 0.17), (0.48, 0.34, 0.25)
PAVERS = (0.25, 0.235, 0.215), (0.42, 0.4, 0.37)
CONCRETE = (0.24, 0.235, 0.225), (0.4, 0.39, 0.37)
STUCCO = (0.54, 0.48, 0.39), (0.72, 0.66, 0.56)
PLASTER = (0.6, 0.56, 0.49), (0.74, 0.7, 0.63)
LAWN = (0.06, 0.085, 0.028), (0.17, 0.2, 0.07)
SOIL = (0.035, 0.024, 0.016), (0.08, 0.055, 0.036)
GRAVEL = (0.2, 0.185, 0.16), (0.36, 0.34, 0.3)
LEAVES = (0.02, 0.055, 0.014), (0.12, 0.22, 0.045)

masonry, boards, timber, woven = mineral.masonry, wood.boards, wood.timber, cloth.woven

TABLE: dict[str, Look] = {
    "timber board": two(boards, *CEDAR),
    "board": two(boards, *OAK),
    "decking": two(boards, *DRIFTWOOD, width=0.14, gap=0.006),
    "timber": two(timber, *SAWN),
    "wood": two(timber, *OAK),
    "oak": two(timber, *OAK, roughness=0.48),
    "pine": two(timber, *OAK),
    "fir": two(timber, *OAK),
    "teak": two(timber, *OAK),
    "bamboo": two(timber, *OAK),
    "cedar": two(timber, *CEDAR),
    "redwood": two(timber, *CEDAR),
    "walnut": two(timber, *WALNUT, roughness=0.42),
    "bark": two(timber, *BARK, roughness=0.9),
    "brick": two(masonry, *BRICK, mortar=(0.42, 0.38, 0.33), block=(0.225, 0.075), joint=0.005),
    "stone": two(
        masonry, *STONE, mortar=(0.16, 0.145, 0.125), block=(0.46, 0.19), joint=0.009,
        wander=0.05, relief=0.022,
    ),
    "granite": two(mineral.cast, *SLATE, roughness=0.4),
    "slate": two(
        masonry, *SLATE, mortar=(0.05, 0.05, 0.05), block=(0.6, 0.3), joint=0.003, roughness=0.55
    ),
    "shingle": two(
        masonry, *SLATE, mortar=(0.04, 0.04, 0.04), block=(0.2, 0.14), joint=0.004, relief=0.01
    ),
    "tile": two(
        masonry, *TILES, mortar=(0.3, 0.27, 0.24), block=(0.3, 0.3), joint=0.003, relief=0.002,
        roughness=0.5,
    ),
    "terracotta": one(plain.matte, (0.36, 0.135, 0.07), roughness=0.85),
    "paver": two(
        masonry, *PAVERS, mortar=(0.12, 0.11, 0.1), block=(0.6, 0.4), joint=0.004, relief=0.003
    ),
    "concrete": two(mineral.cast, *CONCRETE),
    "cement": two(mineral.cast, *CONCRETE, grit=0.0005),
    "stucco": two(mineral.cast, *STUCCO, grit=0.003),
    "plaster": two(mineral.cast, *PLASTER, grit=0.0008),
    "gypsum": two(mineral.cast, *PLASTER, grit=0.0004),
    "lawn": two(mineral.ground, *LAWN),
    "soil": two(mineral.ground, *SOIL),
    "gravel": two(mineral.ground, *GRAVEL),
    "foliage": two(cloth.leaves, *LEAVES),
    "leaves": two(cloth.leaves, *LEAVES),
    "plant": two(cloth.leaves, *LEAVES),
    "thatch": two(timber, *DRIFTWOOD, roughness=0.95),
    "glass": (partial(plain.glass, tint=(0.93, 0.96, 0.95)), (0.6, 0.68, 0.7)),
    "screen": one(woven, (0.1, 0.1, 0.095), threads=420.0, sheen=0.05),
    "canvas": one(woven, (0.5, 0.46, 0.38)),
    "fabric": one(woven, (0.2, 0.215, 0.205)),
    "linen": one(woven, (0.5, 0.45, 0.36)),
    "cushion": one(woven, (0.46, 0.4, 0.31)),
    "denim": one(woven, (0.035, 0.06, 0.115), threads=600.0, sheen=0.1),
    "trousers": one(woven, (0.06, 0.062, 0.07), threads=600.0, sheen=0.1),
    "wicker": one(woven, (0.28, 0.18, 0.095), threads=90.0, sheen=0.0),
    "knit": one(cloth.knitted, (0.42, 0.34, 0.25)),
    "skin": one(cloth.skin, (0.46, 0.25, 0.165)),
    "skin tan": one(cloth.skin, (0.30, 0.145, 0.085)),
    "skin deep": one(cloth.skin, (0.115, 0.05, 0.028)),
    "hair": one(plain.matte, (0.03, 0.02, 0.014), roughness=0.55),
    "leather": one(plain.matte, (0.085, 0.042, 0.022), roughness=0.5),
    "shoes": one(plain.matte, (0.035, 0.026, 0.02), roughness=0.5),
    "ceramic": one(plain.matte, (0.55, 0.52, 0.47), roughness=0.35),
    "vinyl": one(plain.matte, (0.55, 0.54, 0.5), roughness=0.5),
    "stainless": one(plain.brushed, (0.58, 0.57, 0.55)),
    "alumin": one(plain.brushed, (0.62, 0.62, 0.62)),
    "copper": one(plain.brushed, (0.6, 0.27, 0.15)),
    "brass": one(plain.brushed, (0.6, 0.42, 0.16)),
    "housing": one(plain.matte, (0.27, 0.265, 0.255), roughness=0.4),
    "bracket": one(plain.matte, (0.4, 0.395, 0.385), roughness=0.38, metallic=0.3),
    "painted": one(plain.matte, (0.045, 0.046, 0.048), roughness=0.42, metallic=0.3),
    "steel": one(plain.matte, (0.045, 0.046, 0.048), roughness=0.42, metallic=0.3),
    "iron": one(plain.matte, (0.03, 0.03, 0.03), roughness=0.5, metallic=0.3),
    "metal": one(plain.matte, (0.1, 0.1, 0.1), roughness=0.4, metallic=0.6),
}  # fmt: skip

# What is walked on lies in slabs.
FLOORS: dict[str, Look] = {
    "stone": two(
        masonry, *FLAGS, mortar=(0.11, 0.1, 0.09), block=(0.9, 0.6), joint=0.006, relief=0.004,
        roughness=0.72,
    ),
    "timber": two(boards, *DRIFTWOOD, width=0.14, gap=0.006),
}  # fmt: skip

TINTS: dict[str, Color] = {
    "white": (0.62, 0.6, 0.55),
    "black": (0.022, 0.022, 0.023),
    "grey": (0.22, 0.21, 0.2),
    "gray": (0.22, 0.21, 0.2),
    "charcoal": (0.05, 0.05, 0.055),
    "slate": (0.085, 0.1, 0.12),
    "navy": (0.022, 0.038, 0.085),
    "blue": (0.07, 0.13, 0.24),
    "olive": (0.12, 0.125, 0.05),
    "green": (0.06, 0.12, 0.07),
    "clay": (0.34, 0.125, 0.07),
    "red": (0.3, 0.05, 0.035),
    "rust": (0.28, 0.09, 0.035),
    "stone": (0.3, 0.265, 0.215),
    "sand": (0.42, 0.33, 0.22),
    "blond": (0.32, 0.2, 0.085),
    "brown": (0.075, 0.037, 0.018),
    "dark": (0.018, 0.012, 0.009),
}


def recipe_for(name: str, *, floor: bool) -> Look:
    """Find a material's recipe, and its plain color.

    The word that stands first in the name decides, the longer where two do; a color word behind it
    tints what has one color. A name without any known word gets a calm color of its own.
    """
    words = name.casefold()
    table = TABLE | FLOORS if floor else TABLE
    known = [word for word in table if word in words]
    if not known:
        color = calm_color(words)
        return partial(plain.matte, color=color), color
    recipe, seen = table[min(known, key=lambda word: (words.index(word), -len(word)))]
    tint = next((color for word, color in TINTS.items() if word in words.split()), None)
    if tint is not None and isinstance(recipe, partial) and "color" in recipe.keywords:
        return partial(recipe, color=tint), tint
    return recipe, seen


def calm_color(name: str) -> Color:
    """Derive a muted color from a name, always the same for the same name."""
    code = crc32(name.encode())
    hue, depth = (code % 360) / 360.0, (code // 360 % 100) / 100.0
    return colorsys.hsv_to_rgb(hue, 0.25 + 0.15 * depth, 0.16 + 0.22 * depth)
