"""Scene files spoilt at random: as text, byte by byte and line by line, and as data."""

from __future__ import annotations

import random
import re
import tomllib
from copy import deepcopy
from typing import Any

import tomlkit

from tests.soak.bases import BRACKETS, MATERIALS, ROOFS, TYPES, base

NUMBERS = (
    "0", "-0", "-1", "1", "0.001", "1e-9", "1e-300", "100", "9999", "1e9", "1e308", "1e999", "nan",
    "-nan", "inf", "-inf", "99999999999999999999", "0x10", "1_000", "½", "1/0", "3/4", "٣",
)  # fmt: skip
UNITS = ("m", "mm", "km", "ft", "in", '\\"', "'", "deg", "rad", "%", "F", "kW", "V", ":12", "", "M")
VALUES = (
    "true", "[]", "{}", "''", "'x'", "0", "-1", "1.5", "[0, 0]", "[[0, 0]]", "{ by = [0, 0] }",
    "1979-05-27", "nan", "['1 m', '2 m', '3 m']", "'nan m'", "'-2 m'", "'90 deg'", "'H1'",
    "[[[[[[]]]]]]", "'../../x.obj'", "'timber'", '"\\u0000"', "'inf'",
)  # fmt: skip
TEXTS = (
    "\x00", "\ufeff", "\u202e", "é", "e\u0301", "\U0001f525", "\r", "\r\n", "\u2028", "\t", "'''",
    '"""', "[[", "]]", "=", "#", "\\", "'", '"', "[site]\n", "[[heater]]\n", "set.", "-",
    "\u2212", "\u2033",
)  # fmt: skip
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_VALUE = re.compile(r"(?<== )[^\n]+")


def scene(seed: str) -> bytes:
    """A scene file that a seed makes: a right one, and mostly some mutations of it."""
    rng = random.Random(seed)
    text = base(rng)
    way = rng.random()
    if way < 0.10:
        return text.encode()
    if way < 0.60:
        return tomlkit.dumps(data_mutated(tomllib.loads(text), rng)).encode()
    if way < 0.70:
        text = tomlkit.dumps(data_mutated(tomllib.loads(text), rng))
    return text_mutated(text, rng)


def some(rng: random.Random) -> int:
    """How many mutations: mostly one, seldom many."""
    return rng.choice((1, 1, 1, 2, 2, 3, 5, 12))


# ---------------------------------------------------------------------- as text


def text_mutated(text: str, rng: random.Random) -> bytes:
    """A text with some mutations, as the bytes of its file."""
    ways = (
        _number, _number, _number, _unit, _value, _value, _line_gone, _line_twice, _lines_swapped,
        _block_gone, _block_twice, _spliced, _cut,
    )  # fmt: skip
    for _ in range(some(rng)):
        text = rng.choice(ways)(text, rng)
    content = text.encode("utf-8", "surrogatepass")
    if rng.random() < 0.08:
        content = garbled(content, rng)
    return content


def garbled(content: bytes, rng: random.Random) -> bytes:
    """Some bytes exchanged."""
    out = bytearray(content)
    for _ in range(some(rng)):
        if out:
            out[rng.randrange(len(out))] = rng.randrange(256)
    return bytes(out)


def _one(pattern: re.Pattern[str], text: str, rng: random.Random) -> tuple[int, int]:
    found = [match.span() for match in pattern.finditer(text)]
    return rng.choice(found) if found else (0, 0)


def _number(text: str, rng: random.Random) -> str:
    start, end = _one(_NUMBER, text, rng)
    old = text[start:end]
    new = rng.choice((*NUMBERS, f"-{old}", f"{old}0", f"{old}e5", f"{old}.5", f"0.0{old}", old[:1]))
    return text[:start] + new + text[end:]


def _unit(text: str, rng: random.Random) -> str:
    start, end = _one(re.compile(r"(?<=\d )(?:m|mm|deg|in|ft)\b"), text, rng)
    return text[:start] + rng.choice(UNITS) + text[end:]


def _value(text: str, rng: random.Random) -> str:
    start, end = _one(_VALUE, text, rng)
    return text[:start] + rng.choice(VALUES) + text[end:]


def _line_gone(text: str, rng: random.Random) -> str:
    lines = text.splitlines(keepends=True)
    if lines:
        del lines[rng.randrange(len(lines))]
    return "".join(lines)


def _line_twice(text: str, rng: random.Random) -> str:
    lines = text.splitlines(keepends=True)
    if lines:
        line = rng.choice(lines)
        lines.insert(rng.randrange(len(lines)), line)
    return "".join(lines)


def _lines_swapped(text: str, rng: random.Random) -> str:
    lines = text.splitlines(keepends=True)
    if len(lines) > 1:
        a, b = rng.sample(range(len(lines)), 2)
        lines[a], lines[b] = lines[b], lines[a]
    return "".join(lines)


def _blocks(text: str) -> list[str]:
    return re.split(r"^(?=\[)", text, flags=re.MULTILINE)


def _block_gone(text: str, rng: random.Random) -> str:
    blocks = _blocks(text)
    del blocks[rng.randrange(len(blocks))]
    return "".join(blocks)


def _block_twice(text: str, rng: random.Random) -> str:
    blocks = _blocks(text)
    block = rng.choice(blocks)
    if rng.random() < 0.7:
        block = re.sub(r'(?m)^name = "(.*)"$', r'name = "\1 again"', block)
    return "".join([*blocks, "\n", block])


def _spliced(text: str, rng: random.Random) -> str:
    start = rng.randint(0, len(text))
    return text[:start] + rng.choice(TEXTS) + text[start + rng.choice((0, 0, 1, 2, 20)) :]


def _cut(text: str, rng: random.Random) -> str:
    start = rng.randint(0, len(text))
    return text[:start] if rng.random() < 0.5 else text[:start] + text[start + rng.randint(0, 60) :]


# ---------------------------------------------------------------------- as data

_SETTINGS: dict[str, dict[str, tuple[Any, ...]]] = {
    "heater": {
        "type": (*TYPES, "no such type"),
        "mount": ("ceiling", "wall", "beam", "stem"),
        "bracket": (*BRACKETS, "none"),
        "heading": ("0 deg", "45 deg", "90 deg", "-30 deg", "360 deg", "1e4 deg"),
        "tilt": ("0 deg", "10 deg", "-30 deg", "45 deg", "80 deg", "180 deg"),
        "height": ("1.8 m", "2.3 m", "2.5 m", "3 m", "9 m", "1 mm"),
        "attitude": ("level", "slope"),
        "spacing": ("0.45 m", "0.8 m", "1.3 m", "3 m", "1 mm"),
        "aim_at": (["1 m", "1 m", "0"], ["0", "0", "9 m"], "host", "guest on the path"),
        "offset": ({"from": "wall 1", "by": ["1 m", "0.3 m"]}, {"from": "post 1", "by": [0, 0]}),
        "mounted_on": ("roof 1", "rafters 1", "beam 1", "wall 1", "purlins", "slats"),
        "output": ("0 %", "50 %", "100 %"),
        "step": (1, 2, 99),
    },
    "roof": {
        "form": ROOFS,
        "pitch": ("0 deg", "1:12", "12:12", "30:12", "89 deg", "-5 deg"),
        "plate": ("2 m", "3 m", "1 mm", "30 m"),
        "ridge": ("2.5 m", "4 m", "30 m"),
        "overhang": ("0", "1 m", "5 m"),
        "thickness": ("1 mm", "0.3 m", "4 m"),
        "slat_gap": ("1 mm", "0.2 m", "5 m"),
        "slat_width": ("10 mm", "0.5 m"),
        "hip_ends": ("both", "first", "last"),
    },
    "rafters": {
        "spacing": ("0.1 m", "0.4 m", "9 m", "1 mm"),
        "depth": ("1 mm", "0.3 m", "3 m"),
        "run": ("down_slope", "across_slope"),
        "roof": ("roof 1", "slats", "none"),
    },
    "door": {
        "kind": ("hinged", "pair", "sliding", "folding"),
        "hand": ("left", "right"),
        "swing": ("in", "out"),
        "swing_angle": ("1 deg", "90 deg", "120 deg", "180 deg"),
        "width": ("0.1 m", "2 m", "9 m"),
        "height": ("2.4 m", "5 m"),
        "leaf_thickness": ("1 mm", "0.5 m"),
        "threshold": ("0", "0.3 m", "3 m"),
    },
    "window": {
        "kind": ("fixed", "casement", "awning", "hopper", "sliding"),
        "opening_angle": ("5 deg", "90 deg", "180 deg"),
        "sill": ("0", "2 m"),
    },
    "screen": {"kind": ("drop", "curtain"), "top": ("0.2 m", "2.5 m", "9 m"), "down": (0.5, 1)},
    "fitting": {
        "kind": ("fan", "light", "speaker", "sprinkler", "television", "fireplace"),
        "height": ("0", "2.2 m", "9 m"),
        "hung": (True, False),
        "size": (["0.2 m", "0.2 m", "0.2 m"], ["9 m", "1 mm", "1 m"]),
    },
    "wall": {"height": ("0.5 m", "5 m"), "thickness": ("1 mm", "3 m"), "base": ("0.5 m", "4 m")},
    "beam": {"underside": ("0.1 m", "2.2 m", "2.6 m"), "width": ("1 mm", "1 m"), "depth": ("2 m",)},
    "post": {"top": ("0.1 m", "9 m"), "width": ("1 mm", "3 m"), "turn": ("45 deg",)},
    "furniture": {
        "kind": ("sofa", "table", "bar", "stool", "planter"),
        "chairs": (0, 3, 200),
        "size": (["1 m", "1 m", "1 m"], ["0.3 m", "5 m", "0.1 m"], ["2 m", "0.6 m", "3 m"]),
    },
    "seat": {
        "height": ("0.1 m", "1.2 m", "0.9 m"),
        "posture": ("upright", "lounging", "perched"),
    },
    "person": {"stature": ("0.5 m", "1 m", "2.2 m")},
    "cable": {"sag": ("0", "2 m", "9 m"), "diameter": ("0.1 mm", "1 m")},
    "platform": {"height": ("1 mm", "1 m", "3 m")},
    "site": {
        "units": ("metric", "imperial"),
        "tolerance": ("0", "1 mm", "1 m"),
        "open_share": ("0 %", "100 %"),
        "confirmed": (["fans"], ["sides", "structure"]),
    },
    "floor": {
        "outline": (
            [[0, 0], ["4 m", 0], ["4 m", "3 m"], ["2 m", "3 m"], ["2 m", "1 m"], [0, "1 m"]],
            [[0, 0], ["9 m", 0], [0, "9 m"]],
            [[0, 0], ["4 m", "4 m"], ["4 m", 0], [0, "4 m"]],
        ),
        "thickness": ("1 mm", "5 m"),
    },
}


def data_mutated(data: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """A scene's data with some mutations, most of which leave it readable."""
    data = deepcopy(data)
    ways = (_moved, _moved, _moved, _set, _set, _set, _nudged, _twice, _gone, _material, _option)
    for _ in range(some(rng)):
        rng.choice(ways)(data, rng)
    return data


def _things(data: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    kinds = ((kind, value) for kind, value in data.items() if isinstance(value, list))
    found = [(kind, thing) for kind, value in kinds for thing in value if isinstance(thing, dict)]
    heaters = [pair for pair in found if pair[0] == "heater"]
    return found + heaters * 3


def _moved(data: dict[str, Any], rng: random.Random) -> None:
    """Shift one thing in plan, by a little or far."""
    _, thing = rng.choice(_things(data) or [("", {})])
    reach = rng.choice((0.001, 0.05, 0.3, 1.0, 1.0, 5.0, 3000.0))
    by = [round(rng.uniform(-reach, reach), rng.choice((2, 4))) for _ in range(2)]
    for key in ("at", "from", "to"):
        place = thing.get(key)
        if isinstance(place, list) and (key == "at" or rng.random() < 0.7):
            thing[key] = [*map(_shifted, place, by), *place[2:]]


def _shifted(place: Any, by: float) -> Any:
    metres = _metres(place)
    return place if metres is None else f"{metres + by:.4f} m"


def _metres(text: Any) -> float | None:
    if text in (0, "0"):
        return 0.0
    match = re.fullmatch(r"(-?\d+(?:\.\d+)?) (m|mm|ft|in)", str(text))
    if match is None:
        return None
    return float(match[1]) * {"m": 1.0, "mm": 0.001, "ft": 0.3048, "in": 0.0254}[match[2]]


def _set(data: dict[str, Any], rng: random.Random) -> None:
    """Give one thing another type, mount, pitch, swing ..."""
    tables = [pair for pair in _things(data) if pair[0] in _SETTINGS]
    tables += [(kind, data[kind]) for kind in ("site", "floor") if kind in data]
    kind, thing = rng.choice(tables)
    key = rng.choice(list(_SETTINGS[kind]))
    if rng.random() < 0.15:
        thing.pop(key, None)
    else:
        thing[key] = rng.choice(_SETTINGS[kind][key])


def _nudged(data: dict[str, Any], rng: random.Random) -> None:
    """Change one length or angle of one thing by a little, or by a factor."""
    _, thing = rng.choice(_things(data) or [("", {})])
    keys = [key for key, value in thing.items() if _metres(value) is not None]
    if keys:
        key = rng.choice(keys)
        metres = _metres(thing[key]) or 0.0
        thing[key] = f"{metres * rng.choice((0.5, 0.9, 1.01, 2.0, -1.0)):.5f} m"


def _twice(data: dict[str, Any], rng: random.Random) -> None:
    kind, thing = rng.choice(_things(data) or [("", {})])
    if kind:
        again = deepcopy(thing)
        if rng.random() < 0.8:
            again["name"] = f"{again.get('name')} {rng.randrange(100)}"
        data[kind].append(again)
        if rng.random() < 0.6 and isinstance(again.get("at"), list):
            by = rng.choice((0.0, 0.2, 1.0))
            again["at"] = [_shifted(place, by) for place in again["at"]]


def _gone(data: dict[str, Any], rng: random.Random) -> None:
    kind, thing = rng.choice(_things(data) or [("", {})])
    if kind:
        data[kind] = [other for other in data[kind] if other is not thing]


def _material(data: dict[str, Any], rng: random.Random) -> None:
    kind, thing = rng.choice(_things(data) or [("", {})])
    if kind not in ("", "heater", "person", "seat", "zone", "option", "circuit"):
        thing.pop("material", None)
        thing.pop("combustible", None)
        if rng.random() < 0.6:
            thing["material"] = rng.choice(MATERIALS)
        if rng.random() < 0.4:
            thing["combustible"] = rng.random() < 0.5


def _option(data: dict[str, Any], rng: random.Random) -> None:
    """Add an option that overrides something."""
    heaters = [h for h in data.get("heater", ()) if isinstance(h, dict) and "name" in h]
    name = rng.choice(heaters)["name"] if heaters else "H1"
    key = rng.choice(("tilt", "heading", "mount", "height", "type", "at"))
    value = ["1 m", "1 m"] if key == "at" else rng.choice(_SETTINGS["heater"][key])
    option: dict[str, Any] = {"name": f"soak {rng.randrange(9)}"}
    option["set"] = {"heater": {name: {key: value}}}
    if rng.random() < 0.3:
        option["remove"] = [rng.choice([t.get("name", "x") for _, t in _things(data)] or ["x"])]
    data.setdefault("option", []).append(option)
