"""Where the joints are in each posture, in the person's own coordinates.

X ahead, Y left, Z up [m]; seated, the origin is on the floor below the hips.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt
from typing import Any

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.people import measures as m

Reach = tuple[Any, Any, Any]
"""Of a hand, ahead, out and up: where the wrist is, where the fingers point, its back."""

SIDES = (1.0, -1.0)  # left, right
GAZES = (8.0, -14.0, 3.0, 16.0, -6.0, -10.0)  # degrees to the left
TROUSER_HEM = 0.088
HIP = np.array([0.0, m.HIP_OUT, 0.0])  # the left hip joint, from the middle


@dataclass(frozen=True, eq=False)
class Limb:
    """An arm or a leg.

    Attributes
    ----------
    root, middle, tip : (3,) shoulder, elbow, wrist or hip, knee, ankle
    end : (3, 3) rows toward the fingertips or toes, to their left, and out of the back of the hand
        or the instep
    """

    root: Floats
    middle: Floats
    tip: Floats
    end: Floats


@dataclass(frozen=True, eq=False)
class Pose:
    """A body at rest.

    Attributes
    ----------
    hips : (3,) middle of the hip joints
    trunk : (3, 3) rows ahead, left and up of the trunk
    neck, head : (3,) foot of the neck, middle of the head
    face : (3, 3) rows ahead, left and up of the head
    arms, legs : left and right
    seat : height of the seat; None where the person stands
    reclined : whether the legs lie on the seat too
    hem : (3,) normal and (3,) point of the plane that ends the trousers
    """

    hips: Floats
    trunk: Floats
    neck: Floats
    head: Floats
    face: Floats
    arms: tuple[Limb, Limb]
    legs: tuple[Limb, Limb]
    seat: float | None
    reclined: bool
    hem: tuple[Floats, Floats]


def pose_of(posture: str, seat_height: float, table: float, variant: int) -> Pose:
    """The pose of somebody of usual stature.

    Parameters
    ----------
    posture : upright, lounging, perched or standing
    seat_height : of the seat; not used standing
    table : height of the table in front, 0 where there is none
    variant : which of several ways to hold arms, feet and head
    """
    if posture == "standing":
        return _standing(variant)
    if posture == "lounging":
        return _lounging(seat_height, variant)
    return _sitting(posture == "perched", seat_height, table, variant)


def _sitting(perched: bool, seat_height: float, table: float, variant: int) -> Pose:
    sitting = m.Sitting.at(seat_height)
    lean = radians(2.0) if perched else sitting.lean
    ground = m.footrest_height(seat_height) if perched else 0.0
    # At a table the feet go back under the seat, on a stool back to its ring.
    stride = -0.15 if perched else -0.10 if table else 0.02
    apart, step = ((0.0, 0.0), (0.015, 0.02), (0.03, -0.02))[variant % 3]
    if perched or table:
        step = 0.0
    knee_height = ground + m.ANKLE_HEIGHT + sqrt(m.SHANK**2 - stride**2)
    knee_ahead = sqrt(m.THIGH**2 - (knee_height - sitting.hip_height) ** 2)

    lap = seat_height + 0.145
    if table:
        rest = ((0.345, 0.150, table + 0.052), (1.0, -0.20, -0.16), (0.0, 0.0, 1.0))
        folded = ((0.330, 0.085, table + 0.052), (0.75, -0.66, -0.16), (0.0, 0.0, 1.0))
        reaches = ((rest, rest), (folded, rest), (rest, folded))[variant % 3]
    elif variant % 3 == 1:
        way, back = (0.62, -0.78, -0.06), (0.3, 0.0, 1.0)
        reaches = (((0.12, 0.105, lap + 0.055), way, back), ((0.13, 0.085, lap + 0.03), way, back))
    else:
        thigh = ((0.15, 0.125 + apart, lap + 0.03), (1.0, -0.22, -0.17), (0.17, 0.0, 1.0))
        reaches = (thigh, thigh)
    return _pose(
        hips=np.array([0.0, 0.0, sitting.hip_height]),
        lean=lean,
        knees=[(knee_ahead, 0.100 + apart, knee_height)] * 2,
        ankles=[
            (
                knee_ahead + stride + side * step,
                (0.080 if perched else 0.095) + apart / 2,
                ground + m.ANKLE_HEIGHT,
            )
            for side in SIDES
        ],
        foot=((1.0, 0.14, 0.0), (0.0, 0.0, 1.0)),
        reaches=reaches,
        elbow=(-0.48, 0.55, -0.87) if table else (-0.30, 0.30, -0.4),
        seat=seat_height,
        hem=((0.0, 0.0, 1.0), (0.0, 0.0, ground + TROUSER_HEM)),
        variant=variant,
    )


def _lounging(seat_height: float, variant: int) -> Pose:
    hips = np.array([0.0, 0.0, seat_height + m.HIP_ABOVE_SEAT])
    lie = seat_height + 0.092
    knees, ankles = [], []
    for raised in ((0.13, 0.0), (0.0, 0.13), (0.0, 0.0))[variant % 3]:
        knee_height = seat_height + 0.075 + raised
        knee_ahead = sqrt(m.THIGH**2 - (knee_height - hips[2]) ** 2)
        ankle_ahead = knee_ahead + sqrt(m.SHANK**2 - (knee_height - lie) ** 2)
        knees.append((knee_ahead, 0.105, knee_height))
        ankles.append((ankle_ahead, 0.095, lie))
    ahead, _, up = _leaning(m.LOUNGING_LEAN)
    belly = hips + 0.135 * ahead + 0.19 * up
    way, back = (0.45, -0.88, -0.10), tuple(ahead)
    return _pose(
        hips=hips,
        lean=m.LOUNGING_LEAN,
        knees=knees,
        ankles=ankles,
        foot=((0.42, 0.16, 0.90), (-0.90, 0.0, 0.42)),
        reaches=(
            (belly + np.array([0.025, 0.115, 0.025]), way, back),
            (belly + np.array([0.0, 0.095, 0.0]), way, back),
        ),
        elbow=(-0.6, 1.0, -0.4),
        seat=seat_height,
        hem=((-1.0, 0.0, 0.0), (min(x for x, _, _ in ankles) - 0.01, 0.0, 0.0)),
        variant=variant,
    )


def _standing(variant: int) -> Pose:
    hips = np.array([0.0, 0.0, m.ANKLE_HEIGHT + 0.997 * (m.THIGH + m.SHANK)])
    step = 0.02 if variant % 2 else -0.02
    ankles = [(side * step - 0.01, 0.100, m.ANKLE_HEIGHT) for side in SIDES]
    knees = [
        _bend(hips + HIP, np.array(ankle), m.THIGH, m.SHANK, (1.0, 0.1, 0.0)) for ankle in ankles
    ]
    if variant % 3 == 1:
        way, back = (0.25, -0.80, -0.45), (0.95, 0.0, 0.3)
        reaches = (((0.165, 0.08, 0.975), way, back), ((0.150, 0.065, 0.945), way, back))
    else:
        hang = ((0.05, 0.255, 0.872), (0.16, -0.03, -1.0), (0.15, 1.0, 0.0))
        reaches = (hang, hang)
    return _pose(
        hips=hips,
        lean=radians(1.5),
        knees=knees,
        ankles=ankles,
        foot=((1.0, 0.16, 0.0), (0.0, 0.0, 1.0)),
        reaches=reaches,
        elbow=(-1.0, 0.35, 0.0),
        seat=None,
        hem=((0.0, 0.0, 1.0), (0.0, 0.0, TROUSER_HEM)),
        variant=variant,
    )


def _pose(
    *,
    hips: Floats,
    lean: float,
    knees: Any,
    ankles: Any,
    foot: tuple[Any, Any],
    reaches: tuple[Reach, Reach],
    elbow: Any,
    seat: float | None,
    hem: tuple[Any, Any],
    variant: int,
) -> Pose:
    """A pose from what differs: limbs are given for the left, the right is their mirror image."""
    trunk = _leaning(lean)
    shoulder = hips + trunk.T @ (0.0, m.SHOULDER_OUT, m.SHOULDER_ABOVE_HIP)
    arms, legs = [], []
    for side, knee, ankle, (wrist, way, back) in zip(SIDES, knees, ankles, reaches, strict=True):
        mirror = np.array([1.0, side, 1.0])
        bent = _bend(shoulder, np.asarray(wrist, float), m.UPPER_ARM, m.FOREARM, elbow)
        arms.append(
            Limb(
                shoulder * mirror,
                bent * mirror,
                wrist * mirror,
                _frame(way * mirror, back * mirror),
            )
        )
        legs.append(
            Limb(
                (hips + HIP) * mirror,
                np.asarray(knee) * mirror,
                np.asarray(ankle) * mirror,
                _frame(foot[0] * mirror, foot[1] * mirror),
            )
        )
    neck = hips + (m.SHOULDER_ABOVE_HIP + 0.059) * trunk[2] - 0.012 * trunk[0]
    # The neck brings the head back toward upright.
    poise = _leaning(0.45 * lean)
    head = neck + 0.178 * poise[2] + 0.030 * poise[0]
    gaze = radians(GAZES[variant % len(GAZES)])
    turn = np.array([[cos(gaze), sin(gaze), 0.0], [-sin(gaze), cos(gaze), 0.0], [0.0, 0.0, 1.0]])
    return Pose(
        hips=hips,
        trunk=trunk,
        neck=neck,
        head=head,
        face=turn @ _leaning(0.25 * lean),
        arms=(arms[0], arms[1]),
        legs=(legs[0], legs[1]),
        seat=seat,
        reclined=lean == m.LOUNGING_LEAN,
        hem=(np.asarray(hem[0]), np.asarray(hem[1])),
    )


def _leaning(lean: float) -> Floats:
    """Rows ahead, left and up of what leans back."""
    c, s = cos(lean), sin(lean)
    return np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


def _frame(ahead: Any, up: Any) -> Floats:
    """Rows ahead, left and up; `up` only as far as it is square to `ahead`."""
    x = np.asarray(ahead) / np.linalg.norm(ahead)
    y = np.cross(up, x)
    y /= np.linalg.norm(y)
    return np.stack([x, y, np.cross(x, y)])


def _bend(root: Floats, tip: Floats, upper: float, lower: float, toward: Any) -> Floats:
    """The elbow or knee of a limb of two lengths, bent toward a direction."""
    axis = tip - root
    reach = min(float(np.linalg.norm(axis)), 0.9995 * (upper + lower))
    axis /= np.linalg.norm(axis)
    along = (reach**2 + upper**2 - lower**2) / (2 * reach)
    side = np.asarray(toward, float) - (toward @ axis) * axis
    side /= np.linalg.norm(side)
    bent: Floats = root + along * axis + sqrt(max(0.0, upper**2 - along**2)) * side
    return bent
