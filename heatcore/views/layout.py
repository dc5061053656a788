"""Where labels go: inside the frame, clear of each other and of what the picture is about.

All in frame coordinates (see `framing`). A label is never allowed to overlap another or to be cut:
where there is no room for it, it is left out, and the picture says how many are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.views.lettering import BARE, PADDING, text_size
from heatcore.views.view import Tone

MARGIN = 0.03  # frame heights that stay free along the picture's edge
GAP = 0.008  # frame heights between two labels
TEXT = (
    0.0225  # height of a capital letter; pictures.md asks for at least 0.02 of the frame's height
)
LEADER_STEPS = np.linspace(0.0, 1.0, 17)[:, None]

# What a spot costs beside its own preference.
COST_COVERED = 6.0  # for the whole plate over what should rather be seen
COST_CROSSED = 1.0  # for a leader across another leader


@dataclass(frozen=True, eq=False)
class Note:
    """A label that looks for a place.

    Attributes
    ----------
    text : what it says
    spots : (k, 2) where its middle may go, the best first
    tone : what it says
    height : of a capital letter [frame heights]
    anchor : (2,) what a leader ties it to; None where it stands by itself
    turn : by quarter turns only [rad]
    plate : whether a plate lies behind it
    close : how many of the first spots are so near to the anchor that no leader is needed there
    side : (x, y) the side of its plate that its leader leaves from, each -1, 0 or 1; left out,
        where the way from its middle leaves the plate
    shorter : what is written instead where this finds no room
    """

    text: str
    spots: Any
    tone: Tone = Tone.QUIET
    height: float = TEXT
    anchor: Floats | None = None
    turn: float = 0.0
    plate: bool = True
    close: int = 0
    side: tuple[float, float] | None = None
    shorter: Note | None = None

    @property
    def size(self) -> Floats:
        """(2,) width and height of its plate, as it lies in the picture [frame heights]."""
        return note_size(self.text, self.height, self.turn, plate=self.plate)


@dataclass(frozen=True, eq=False)
class Placed:
    """A label that has its place: its note, middle (2,), box (4,) and leader (k, 2)."""

    note: Note
    at: Floats
    box: Floats
    leader: Floats | None = None


@dataclass
class Layout:
    """The plates of one picture.

    Attributes
    ----------
    aspect : of the picture, width over height
    placed : the labels that have their place, in order
    """

    aspect: float
    placed: list[Placed] = field(default_factory=list)
    _taken: list[Floats] = field(default_factory=list)
    _rather_not: list[Floats] = field(default_factory=list)

    def keep_clear(self, boxes: Any) -> None:
        """Let no label cover these boxes (n, 4)."""
        self._taken += list(np.reshape(boxes, (-1, 4)))

    def rather_not(self, boxes: Any) -> None:
        """Cover these boxes (n, 4) only where there is no better spot."""
        self._rather_not += list(np.reshape(boxes, (-1, 4)))

    def reserve(self, size: Floats, spots: Any) -> Floats | None:
        """Take the best of the spots (k, 2) that is free for a block; None without one."""
        best = self.best(size, spots)
        if best is None:
            return None
        self._taken.append(np.concatenate([best[1] - size / 2, best[1] + size / 2]))
        return best[1]

    def best(self, size: Floats, spots: Any) -> tuple[float, Floats] | None:
        """The best of the spots (k, 2) that is free for a block, and what it costs."""
        spots = np.reshape(spots, (-1, 2))
        boxes = np.concatenate([spots - size / 2, spots + size / 2], axis=1)
        free = np.flatnonzero(self._free(boxes))
        if not len(free):
            return None
        cost = 0.05 * free + COST_COVERED * self._covered(boxes[free])
        best = int(np.argmin(cost))
        return float(cost[best]), np.asarray(spots[free[best]])

    def put(self, note: Note) -> None:
        """Put a note at its first spot, which the caller has reserved."""
        at = np.reshape(note.spots, (-1, 2))[0]
        self.placed.append(
            Placed(note, at, np.concatenate([at - note.size / 2, at + note.size / 2]))
        )

    def place(self, note: Note) -> bool:
        """Give a note, or its shorter form, the best spot that is free; False where none is."""
        return self._place(note) or (note.shorter is not None and self.place(note.shorter))

    def _place(self, note: Note) -> bool:
        spots = np.reshape(note.spots, (-1, 2))
        boxes = np.concatenate([spots - note.size / 2, spots + note.size / 2], axis=1)
        free = self._free(boxes)
        cost = 0.05 * np.arange(len(spots)) + COST_COVERED * self._covered(boxes)
        leaders = None
        if note.anchor is not None:
            starts = spots + _leaves(spots, note)
            leaders = starts[:, None] + LEADER_STEPS * (note.anchor - starts)[:, None]
            led = np.arange(len(spots)) >= note.close
            free &= ~(led & self._through(leaders))
            cost = cost + COST_CROSSED * led * self._crossings(starts, note.anchor)
        if not free.any():  # also where there is no spot at all
            return False
        best = int(np.argmin(np.where(free, cost, np.inf)))
        leader = None if leaders is None or best < note.close else leaders[best]
        self._taken.append(boxes[best])
        self.placed.append(Placed(note, spots[best], boxes[best], leader))
        return True

    def place_all(self, notes: Sequence[Note], rest: str = "{} more: see the schedule") -> None:
        """Place notes, the most important first; say how many found no room.

        Parameters
        ----------
        notes : the most important first
        rest : what is said of those left out; the number takes the place of the braces
        """
        before = len(self.placed)
        left_out = sum(not self.place(note) for note in notes)
        while left_out:
            said = Note(rest.format(left_out), self.anywhere(note_size(rest.format(left_out))))
            if self.place(said) or len(self.placed) == before:
                return
            # The last ones give way to the word about those that are missing.
            self._taken.pop()
            self.placed.pop()
            left_out += 1

    def limits(self, *, upright: bool) -> tuple[float, float]:
        """Where the room for labels begins and ends, up the picture or along it."""
        half = (0.5 if upright else self.aspect / 2) - MARGIN
        return -half, half

    def anywhere(self, size: Floats, steps: int = 24) -> Floats:
        """(k, 2) spots all over the picture for a plate of this size, the lower edge first."""
        half = np.array([self.aspect / 2, 0.5]) - MARGIN - np.asarray(size) / 2
        x, y = (np.linspace(-h, h, steps) for h in np.maximum(half, 0.0))
        grid = np.stack(np.meshgrid(x, y), axis=-1)
        return np.asarray(grid.reshape(-1, 2))

    def _free(self, boxes: Floats) -> Any:
        """Which of the boxes (k, 4) lie in the frame and clear of all that is taken."""
        edge = np.array([self.aspect / 2, 0.5]) - MARGIN + 1e-9
        free = (boxes[:, :2] >= -edge).all(axis=1) & (boxes[:, 2:] <= edge).all(axis=1)
        if self._taken:
            free &= ~overlaps(boxes, np.array(self._taken), GAP).any(axis=1)
        for leader in self._leaders:
            free &= ~_inside(leader[None], boxes[:, None]).any(axis=1)
        return free

    @property
    def _leaders(self) -> list[Floats]:
        return [placed.leader for placed in self.placed if placed.leader is not None]

    def _covered(self, boxes: Floats) -> Any:
        """Share of each box (k, 4) over what should rather be seen."""
        if not self._rather_not:
            return np.zeros(len(boxes))
        other = np.array(self._rather_not)
        low = np.maximum(boxes[:, None, :2], other[None, :, :2])
        high = np.minimum(boxes[:, None, 2:], other[None, :, 2:])
        shared = np.prod(np.maximum(high - low, 0.0), axis=-1).sum(axis=1)
        return shared / np.prod(boxes[:, 2:] - boxes[:, :2], axis=1)

    def _through(self, leaders: Floats) -> Any:
        """Which leaders (k, n, 2) would run through a label."""
        others = np.array([placed.box for placed in self.placed]).reshape(-1, 4)
        return _inside(leaders[:, :, None], others).any(axis=(1, 2))

    def _crossings(self, spots: Floats, anchor: Floats) -> Any:
        """How many leaders a leader from each spot (k, 2) to the anchor would cross."""
        count = np.zeros(len(spots))
        for leader in self._leaders:
            a, b = leader[0], leader[-1]
            apart = _side(a, b, spots) * _side(a, b, anchor) < 0.0
            across = _side(spots, anchor, a) * _side(spots, anchor, b) < 0.0
            count += apart & across
        return count


def note_size(text: str, height: float = TEXT, turn: float = 0.0, *, plate: bool = True) -> Floats:
    """(2,) width and height that a text takes as it lies in the picture [frame heights]."""
    size = (np.array(text_size(text)) + 2 * (PADDING if plate else BARE)) * height
    return size[::-1] if round(turn / (np.pi / 2)) % 2 else size


def around(
    anchor: Any, size: Floats, reaches: Sequence[float] = (0.03, 0.06, 0.1, 0.15, 0.22)
) -> Floats:
    """(k, 2) spots round an anchor for a plate of this size, the near and upper ones first."""
    turns = np.radians([60, 120, 30, 150, 90, 0, 180, -30, -150, -60, -120, -90])
    way = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    out = [
        np.asarray(anchor) + way * reach + way / np.abs(way).max(axis=1, keepdims=True) * size / 2
        for reach in reaches
    ]
    return np.concatenate(out)


def overlaps(boxes: Floats, others: Floats, gap: float = 0.0) -> Any:
    """Whether boxes (k, 4) and others (n, 4) come nearer to each other than the gap: (k, n)."""
    a, b = boxes[:, None], others[None]
    apart = (a[..., 0] >= b[..., 2] + gap) | (b[..., 0] >= a[..., 2] + gap)
    apart |= (a[..., 1] >= b[..., 3] + gap) | (b[..., 1] >= a[..., 3] + gap)
    return ~apart


def box_of(points: Any) -> Floats:
    """(4,) the box round points (n, 2) in the frame."""
    at = np.reshape(points, (-1, np.shape(points)[-1]))[:, :2]
    return np.concatenate([at.min(axis=0), at.max(axis=0)])


def _inside(points: Floats, boxes: Floats) -> Any:
    low, high = boxes[..., :2], boxes[..., 2:]
    return ((points >= low) & (points <= high)).all(axis=-1)


def _leaves(spots: Floats, note: Note) -> Any:
    """From the middle of a plate at each spot (k, 2) to where its leader begins, (k, 2)."""
    half = note.size / 2
    if note.side is not None:
        return np.array(note.side) * half
    way = np.asarray(note.anchor) - spots
    share = (half / np.maximum(np.abs(way), 1e-9)).min(axis=1, keepdims=True)
    return way * np.minimum(share, 1.0)


def _side(a: Any, b: Any, p: Any) -> Any:
    """On which side of the line from a to b a point lies, as a sign; all (..., 2)."""
    way, to = np.asarray(b) - a, np.asarray(p) - a
    return way[..., 0] * to[..., 1] - way[..., 1] * to[..., 0]
