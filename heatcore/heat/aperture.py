"""A hung heater's aperture: what a place sees of it, and where the place lies to its beam."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.rays import hammersley
from heatcore.heat.pattern import relative_intensity
from heatcore.mounting.mount import Mount

SAMPLES = 32  # points on the aperture; see the design's section 6 for what they are good for


@dataclass(frozen=True, eq=False)
class Aperture:
    """The emitting rectangle of a mount."""

    mount: Mount

    @cached_property
    def samples(self) -> Floats:
        """(SAMPLES, 3) points spread over the aperture [m], read-only."""
        size = np.array([self.mount.type.aperture_length, self.mount.type.aperture_width])
        plan = (hammersley(SAMPLES) - 0.5) * size
        return locked(self.mount.frame.to_world(np.column_stack([plan, np.zeros(SAMPLES)])))

    def nearest(self, points: Floats) -> Floats:
        """From the aperture point that faces each place best to the place, in the heater's frame.

        The intensity of every pattern falls with either offset from the axis, so the aperture
        point nearest in plan is the one whose beam the place lies deepest in.

        Parameters
        ----------
        points : (..., 3) in the world [m]

        Returns
        -------
        (..., 3) [m]
        """
        local = self.mount.frame.to_local(points)
        half = np.array([self.mount.type.aperture_length, self.mount.type.aperture_width]) / 2
        way = local.copy()
        way[..., :2] = local[..., :2] - np.clip(local[..., :2], -half, half)
        return way

    def intensity(self, points: Floats) -> Floats:
        """Relative intensity (...) toward places (..., 3), from the point that faces each best."""
        return relative_intensity(self.mount.type.pattern, self.nearest(points))

    def distance(self, points: Floats) -> Floats:
        """Distance (...) from the aperture to places (..., 3) [m]."""
        return np.asarray(np.linalg.norm(self.nearest(points), axis=-1))
