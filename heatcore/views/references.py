"""What dimensions are taken from: the named things at the edges of the floor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.scene.space import Beam, Wall

NEAR = 0.6  # m from the floor's edge within which a thing may stand for it
SQUARE = 0.02  # how far from square to the dimension a wall or beam may run, as a sine


@dataclass(frozen=True)
class Reference:
    """What a dimension is taken from.

    Attributes
    ----------
    name : as the site knows it
    what : which of its faces or lines counts: 'face', 'centre line', 'centre' or 'edge'
    at : where it lies along the dimension's direction [m]
    """

    name: str
    what: str
    at: float

    @property
    def text(self) -> str:
        """How a drawing names it."""
        return self.name if self.what in ("face", "edge") else f"{self.name}, {self.what}"


def reference_at(evaluation: Evaluation, direction: Floats, end: int) -> Reference:
    """The named reference at one end of the floor.

    A wall's face comes before a beam's centre line, that before a post's centre; where there is
    none of them the floor's own edge counts.

    Parameters
    ----------
    evaluation : whose scene it is
    direction : (2,) unit vector in plan along which is measured
    end : -1 where the direction comes from, +1 where it goes
    """
    scene = evaluation.scene
    outline = evaluation.model.floor_outline @ direction
    edge = float(outline.min() if end < 0 else outline.max())
    found = []
    lined: list[tuple[int, str, Wall | Beam]] = [(0, "face", wall) for wall in scene.wall]
    lined += [(1, "centre line", beam) for beam in scene.beam]
    for rank, what, thing in lined:
        ends = np.array([thing.from_, thing.to], dtype=np.float64)
        along = ends[1] - ends[0]
        length = float(np.linalg.norm(along))
        if length > 0.0 and abs(along @ direction) / length < SQUARE:
            found.append((rank, -length, Reference(thing.name, what, float(ends[0] @ direction))))
    for post in scene.post:
        at = float(np.asarray(post.at, dtype=np.float64) @ direction)
        found.append((2, 0.0, Reference(post.name, "centre", at)))
    near = [entry for entry in found if abs(entry[2].at - edge) <= NEAR]
    if near:
        return min(near, key=lambda entry: entry[:2])[2]
    return Reference("floor edge", "edge", edge)
