"""What radiates: a rectangle with a power and a pattern, somewhere in the world."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, Frame, locked
from heatcore.geometry.rays import SKIN, hammersley
from heatcore.heat.radiation.pattern import relative_intensity, solid_angle
from heatcore.heat.radiation.unobstructed import unobstructed
from heatcore.mounting.mount import Mount
from heatcore.scene.types import Pattern

ACROSS = 5  # aperture points along and across, among which the one that faces a place best is found


@dataclass(frozen=True, eq=False)
class Emitter:
    """A radiating rectangle.

    Attributes
    ----------
    name : of the heater
    frame : origin at the rectangle's centre, X along its length, Y across; it emits toward -Z
    length, width : of the rectangle [m]
    radiant_power_w : what leaves it as radiation, all told [W]
    pattern : how that is spread
    element_temperature : of the glowing part [C]
    """

    name: str
    frame: Frame
    length: float
    width: float
    radiant_power_w: float
    pattern: Pattern
    element_temperature: float

    @classmethod
    def of(cls, mount: Mount, voltage: float | None = None) -> Emitter:
        """The emitter of a hung heater: radiant power = input x output x radiant fraction.

        Parameters
        ----------
        mount : the heater, hung
        voltage : of the supply [V]; None for the type's own
        """
        heater = mount.type
        return cls(
            name=mount.name,
            frame=mount.frame,
            length=heater.aperture_length,
            width=heater.aperture_width,
            radiant_power_w=heater.input_at(voltage)
            * mount.heater.output
            * heater.radiant_fraction,
            pattern=heater.pattern,
            element_temperature=heater.element_temperature,
        )

    @property
    def peak_w_sr(self) -> float:
        """Intensity in the direction in which it is highest [W/sr]."""
        return self.radiant_power_w / solid_angle(self.pattern)

    def samples(self, count: int) -> Floats:
        """(count, 3) points spread evenly over the aperture, `SKIN` before it [m], read-only."""
        plan = (hammersley(count) - 0.5) * [self.length, self.width]
        return locked(self.frame.to_world(np.column_stack([plan, np.full(count, -SKIN)])))

    def intensity(self, directions: Floats) -> Floats:
        """Radiant intensity of the whole aperture [W/sr].

        Parameters
        ----------
        directions : (..., 3) away from it, in the world, of any length
        """
        local = np.asarray(directions, dtype=np.float64) @ self.frame.axes.T
        return np.asarray(self.peak_w_sr * relative_intensity(self.pattern, local))

    def share(self, points: Floats) -> Floats:
        """Intensity toward places (..., 3) as a share (...) of the peak.

        It is that of the aperture point in whose beam the place lies deepest: where the intensity
        falls with either offset from the axis, the one nearest in plan.
        """
        near = relative_intensity(self.pattern, self.nearest(points))
        if self.pattern.kind != "table":
            return near
        local = self.frame.to_local(points)
        for x in np.linspace(-0.5, 0.5, ACROSS) * self.length:
            for y in np.linspace(-0.5, 0.5, ACROSS) * self.width:
                near = np.maximum(near, relative_intensity(self.pattern, local - [x, y, 0.0]))
        return near

    def nearest(self, points: Floats) -> Floats:
        """From the nearest aperture point to each place, in the heater's frame.

        Parameters
        ----------
        points : (..., 3) in the world [m]

        Returns
        -------
        (..., 3) [m]
        """
        local = self.frame.to_local(points)
        half = np.array([self.length, self.width]) / 2
        way = local.copy()
        way[..., :2] = local[..., :2] - np.clip(local[..., :2], -half, half)
        return way

    def distance(self, points: Floats) -> Floats:
        """Distance (...) from the aperture to places (..., 3) [m]."""
        return np.asarray(np.linalg.norm(self.nearest(points), axis=-1))

    def reach(self, irradiance_w_m2: float) -> float:
        """Distance on the axis at which the irradiance has fallen to a value [m].

        Of a surface square to the axis, nothing in the way. 0 where it is nowhere that high.

        Raises
        ------
        InputError
            If the value is not above 0.
        """
        if not irradiance_w_m2 > 0.0:
            raise InputError(
                "irradiance",
                f"{irradiance_w_m2:g} W/m2 bounds no reach",
                "give a value above 0 W/m2",
            )
        if self.radiant_power_w <= 0.0:
            return 0.0
        # No place at that distance or beyond it, whatever the pattern, gets more than this.
        far = sqrt(self.peak_w_sr / irradiance_w_m2) + hypot(self.length, self.width)
        distances = np.concatenate([[0.0], far * np.geomspace(1e-4, 1.0, 400)])
        above = np.flatnonzero(self._on_axis(distances[1:]) >= irradiance_w_m2)
        if not len(above):
            return 0.0
        low, high = distances[above[-1] + 1], distances[min(above[-1] + 2, len(distances) - 1)]
        for _ in range(40):
            middle = (low + high) / 2
            if self._on_axis(np.array([middle]))[0] >= irradiance_w_m2:
                low = middle
            else:
                high = middle
        return float((low + high) / 2)

    def _on_axis(self, distances: Floats) -> Floats:
        points = np.column_stack([np.zeros((len(distances), 2)), -distances])
        normals = np.broadcast_to([0.0, 0.0, 1.0], points.shape)
        per_peak = unobstructed(self.pattern, self.length, self.width, points, normals)
        return self.peak_w_sr * per_peak
