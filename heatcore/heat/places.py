"""Who is in which beam, and why not."""

from __future__ import annotations

from collections import Counter
from math import degrees

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Place
from heatcore.geometry.rays import Obstacles
from heatcore.heat.aperture import Aperture
from heatcore.heat.beam import Lit
from heatcore.heat.landing import SEEN
from heatcore.heat.pattern import BEAM_SHARE, FIELD_SHARE, half_angles


def lit_by(aperture: Aperture, place: Place, obstacles: Obstacles) -> tuple[Lit, str]:
    """Where a person lies to one heater's beam, and in plain words why not inside it.

    Ankles, waist and head are tried; what holds for two of the three holds for the person.
    """
    points = place.point + np.array([(0.0, 0.0, height) for height in place.heights])
    intensity = aperture.intensity(points)
    far = aperture.distance(points)
    seen = obstacles.visible_share(aperture.samples, points)
    open_to = (far <= aperture.mount.type.reach) & (seen >= SEEN)
    if np.count_nonzero(open_to & (intensity >= BEAM_SHARE)) >= 2:
        return Lit.BEAM, ""
    why = _why(aperture, points, intensity, far, seen, obstacles)
    if np.count_nonzero(open_to & (intensity >= FIELD_SHARE)) >= 2:
        return Lit.EDGE, why
    return Lit.OUTSIDE, why


def _why(
    aperture: Aperture,
    points: Floats,
    intensity: Floats,
    far: Floats,
    seen: Floats,
    obstacles: Obstacles,
) -> str:
    """The first thing that keeps two of the three points out of the beam."""
    outside = _degrees_outside(aperture, points)
    if np.count_nonzero(intensity >= BEAM_SHARE) < 2:
        least = float(np.sort(outside)[1])  # the second of the three has to come in
        if not np.isfinite(least):
            return "behind its face"
        return f"outside the beam by {max(least, 1.0):.0f}°"
    if np.count_nonzero(seen >= SEEN) < 2:
        hidden = points[seen < SEEN]
        names = Counter(
            name for point in hidden for name in obstacles.blockers(aperture.samples, point)[:1]
        )
        return f"shaded by {names.most_common(1)[0][0]}" if names else "shaded"
    reach = aperture.mount.type.reach
    return f"beyond its reach: {float(np.sort(far)[1]):.1f} m of {reach:.1f} m"


def _degrees_outside(aperture: Aperture, points: Floats) -> Floats:
    """How far outside the beam angle each point lies [degrees]; infinite behind the face."""
    way = aperture.nearest(points)
    off = np.arctan2(np.hypot(way[:, 0], way[:, 1]), -way[:, 2])
    bound = half_angles(aperture.mount.type.pattern, np.arctan2(way[:, 1], way[:, 0]), BEAM_SHARE)
    return np.where(way[:, 2] < 0.0, np.vectorize(degrees)(off - bound), np.inf)
