"""A clothed figure in a pose."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from heatcore.geometry.fields import Field, blend, column, cut, grown, round_cone, solid_in
from heatcore.geometry.frames import Floats
from heatcore.geometry.people import body
from heatcore.geometry.people import measures as m
from heatcore.geometry.people.pose import Limb, Pose, pose_of
from heatcore.geometry.shapes import Shape
from heatcore.geometry.solids import Solid, keep, to_mesh, union

# Height above the hips, half depth, half width and shift ahead of a sweater [m].
TRUNK = (
    (-0.100, 0.126, 0.188, 0.006),
    (0.000, 0.128, 0.188, 0.002),
    (0.090, 0.116, 0.165, 0.004),
    (0.180, 0.113, 0.157, 0.004),
    (0.300, 0.120, 0.168, -0.002),
    (0.380, 0.115, 0.172, -0.012),
    (0.440, 0.094, 0.166, -0.020),
    (0.485, 0.075, 0.154, -0.024),
    (0.520, 0.065, 0.112, -0.022),
    (0.552, 0.062, 0.070, -0.016),
    (0.575, 0.061, 0.062, -0.012),
)
CELL = 0.024  # m; of the clothes
DRESS = (
    # hair, haircut, sweater, trousers, skin; breadth of the build
    ("hair dark", "short", "knit slate", "trousers stone", "skin", 1.0),
    ("hair brown", "bob", "knit sand", "trousers navy", "skin", 0.92),
    ("hair grey", "short", "knit navy", "trousers sand", "skin", 1.0),
    ("hair dark", "bun", "knit clay", "trousers charcoal", "skin tan", 0.92),
    ("hair dark", "short", "knit olive", "trousers charcoal", "skin deep", 1.0),
    ("hair blond", "bob", "knit white", "trousers slate", "skin", 0.92),
)
"""What the figures wear: `variant` picks a row."""


@lru_cache(maxsize=256)
def figure(
    posture: str, seat_height: float, table: float, variant: int, stature: float
) -> tuple[Shape, ...]:
    """A figure in its own coordinates, skin, hair, sweater, trousers and shoes apart.

    Parameters
    ----------
    posture : upright, lounging, perched or standing
    seat_height, table : of what the figure sits on and at; 0 where there is none [m]
    variant : which pose and clothes
    stature : body height [m]
    """
    scale = stature / m.STATURE
    pose = pose_of(posture, seat_height / scale, table / scale, variant)
    hair, haircut, sweater, trousers, skin, breadth = DRESS[variant % len(DRESS)]
    bare = [_carried(body.head(), pose.head, pose.face)]
    for arm, mirrored in zip(pose.arms, (False, True), strict=True):
        hand = body.hand().mirror((0.0, 1.0, 0.0)) if mirrored else body.hand()
        bare.append(_carried(hand, arm.tip, arm.end))
    shoes = [
        _carried(body.shoe(), leg.tip - m.ANKLE_HEIGHT * leg.end[2], leg.end) for leg in pose.legs
    ]
    made = (
        ("skin", skin, bare),
        ("hair", hair, [_carried(body.hair(haircut), pose.head, pose.face)]),
        ("sweater", sweater, [_sweater(pose)]),
        ("trousers", trousers, [_trousers(pose)]),
        ("shoes", "shoes", shoes),
    )
    return tuple(
        Shape(label, material, to_mesh(union(solids).scale((scale, scale * breadth, scale))))
        for label, material, solids in made
    )


def _carried(solid: Solid, origin: Floats, axes: Floats) -> Solid:
    """A solid in a frame with the axes as rows."""
    return solid.transform(np.column_stack([axes.T, origin]))


def _sweater(pose: Pose) -> Solid:
    trunk = column(pose.hips, pose.trunk, TRUNK)
    shoulders = [
        round_cone(arm.root, 0.8 * arm.root + 0.2 * arm.middle, 0.052, 0.050) for arm in pose.arms
    ]
    sleeves = [
        blend(
            0.02,
            round_cone(arm.root, arm.middle, 0.052, 0.044),
            round_cone(arm.middle, arm.tip - 0.01 * arm.end[0], 0.044, 0.033),
        )
        for arm in pose.arms
    ]
    # It goes over the trousers, standing over the tops of the thighs too.
    under = [grown(_buttocks(pose), 0.012)]
    reached = [pose.hips, pose.neck, *_joints(pose.arms)]
    if pose.seat is None:
        for leg in pose.legs:
            end = 0.75 * leg.root + 0.25 * leg.middle
            under.append(round_cone(leg.root, end, 0.105, 0.097))
            reached.append(end)
    whole = blend(0.045, blend(0.06, blend(0.03, trunk, *under), *shoulders), *sleeves)
    solid = _solid(whole, reached)
    hem = -0.09 if pose.seat is None else 0.01
    return keep(solid, pose.trunk[2], pose.hips + hem * pose.trunk[2])


def _trousers(pose: Pose) -> Solid:
    thighs = blend(
        0.03,
        _buttocks(pose),
        *(round_cone(leg.root, leg.middle, 0.095, 0.063) for leg in pose.legs),
    )
    calves = [
        blend(
            0.01,
            round_cone(leg.middle, leg.tip, 0.063, 0.053),
            round_cone(leg.tip, leg.tip + 0.08 * (leg.tip - leg.middle), 0.053, 0.053),
        )
        for leg in pose.legs
    ]
    if pose.seat is not None:
        # What is sat on is flat.
        thighs = cut(thighs, (0.0, 0.0, -1.0), -pose.seat, 0.02)
        if pose.reclined:
            calves = [cut(calf, (0.0, 0.0, -1.0), -pose.seat, 0.02) for calf in calves]
    whole = blend(0.03, thighs, *calves)
    return keep(_solid(whole, [pose.hips, *_joints(pose.legs)]), *pose.hem)


def _buttocks(pose: Pose) -> Field:
    left = np.array([-0.008, 0.070, -0.002])
    right = left * (1.0, -1.0, 1.0)
    return round_cone(pose.hips + left, pose.hips + right, 0.106, 0.106)


def _solid(field: Field, reached: list[Floats]) -> Solid:
    """The solid of a field around joints."""
    points = np.stack(reached)
    low, high = points.min(axis=0) - 0.2, points.max(axis=0) + 0.2
    return solid_in(field, low, high, CELL, 0.0015)


def _joints(limbs: tuple[Limb, Limb]) -> list[Floats]:
    return [joint for limb in limbs for joint in (limb.root, limb.middle, limb.tip)]
