"""How much room a label takes.

Widths are those of the typeface that Blender brings along, measured from it and rounded up; a plate
drawn to `plate_size` holds its text with room to spare.
"""

from __future__ import annotations

from heatcore.views.view import Label

# Advance of each character, in heights of a capital letter.
ADVANCES = (
    (0.35, "ijl'.,:;|!"),
    (0.42, "fIJ/ ·"),
    (0.55, 't"-()[]²³'),
    (0.65, "acgrsvyz°äâà*"),
    (0.76, "bdehknpquxEFLPS0123456789éèßüö–_?<=>"),
    (0.9, "oBRTVY+"),
    (1.0, "AKZ%&×"),
    (1.16, "mwCDGHMNUX"),
    (1.25, "OQ½¼¾"),
    (1.4, "→←↑↓—⅛⅜⅝⅞"),
    (1.55, "W@"),
)
WIDTHS = {character: width for width, characters in ADVANCES for character in characters}
UNKNOWN = 1.4

SAFETY = 1.04
LINE_PITCH = 1.75  # from line to line, in heights of a capital letter
PADDING = 0.6  # from the text to its plate's edge, in heights of a capital letter


def text_size(text: str) -> tuple[float, float]:
    """Width and height of a text, from the first line's capitals to the last line's foot.

    Both in heights of a capital letter.
    """
    lines = text.split("\n")
    width = max(sum(WIDTHS.get(c, UNKNOWN) for c in line) for line in lines)
    return SAFETY * width, 1.0 + LINE_PITCH * (len(lines) - 1)


def plate_size(label: Label) -> tuple[float, float]:
    """Width and height of the plate behind a label, in the label's own plane, unturned [m]."""
    width, height = text_size(label.text)
    return (width + 2 * PADDING) * label.height, (height + 2 * PADDING) * label.height
