"""Brackets, clearances and figures in the words that people read."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from heatcore.geometry.distance import Face, Reading
from heatcore.geometry.frames import Floats
from heatcore.mounting.stock import Pair
from heatcore.mounting.trials import LEVEL
from heatcore.scene.types import BracketType
from heatcore.units import Rounding, UnitSystem, format_length, format_miss

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
        if not extensions:
            return "no extension"
        what = "an extension" if len(extensions) == 1 else "extensions"
        return f"{what} of {' and '.join(map(self.length, extensions))}"

    def pair(self, pair: Pair) -> str:
        """A pair of arms: 'arm bracket with an extension of 75 mm on each arm'."""
        name = bracket_name(pair.bracket)
        if not pair.extensions:
            return name
        if not pair.unequal:
            return f"{name} with {self.stack(pair.first)} on each arm"
        first, second = self.stack(pair.first), self.stack(pair.second)
        return f"{name} with {first} on the first arm and {second} on the second"

    def too_near(self, reading: Reading, part: str) -> str:
        """Say what a reading that falls short says.

        'leaves 3 1/4" above the body, to porch roof; 6" is required'
        """
        left, required = format_miss(max(reading.distance, 0.0), reading.required, self.units)
        return f"leaves {left} {_SIDE[reading.face]} {part}; {required} is required"

    def level(self, pair: Pair, lengths: Floats) -> tuple[str, float, float]:
        """Say why a pair of arms cannot have the lengths (2,) that would hang a heater level.

        Returns
        -------
        said : what the arms can do, and what they must
        can, must : the two figures [m]
        """
        fine, length = pair.bracket.fine, self.length
        own = pair.shortest[1] - pair.shortest[0]
        must = float(lengths[1] - lengths[0])
        can = min(max(must, own - fine), own + fine)
        if abs(can - must) > LEVEL:
            way = -1.0 if must < 0.0 else 1.0
            can, must = can * way, must * way
            if can < 0.0:
                said = f"its arms differ by {length(-can, 'down')} or more the other way"
            elif can > must:
                said = f"its arms differ by {length(can, 'down')} or more"
            else:
                said = f"its arms can differ by {length(can, 'down')}"
            return f"{said}, and must by {length(must, away(must, can))}", can, must
        # They can differ by enough, but not at the lengths that a broken ceiling asks here.
        ranges = [(shortest, shortest + fine) for shortest in pair.shortest]
        misses = [max(low - x, x - high) for x, (low, high) in zip(lengths, ranges, strict=True)]
        which = int(misses[1] > misses[0] + LEVEL)
        (least, most), must = ranges[which], float(lengths[which])
        can = min(max(must, least), most)
        said = (
            f"its {ARMS[which]} arm goes from {length(least, 'up')} to {length(most, 'down')}, "
            f"and must be {length(must, away(must, can))}"
        )
        return said, can, must

    def parts(self, pair: Pair) -> tuple[str, ...]:
        """What the installer takes along for a pair of arms; fixings are the installer's."""
        bracket = pair.bracket
        lines = [f"2 x {bracket_name(bracket)}, {self.length(bracket.arm)}"]
        count = Counter((*pair.first, *pair.second))
        lines += [f"{count[e]} x extension {self.length(e)}" for e in sorted(count)]
        size = f"{self.length(bracket.plate_length)} x {self.length(bracket.plate_width)}"
        return (*lines, f"2 x plate, {size}")


def away(value: float, limit: float) -> Rounding:
    """Which way to round a value that misses its limit, so that it still reads as a miss."""
    return "up" if value > limit else "down"


def bracket_name(bracket: BracketType) -> str:
    """A bracket type as a sentence calls it: 'close bracket', 'beam clamp'."""
    last = bracket.name.split()[-1].casefold()
    return bracket.name if last in _NOUNS else f"{bracket.name} bracket"
