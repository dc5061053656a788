"""What radiates: a rectangle with a power and a pattern, somewhere in the world."""

from __future__ import annotations

from dataclasses import dataclass

from heatcore.geometry.frames import Frame
from heatcore.mounting.mount import Mount
from heatcore.scene.types import Pattern


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
    def of(cls, mount: Mount) -> Emitter:
        """The emitter of a hung heater: radiant power = rated input x output x radiant fraction."""
        heater = mount.type
        return cls(
            name=mount.name,
            frame=mount.frame,
            length=heater.aperture_length,
            width=heater.aperture_width,
            radiant_power_w=heater.input_power * mount.heater.output * heater.radiant_fraction,
            pattern=heater.pattern,
            element_temperature=heater.element_temperature,
        )
