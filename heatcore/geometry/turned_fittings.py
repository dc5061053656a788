"""Fans, lights and sprinkler heads: bodies round about a vertical axis."""

from __future__ import annotations

from math import asin, cos, pi, radians, sin

import numpy as np

from heatcore.geometry.fitting_site import FittingSite, ring
from heatcore.geometry.frames import heading_axes
from heatcore.geometry.parts import Part
from heatcore.geometry.solids import box, hull, lathe, union
from heatcore.geometry.sweeps import circle_sides

_BLADES = 4  # square to each other, so that a mirrored fan is the same fan
_BLADE = 0.014  # m; thickness of a blade
# Common practice, no source: the blades of ceiling fans are pitched by 12 to 15 degrees.
_BLADE_PITCH = radians(13.0)
_BAR = 0.004  # m; half the thickness of a lantern's bar
# Outside 26.7 mm, nominal 3/4 in (ASME B36.10M, from memory)
_PIPE = 0.01335  # m; radius of a sprinkler's drop pipe


def fan_parts(site: FittingSite) -> tuple[Part, ...]:
    """Return a ceiling fan: housing and rod, 'NAME blades' of timber, the swept 'NAME disc'.

    The disc is the cylinder round the turning blades, from the lowest edge of the pitched blades to
    their highest, and burns if they do. It is nowhere inside the true one, and reaches 0.5 mm
    beyond it at most.
    """
    radius, height = min(site.size[:2]) / 2, site.size[2]
    frame = site.frame
    hub, thick = min(0.12, radius / 3), min(_BLADE, height / 8)
    tip, root = 0.11 * radius, 0.075 * radius
    plan = np.concatenate(
        [
            [(0.4 * hub, -root), (0.4 * hub, root)],
            tip * ring(8, pi / 8) + [radius - tip * cos(pi / 8), 0.0],
        ]
    )
    slab = np.concatenate([np.column_stack([plan, np.full(len(plan), z)]) for z in (-0.5, 0.5)])
    slab *= [1.0, 1.0, thick]
    # Turned about its own length; of a fan that is flat for its width, by less.
    pitch = min(_BLADE_PITCH, asin(min(1.0, height / 8 / (2 * tip * cos(pi / 8)))))
    slab = slab @ np.array([[1, 0, 0], [0, cos(pitch), sin(pitch)], [0, -sin(pitch), cos(pitch)]])
    slab[:, 2] -= slab[:, 2].min()
    # The outermost corners of the tip lie on the fan's circle.
    slab[:, :2] *= radius / np.hypot(slab[:, 0], slab[:, 1]).max()
    swept = float(slab[:, 2].max())
    blades = union(
        hull(frame.to_world(slab @ heading_axes(2 * pi * i / _BLADES))) for i in range(_BLADES)
    )
    housing = lathe(
        frame,
        [
            (0.45 * hub, 0.0),
            (0.9 * hub, 0.25 * thick),
            (hub, max(2.0 * thick, 1.2 * swept)),
            (hub, 0.55 * height),
            (0.8 * hub, 0.75 * height),
            (0.25 * hub, 0.85 * height),
            (0.25 * hub, height),
        ],
    )
    sides = circle_sides(radius)
    around = radius / cos(pi / sides)
    disc = lathe(frame, [(around, 0.0), (around, swept)], sides)
    return (
        site.part(union([housing, *site.rods(height)])),
        site.part(blades - housing, "blades", "timber"),
        site.part(disc, "disc", "timber", swept=True),
    )


def light_parts(site: FittingSite) -> tuple[Part, ...]:
    """Return a lantern: its metal, with a rod where it hangs, and 'NAME glass'."""
    width, depth, height = site.size
    foot, cap = 0.12 * height, 0.3 * height
    frame, oval = site.frame, (width / 2, depth / 2)
    base = lathe(frame, [(0.7, 0.0), (0.85, 0.3 * foot), (0.85, foot)], oval=oval)
    lid = lathe(
        frame,
        [
            (0.95, height - cap),
            (1.0, height - 0.85 * cap),
            (0.45, height - 0.35 * cap),
            (0.18, height - 0.2 * cap),
            (0.18, height),
        ],
        oval=oval,
    )
    bars = [
        box(frame, (x - _BAR, y - _BAR, foot / 2), (x + _BAR, y + _BAR, height - 0.9 * cap))
        for x, y in 0.74 * ring(4, pi / 4) * oval
    ]
    metal = union([base, lid, *bars, *site.rods(height, 0.006)])
    glass = lathe(frame, [(0.68, foot), (0.68, height - cap)], oval=oval)
    return site.part(metal), site.part(glass - metal, "glass", "glass")


def sprinkler_parts(site: FittingSite) -> tuple[Part, ...]:
    """Return a pendent sprinkler head of brass, and 'NAME pipe' from it up to the roof."""
    radius, height = min(site.size[:2]) / 2, site.size[2]
    frame = site.frame
    deflector = [(radius, 0.0), (radius, 0.03 * height), (0.3 * radius, 0.08 * height)]
    stem = [(0.12 * radius, 0.03 * height), (0.12 * radius, 0.7 * height)]
    boss = [(0.5, 0.55), (0.62, 0.7), (0.62, 1.0)]
    arms = [
        box(
            frame,
            (x - 0.05 * radius, -0.08 * radius, 0.05 * height),
            (x + 0.05 * radius, 0.08 * radius, 0.6 * height),
        )
        for x in (-0.5 * radius, 0.5 * radius)
    ]
    head = union(
        [
            lathe(frame, deflector, 24),
            lathe(frame, stem, 12),
            lathe(frame, [(radius * r, height * z) for r, z in boss], 24),
            *arms,
        ]
    )
    pipe = site.rods(height, _PIPE, cup=False)
    return (site.part(head, "", "brass"), *(site.part(p, "pipe") for p in pipe))
