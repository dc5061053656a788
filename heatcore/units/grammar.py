"""One small grammar reads all quantities: a sign, a number, a unit.

Arithmetic is exact until the one rounding at the end, so every spelling of a quantity gives the
same float.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from heatcore.errors import UnitError
from heatcore.units.quantities import Quantity, Unit

INTEGER = r"(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]+)"
DECIMAL = rf"(?:(?:{INTEGER}(?:\.[0-9]+)?|\.[0-9]+)(?:e[+-]?[0-9]{{1,3}})?)"
NUMBER = rf"(?:(?:{INTEGER}(?: |-))?[0-9]+ ?/ ?[0-9]+|{DECIMAL})"

_BARE_NUMBER = re.compile(NUMBER)
_MIXED_NUMBER = re.compile(rf"(?:({INTEGER})(?: |-))?([0-9]+) ?/ ?([0-9]+)")
_NUMBER_AND_UNIT = re.compile(rf"({NUMBER}) ?([^\W\d_].*|[%°'\"].*)")

# Longer than the largest float written out; keeps hostile text from costing time.
_LONGEST = 500

# What a keyboard, a word processor or a drawing puts where ASCII has one character.
_ASCII = str.maketrans(
    {
        **dict.fromkeys("\u2032\u2018\u2019\u02b9\u02bc\u00b4`\uff07", "'"),
        **dict.fromkeys("\u2033\u201c\u201d\u02ba\uff02", '"'),
        **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014", "-"),
        **dict.fromkeys("\u2044\u2215", "/"),
        **dict.fromkeys("\u00ba\u02da", "°"),
        "\u2236": ":",
        "\u2103": "°c",
        "\u2109": "°f",
        "\uff05": "%",
    }
)


def plain(text: str | float, unit: str | None = None) -> tuple[int, str]:
    """Reduce text to its sign and to lower-case ASCII with single spaces.

    A number without a unit takes `unit`, if there is one.
    """
    written = str(text)
    if len(written) > _LONGEST:
        return 1, ""
    body = "".join(map(_written_out, written)).translate(_ASCII).casefold()
    body = " ".join(body.split()).replace("''", '"')
    sign = -1 if body.startswith("-") else 1
    return sign, with_unit(body.removeprefix("-" if sign < 0 else "+").lstrip(), unit)


def with_unit(body: str, unit: str | None) -> str:
    """Give a number that has no unit this one."""
    return f"{body} {unit.casefold()}" if unit and _BARE_NUMBER.fullmatch(body) else body


def _written_out(character: str) -> str:
    """Write a vulgar fraction out, apart from the whole number before it: 6⅜ is 6 3/8."""
    kind, *code_points = unicodedata.decomposition(character).split() or [""]
    if kind != "<fraction>":
        return character
    return " " + "".join(chr(int(point, 16)) for point in code_points)


def read_number(text: str) -> Fraction | None:
    """Value of text that matches `NUMBER`; None for a fraction of one or more, or over zero.

    A drawing never writes 63/8: it is 6 3/8 that lost its space, and no guess is safe.
    """
    mixed = _MIXED_NUMBER.fullmatch(text)
    if mixed is None:
        return Fraction(text.replace(",", ""))
    whole, part, parts = (int((group or "0").replace(",", "")) for group in mixed.groups())
    return whole + Fraction(part, parts) if part < parts else None


def split_unit(body: str, quantity: Quantity) -> tuple[Fraction, Unit] | None:
    """Split plain text without its sign into a number and one of the quantity's units."""
    found = _NUMBER_AND_UNIT.fullmatch(body)
    if found is None:
        return None
    number = read_number(found[1])
    unit = quantity.units.get(spelling(found[2]))
    return None if number is None or unit is None else (number, unit)


def spelling(unit: str) -> str:
    """Reduce a unit to the spelling the tables use: ``Btu/(h·ft²)`` is btu/hft2."""
    return re.sub(r"[ ()^*·⋅]", "", unit.casefold()).replace("²", "2").rstrip(".")


def read_quantity(quantity: Quantity, text: str | float, unit: str | None) -> float:
    """Read a number followed by a unit.

    Returns
    -------
    float
        The quantity in the unit used inside.

    Raises
    ------
    UnitError
        If the text is no such quantity, or a number without a unit, or less than there can be.
    """
    sign, body = plain(text, unit)
    found = split_unit(body, quantity)
    if found is None:
        raise refusal(quantity, text)
    number, own = found
    inside = sign * number * own.size + own.zero
    if quantity.least is not None and inside < quantity.least:
        raise refusal(quantity, text, f"is lower than {quantity.name} can be")
    return rounded(quantity, text, inside)


def rounded(quantity: Quantity, text: str | float, value: Fraction) -> float:
    """Round once, to the nearest float."""
    try:
        return float(value)
    except OverflowError:
        raise refusal(quantity, text, "is too large") from None


def refusal(quantity: Quantity, text: str | float, why: str | None = None) -> UnitError:
    """Make the error that says why text is no such quantity, with an example of one."""
    _, body = plain(text)
    fractions = re.findall(r"([0-9]+) ?/ ?([0-9]+)", body)
    remedy = f"write it as {quantity.example}"
    if why is not None:
        pass
    elif any(int(part) >= int(parts) for part, parts in fractions):
        why = "has a fraction that is not less than one"
        remedy = "leave a space before the fraction, as in 6 3/8, or write 6.375"
    elif _BARE_NUMBER.fullmatch(body):
        why = "has no unit"
        remedy = f"write it with one, as in {quantity.example}"
    elif re.search("[0-9],[0-9]", body):
        why = f"is not {quantity.name}"
        remedy = "write a decimal point; commas only group thousands, as in 2,300"
    else:
        why = f"is not {quantity.name}"
    return UnitError(f'"{_quoted(text)}" {why}', remedy)


def _quoted(text: str | float) -> str:
    """Text fit for one line of a message."""
    line = " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())
    return line if len(line) <= 40 else f"{line[:37]}..."
