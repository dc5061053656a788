"""Head, hair, hand and shoe: made once, in their own coordinates, and carried to each pose.

Head: X ahead, Z up, origin in its middle. Hand: the left one, X to the fingertips, Z out of its
back, origin at the wrist. Shoe: X to the toes, Z up, origin on the sole below the ankle.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from heatcore.geometry.fields import (
    Field,
    blend,
    cut,
    ellipsoid,
    less,
    round_cone,
    solid_in,
)
from heatcore.geometry.shapes import ball, rod
from heatcore.geometry.solids import Solid, hull, union

THINNING = 0.0011  # m; how far fewer triangles may move a surface
HAIRCUTS = ("short", "bob", "bun")


def _skull() -> Field:
    return ellipsoid((-0.010, 0.0, 0.028), (0.096, 0.076, 0.087))


@cache
def head() -> Solid:
    """Head and neck, as far down as a collar hides."""
    chin = round_cone((0.016, 0.0, 0.005), (0.050, 0.0, -0.080), 0.061, 0.020)
    jaw = [
        round_cone((0.000, y, -0.035), (0.046, y * 0.3, -0.084), 0.026, 0.015)
        for y in (0.040, -0.040)
    ]
    face = blend(0.020, _skull(), chin, *jaw)
    for y in (0.032, -0.032):
        face = less(face, ellipsoid((0.096, y, 0.006), (0.014, 0.022, 0.013)), 0.022)
    nose = round_cone((0.082, 0.0, 0.012), (0.094, 0.0, -0.022), 0.006, 0.010)
    ears = [ellipsoid((-0.010, y, -0.006), (0.019, 0.009, 0.031)) for y in (0.076, -0.076)]
    neck = round_cone((-0.022, 0.0, -0.055), (-0.040, 0.0, -0.20), 0.050, 0.054)
    whole = blend(0.020, blend(0.012, blend(0.022, face, nose), *ears), neck)
    return solid_in(whole, (-0.14, -0.11, -0.28), (0.14, 0.11, 0.14), 0.0135, THINNING)


@cache
def hair(cut_as: str) -> Solid:
    """One of the haircuts; the hairline is where it comes out of the skull."""
    crown = blend(
        0.02,
        ellipsoid((-0.026, 0.0, 0.046), (0.100, 0.0835, 0.090)),
        ellipsoid((0.030, 0.0, 0.092), (0.048, 0.058, 0.030)),
    )
    if cut_as == "bob":
        crown = blend(0.03, crown, ellipsoid((-0.036, 0.0, -0.020), (0.080, 0.094, 0.098)))
    elif cut_as == "bun":
        crown = blend(0.012, crown, ellipsoid((-0.106, 0.0, 0.080), (0.040, 0.042, 0.040)))
    return solid_in(crown, (-0.18, -0.13, -0.16), (0.14, 0.13, 0.17), 0.0175, THINNING)


@cache
def hand() -> Solid:
    """The left hand, at rest with the fingers slightly bent."""
    heel = [ball((0.0, y, 0.0), 0.019) for y in (0.014, -0.014)]
    knuckles = [ball((0.086, 0.028, 0.002), 0.0115), ball((0.080, -0.027, 0.002), 0.0110)]
    palm = hull(np.concatenate([*heel, ball((0.050, 0.026, 0.0), 0.017), *knuckles]))
    fingers = []
    for y, knuckle, tip, radius in (
        (0.029, 0.084, 0.150, 0.0092),
        (0.010, 0.088, 0.166, 0.0096),
        (-0.009, 0.086, 0.160, 0.0092),
        (-0.027, 0.078, 0.138, 0.0082),
    ):
        middle = (0.55 * knuckle + 0.45 * tip, y * 1.02, 0.001)
        fingers += [
            rod((knuckle, y, 0.004), middle, radius + 0.001, radius, 8),
            rod(middle, (tip, y * 0.98, -0.013), radius, radius - 0.0018, 8),
        ]
    thumb = [
        rod((0.018, 0.016, -0.004), (0.062, 0.044, -0.012), 0.016, 0.012, 8),
        rod((0.062, 0.044, -0.012), (0.098, 0.049, -0.014), 0.012, 0.009, 8),
    ]
    wrist = rod((-0.025, 0.0, 0.0), (0.008, 0.0, 0.0), 0.022, 0.021)
    return union([palm, *fingers, *thumb, wrist]).simplify(0.0003)


@cache
def shoe() -> Solid:
    """A plain low shoe on a flat sole."""
    upper = blend(
        0.04,
        round_cone((-0.048, 0.0, 0.036), (0.03, 0.0, 0.034), 0.036, 0.040),
        round_cone((0.03, 0.0, 0.030), (0.148, -0.004, 0.020), 0.040, 0.030),
        ellipsoid((0.098, 0.0, 0.022), (0.075, 0.048, 0.036)),
    )
    ankle = round_cone((-0.008, 0.0, 0.06), (-0.004, 0.0, 0.105), 0.040, 0.040)
    whole = cut(blend(0.03, upper, ankle), (0.0, 0.0, -1.0), 0.0, 0.006)
    return solid_in(whole, (-0.12, -0.08, -0.03), (0.22, 0.08, 0.18), 0.019, THINNING)
