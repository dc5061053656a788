"""Words for captions: numbers, plurals, winds, whole sentences."""

from __future__ import annotations

from math import degrees

NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip
WINDS = (
    "north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest",
)  # fmt: skip


def counted(count: int, thing: str) -> str:
    """A number with its noun: 'one heater', '30 heaters'."""
    return f"{number(count)} {thing}" + ("" if count == 1 else "s")


def number(count: int) -> str:
    """A number as a sentence has it: in words up to twelve."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def wind(bearing: float) -> str:
    """The nearest of the eight winds for a bearing, clockwise from north [rad]."""
    return WINDS[round(degrees(bearing) / 45.0) % 8]


def first_sentence(text: str) -> str:
    """The first sentence of a message, without its full stop."""
    return text.split(". ")[0].rstrip(".")


def sentence(text: str) -> str:
    """Text with a capital letter and a full stop."""
    return text[:1].upper() + text[1:].rstrip(".") + "."
