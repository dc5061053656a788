"""How long each arm must be, as the heater moves away from the surface.

A square arm stands along the normal of the face that its foot stands on, a plumb one goes straight
up. Under one face an arm's length grows linearly with the travel, and a square arm's foot drifts
down the slope; where planes meet, the foot comes to stand on another face. So the travels fall into
stretches, on each of which both lengths are linear. Where there is no face to stand on, the nearest
one is thought to go on, and the stretch says that the arm is off.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import cos, radians
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats, Frame, Ints, locked
from heatcore.geometry.parts import Kind
from heatcore.mounting.pose import Pose
from heatcore.mounting.structure import Structure
from heatcore.mounting.uneven import bends, mean_planes

_FACING = 0.1  # cosine: a face that stands nearly along the travel is no surface to hang from
_PARALLEL = cos(radians(10.0))
_ON_EDGE = 1e-7  # m; two triangles that share an edge leave no gap between them
_MANY = 500  # faces; of more only those are looked at closely that a foot comes near to
_ROOM = 0.2  # m; that near
_SHORTEST = 1e-4  # m; an arm has some length
_SAME = 7  # decimals of a metre: lengths that differ by less are equally near


@dataclass(frozen=True, eq=False)
class Faces:
    """The faces that a foot may stand on.

    Attributes
    ----------
    corners : (m, 3, 3) [m]
    point : (m, 3) on the plane that each stands for [m]
    into : (m, 3) unit normals of those planes, into the surface
    toward : (m, 3) unit vectors along which an arm runs to each
    part : (m,) number of the part in the structure that each belongs to
    """

    corners: Floats
    point: Floats
    into: Floats
    toward: Floats
    part: Ints

    def __len__(self) -> int:
        return len(self.part)

    def some(self, index: Any) -> Faces:
        """Some of them."""
        corners, point, into, toward = (
            locked(of[index]) for of in (self.corners, self.point, self.into, self.toward)
        )
        return Faces(corners, point, into, toward, locked(self.part[index], np.int64))


@dataclass(frozen=True, eq=False)
class Reach:
    """Lengths of both arms over the travels, ``length = intercept + slope * travel``.

    Attributes
    ----------
    faces : the faces
    first, last : (n,) ends of each stretch of travel [m]
    face : (n, 2) the face under either arm's foot
    off : (n, 2) whether the foot has nothing there to stand on
    intercept, slope : (n, 2) [m], [1]
    """

    faces: Faces
    first: Floats
    last: Floats
    face: Ints
    off: Any
    intercept: Floats
    slope: Floats

    def __len__(self) -> int:
        return len(self.first)


def faces_near(pose: Pose, structure: Structure, among: Ints, longest: float) -> Faces:
    """Faces of a surface that an arm square to them may come to stand on.

    Parameters
    ----------
    pose : the heater
    structure : what is there
    among : numbers of the parts that may carry it
    longest : the longest arm [m]
    """
    level = Frame(pose.frame.origin, np.eye(3))
    local = level.to_local(pose.pivots)
    # Sideways no foot goes farther than the arm is long; along the travel it may be anywhere.
    room = longest + np.linalg.norm(local, axis=1).max() + 0.5
    low, high = local.min(axis=0) - room, local.max(axis=0) + room
    if abs(float(pose.away[2])) > 0.5:
        low[2], high[2] = -np.inf, np.inf
    corners, part = structure.soup.seen_from(level).near(low, high)
    corners = level.to_world(corners)
    edges = np.roll(corners, -1, axis=1) - corners
    normal = np.cross(edges[:, 0], edges[:, 1])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    into = -np.divide(normal, size, out=np.zeros_like(normal), where=size > 0.0)
    carries = np.isin(part, among) & _undersides(into, structure.kinds[part])
    into, corners, part = into[carries], corners[carries], part[carries]
    # Of two faces equally near, both arms take the same: the order goes by the planes.
    order = np.lexsort(np.round(into, 6).T)
    order = order[(into[order] @ pose.away) < -_FACING]
    into, corners, part = into[order], corners[order], part[order]
    point, into = mean_planes(corners, into, part)
    return Faces(locked(corners), locked(point), locked(into), locked(into), locked(part, np.int64))


def _undersides(into: Floats, kinds: Any) -> Any:
    """Which faces are no sides of timbers: a timber's underside is parallel to its roof.

    Parameters
    ----------
    into : (m, 3) unit normals into the faces
    kinds : (m,) what each belongs to
    """
    timber = kinds == Kind.RAFTER
    if not timber.any():
        return np.ones(len(into), dtype=bool)
    roof = np.unique(np.round(into[(kinds == Kind.ROOF) & (into[:, 2] > _FACING)], 3), axis=0)
    if not len(roof):
        return np.ones(len(into), dtype=bool)
    out = np.ones(len(into), dtype=bool)
    out[timber] = (into[timber] @ roof.T).max(axis=1) > _PARALLEL
    return out


def reach(pose: Pose, faces: Faces, longest: float) -> Reach:
    """Both arms' lengths over all travels at which neither is longer than `longest` [m]."""
    faces = _within_reach(pose, faces, longest)
    slack = _ON_EDGE + bends(faces.corners, faces.into, longest)
    one, two = (_Arm(pivot, pose.away, faces, longest, slack).pieces() for pivot in pose.pivots)
    cuts = np.unique(np.concatenate([one.first, one.last, two.first, two.last]))
    middle = (cuts[:-1] + cuts[1:]) / 2
    picked = [_at(pieces, middle) for pieces in (one, two)]
    both = (picked[0] >= 0) & (picked[1] >= 0) & (np.diff(cuts) > 1e-12)
    rows = [pieces.rows(index[both]) for pieces, index in zip((one, two), picked, strict=True)]
    face, off, intercept, slope = (np.stack(c, axis=1) for c in zip(*rows, strict=True))
    return Reach(faces, cuts[:-1][both], cuts[1:][both], face, off, intercept, slope)


def _within_reach(pose: Pose, faces: Faces, longest: float) -> Faces:
    """Of very many faces those near to where a foot may stand, if both arms find any there."""
    if len(faces) <= _MANY:
        return faces
    ranges = [_Arm(pivot, pose.away, faces, longest, _ROOM).on_face for pivot in pose.pivots]
    held = [last > first for first, last in ranges]
    return faces.some(held[0] | held[1]) if all(some.any() for some in held) else faces


@dataclass(frozen=True, eq=False)
class _Pieces:
    """One arm's stretches, in order and without overlap."""

    first: Floats
    last: Floats
    face: Ints
    off: Any
    intercept: Floats
    slope: Floats

    def rows(self, index: Ints) -> tuple[Any, ...]:
        return self.face[index], self.off[index], self.intercept[index], self.slope[index]


def _at(pieces: _Pieces, travel: Floats) -> Ints:
    """Which piece holds each travel; -1 where none does."""
    if not len(pieces.first):
        return np.full(len(travel), -1)
    which = np.searchsorted(pieces.first, travel, side="right") - 1
    held = (which >= 0) & (travel <= pieces.last[which])
    return np.where(held, which, -1)


class _Arm:
    """One arm: its pivot, and what it finds to stand on."""

    def __init__(
        self,
        pivot: Floats,
        away: Floats,
        faces: Faces,
        longest: float,
        slack: float | Floats,
    ) -> None:
        """Take a pivot, what there is to stand on, and how far past its edges a foot may stand."""
        self.faces, self.slack = faces, slack
        square = (faces.into * faces.toward).sum(axis=1)
        self.intercept = ((faces.point - pivot) * faces.into).sum(axis=1) / square
        self.slope = -(faces.into @ away) / square
        self.foot = pivot + self.intercept[:, None] * faces.toward
        self.drift = away + self.slope[:, None] * faces.toward
        self.shortest = (_SHORTEST - self.intercept) / self.slope
        self.longest = (longest - self.intercept) / self.slope

    def pieces(self) -> _Pieces:
        """The nearest face at each travel, and where there is none, the nearest one's plane."""
        first, last = self.on_face
        some = np.flatnonzero(last > first)
        cuts = [first[some], last[some], self._crossings(some)]
        if len(some):
            cuts.append(np.array([self.longest[some].max()]))
        cut = np.unique(np.concatenate(cuts))
        if len(some):
            # Before it first stands on a face the heater would be in the roof, or above it.
            cut = cut[cut >= first[some].min()]
        middle = (cut[:-1] + cut[1:]) / 2
        held = (first[some] <= middle[:, None]) & (middle[:, None] <= last[some])
        length = np.round(self.intercept[some] + self.slope[some] * middle[:, None], _SAME)
        length = np.where(held, length, np.inf)
        found = held.any(axis=1)
        nearest = some[length.argmin(axis=1)] if len(some) else np.zeros(len(middle), dtype=int)
        rows = [(cut[i], cut[i + 1], nearest[i], False) for i in np.flatnonzero(found)]
        rows += [self._off(cut[i], cut[i + 1]) for i in np.flatnonzero(~found)]
        if not len(some):
            rows = [self._off(-np.inf, np.inf)]
        rows = sorted(row for row in rows if row[1] > row[0])
        a, b, face, off = (np.array([row[i] for row in rows]) for i in range(4))
        face = face.astype(int)
        return _Pieces(a, b, face, off.astype(bool), self.intercept[face], self.slope[face])

    @cached_property
    def on_face(self) -> tuple[Floats, Floats]:
        """From which travel to which the foot stands on each face and the arm is not too long."""
        corners, into = self.faces.corners, self.faces.into
        edges = np.roll(corners, -1, axis=1) - corners
        inward = np.cross(-into[:, None], edges)
        size = np.linalg.norm(inward, axis=2, keepdims=True)
        inward = np.divide(inward, size, out=np.zeros_like(inward), where=size > 0.0)
        room = (inward * (self.foot[:, None] - corners)).sum(axis=2) + self.slack
        gain = (inward * self.drift[:, None]).sum(axis=2)
        moves = np.abs(gain) > 1e-12
        turn = np.divide(-room, gain, out=np.zeros_like(room), where=moves)
        never = (~moves & (room < 0.0)).any(axis=1)
        first = np.where(moves & (gain > 0.0), turn, -np.inf).max(axis=1)
        last = np.where(moves & (gain < 0.0), turn, np.inf).min(axis=1)
        first = np.maximum(first, self.shortest)
        last = np.minimum(last, self.longest)
        return first, np.where(never, -np.inf, last)

    def _crossings(self, some: Ints) -> Floats:
        """Travels at which two planes are equally far."""
        lines = np.unique(
            np.round(np.stack([self.intercept[some], self.slope[some]], axis=1), 9), axis=0
        )
        apart = lines[:, None] - lines
        meets = np.abs(apart[..., 1]) > 1e-9
        out: Floats = -apart[..., 0][meets] / apart[..., 1][meets]
        return out

    def _off(self, first: float, last: float) -> tuple[float, float, int, bool]:
        """The face whose plane stands in for a missing one, over at most the given travels."""
        low = np.maximum(self.shortest, first)
        high = np.minimum(self.longest, last)
        some = np.flatnonzero(high > low)
        if not len(some):
            return (np.inf, -np.inf, 0, True)
        middle = (low + high)[some, None] / 2
        feet = self.foot[some] + middle * self.drift[some]
        nearest = some[beside(feet, self.faces.corners[some]).argmin()]
        return (float(low[nearest]), float(high[nearest]), int(nearest), True)


def beside(points: Floats, triangles: Floats) -> Floats:
    """How far each point (k, 3) in the plane of its triangle (k, 3, 3) lies outside it [m]."""
    edges = np.roll(triangles, -1, axis=1) - triangles
    normal = np.cross(edges[:, 0], edges[:, 1])[:, None]
    off = points[:, None] - triangles
    within = ((np.cross(normal, edges) * off).sum(axis=2) >= 0.0).all(axis=1)
    share = (off * edges).sum(axis=2) / np.maximum((edges * edges).sum(axis=2), 1e-30)
    nearest = off - np.clip(share, 0.0, 1.0)[..., None] * edges
    out: Floats = np.where(within, 0.0, np.linalg.norm(nearest, axis=2).min(axis=1))
    return out
