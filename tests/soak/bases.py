"""The scenes that are mutated: the demo scenes, and small patios made up at random."""

from __future__ import annotations

import random
import re
from functools import cache
from pathlib import Path
from typing import Any

import tomlkit

from heatcore.scene import shipped

SCENES = Path(__file__).parents[2] / "scenes"
DEMOS = ("lodge_porch", "courtyard_pergola", "cafe_terrace")

# What makes a demo scene slow to build, and is far from the heaters.
_FURNISHING = ("furniture", "person", "seat", "zone")

ROOFS = ("flat", "single_slope", "gable", "hip", "valley", "vault", "slatted")
TYPES = ("short linear", "long linear", "two rods", "flat panel", "wall linear", "gas linear")
BRACKETS = ("close", "arm", "plumb arm", "wall arm", "ceiling stem", "beam clamp")
MATERIALS = ("timber", "stone", "glass", "painted steel", "concrete", "fabric", "plaster")


@cache
def demo(name: str, bare: bool) -> str:
    """The text of a demo scene, with its furniture or without."""
    text = (SCENES / f"{name}.toml").read_text()
    if not bare:
        return text
    blocks = re.split(r"^(?=\[)", text, flags=re.MULTILINE)
    return "".join(b for b in blocks if not re.match(rf"\[\[({'|'.join(_FURNISHING)})\]\]", b))


def base(rng: random.Random) -> str:
    """A right scene: mostly a small one, since those are fast."""
    draw = rng.random()
    if draw < 0.80:
        return tomlkit.dumps(patio(rng))
    return demo(rng.choice(DEMOS), bare=draw < 0.98)


def patio(rng: random.Random) -> dict[str, Any]:
    """A small patio with much in it, close together, at random."""
    made = _Patio(rng)
    made.space()
    made.openings()
    made.what_hangs()
    for number in range(rng.choice((1, 1, 2, 3))):
        made.heater(f"H{number + 1}")
    return made.data


class _Patio:
    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        # Round figures make things that just touch, are flush, or stand exactly at a distance.
        self.step = rng.choice((0.05, 0.01, 0.0001))
        self.x, self.y = self.number(3.0, 6.0), self.number(3.0, 5.0)
        self.plate = self.number(2.4, 3.4)
        self.data: dict[str, Any] = {
            "site": {"name": "Soak", "units": rng.choice(("metric", "imperial"))},
            "floor": {"outline": [[0, 0], [self.m(self.x), 0], self.at(1, 1), [0, self.m(self.y)]]},
        }

    def number(self, low: float, high: float) -> float:
        return round(round(self.rng.uniform(low, high) / self.step) * self.step, 4)

    def m(self, value: float) -> str:
        return f"{value:.4f} m"

    def length(self, low: float, high: float) -> str:
        return self.m(self.number(low, high))

    def angle(self, low: float, high: float) -> str:
        step = self.rng.choice((90, 45, 15, 1, 0.1))
        return f"{round(self.rng.uniform(low, high) / step) * step:.1f} deg"

    def at(self, a: float, b: float) -> list[str]:
        return [self.m(round(a * self.x, 4)), self.m(round(b * self.y, 4))]

    def spot(self, out: float = 0.0) -> list[str]:
        return [self.length(-out, self.x + out), self.length(-out, self.y + out)]

    def on(self, beam: dict[str, Any]) -> list[str]:
        """A place along a beam."""
        share = self.rng.uniform(0.1, 0.9)
        ends = ([float(str(v).split()[0]) for v in beam[key]] for key in ("from", "to"))
        return [self.m(a + share * (b - a)) for a, b in zip(*ends, strict=True)]

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def add(self, kind: str, /, **thing: Any) -> None:
        things = self.data.setdefault(kind, [])
        thing = {"name": f"{kind} {len(things) + 1}", **thing}
        if kind != "seat" and self.chance(0.7):
            thing.setdefault("material", self.rng.choice(MATERIALS))
        things.append(thing)

    def space(self) -> None:
        rng = self.rng
        form = rng.choice(ROOFS)
        roof: dict[str, Any] = {"form": form, "plate": self.m(self.plate)}
        if form in ("single_slope", "gable", "hip", "valley"):
            roof["pitch"] = rng.choice(("2:12", "4:12", "9:12", "18.4 deg", "35 deg", "55 deg"))
        if form == "vault":
            roof["ridge"] = self.m(self.plate + self.number(0.3, 1.4))
        if form == "single_slope":
            roof["falls_toward"] = self.angle(0, 360)
        elif form in ("gable", "hip", "valley", "vault"):
            roof["ridge_direction"] = rng.choice(("0 deg", "90 deg"))
        if form == "slatted":
            roof |= {"pitch": "0 deg", "slat_gap": self.length(0.05, 0.2)}
        if self.chance(0.5):
            roof["overhang"] = self.length(0.05, 0.6)
        self.add("roof", **roof)
        if form in ("single_slope", "gable", "hip") and self.chance(0.5):
            run = rng.choice(("down_slope", "across_slope"))
            self.add("rafters", roof="roof 1", run=run, spacing=self.length(0.3, 1.2))
        for _ in range(rng.choice((0, 1, 1, 2))):
            along = rng.choice(("x", "y", "askew"))
            a, b = self.number(0, self.x), self.number(0, self.y)
            ends = {
                "x": ([0, self.m(b)], [self.m(self.x), self.m(b)]),
                "y": ([self.m(a), 0], [self.m(a), self.m(self.y)]),
                "askew": ([self.m(a), 0], [0, self.m(b)]),
            }[along]
            under = self.m(max(self.plate - self.number(-0.2, 0.6), 1.5))
            self.add("beam", **{"from": ends[0], "to": ends[1], "underside": under})
        for _ in range(rng.choice((0, 0, 1))):
            self.add("post", at=self.spot())

    def openings(self) -> None:
        rng = self.rng
        ends = [([self.m(self.x), self.m(self.y)], [0, self.m(self.y)], self.x)]
        ends.append(([0, self.m(self.y)], [0, 0], self.y))
        for number, (start, end, length) in enumerate(ends[: rng.choice((1, 2))], 1):
            wall: dict[str, Any] = {"from": start, "to": end}
            half = self.chance(0.25)
            if half:
                wall["height"] = self.length(1.0, self.plate)
            self.add("wall", **wall)
            if half:
                continue
            place = self.number(0.1, 0.4)
            if self.chance(0.6):
                width = min(self.number(0.7, 1.8), length - place - 0.1)
                door: dict[str, Any] = {
                    "wall": f"wall {number}",
                    "at": self.m(place),
                    "width": self.m(width),
                    "height": self.length(1.9, min(self.plate, 2.5) - 0.05),
                    "kind": rng.choice(("hinged", "hinged", "pair", "sliding", "folding")),
                }
                self.maybe(door, "hand", ("left", "right"))
                self.maybe(door, "swing", ("in", "out", "out"))
                if door["kind"] in ("hinged", "pair"):
                    self.maybe(door, "swing_angle", ("45 deg", "90 deg", "137 deg", "180 deg"))
                self.maybe(door, "threshold", ("150 mm", "20 mm"))
                self.add("door", **door)
                place += width
            if self.chance(0.4) and length - place > 1.4:
                window = {
                    "wall": f"wall {number}",
                    "at": self.m(place + 0.1),
                    "width": self.length(0.4, 1.2),
                    "kind": rng.choice(("fixed", "casement", "awning", "hopper", "sliding")),
                }
                self.maybe(window, "hand", ("left", "right"))
                self.maybe(window, "swing", ("in", "out"))
                self.add("window", **window)

    def maybe(self, thing: dict[str, Any], key: str, values: tuple[str, ...]) -> None:
        if self.chance(0.6):
            thing[key] = self.rng.choice(values)

    def what_hangs(self) -> None:
        rng = self.rng
        if self.chance(0.3):
            top = self.length(2.0, self.plate)
            kind = rng.choice(("drop", "curtain"))
            self.add("screen", **{"from": self.spot(), "to": self.spot(), "top": top, "kind": kind})
        for _ in range(rng.choice((0, 1))):
            kind = rng.choice(("fan", "light", "speaker", "sprinkler", "television", "fireplace"))
            height = "0 m" if kind == "fireplace" else self.length(1.8, self.plate)
            self.add("fitting", kind=kind, at=self.spot(), height=height, turn=self.angle(0, 90))
        if self.chance(0.2):
            ends = ([*self.spot(), self.length(2.2, self.plate)] for _ in range(2))
            sag = self.length(0, 0.3)
            self.add("cable", **dict(zip(("from", "to"), ends, strict=True)), sag=sag)
        if self.chance(0.15):
            outline = [[0, 0], self.at(0.4, 0), self.at(0.4, 0.5), self.at(0, 0.5)]
            self.add("platform", outline=outline, height=self.length(0.1, 0.6))
        if self.chance(0.15):
            self.add("furniture", kind=rng.choice(("planter", "bar", "bench")), at=self.spot())
        if self.chance(0.15):
            postures = ("upright", "lounging", "perched")
            seat = {"at": self.spot(), "posture": rng.choice(postures)}
            self.add("seat", **seat, height=self.length(0.3, 0.8))
        if self.chance(0.1):
            self.data["person"] = [{"name": "guest", "at": self.spot()}]

    def heater(self, name: str) -> None:
        rng = self.rng
        kinds = ["ceiling"] * 5 + ["stem", "wall"] + ["beam"] * ("beam" in self.data)
        mount = rng.choice(kinds)
        types = sorted(t.name for t in shipped().heaters.values() if mount in t.mounts)
        heater: dict[str, Any] = {"name": name, "type": rng.choice(types), "at": self.spot()}
        if mount == "beam":
            heater["at"] = self.on(rng.choice(self.data["beam"]))
        heater["mount"] = mount
        if mount != "wall" and mount != "beam":
            heater["heading"] = self.angle(-180, 180)
        if mount == "wall" or self.chance(0.15):
            heater["height"] = self.length(2.0, self.plate)
        if self.chance(0.3):
            heater["tilt"] = self.angle(-30, 45)
        elif self.chance(0.1):
            heater["aim_at"] = [*self.spot(1.0), self.length(0, 1.2)]
        if mount == "ceiling" and self.chance(0.1):
            heater["attitude"] = "slope"
        if self.chance(0.1):
            fit = sorted(b.name for b in shipped().brackets.values() if b.mount == mount)
            heater["bracket"] = rng.choice(fit)
        if self.chance(0.1):
            heater["spacing"] = self.length(0.4, 1.3)
        self.data.setdefault("heater", []).append(heater)
