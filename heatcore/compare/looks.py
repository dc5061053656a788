"""How the heaters look together, as plain geometry of their emitting centres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

import numpy as np
import shapely

from heatcore.geometry.frames import Floats
from heatcore.mounting.mount import Mount
from heatcore.scene.heights import roof_outline, support_of
from heatcore.scene.model import Scene
from heatcore.scene.plan import polygon_of
from heatcore.scene.space import Roof

ALIKE = 0.025  # m; heights nearer to each other look like one
ONE_LINE = 0.5  # m; heaters farther beside each other hang in lines of their own
PARALLEL = pi / 180  # rad
RIDGED = ("gable", "hip", "valley", "vault")


@dataclass(frozen=True)
class Looks:
    """How evenly the heaters hang.

    Attributes
    ----------
    heights : of the emitting faces above the floor, ascending; those within 25 mm of each other
        count as one, at its lowest [m]
    lowest, highest : of the emitting faces [m]
    off_line : how far a heater hangs at most beside the line that it shares with others of its
        heading [m]
    off_line_heater : which one; '' where none does
    asymmetry : mirrored about the axis, the centres can be paired with the centres so that none is
        farther from its own than this [m]
    asymmetric_heater : the one that is as far; '' where none is
    axis : what they are mirrored about
    """

    heights: tuple[float, ...]
    lowest: float
    highest: float
    off_line: float
    off_line_heater: str
    asymmetry: float
    asymmetric_heater: str
    axis: str

    @property
    def height_range(self) -> float:
        """From the lowest face to the highest [m]."""
        return self.highest - self.lowest


def looks(scene: Scene, mounts: Sequence[Mount]) -> Looks | None:
    """How the heaters look together; None where there are none.

    Heaters of equal heading hang in lines along it: one belongs to a line where it hangs less than
    0.5 m beside another of that line, and the best line lies midway between its outermost ones.
    """
    if not mounts:
        return None
    centres = np.array([mount.frame.origin for mount in mounts])
    levels = [float(group[0]) for group in _groups(np.sort(centres[:, 2]), ALIKE)]
    off = _off_lines(mounts, centres)
    beside = int(np.argmax(off))
    axis, middle, along = _axis(scene, centres)
    far, apart = _asymmetry(centres, middle, along)
    return Looks(
        heights=tuple(levels),
        lowest=float(centres[:, 2].min()),
        highest=float(centres[:, 2].max()),
        off_line=float(off[beside]),
        off_line_heater=mounts[beside].name if off[beside] > 0.0 else "",
        asymmetry=apart,
        asymmetric_heater=mounts[far].name if apart > 0.0 else "",
        axis=axis,
    )


def _groups(ascending: Floats, gap: float) -> list[Floats]:
    """Values split where two neighbours are farther apart than the gap."""
    return np.split(ascending, np.flatnonzero(np.diff(ascending) > gap) + 1)


def _off_lines(mounts: Sequence[Mount], centres: Floats) -> Floats:
    """How far each heater hangs beside the best line that it shares, (n,) [m]."""
    headings = np.array([np.arctan2(m.frame.x[1], m.frame.x[0]) % pi for m in mounts])
    off, left = np.zeros(len(mounts)), np.ones(len(mounts), dtype=bool)
    while left.any():
        first = int(np.argmax(left))
        turned = np.abs((headings - headings[first] + pi / 2) % pi - pi / 2)
        alike = np.flatnonzero(left & (turned <= PARALLEL))
        left[alike] = False
        square = np.array([-np.sin(headings[first]), np.cos(headings[first])])
        beside = centres[alike, :2] @ square
        order = np.argsort(beside, kind="stable")
        for line in np.split(order, np.flatnonzero(np.diff(beside[order]) > ONE_LINE) + 1):
            middle = (beside[line].min() + beside[line].max()) / 2
            off[alike[line]] = np.abs(beside[line] - middle)
    return np.where(off > 1e-9, off, 0.0)


def _axis(scene: Scene, centres: Floats) -> tuple[str, Floats, Floats]:
    """What the centres are mirrored about: its name, a point of it, and its direction in plan.

    The ridge of the roof under which most of them hang, else the floor's long axis.
    """

    def under(roof: Roof) -> int:
        outline = roof_outline(roof, scene.floor).buffer(roof.overhang)
        return int(shapely.intersects_xy(outline, centres[:, :2]).sum())

    ridged = [roof for roof in scene.roof if roof.form in RIDGED and under(roof)]
    if ridged:
        roof = max(ridged, key=under)
        support = support_of(roof, scene.floor)
        line = {"valley": "valley", "vault": "crown"}.get(roof.form, "ridge")
        return f"the {line} of {roof.name}", np.array(support.center), np.array(support.along)
    floor = polygon_of(scene.floor.outline, "floor.outline")
    corners = np.asarray(floor.minimum_rotated_rectangle.exterior.coords)
    sides = np.diff(corners[:3], axis=0)
    long = sides[int(np.argmax(np.linalg.norm(sides, axis=1)))]
    return "the floor's long axis", corners[:4].mean(axis=0), long / np.linalg.norm(long)


def _asymmetry(centres: Floats, middle: Floats, along: Floats) -> tuple[int, float]:
    """The heater that is farthest from its mirrored partner in the best pairing, and how far."""
    mirrored = centres.copy()
    off = centres[:, :2] - middle
    mirrored[:, :2] = middle + 2.0 * np.outer(off @ along, along) - off
    apart = np.linalg.norm(mirrored[:, None] - centres[None], axis=2)
    distances = np.unique(apart)
    low, high = 0, len(distances) - 1
    while low < high:
        half = (low + high) // 2
        if _paired(apart <= distances[half]):
            high = half
        else:
            low = half + 1
    least = float(distances[low])
    far = int(np.argwhere(apart == least)[0, 0])
    return far, least if least > 1e-9 else 0.0


def _paired(near: Floats) -> bool:
    """Whether rows and columns of an (n, n) table of allowed pairs can all be paired."""
    partner = np.full(len(near), -1)

    def find(row: int, seen: set[int]) -> bool:
        for column in np.flatnonzero(near[row]).tolist():
            if column not in seen:
                seen.add(column)
                if partner[column] < 0 or find(int(partner[column]), seen):
                    partner[column] = row
                    return True
        return False

    return all(find(row, set()) for row in range(len(near)))
