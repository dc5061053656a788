"""Mounting height: neither within reach nor too high to warm anybody."""

from __future__ import annotations

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.limit import Limit
from heatcore.checks.standing import LEANS, Ground, off_the_floor, stood_on, wholly_over
from heatcore.geometry.distance import NOISE
from heatcore.geometry.parts import Model
from heatcore.geometry.plan_gaps import plan_of
from heatcore.mounting.mount import Mount

HIGH_LEVEL = Limit(
    1.8,
    "a high-level heater's lowest part is at least 1.8 m above the floor: IEC 60335-2-30, 7.12.1, "
    "from memory, not checked against the printed standard",
)
OFF_THE_FLOOR = (
    "it hangs beyond the floor's edge, where the ground counts as level with the floor: check it"
)


def heights(mount: Mount, model: Model) -> list[Finding]:
    """Hold the height of a heater's lowest part above the ground against its type's range.

    At least, it counts from the highest that anybody stands on under the body or within `LEANS` of
    it: the floor, or a platform. At most, from the lowest under it: the floor, unless platforms lie
    under all of the body. Where the type allows a lower place than high-level heaters in general,
    the general limit goes.
    """
    lowest = float(mount.body[:, 2].min())
    heater_point = mount.body[mount.body[:, 2] <= lowest + NOISE].mean(axis=0)
    plan = plan_of(mount.body)
    least = least_height(mount)
    general = mount.type.least_height < HIGH_LEVEL.value
    beyond = OFF_THE_FLOOR if off_the_floor(model, plan) else ""

    def finding(
        code: str, ground: Ground, required: float, *, at_most: bool, source: str = ""
    ) -> Finding:
        height = lowest - ground.height
        margin = required - height if at_most else height - required
        return Finding(
            code=code,
            verdict=Verdict.HOLDS if margin >= -NOISE else Verdict.FAILS,
            heater=mount.name,
            object=ground.name,
            measured=height,
            required=required,
            unit="m",
            point=ground.under(heater_point),
            heater_point=heater_point,
            note=beyond if ground.plan is None else "people stand on it",
            source=source,
            at_most=at_most,
        )

    highest = stood_on(model, plan, LEANS)[0]
    source = HIGH_LEVEL.source if general else ""
    return [
        finding("height.least", highest, least, at_most=False, source=source),
        finding("height.most", wholly_over(model, plan), mount.type.most_height, at_most=True),
    ]


def least_height(mount: Mount) -> float:
    """The least height of a heater's lowest part above what people stand on [m]."""
    return max(mount.type.least_height, HIGH_LEVEL.value)
