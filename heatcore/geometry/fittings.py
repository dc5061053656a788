"""What is fixed under the roof or on a wall: plain shapes of the usual size of their kind."""

from __future__ import annotations

import numpy as np

from heatcore.geometry.fitting_site import FittingSite
from heatcore.geometry.overhead import Overhead
from heatcore.geometry.parts import Part
from heatcore.geometry.solids import box, rounded_box, union
from heatcore.geometry.turned_fittings import fan_parts, light_parts, sprinkler_parts
from heatcore.scene.space import Fitting, Floor

# Common practice, no source: width, depth and height of a usual one [m].
USUAL_SIZE = {
    "fan": (1.32, 1.32, 0.28),
    "light": (0.2, 0.2, 0.34),
    "speaker": (0.18, 0.2, 0.3),
    "sprinkler": (0.05, 0.05, 0.07),
    "television": (1.23, 0.06, 0.71),
    "fireplace": (1.5, 0.55, 1.2),
}

_BRACKET = 0.06  # m; how far a television's bracket reaches out behind it


def fitting_parts(fitting: Fitting, overhead: Overhead, floor: Floor) -> tuple[Part, ...]:
    """Return a fitting's parts: the main one by its name, the others 'NAME blades' and the like.

    A fan brings the swept 'NAME disc'. What hangs (`hung`) has a rod, or a sprinkler its pipe, up
    to the lowest beam or roof over it; in the open it has none. A fireplace never hangs. A
    television that does not hang has a bracket behind it, outside its size. What has a front turns
    it to the side with more of the floor.

    `material` is that of the main part; of a television, a sprinkler or a fan's blades it is not:
    they are plastic and glass, brass, and timber. A stated `combustible` counts for every part.
    """
    size = USUAL_SIZE[fitting.kind] if fitting.size is None else fitting.size
    makers = {
        "fan": fan_parts,
        "light": light_parts,
        "sprinkler": sprinkler_parts,
        "speaker": _speaker,
        "television": _television,
        "fireplace": _fireplace,
    }
    return makers[fitting.kind](FittingSite(fitting, size, overhead, floor))


def _speaker(site: FittingSite) -> tuple[Part, ...]:
    x, y, z = np.array(site.size) / [2.0, 2.0, 1.0]
    radius = 0.12 * min(site.size)
    body = rounded_box(site.frame, (-x, -y, 0.0), (x, 0.94 * y, z), radius)
    grille = rounded_box(
        site.frame, (-0.88 * x, 0.5 * y, 0.06 * z), (0.88 * x, y, 0.94 * z), radius
    )
    return (
        site.part(union([body, *site.rods(z)])),
        site.part(grille - body, "grille", "painted steel"),
    )


def _television(site: FittingSite) -> tuple[Part, ...]:
    x, y, z = np.array(site.size) / [2.0, 2.0, 1.0]
    case = rounded_box(site.frame, (-x, -y, 0.0), (x, 0.96 * y, z), 0.3 * y)
    edge = 0.012 * z
    glass = box(site.frame, (edge - x, 0.5 * y, edge), (x - edge, y, z - edge))
    if site.fitting.hung:
        holder = site.rods(z)
    else:
        holder = [
            box(site.frame, (-0.3 * x, -y - _BRACKET, 0.35 * z), (0.3 * x, -y, 0.65 * z)),
        ]
    return (
        site.part(case - glass, "", "plastic"),
        site.part(glass, "glass", "glass"),
        *([site.part(union(holder), "bracket")] if holder else []),
    )


def _fireplace(site: FittingSite) -> tuple[Part, ...]:
    x, y, z = np.array(site.size) / [2.0, 2.0, 1.0]
    inset = 0.04 * 2 * x
    body = box(site.frame, (inset - x, -y, 0.0), (x - inset, y - inset, 0.95 * z))
    hearth = box(site.frame, (-x, -y, 0.0), (x, y, 0.06 * z))
    mantel = box(site.frame, (-x, -y, 0.94 * z), (x, y, z))
    firebox = box(site.frame, (-0.62 * x, -0.6 * y, 0.16 * z), (0.62 * x, y + 1.0, 0.66 * z))
    return (site.part(union([body, hearth, mantel]) - firebox),)
