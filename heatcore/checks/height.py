"""Mounting height: neither within reach nor too high to warm anybody."""

from __future__ import annotations

import numpy as np

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.limit import Limit
from heatcore.geometry.distance import NOISE
from heatcore.geometry.parts import Kind, Model
from heatcore.mounting.mount import Mount

HIGH_LEVEL = Limit(
    1.8,
    "a high-level heater's lowest part is at least 1.8 m above the floor: IEC 60335-2-30, 7.12.1, "
    "from memory, not checked against the printed standard",
)


def heights(mount: Mount, model: Model) -> list[Finding]:
    """Hold the height of a heater's lowest part above the floor against its type's range.

    Where the type allows a lower place than high-level heaters in general, the general limit goes.
    """
    lowest = float(mount.body[:, 2].min())
    heater_point = mount.body[mount.body[:, 2] <= lowest + NOISE].mean(axis=0)
    point = heater_point * np.array([1.0, 1.0, 0.0])
    least = max(mount.type.least_height, HIGH_LEVEL.value)
    general = mount.type.least_height < HIGH_LEVEL.value
    floor = next((part.name for part in model.of(Kind.FLOOR)), "")

    def finding(code: str, required: float, *, at_most: bool, source: str = "") -> Finding:
        margin = required - lowest if at_most else lowest - required
        return Finding(
            code=code,
            verdict=Verdict.HOLDS if margin >= -NOISE else Verdict.FAILS,
            heater=mount.name,
            object=floor,
            measured=lowest,
            required=required,
            unit="m",
            point=point,
            heater_point=heater_point,
            source=source,
            at_most=at_most,
        )

    return [
        finding("height.least", least, at_most=False, source=HIGH_LEVEL.source if general else ""),
        finding("height.most", mount.type.most_height, at_most=True),
    ]
