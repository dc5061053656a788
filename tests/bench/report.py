"""What was measured, as one table or as JSON."""

from __future__ import annotations

import json
import os
import platform
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

HEADS = ("what", "ours", "theirs", "ratio", "target", "")


@dataclass(frozen=True)
class Row:
    """One figure.

    Attributes
    ----------
    what : is compared
    ours, theirs : CPU seconds; None where there is none
    figure : the ratio, or whatever else is compared with the target
    target : that it should reach
    unit : behind both
    at_most : whether the target is a bound from above
    note : how it was measured, and at what error
    """

    what: str
    ours: float | None
    theirs: float | None
    figure: float
    target: float | None
    unit: str = " x"
    at_most: bool = False
    note: str = ""

    @property
    def met(self) -> bool | None:
        """Whether the target is; None where there is none."""
        if self.target is None:
            return None
        return self.figure <= self.target if self.at_most else self.figure >= self.target

    @property
    def cells(self) -> tuple[str, ...]:
        word = {True: "met", False: "MISSED", None: ""}[self.met]
        bound = "at most " if self.at_most else ""
        return (
            self.what,
            "" if self.ours is None else f"{self.ours:.4g} s",
            "" if self.theirs is None else f"{self.theirs:.4g} s",
            f"{self.figure:.3g}{self.unit}",
            "" if self.target is None else f"{bound}{self.target:g}{self.unit}",
            word,
        )


@dataclass
class Report:
    """All of a run: rows, and remarks on how they came about."""

    rows: list[Row] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def table(self) -> str:
        cells = [HEADS, *(row.cells for row in self.rows)]
        widths = [max(len(line[i]) for line in cells) for i in range(len(HEADS))]
        lines: list[str] = []
        for number, line in enumerate(cells):
            shown = (
                cell.ljust(width) if i in (0, 5) else cell.rjust(width)
                for i, (cell, width) in enumerate(zip(line, widths, strict=True))
            )
            lines.append("  ".join(shown).rstrip())
            if number and self.rows[number - 1].note:
                lines.append(f"    {self.rows[number - 1].note}")
        missed = sum(row.met is False for row in self.rows)
        asked = sum(row.met is not None for row in self.rows)
        lines += ["", *self.remarks, machine(), f"{asked - missed} of {asked} targets met."]
        return "\n".join(lines)

    def as_json(self) -> str:
        rows: Sequence[dict[str, Any]] = [{**asdict(row), "met": row.met} for row in self.rows]
        return json.dumps({"rows": rows, "remarks": self.remarks, "machine": machine()}, indent=2)


def machine() -> str:
    """Cores and versions; nothing that tells whose machine it is."""
    return (
        f"{os.cpu_count()} cores, {platform.machine()}, Python {platform.python_version()}. "
        "All times are CPU seconds, children and threads included."
    )
