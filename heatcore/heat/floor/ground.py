"""What floors are made of, as far as heat goes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

from heatcore.heat.floor.conduction import Layer, Solid
from heatcore.scene.materials import looks
from heatcore.scene.space import Floor, FloorConstruction

# F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, Table A.3, at 300 K (from memory).
CONCRETE = Solid(1.4, 2300.0, 880.0)
GRANITE = Solid(2.79, 2630.0, 775.0)
LIMESTONE = Solid(2.15, 2320.0, 810.0)
MARBLE = Solid(2.80, 2680.0, 830.0)
BRICK = Solid(0.72, 1920.0, 835.0)
SAND = Solid(0.27, 1515.0, 800.0)
SOIL = Solid(0.52, 2050.0, 1840.0)
SOFTWOOD = Solid(0.12, 510.0, 1380.0)
HARDWOOD = Solid(0.16, 720.0, 1255.0)
# ISO 10456:2007, Table 3 (from memory).
CERAMIC = Solid(1.3, 2300.0, 840.0)
SLATE = Solid(2.2, 2400.0, 1000.0)

PAVER, BED, BOARD = 0.060, 0.040, 0.028
"""Thickness of pavers, of the sand under them and of deck boards [m] (common practice, no source).
A floor that is said to be thinner than a paver or a board is taken at its word; one that is thicker
counts its bed or its joists in."""

UNDER_BOARDS_W_M2K = 1 / 0.17
"""What boards give off downward to the air below: ISO 6946, surface resistance for heat that flows
down, 0.17 m2K/W (from memory)."""

DEEP = 6.0  # in units of how far the heat has come; the ground below stays as it was


@dataclass(frozen=True)
class Ground:
    """A floor as the heat meets it.

    Attributes
    ----------
    construction : slab, pavers or decking
    words : what it is taken for, for people
    layers : from the surface down
    back_loss_w_m2k : what the back gives off to the air below [W/m2 K]; 0 on the ground
    """

    construction: FloorConstruction
    words: str
    layers: tuple[Layer, ...]
    back_loss_w_m2k: float


@dataclass(frozen=True)
class _Stuff:
    name: str
    solid: Solid
    usual: FloorConstruction


_CONCRETE = _Stuff("concrete", CONCRETE, "slab")
_LIMESTONE = _Stuff("limestone", LIMESTONE, "slab")
_BRICK = _Stuff("brick", BRICK, "pavers")
_CERAMIC = _Stuff("ceramic", CERAMIC, "pavers")
_EARTH = _Stuff("soil", SOIL, "slab")
_SOFTWOOD = _Stuff("softwood", SOFTWOOD, "decking")
_HARDWOOD = _Stuff("hardwood", HARDWOOD, "decking")

# By what a material's name says it is of, and by what it says it has been made into; in the
# singular.
_STUFF: Mapping[str, _Stuff] = {
    "concrete": _CONCRETE,
    "stone": _LIMESTONE,
    "limestone": _LIMESTONE,
    "granite": _Stuff("granite", GRANITE, "slab"),
    "marble": _Stuff("marble", MARBLE, "slab"),
    "slate": _Stuff("slate", SLATE, "slab"),
    "brick": _BRICK,
    "terracotta": _BRICK,
    "ceramic": _CERAMIC,
    "porcelain": _CERAMIC,
    "gravel": _EARTH,
    "soil": _EARTH,
    "timber": _SOFTWOOD,
    "wood": _SOFTWOOD,
    "plywood": _SOFTWOOD,
    "pine": _SOFTWOOD,
    "fir": _SOFTWOOD,
    "larch": _SOFTWOOD,
    "cedar": _SOFTWOOD,
    "redwood": _SOFTWOOD,
    "bamboo": _HARDWOOD,
    "hardwood": _HARDWOOD,
    "oak": _HARDWOOD,
    "teak": _HARDWOOD,
    "ipe": _HARDWOOD,
    "walnut": _HARDWOOD,
    # No table has it; wood flour in plastic is about as slow to warm as hard wood.
    "composite": _HARDWOOD,
}
_FORMS: Mapping[str, _Stuff] = {
    "paver": _Stuff("concrete", CONCRETE, "pavers"),
    "tile": _CERAMIC,
    "flagstone": _Stuff("limestone", LIMESTONE, "pavers"),
    "board": _SOFTWOOD,
    "deck": _SOFTWOOD,
    "decking": _SOFTWOOD,
}


def ground(floor: Floor, seconds: float) -> Ground:
    """What lies under people's feet, down to where no heat comes by then.

    Parameters
    ----------
    floor : as the scene describes it; where it states no construction, its material decides
    seconds : for how long it is warmed, above 0 [s]
    """
    material = looks(floor, floor.material)
    words = [word.removesuffix("s") for word in material.casefold().split()]
    stuff = next((_STUFF[word] for word in words if word in _STUFF), None)
    form = next((_FORMS[word] for word in words if word in _FORMS), None)
    known = stuff or form
    counted = known or _CONCRETE
    named = known.name if known else f"concrete, for want of figures for {material}"
    earth = Layer(SOIL, DEEP * sqrt(SOIL.diffusivity_m2_s * seconds))
    match floor.construction or (form or counted).usual:
        case "decking":
            board = Layer(counted.solid, min(floor.thickness, BOARD))
            said = f"boards over air, of {named}"
            return Ground("decking", said, (board,), UNDER_BOARDS_W_M2K)
        case "pavers":
            paver = Layer(counted.solid, min(floor.thickness, PAVER))
            said = f"pavers on sand, of {named}"
            return Ground("pavers", said, (paver, Layer(SAND, BED), earth), 0.0)
        case "slab":
            slab = Layer(counted.solid, floor.thickness)
            return Ground("slab", f"a slab on soil, of {named}", (slab, earth), 0.0)
