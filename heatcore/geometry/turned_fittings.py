"""Fans, lights and sprinkler heads: bodies round about a vertical axis."""

from __future__ import annotations

from math import cos, pi, sin, sqrt

import numpy as np

from heatcore.geometry.fitting_site import FittingSite, ring
from heatcore.geometry.frames import heading_axes
from heatcore.geometry.parts import Part
from heatcore.geometry.solids import box, hull, lathe, union

_BLADES = 4  # square to each other, so that a mirrored fan is the same fan
_BLADE = 0.014  # m; thickness of a blade
_BAR = 0.004  # m; half the thickness of a lantern's bar
# Outside 26.7 mm, nominal 3/4 in (ASME B36.10M, from memory)
_PIPE = 0.01335  # m; radius of a sprinkler's drop pipe


def fan_parts(site: FittingSite) -> tuple[Part, ...]:
    """Return a ceiling fan: housing and rod, 'NAME blades' of timber, the swept 'NAME disc'.

    The disc is the cylinder round the turning blades, at their height, and burns if they do.
    """
    radius, height = min(site.size[:2]) / 2, site.size[2]
    frame = site.frame
    hub, blade = min(0.12, radius / 3), min(_BLADE, height / 4)
    tip, root = 0.11 * radius, 0.075 * radius
    # The two outermost corners of the tip lie on the fan's circle.
    middle = sqrt(radius**2 - (tip * sin(pi / 8)) ** 2) - tip * cos(pi / 8)
    plan = np.concatenate(
        [[(0.4 * hub, -root), (0.4 * hub, root)], tip * ring(8, pi / 8) + [middle, 0.0]]
    )
    slab = np.concatenate([np.column_stack([plan, np.full(len(plan), z)]) for z in (0.0, blade)])
    blades = union(
        hull(frame.to_world(slab @ heading_axes(2 * pi * i / _BLADES))) for i in range(_BLADES)
    )
    housing = lathe(
        frame,
        [
            (0.45 * hub, 0.0),
            (0.9 * hub, 0.25 * blade),
            (hub, 2.0 * blade),
            (hub, 0.55 * height),
            (0.8 * hub, 0.75 * height),
            (0.25 * hub, 0.85 * height),
            (0.25 * hub, height),
        ],
    )
    around = radius / cos(pi / 64)
    disc = lathe(frame, [(around, 0.0), (around, blade)], 64)
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
