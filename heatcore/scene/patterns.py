"""What must fit together in a heater type's pattern."""

from __future__ import annotations

from math import degrees, pi

from heatcore.scene.document import quoted
from heatcore.scene.drafts import Draft, Reader

# The keys that each kind of pattern uses.
USES = {
    "cosine": ("along", "across"),
    "uniform": (),
    "table": ("angles_along", "angles_across", "intensities"),
}

# cos(x)**1000 has half of its peak at 2.1 degrees; no heater's beam is narrower.
_STEEPEST = 1000.0
_SQUARE = pi / 2 + 1e-9


def check_pattern(pattern: Draft, reader: Reader) -> None:
    """Note what does not fit in a pattern: keys of another kind, a table that is none."""
    kind = pattern["kind"]
    if kind is None:
        return
    for key in sorted(pattern.given - {"kind", *USES[kind]}):
        wanted = next(other for other, keys in USES.items() if key in keys)
        remedy = f'leave it out, or write kind = "{wanted}"'
        reader.slip(pattern.at(key), f"does not go with a {kind} pattern", remedy)
    if kind == "cosine":
        for key in USES[kind]:
            if pattern[key] is not None and pattern[key] > _STEEPEST:
                message = f"{pattern[key]:g} leaves a beam so narrow that it vanishes"
                reader.slip(pattern.at(key), message, f"it must be at most {_STEEPEST:g}")
    if kind == "table":
        _check_table(pattern, reader)


def _check_table(pattern: Draft, reader: Reader) -> None:
    missing = [key for key in USES["table"] if key not in pattern.given]
    for key in missing:
        reader.slip(pattern.at(key), "is missing, and a table needs it", "add it")
    for key in USES["table"][:2]:
        if key in pattern.given and pattern[key] is not None:
            _check_angles(pattern, key, reader)
    rows = pattern["intensities"]
    if missing or rows is None:
        return
    path = pattern.at("intensities")
    along, across = pattern["angles_along"], pattern["angles_across"]
    if along is not None and len(rows) != len(along):
        message = f"has {len(rows)} rows, and angles_along {len(along)} angles"
        reader.slip(path, message, "give a row for each angle along")
    for index, row in enumerate(rows):
        if across is not None and len(row) != len(across):
            message = f"has {len(row)} entries, and angles_across {len(across)} angles"
            reader.slip((*path, index), message, "give an entry for each angle across")
    if rows and not any(value > 0.0 for row in rows for value in row):
        message = "is 0 in every direction: the pattern vanishes"
        reader.slip(path, message, "give at least one intensity above 0")


def _check_angles(pattern: Draft, key: str, reader: Reader) -> None:
    angles, path = pattern[key], pattern.at(key)
    if len(angles) < 2:
        reader.slip(path, f"has {len(angles)} entries", "a table takes at least 2 angles")
        return
    for index, angle in enumerate(angles):
        if abs(angle) > _SQUARE:
            message = f"{_shown(angle)} is behind the heater's face"
            reader.slip((*path, index), message, "it must be from -90 deg to 90 deg")
        elif index and angle <= angles[index - 1]:
            message = f"{_shown(angle)} comes after {_shown(angles[index - 1])}"
            reader.slip((*path, index), message, "write the angles in ascending order")
    if angles[0] > 0.0:
        message = f"begins at {_shown(angles[0])}"
        remedy = "begin at 0 deg, for both sides alike, or below it"
        reader.slip((*path, 0), message, remedy)


def _shown(angle: float) -> str:
    return quoted(f"{degrees(angle):.4g} deg")
