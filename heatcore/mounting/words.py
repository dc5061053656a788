"""Brackets, clearances and figures in the words that people read."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from heatcore.geometry.distance import Face, Reading
from heatcore.mounting.stock import Pair
from heatcore.scene.types import BracketType
from heatcore.units import Rounding, UnitSystem, format_length

_NOUNS = ("bracket", "clamp", "stem", "hanger", "mount")
_SIDE = {
    Face.ABOVE: "above the body, to",
    Face.BELOW: "below the body, to",
    Face.PLUS_SIDE: "beside the body, to",
    Face.MINUS_SIDE: "beside the body, to",
    Face.PLUS_END: "beyond the body's end, to",
    Face.MINUS_END: "beyond the body's end, to",
    Face.CORNER: "at the body's corner, to",
    Face.SHORTEST: "between the body and",
}
ARMS = ("first", "second")


@dataclass(frozen=True)
class Words:
    """Says things in a site's units."""

    units: UnitSystem

    def length(self, metres: float, rounding: Rounding = "nearest") -> str:
        """A length as the site shows it."""
        return format_length(metres, self.units, rounding=rounding)

    def stack(self, extensions: tuple[float, ...]) -> str:
        """The extensions of one arm."""
        return " and ".join(map(self.length, extensions)) or "nothing"

    def pair(self, pair: Pair) -> str:
        """A pair of arms: 'arm bracket with 75 mm on either arm'."""
        name = bracket_name(pair.bracket)
        if not pair.extensions:
            return name
        if not pair.unequal:
            return f"{name} with {self.stack(pair.first)} on either arm"
        first, second = self.stack(pair.first), self.stack(pair.second)
        return f"{name} with {first} on the first arm and {second} on the second"

    def too_near(self, reading: Reading, part: str) -> str:
        """Say what a reading that falls short says.

        'leaves 3 1/4" above the body, to porch roof; 6" are required'
        """
        left = self.length(max(reading.distance, 0.0), "down")
        required = self.length(reading.required)
        return f"leaves {left} {_SIDE[reading.face]} {part}; {required} are required"

    def parts(self, pair: Pair) -> tuple[str, ...]:
        """What the installer takes along for a pair of arms; fixings are the installer's."""
        bracket = pair.bracket
        lines = [f"2 x {bracket_name(bracket)}, {self.length(bracket.arm)}"]
        count = Counter((*pair.first, *pair.second))
        lines += [f"{count[e]} x extension {self.length(e)}" for e in sorted(count)]
        size = f"{self.length(bracket.plate_length)} x {self.length(bracket.plate_width)}"
        return (*lines, f"2 x plate, {size}")


def bracket_name(bracket: BracketType) -> str:
    """A bracket type as a sentence calls it: 'close bracket', 'beam clamp'."""
    last = bracket.name.split()[-1].casefold()
    return bracket.name if last in _NOUNS else f"{bracket.name} bracket"
