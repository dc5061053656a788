"""Which materials burn.

A coarse table for the clearances: the listing of a real material decides, and `combustible` in the
scene file overrides what stands here.
"""

from __future__ import annotations

# Common practice, no source: the usual reading of 'combustible' in clearance rules. Gypsum board
# counts as combustible there because of its paper; stucco on a timber frame does not by itself show
# what lies behind it, so a stucco wall on studs has to say `combustible = true`.
_BURNS = {
    "timber": True,
    "timber boards": True,
    "wood": True,
    "plywood": True,
    "oak": True,
    "pine": True,
    "fir": True,
    "cedar": True,
    "redwood": True,
    "teak": True,
    "walnut": True,
    "bamboo": True,
    "wicker": True,
    "composite decking": True,
    "vinyl": True,
    "plastic": True,
    "polycarbonate": True,
    "acrylic": True,
    "fabric": True,
    "screen fabric": True,
    "canvas": True,
    "leather": True,
    "plant": True,
    "thatch": True,
    "gypsum board": True,
    "shingles": True,
    "stone": False,
    "granite": False,
    "slate": False,
    "concrete": False,
    "concrete tiles": False,
    "pavers": False,
    "stucco": False,
    "plaster": False,
    "brick": False,
    "tiles": False,
    "ceramic": False,
    "terracotta": False,
    "gravel": False,
    "soil": False,
    "cement board": False,
    "steel": False,
    "painted steel": False,
    "stainless steel": False,
    "corrugated steel": False,
    "iron": False,
    "copper": False,
    "brass": False,
    "aluminium": False,
    "aluminum": False,
    "painted aluminium": False,
    "painted aluminum": False,
    "glass": False,
}

# Common practice, no source: what is drawn where the scene does not say what a thing is made of.
USUAL = {
    "floor": "concrete",
    "platform": "concrete",
    "roof": "timber boards",
    "wall": "stucco",
    "window": "glass",
    "fitting": "painted steel",
    "cable": "plastic",
    "solid": "plaster",
}


def is_combustible(material: str | None, stated: bool | None = None) -> bool:
    """Whether the clearances to combustible material apply.

    Parameters
    ----------
    material : its name, in any case; a name that is not in the table counts as combustible, and so
        does one that is not stated (None)
    stated : what the scene says; it overrides the table
    """
    if stated is not None:
        return stated
    if material is None:
        return True
    return _BURNS.get(_plain(material), True)


def is_known(material: str) -> bool:
    """Whether the table says of a material, in any case, that it burns or that it does not."""
    return _plain(material) in _BURNS


def _plain(material: str) -> str:
    return " ".join(material.casefold().split())


def looks(thing: object, material: str | None) -> str:
    """What a thing looks like in the pictures: its material, or the usual one of its kind.

    Parameters
    ----------
    thing : a roof, a wall, a fitting, ... of the scene
    material : what the scene states; None where it states none
    """
    return material or USUAL.get(type(thing).__name__.lower(), "timber")
