"""Dimensions in the words of people who measure them on site."""

from __future__ import annotations

from typing import Any

from heatcore.scene.plan import where
from heatcore.scene.space import Floor

# By kind of thing and key; {it} is the thing, {of} what it stands in or under.
_WORDS = {
    ("roof", "beam_underside"): "the height of the underside of the beam that carries {it}",
    ("roof", "beam_depth"): "the depth of the beam that carries {it}",
    ("roof", "plate"): "the height of the ceiling at the outline of {it}",
    ("roof", "ridge"): "the highest point of the ceiling of {it}",
    ("roof", "overhang"): "the overhang of {it}",
    ("roof", "ridge_direction"): "the direction of the ridge of {it}",
    ("roof", "falls_toward"): "the direction in which {it} falls",
    ("roof", "slat_width"): "the width of the slats of {it}",
    ("roof", "slat_gap"): "the gap between the slats of {it}",
    ("roof", "slat_direction"): "the direction of the slats of {it}",
    ("rafters", "spacing"): "the spacing of {it}",
    ("rafters", "first"): "where the first of {it} lies",
    ("post", "turn"): "which way {it} is turned",
    ("post", "top"): "the height of {it}'s top",
    ("beam", "underside"): "the height of {it}'s underside",
    ("wall", "base"): "the height of the foot of {it}",
    ("door", "at"): "where {it} stands along {of}",
    ("door", "swing_angle"): "how far {it} swings open",
    ("door", "leaf_thickness"): "the thickness of {it}'s leaf",
    ("door", "threshold"): "the height of {it}'s threshold",
    ("window", "at"): "where {it} stands along {of}",
    ("window", "sill"): "the height of {it}'s sill",
    ("window", "opening_angle"): "how far {it} opens",
    ("window", "sash_thickness"): "the thickness of {it}'s sash",
    ("screen", "top"): "the height of {it}'s cassette",
    ("screen", "bottom"): "how far down {it} comes",
    ("fitting", "height"): "the height of {it} above the floor",
    ("fitting", "turn"): "which way {it} is turned",
    ("cable", "sag"): "the sag of {it}",
    ("cable", "diameter"): "the thickness of {it}",
    ("solid", "base"): "the height of {it}",
    ("solid", "turn"): "which way {it} is turned",
    ("furniture", "facing"): "which way {it} is turned",
    ("heater", "heading"): "the direction in which {it} is hung",
    ("heater", "spacing"): "the distance between the brackets of {it}",
    ("heater", "height"): "the height at which {it} is hung",
    ("heater", "tilt"): "the tilt of {it}",
}
_POINTS = {
    "at": "where {it} stands",
    "from": "where {it} begins",
    "to": "where {it} ends",
    "aim_at": "the point that {it} is aimed at",
}
_ALONG = {
    "x": "along the patio (x)",
    "y": "across the patio (y)",
    "z": "in height (z)",
}
_OFFSETS = ("the first distance of {it} from {of}", "the second distance of {it} from {of}")
_SIZES = ("width", "depth", "height")


def path_of(thing: Any, key: str, steps: tuple[int | str, ...]) -> str:
    """Where a dimension stands in the scene: 'beam "west beam".underside', 'floor.outline[2].x'."""
    path = f"floor.{key}" if isinstance(thing, Floor) else where(thing, key)
    match steps:
        case (int(corner), int(axis)):
            return f"{path}[{corner}].{'xyz'[axis]}"
        case (str(name), int(index)):
            return f"{path}.{name}[{index}]"
        case (int(index),):
            return f"{path}.{_SIZES[index] if key == 'size' else 'xyz'[index]}"
    return path


def words_of(thing: Any, key: str, steps: tuple[int | str, ...]) -> str:
    """What people call a dimension: "the height of the west beam's underside"."""
    kind = type(thing).__name__.lower()
    it = "the floor" if isinstance(thing, Floor) else called(thing.name)
    of = called(getattr(thing, "wall", getattr(thing, "roof", "")) or "")
    match steps:
        case (int(corner), int(axis)):
            return f"corner {corner + 1} of {it} {_ALONG['xyz'[axis]]}"
        case (str(), int(index)):
            return _OFFSETS[index].format(it=it, of=called(thing.offset.from_))
        case (int(index),) if key == "size":
            return f"the {_SIZES[index]} of {it}"
        case (int(index),):
            set_out = (kind, key) == ("heater", "at")
            said = "the setting-out of {it}" if set_out else _POINTS.get(key, "{it}")
            return f"{said.format(it=it)} {_ALONG['xyz'[index]]}"
    said = _WORDS.get((kind, key), f"the {key.replace('_', ' ')} of {{it}}")
    return said.format(it=it, of=of)


def called(name: str) -> str:
    """A thing as a sentence calls it: 'the west beam', but 'H2' and 'table 3'."""
    own = name[:1].isupper() or name[-1:].isdigit() or name.startswith("the ")
    return name if own else f"the {name}"
