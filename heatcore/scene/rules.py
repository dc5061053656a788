"""What must fit together in a scene or a types file, beyond each value by itself."""

from __future__ import annotations

import os
from collections.abc import Mapping
from math import comb, dist
from pathlib import Path, PureWindowsPath
from typing import NamedTuple

from heatcore.errors import InputError
from heatcore.scene.dimensions import dimension_keys
from heatcore.scene.document import listed, quoted
from heatcore.scene.drafts import Draft, Reader, label
from heatcore.scene.heights import resolve_heights
from heatcore.scene.kinds import Outline
from heatcore.scene.model import Furniture, Heater, Scene, Seat, Zone
from heatcore.scene.names import WITH_CHAIRS
from heatcore.scene.outlines import SAME_POINT, WIDEST
from heatcore.scene.patterns import check_pattern
from heatcore.scene.shapes import kinds_of
from heatcore.scene.space import Door, Drawn, Roof, Screen, Wall, Window
from heatcore.scene.types import BracketType, HeaterType

# Keys of which exactly one is given, and keys of which at most one is.
EXACTLY_ONE: Mapping[type, tuple[str, str]] = {
    Heater: ("at", "offset"),
    Zone: ("outline", "around"),
}
AT_MOST_ONE: Mapping[type, tuple[str, str]] = {Heater: ("tilt", "aim_at")}

# What each mount is fixed to.
CARRIERS = {
    "ceiling": ("roof", "rafters", "beam", "solid"),
    "stem": ("roof", "rafters", "beam", "solid"),
    "beam": ("beam", "rafters"),
    "wall": ("wall", "solid"),
}

# What is higher is a stool, whose feet rest on its ring (common practice, no source).
HIGHEST_UPRIGHT = 0.7  # m

# Every pair of stacks is tried.
_MOST_STACKS = 500

_FITS = 1e-6  # m; for sums of lengths that were rounded one by one


def check_scene(
    scene: Draft,
    heater_types: Mapping[str, HeaterType],
    bracket_types: Mapping[str, BracketType],
    reader: Reader,
) -> None:
    """Note what does not fit in a scene."""
    for kind in kinds_of(Scene):
        for thing in scene[kind] or ():
            check_thing(thing, reader)
    walls = {wall["name"]: wall for wall in scene["wall"] or () if wall["name"]}
    _check_openings(walls, [*(scene["door"] or ()), *(scene["window"] or ())], reader)
    carriers = {
        thing["name"]: kind
        for kind in CARRIERS["stem"] + CARRIERS["wall"]
        for thing in scene[kind] or ()
        if thing["name"]
    }
    for heater in scene["heater"] or ():
        _check_mount(heater, heater_types, bracket_types, carriers, reader)
    floor = scene["floor"]
    if floor and floor["outline"]:
        _check_places(scene, floor["outline"], reader)
    for roof in scene["roof"] or ():
        if roof.whole and floor and floor.whole:
            _check_heights(roof, floor, reader)


def check_thing(thing: Draft, reader: Reader) -> None:
    """Note what does not fit within one thing."""
    if pair := EXACTLY_ONE.get(thing.of):
        given = [key for key in pair if key in thing.given]
        if not given:
            remedy = f"give {pair[0]} or {pair[1]}"
            reader.slip(thing.path, f"has neither {pair[0]} nor {pair[1]}", remedy)
        elif len(given) == 2:
            reader.slip(thing.at(pair[1]), f"is given beside {pair[0]}", "give one of the two")
    pair = AT_MOST_ONE.get(thing.of)
    if pair and thing.given.issuperset(pair):
        reader.slip(thing.at(pair[1]), f"is given beside {pair[0]}", "give one of the two")
    if {"from_", "to"} <= thing.values.keys() and dist(thing["from_"], thing["to"]) < SAME_POINT:
        reader.slip(thing.at("to"), "is the same place as from", "give the other end")
    for lower, upper in _ORDERED.get(thing.of, ()):
        low, high = thing[lower], thing[upper]
        if low is not None and high is not None and low > high:
            remedy = f"it must be at least {lower}"
            reader.slip(thing.at(upper), f"is less than {lower}", remedy)
    if issubclass(thing.of, Drawn):
        _check_measured(thing, reader)
    if thing.of is Seat and thing["posture"] == "upright":
        height = thing["height"]
        if height is not None and height > HIGHEST_UPRIGHT:
            message = f"{reader.length(height)} is too high to sit upright on, feet on the floor"
            remedy = f'at most {reader.length(HIGHEST_UPRIGHT)}, or posture = "perched"'
            reader.slip(thing.at("height"), message, remedy)
    if thing.of is HeaterType and thing["mounts"] == ():
        reader.slip(thing.at("mounts"), "is empty", 'give at least one, as in ["ceiling"]')
    if thing.of is HeaterType and isinstance(thing["pattern"], Draft):
        check_pattern(thing["pattern"], reader)
    if thing.of is BracketType and None not in (thing["extensions"], thing["stack"]):
        lengths = len(set(thing["extensions"]))
        stacks = comb(lengths + thing["stack"], lengths)
        if stacks > _MOST_STACKS:
            message = f"{lengths} lengths, {thing['stack']} on one arm, make {stacks} arms"
            remedy = f"give what is stocked: at most {_MOST_STACKS} arms"
            reader.slip(thing.at("extensions"), message, remedy)
    if thing.of is Furniture and thing["chairs"] and thing["kind"] not in (None, *WITH_CHAIRS):
        remedy = f"only {listed(sorted(WITH_CHAIRS))} can have them"
        reader.slip(thing.at("chairs"), f"does not go with a {thing['kind']}", remedy)


def _check_measured(thing: Draft, reader: Reader) -> None:
    """Note what is said to be measured and is no dimension of the thing."""
    keys = dimension_keys(thing.of)
    for index, key in enumerate(thing["measured"] or ()):
        if key is not None and key not in keys:
            guess = reader.guesses.guess(key, keys)
            meant = f"did you mean {quoted(guess)}? " if guess else ""
            path = (*thing.at("measured"), index)
            message = f"{quoted(key)} is no length or angle of {_a(label(thing.of))}"
            reader.slip(path, message, f"{meant}choose from {listed(keys)}")


def _check_places(scene: Draft, outline: Outline, reader: Reader) -> None:
    """Note things that lie impossibly far from the floor."""
    for kind in kinds_of(Scene):
        for thing in scene[kind] or ():
            for attribute in ("at", "from_", "to"):
                place = thing[attribute]
                if isinstance(place, tuple) and dist(place[:2], outline[0]) > WIDEST:
                    far = reader.length(dist(place[:2], outline[0]))
                    path = thing.at(attribute.removesuffix("_"))
                    reader.slip(path, f"lies {far} from the floor", "is its unit right?")
    for zone in scene["zone"] or ():
        if zone["outline"] and dist(zone["outline"][0], outline[0]) > WIDEST:
            far = reader.length(dist(zone["outline"][0], outline[0]))
            reader.slip(zone.at("outline"), f"lies {far} from the floor", "is its unit right?")


# Pairs of attributes of which the first must not exceed the second.
_ORDERED: Mapping[type, tuple[tuple[str, str], ...]] = {
    Screen: (("bottom", "top"),),
    Wall: (("base", "height"),),
    Door: (("threshold", "height"),),
    HeaterType: (
        ("aperture_length", "length"),
        ("aperture_width", "width"),
        ("least_spacing", "spacing"),
        ("spacing", "most_spacing"),
        ("spacing", "length"),
        ("tilt_from", "tilt_to"),
        ("least_height", "most_height"),
    ),
    BracketType: (("tilt_from", "tilt_to"),),
}


def _check_openings(walls: Mapping[str, Draft], openings: list[Draft], reader: Reader) -> None:
    """Note doors and windows that leave their wall or meet each other in it."""
    shown = reader.length
    placed: dict[str, list[_Opening]] = {}
    for draft in openings:
        wall = walls.get(draft["wall"])
        at, width, height = draft["at"], draft["width"], draft["height"]
        foot = draft["sill"] if draft.of is Window else 0.0
        if wall is None or None in (at, width, height, foot):
            continue
        opening = _Opening(at, at + width, foot, foot + height, draft)
        placed.setdefault(draft["wall"], []).append(opening)
        name = f"wall {quoted(draft['wall'])}"
        if {"from_", "to"} <= wall.values.keys():
            length = dist(wall["from_"], wall["to"])
            if opening.end > length + _FITS:
                message = f"ends {shown(opening.end)} along {name}, which is {shown(length)} long"
                remedy = f"move it, or make it narrower, by {shown(opening.end - length)}"
                reader.slip(draft.path, message, remedy)
        most = wall["height"]
        if most is not None and opening.top > most + _FITS:
            message = f"reaches up to {shown(opening.top)}, and {name} to {shown(most)}"
            remedy = f"make it lower by {shown(opening.top - most)}, or the wall higher"
            reader.slip(draft.path, message, remedy)
    for in_wall in placed.values():
        _check_overlaps(sorted(in_wall, key=lambda opening: opening.at), reader)


class _Opening(NamedTuple):
    """A door or window in its wall: from where to where along it, and up it [m]."""

    at: float
    end: float
    foot: float
    top: float
    draft: Draft


def _check_overlaps(openings: list[_Opening], reader: Reader) -> None:
    """Note openings of one wall, in order along it, that overlap one before them."""
    for index, own in enumerate(openings):
        for other in openings[:index]:
            apart = own.foot >= other.top - _FITS or other.foot >= own.top - _FITS
            if own.at < other.end - _FITS and not apart:
                name = f"{label(other.draft.of)} {quoted(other.draft['name'] or '')}"
                remedy = f"move one of them by {reader.length(other.end - own.at)} or more"
                reader.slip(own.draft.path, f"overlaps {name} in the same wall", remedy)
                break


def _check_mount(
    heater: Draft,
    heater_types: Mapping[str, HeaterType],
    bracket_types: Mapping[str, BracketType],
    carriers: Mapping[str, str],
    reader: Reader,
) -> None:
    """Note a heater whose type, mount, bracket and carrier do not go together."""
    mount = heater["mount"]
    if mount is None:
        return
    if mount == "wall" and "height" not in heater.given:
        message = "is missing, and a wall mount needs it"
        reader.slip(heater.at("height"), message, "give the emitting face's height above the floor")
    own = heater_types.get(heater["type"])
    if own and mount not in own.mounts:
        message = f"{quoted(own.name)} is not made for a {mount} mount"
        remedy = f"choose from {listed(own.mounts)}, or another type"
        reader.slip(heater.at("mount" if "mount" in heater.given else "type"), message, remedy)
    bracket = bracket_types.get(heater["bracket"])
    if bracket and bracket.mount != mount:
        message = (
            f"{quoted(bracket.name)} is for a {bracket.mount} mount, and this is a {mount} mount"
        )
        fitting = [quoted(name) for name, other in bracket_types.items() if other.mount == mount]
        remedy = f"choose from {listed(fitting)}" if fitting else "choose another mount"
        reader.slip(heater.at("bracket"), message, remedy)
    carrier = carriers.get(heater["mounted_on"])
    if carrier and carrier not in CARRIERS[mount]:
        message = f"{quoted(heater['mounted_on'])} is {_a(carrier)}, and this is a {mount} mount"
        remedy = f"name {' or '.join(map(_a, CARRIERS[mount]))}, or change the mount"
        reader.slip(heater.at("mounted_on"), message, remedy)


def _check_heights(roof: Draft, floor: Draft, reader: Reader) -> None:
    """Note heights of a roof that are missing or contradict each other."""
    built = roof.build()
    assert isinstance(built, Roof)
    try:
        resolve_heights(built, floor.build(), units=reader.units)
    except InputError as error:
        for mistake in error.mistakes:
            key = mistake.where.rpartition(".")[2]
            known = key in ("beam_underside", "plate", "ridge", "pitch", "outline")
            path = roof.at(key) if known else roof.path
            reader.slip(path, mistake.message, mistake.remedy)


def check_files(reader: Reader, folder: Path | None) -> None:
    """Note further files that are missing, or outside the scene's folder."""
    for path, name in reader.files:
        if folder is None:
            message = f"there is no folder to look for {quoted(name)} in"
            reader.slip(path, message, "save the scene in a folder, with its files beside it")
        elif not is_inside(folder, name):
            message = f"{quoted(name)} is a path leaving the folder"
            reader.slip(path, message, "put the file beside the scene and name it from there")
        elif not os.path.isfile(folder / name):
            message = f"there is no file {quoted(name)} in the scene's folder"
            reader.slip(path, message, "check its name, or put it there")


def is_inside(folder: Path, name: str) -> bool:
    """Whether a path stays in a folder: not absolute, no way up, no link out of it."""
    if PureWindowsPath(name).anchor or Path(name).is_absolute():
        return False
    if ".." in PureWindowsPath(name).parts:
        return False
    return Path(os.path.realpath(folder / name)).is_relative_to(os.path.realpath(folder))


def _a(kind: str) -> str:
    return kind if kind == "rafters" else f"a {kind}"
