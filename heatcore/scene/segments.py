"""The parts of a TOML text that are moved as one: a header with its keys and its comments."""

from __future__ import annotations

import re
from dataclasses import dataclass

from heatcore.scene.locate import KeyPath, Layout, Statement

_COMMENT = re.compile(r"[ \t]*#(?!:)[^\n]*\n?")
_BLANK = re.compile(r"[ \t]*\r?\n")


@dataclass(frozen=True)
class Segment:
    """A header, the keys under it, and the comments that touch them.

    Attributes
    ----------
    path : of the table; empty for the keys before the first header
    header : the header; None for the keys before the first one
    keys : the keys
    start, end : offsets of the whole
    """

    path: KeyPath
    header: Statement | None
    keys: tuple[Statement, ...]
    start: int
    end: int

    @property
    def end_of_keys(self) -> int:
        """Offset after the last key, or after the header."""
        last = self.keys[-1] if self.keys else self.header
        return last.end if last else self.end


def segments_of(layout: Layout) -> list[Segment]:
    """Split a text into segments; the first holds the keys before the first header."""
    headers = [index for index, statement in enumerate(layout.statements) if statement.header]
    cuts = [*headers, len(layout.statements)]
    loose = layout.statements[: cuts[0]]
    found = [Segment((), None, loose, 0, loose[-1].end if loose else 0)]
    for index, following in zip(headers, cuts[1:], strict=True):
        header, *keys = layout.statements[index:following]
        last = keys[-1] if keys else header
        start = _comments_above(layout.text, header.start, found[-1].end_of_keys)
        if start < found[-1].end:
            # A comment that touches both sides speaks of what comes after it.
            found[-1] = _ending(found[-1], start)
        end = _comments_below(layout.text, last.end)
        found.append(Segment(header.path, header, tuple(keys), start, end))
    return found


def after_blank(text: str, offset: int) -> int:
    """Return the offset after the blank line at an offset, if there is one."""
    blank = _BLANK.match(text, offset)
    return blank.end() if blank else offset


def _ending(segment: Segment, end: int) -> Segment:
    return Segment(segment.path, segment.header, segment.keys, segment.start, end)


def _comments_above(text: str, offset: int, floor: int) -> int:
    """Go up over the comment lines that touch an offset, not beyond `floor`."""
    while offset > floor:
        line = text.rfind("\n", 0, offset - 1) + 1
        if line < floor or not _COMMENT.fullmatch(text, line, offset):
            break
        offset = line
    return offset


def _comments_below(text: str, offset: int) -> int:
    """Go down over the comment lines that touch an offset."""
    while offset < len(text) and (comment := _COMMENT.match(text, offset)):
        offset = comment.end()
    return offset
