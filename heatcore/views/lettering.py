"""How much room a label takes.

Widths are those of the typeface that Blender brings along, measured from it. A plate of
`plate_size` holds its text with room to spare.
"""

from __future__ import annotations

from heatcore.views.view import Label

# Advance of each character, in heights of a capital letter.
ADVANCES = (
    (0.28, "'"),
    (0.32, ",.:;ijlíîï\u2018\u2019"),
    (0.37, "IJf"),
    (0.40, "|·!"),
    (0.41, "/\\ "),
    (0.47, "()-²³"),
    (0.49, "?[]`t{}"),
    (0.52, '"'),
    (0.58, "sr°"),
    (0.64, "*zagàâäáãå“”cvyç"),
    (0.70, "SF^ekéèêë"),
    (0.73, "L0123456789E_bhnpqux\u2013ñúùûüßÉ"),
    (0.75, "Pd"),
    (0.81, "$oóôöõø"),
    (0.86, "B#+<=>~\u00d7"),
    (0.92, "RTVY&"),
    (0.98, "ZKAÄÅ"),
    (1.05, "%CUXÜw"),
    (1.10, "HGD"),
    (1.15, "mMN"),
    (1.24, "⅞OQÖØ↑↓½¼¾⅛"),
    (1.39, "⅜⅝→←"),
    (1.53, "—…@W"),
)
WIDTHS = {character: width for width, characters in ADVANCES for character in characters}
UNKNOWN = 1.4

LINE_PITCH = 1.75  # from line to line, in heights of a capital letter
# From the text to its plate's edge, and the room round a text without one (its descenders lie in
# it), in heights of a capital letter.
PADDING, BARE = 0.65, 0.32


def text_size(text: str) -> tuple[float, float]:
    """Width and height of a text, from the first line's capitals to the last line's foot.

    Both in heights of a capital letter.
    """
    lines = text.split("\n")
    width = max(sum(WIDTHS.get(c, UNKNOWN) for c in line) for line in lines)
    return width, 1.0 + LINE_PITCH * (len(lines) - 1)


def plate_size(label: Label) -> tuple[float, float]:
    """Width and height that a label takes, with its plate or without, unturned [m]."""
    width, height = text_size(label.text)
    round_it = 2 * (PADDING if label.plate else BARE)
    return (width + round_it) * label.height, (height + round_it) * label.height
