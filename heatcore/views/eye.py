"""The best place to take a picture from: cameras at eye level, scored by what they show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Frame
from heatcore.views import stage as on
from heatcore.views.candidates import Stands, stands
from heatcore.views.framing import SENSOR, Framing, level_axes
from heatcore.views.stage import Stage, Subject

LENSES = (20.0, 24.0, 28.0)  # mm
SHIFTS = (0.0, 0.03, 0.06, 0.09, 0.12)  # upward: verticals stay vertical, the ceiling comes in
COLUMNS, ROWS = 44, 30  # rays through the widest view
SAFE = 0.04  # frame heights from the edge within which a subject counts as cut
POST_FAR = 2.5  # m; to here a post counts in full, at twice the distance no more
CLUTTER = 2.4  # m; what stands nearer than this spoils a picture
HEAD = 30.0  # times as much is a person there
BODY_ENDS = [0, len(on.ALONG_BODY) - 1]  # among the points of a heater
FREE = 0.55  # m; nothing that the camera sees stands nearer
NEAR = 0.3  # m, the near clipping distance


@dataclass(frozen=True)
class Taste:
    """What a picture is worth by what it shows; each figure goes with a share from 0 to 1.

    Attributes
    ----------
    heaters, people, extra : subjects in sight and wholly in the frame
    size : how large the heaters are seen
    ceiling : of the upper third of the frame
    floor : of the lower third
    clutter : of the frame, near the camera
    post, wall, sky, roof : of the frame, beyond what is pleasant
    """

    heaters: float = 120.0
    people: float = 18.0
    extra: float = 0.0
    size: float = 20.0
    ceiling: float = 16.0
    floor: float = 12.0
    clutter: float = 70.0
    post: float = 90.0
    wall: float = 20.0
    sky: float = 14.0
    roof: float = 40.0


@dataclass(frozen=True, eq=False)
class _Windows:
    """Every lens with every shift: what each takes of the widest view.

    Attributes
    ----------
    focal : (w,) focal length over sensor width
    shift : (w,) upward, as a share of the picture's width
    rays : (g, 2) tangents to the right and up of the rays
    at : (w, g, 2) where they lie in the frame
    """

    aspect: float
    focal: Floats
    shift: Floats
    rays: Floats
    at: Floats

    @classmethod
    def of(cls, aspect: float) -> _Windows:
        pairs = np.array([(lens / SENSOR, shift) for lens in LENSES for shift in SHIFTS])
        focal, shift = pairs.T
        wide = 0.5 / focal.min()
        low = ((-0.5 / aspect + shift) / focal).min()
        high = ((0.5 / aspect + shift) / focal).max()
        x = (np.arange(COLUMNS) + 0.5) / COLUMNS * 2 * wide - wide
        y = low + (np.arange(ROWS) + 0.5) / ROWS * (high - low)
        rays = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        return cls(aspect, focal, shift, rays, cls._frame(aspect, focal, shift, rays))

    @staticmethod
    def _frame(aspect: float, focal: Floats, shift: Floats, tangents: Floats) -> Floats:
        """Frame coordinates (..., w, n, 2) of tangents (..., n, 2)."""
        at = tangents[..., None, :, :] * focal[:, None, None]
        return np.asarray((at - np.stack([0.0 * shift, shift], -1)[:, None]) * aspect)

    def frame(self, tangents: Floats) -> Floats:
        """Frame coordinates (..., w, n, 2) of tangents (..., n, 2)."""
        return self._frame(self.aspect, self.focal, self.shift, tangents)

    def inside(self, at: Floats, margin: float = 0.0) -> Any:
        """Whether frame coordinates (..., 2) are in the frame."""
        return (np.abs(at[..., 0]) <= self.aspect / 2 - margin) & (
            np.abs(at[..., 1]) <= 0.5 - margin
        )


def best_eye(stage: Stage, aspect: float, taste: Taste, extra: tuple[Subject, ...] = ()) -> Framing:
    """The best camera at eye level for a model.

    Parameters
    ----------
    stage : the model
    aspect : of the picture, width over height
    taste : what matters
    extra : what else must be seen
    """
    windows = _Windows.of(aspect)
    wanted = (*stage.heaters, *stage.people, *extra) or (_floor_subject(stage),)
    found = stands(stage, wanted)
    scores, nearest = _scores(stage, windows, found, taste, extra)
    usable = nearest >= FREE
    ranked = np.where(usable, scores, scores - 1000.0)
    order = np.argsort(-ranked, axis=None, kind="stable")
    candidate, window = (int(i) for i in np.unravel_index(order[0], ranked.shape))
    for flat in order:
        candidate, window = (int(i) for i in np.unravel_index(flat, ranked.shape))
        if not stage.inside_solid(found.eyes[candidate]):
            break
    return Framing(
        camera=Frame(found.eyes[candidate], level_axes(float(found.yaws[candidate]))),
        aspect=aspect,
        lens=float(windows.focal[window] * SENSOR),
        shift=(0.0, float(windows.shift[window])),
        clip=(NEAR, 500.0),
    )


def _scores(
    stage: Stage, windows: _Windows, found: Stands, taste: Taste, extra: tuple[Subject, ...]
) -> tuple[Floats, Floats]:
    """Scores (c, w), and how near the nearest thing in each frame is (c, w) [m]."""
    axes = np.stack([level_axes(float(yaw)) for yaw in found.yaws])
    scores = np.zeros((len(found.eyes), len(windows.focal)))
    for subjects, worth in (
        (stage.heaters, taste.heaters),
        (stage.people, taste.people),
        (extra, taste.extra),
    ):
        scores += worth * _shown(stage, windows, found.eyes, axes, subjects)
    scores += taste.size * _sizes(stage, windows, found.eyes, axes)
    classes, distances = _look(stage, windows, found.eyes, axes)
    return scores + _composition(windows, classes, distances, taste), _nearest(windows, distances)


def _tangents(points: Floats, eyes: Floats, axes: Floats) -> Floats:
    """Tangents (c, n, 2), right and up, under which cameras see points (n, 3); behind: infinite."""
    local = np.einsum("cni,cji->cnj", points[None] - eyes[:, None], axes)
    depth = -local[..., 2:]
    ahead = depth > 0.05
    return np.where(ahead, local[..., :2] / np.where(ahead, depth, 1.0), np.inf)


def _shown(
    stage: Stage, windows: _Windows, eyes: Floats, axes: Floats, subjects: tuple[Subject, ...]
) -> Any:
    """How much of the subjects is in sight and in the frame: (c, w), from 0 to 1.

    The worst seen counts as much again as all together: no heater shall be forgotten.
    """
    if not subjects:
        return 0.0
    shares, weights = [], []
    for subject in subjects:
        at = windows.frame(_tangents(subject.points, eyes, axes))
        seen = windows.inside(at, SAFE) & stage.sees(eyes, subject)[:, None]
        shares.append(np.minimum(1.0, seen.mean(axis=-1) / 0.95))
        weights.append(subject.weight)
    share = np.stack(shares)
    mean = np.average(share, axis=0, weights=weights)
    return 0.6 * mean + 0.4 * np.sort(share, axis=0)[: max(1, len(share) // 4)].mean(axis=0)


def _sizes(stage: Stage, windows: _Windows, eyes: Floats, axes: Floats) -> Any:
    """How large the heaters are seen, (c, w) from 0 to 1; those that the frame cuts count not."""
    if not stage.heaters:
        return 0.0
    lengths = []
    for subject in stage.heaters:
        at = windows.frame(_tangents(subject.points[BODY_ENDS], eyes, axes))
        whole = windows.inside(at, SAFE).all(axis=-1)
        length = np.where(
            whole,
            np.linalg.norm(np.diff(np.where(np.isfinite(at), at, 0.0), axis=-2), axis=-1)[..., 0],
            0.0,
        )
        lengths.append(np.minimum(length / 0.22, 1.0))
    return np.mean(lengths, axis=0)


def _look(stage: Stage, windows: _Windows, eyes: Floats, axes: Floats) -> tuple[Any, Floats]:
    """What the rays of each camera meet: classes (c, g) and distances before the camera (c, g)."""
    local = np.column_stack([windows.rays, -np.ones(len(windows.rays))])
    length = np.linalg.norm(local, axis=1)
    way = np.einsum("gi,cij->cgj", local / length[:, None], axes)
    origins = np.broadcast_to(eyes[:, None], way.shape)
    met, which = stage.first(origins.reshape(-1, 3), way.reshape(-1, 3))
    shape = way.shape[:2]
    return stage.classes[which].reshape(shape), met.reshape(shape) / length


def _composition(windows: _Windows, classes: Any, distances: Floats, taste: Taste) -> Any:
    """What the frame as a whole is worth, (c, w)."""
    inside = windows.inside(windows.at)
    y = windows.at[..., 1]
    upper, lower = inside & (y > 1 / 6), inside & (y < -1 / 6)
    middle = inside & (np.abs(windows.at[..., 0]) < windows.aspect / 4)
    corner = lower & (np.abs(windows.at[..., 0]) > windows.aspect / 5)

    def share(what: Any, where: Any) -> Any:
        return what.astype(np.float64) @ where.T / where.sum(axis=1)

    ceiling = np.isin(classes, (on.CEILING, on.HEATER))
    near = np.clip((CLUTTER - distances) / (CLUTTER - FREE), 0.0, 1.0)
    # A back of a head before the lens is worse than a chair there.
    near = near * np.select([classes == on.FLOOR, classes == on.PERSON], [0.0, HEAD], 1.0)
    post = np.where(classes == on.POST, np.clip(2.0 - distances / POST_FAR, 0.0, 1.0), 0.0)
    return (
        taste.ceiling * np.minimum(1.0, share(ceiling, upper) / 0.8)
        + taste.floor * np.minimum(1.0, share(classes == on.FLOOR, lower) / 0.3)
        - taste.clutter * (share(near, inside) + 0.5 * share(near, corner))
        - taste.post * (share(post, inside) + share(post, middle))
        - taste.wall * np.maximum(0.0, share(classes == on.WALL, inside) - 0.35)
        - taste.sky * np.maximum(0.0, share(classes == on.NOTHING, inside) - 0.25)
        - taste.roof * share(classes == on.ROOF_TOP, inside)
    )


def _nearest(windows: _Windows, distances: Floats) -> Floats:
    inside = windows.inside(windows.at)
    return np.stack([distances[:, mask].min(axis=1) for mask in inside], axis=1)


def _floor_subject(stage: Stage) -> Subject:
    """Where nothing else is to be seen, the floor's middle."""
    x, y = stage.floor.centroid.coords[0]
    return Subject(np.array([[x, y, 0.5]]), np.zeros(0, dtype=np.int64), 1.0)
