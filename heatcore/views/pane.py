"""The pane of glass before the camera on which a view is annotated.

Lines and labels lie just before everything else that the camera sees: nothing hides them, and they
have the same weight wherever in the room the thing is that they speak of.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, locked
from heatcore.views.framing import Framing
from heatcore.views.layout import Layout, Note
from heatcore.views.view import FloorShows, Label, Layer, Line, Tone, View

# Line weights [frame heights]; at 900 pixels the thinnest is nearly two.
FINE = 0.002
MEDIUM = 0.003
BOLD = 0.0045
DOT = 0.0036  # radius of the dot that ends a leader [frame heights]

SHEETS = 8  # the pane's sheets, one before the other
LETTERS = SHEETS - 1  # labels lie on the foremost


class Pane:
    """What is drawn and written before one camera.

    Parameters
    ----------
    framing : of the view
    depth : distance of the pane's hindmost sheet before the camera [m]
    spread : distance from it to the foremost sheet, which is nearer to the camera [m]
    """

    def __init__(self, framing: Framing, depth: float, spread: float) -> None:
        self.framing = framing
        self.lines: list[Line] = []
        self.labels: list[Label] = []
        self._depths = depth - spread * np.arange(SHEETS) / (SHEETS - 1)

    @classmethod
    def before(cls, framing: Framing) -> Pane:
        """The pane just behind what the camera's near clipping takes away."""
        if framing.lens:
            depth = max(framing.clip[0] * 1.02, NEAREST)
            return cls(framing, depth, 0.015 * depth)
        return cls(framing, framing.clip[0] + 0.04, 0.03)

    def at(self, points: Any) -> Floats:
        """Frame coordinates (..., 2) of world points (..., 3) [m]."""
        return self.framing.project(points)[..., :2]

    def draw(
        self,
        at: Any,
        weight: float = FINE,
        tone: Tone = Tone.QUIET,
        *,
        sheet: int = 3,
        arrows: bool = False,
        closed: bool = False,
        filled: bool = False,
    ) -> None:
        """Draw a line through frame coordinates (n, 2), its weight in frame heights."""
        depth = float(self._depths[sheet])
        width = weight * float(self.framing.height_at(depth))
        points = locked(self.framing.lift(at, depth))
        self.lines.append(Line(points, width, tone, arrows=arrows, closed=closed, filled=filled))

    def write(self, layout: Layout) -> None:
        """Write the labels of a layout, all that it has placed."""
        depth = float(self._depths[LETTERS])
        scale = float(self.framing.height_at(depth))
        for placed in layout.placed:
            note = placed.note
            if placed.leader is not None:
                self._lead(placed.leader, note)
            self.labels.append(
                Label(
                    text=note.text,
                    at=locked(self.framing.lift(placed.at, depth)),
                    height=note.height * scale,
                    tone=note.tone,
                    plate=note.plate,
                    turn=note.turn,
                )
            )

    def _lead(self, leader: Floats, note: Note) -> None:
        """Draw a leader from its plate's edge, ending in a dot where it has no side of its own."""
        self.draw(leader[[0, -1]], FINE, note.tone, sheet=4)
        if note.side is None:
            turns = np.arange(16) * 2 * np.pi / 16
            dot = leader[-1] + DOT * np.column_stack([np.cos(turns), np.sin(turns)])
            self.draw(dot, FINE, note.tone, sheet=4, closed=True, filled=True)

    def view(
        self,
        name: str,
        caption: str,
        layers: Iterable[Layer],
        *,
        hidden: Iterable[str] = (),
        dusk: float = 0.5,
        heaters: tuple[str, ...] = (),
        floor: FloorShows | None = None,
    ) -> View:
        """The view with all that was drawn and written."""
        framing = self.framing
        return View(
            name=name,
            caption=caption,
            camera=framing.camera,
            lens=framing.lens,
            width=framing.width,
            shift=framing.shift,
            clip=framing.clip,
            aspect=framing.aspect,
            layers=frozenset(layers),
            hidden=frozenset(hidden),
            labels=tuple(self.labels),
            lines=tuple(self.lines),
            dusk=dusk,
            heaters=heaters,
            floor=floor,
        )


NEAREST = 0.4  # m before a perspective camera; nothing stands nearer (see `eye`)
