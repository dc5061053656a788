"""Lists and tables as plain text."""

from __future__ import annotations

from collections.abc import Sequence


def listing(title: str, lines: Sequence[str]) -> str | None:
    """A titled list, or nothing where there is nothing to list."""
    return f"{title}\n" + "".join(f"  - {line}\n" for line in lines) if lines else None


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Columns set under their heads, two spaces apart."""
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    lines = [head, tuple("-" * w for w in widths), *rows]
    return "".join(
        "  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip() + "\n"
        for line in lines
    )
