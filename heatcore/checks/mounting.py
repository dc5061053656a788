"""What the mounting found, as findings."""

from __future__ import annotations

from heatcore.checks.finding import Finding, Verdict
from heatcore.mounting.mount import Fault, Mount

UNITS = {"hinge": "rad", "tilt": "rad", "load": "kg"}


def mountings(mount: Mount) -> list[Finding]:
    """Turn each fault of a mount into a finding; a good mount says how much arm it spares.

    Wherever the bracket's rating is given, the heater's mass is held against it.
    """
    faults = [_fault(mount, fault) for fault in mount.faults]
    spare = [_spare(mount)] if mount.holds and mount.arms else []
    overloaded = any(fault.code == "load" for fault in mount.faults)
    return [*faults, *spare, *([] if overloaded else _carried(mount))]


def _carried(mount: Mount) -> list[Finding]:
    """The heater's mass against what its bracket is rated for, where that is stated."""
    rating = mount.bracket.load
    if rating is None:
        return []
    first = mount.arms[0] if mount.arms else None
    return [
        Finding(
            code="mount.load",
            verdict=Verdict.HOLDS if mount.type.mass <= rating else Verdict.FAILS,
            heater=mount.name,
            object=first.surface if first else "",
            measured=mount.type.mass,
            required=rating,
            unit=UNITS["load"],
            point=first.foot if first else mount.frame.origin,
            heater_point=first.pivot if first else mount.frame.origin,
            note="" if mount.type.mass <= rating else f"{mount.bracket.label} is rated for less",
            at_most=True,
        )
    ]


def _spare(mount: Mount) -> Finding:
    arm = min(mount.arms, key=lambda arm: arm.length)
    return Finding(
        code="mount.arm",
        verdict=Verdict.HOLDS,
        heater=mount.name,
        object=arm.surface,
        measured=arm.length,
        required=arm.length - mount.spare,
        unit="m",
        point=arm.foot,
        heater_point=arm.pivot,
    )


def _fault(mount: Mount, fault: Fault) -> Finding:
    arm = next((arm for arm in mount.arms if arm.surface == fault.object), None)
    return Finding(
        code=f"mount.{fault.code}",
        verdict=Verdict.FAILS,
        heater=mount.name,
        object=fault.object,
        measured=fault.measured,
        required=fault.required,
        unit=UNITS.get(fault.code, "m"),
        point=arm.foot if arm else mount.frame.origin,
        heater_point=arm.pivot if arm else mount.frame.origin,
        note=fault.message,
        # A fault always falls short of its figure, whichever side of it is the wrong one.
        at_most=fault.measured > fault.required,
    )
