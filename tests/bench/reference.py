"""The converged map that every method's error is measured against, and the errors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.heat.radiation.irradiance import Quality, irradiances
from tests.bench.patio import Patio

UP = np.array([0.0, 0.0, 1.0])
# Every point looks at 256 places of each aperture, and at 4096 where it sees some of them only.
CONVERGED = Quality(256, 4096)


@dataclass(frozen=True)
class Error:
    """Of a map, as shares of the reference's highest value."""

    rms: float
    p95: float
    most: float

    @classmethod
    def of(cls, found: Floats, reference: Floats, highest: float | None = None) -> Error:
        off = np.abs(found - reference) / (reference.max() if highest is None else highest)
        return cls(float(np.sqrt(np.mean(off**2))), float(np.percentile(off, 95)), float(off.max()))

    def __str__(self) -> str:
        return f"RMS {self.rms:.2%}, 95th percentile {self.p95:.2%}, worst {self.most:.2%}"


def converged(patio: Patio) -> dict[str, Floats]:
    """Irradiance by each heater at the patio's points, no neighbour believed."""
    return irradiances(patio.emitters, patio.points, UP, patio.obstacles(), CONVERGED)
