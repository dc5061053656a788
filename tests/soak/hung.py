"""A mount that holds really does: feet on their surface, arms out of stock, the body as asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import cos, hypot, tan

import numpy as np

from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.mounting.mount import Arm, Mount
from tests.soak.overlap import near, to_triangles

EXACT = 1e-6  # m
ROUNDED = 0.002  # m; a height may give way by so much as a sheet rounds it
MASONRY = ("stone", "granite", "concrete", "brick")


def mount_faults(model: Model, mounts: Sequence[Mount], findings: Iterable[Finding]) -> list[str]:
    """What is wrong with mounts that hold, and with the heights that hold, one sentence each."""
    said = list(findings)
    faults: list[str] = []
    stood_on = max((p.mesh.bounds[1][2] for p in model.of(Kind.PLATFORM)), default=0.0)
    for mount in mounts:
        own = [f for f in said if f.heater == mount.name]
        wrong = [*_heights(mount, own, float(stood_on))]
        if mount.faults and not any(
            f.code.startswith("mount.") and f.verdict is Verdict.FAILS for f in own
        ):
            wrong.append("its mount has faults, and no finding fails")
        if mount.holds:
            wrong += _body(mount)
            wrong += _arms(mount, model)
        faults += [f"WRONG HOLDS: {mount.name} on {mount.bracket.name!r}: {said}" for said in wrong]
    return faults


def _heights(mount: Mount, findings: Sequence[Finding], stood_on: float) -> Iterator[str]:
    lowest = float(mount.body[:, 2].min())
    fails = [f.code for f in findings if f.verdict is Verdict.FAILS]
    if lowest < mount.type.least_height - EXACT and "height.least" not in fails:
        yield f"hangs at {lowest:.4f} m, below {mount.type.least_height} m, and no height fails"
    # Over a platform it may hang as much higher.
    if lowest - stood_on > mount.type.most_height + EXACT and "height.most" not in fails:
        yield f"hangs at {lowest:.4f} m, over {mount.type.most_height} m, and no height fails"


def _body(mount: Mount) -> Iterator[str]:
    heater, frame, kind = mount.heater, mount.frame, mount.type
    x, y, z = frame.axes
    if np.abs(frame.axes @ frame.axes.T - np.eye(3)).max() > 1e-9 or np.cross(x, y) @ z < 0.0:
        yield "its frame is no rotation"
    if heater.attitude == "level":
        if abs(x[2]) > EXACT:
            yield f"its body is not level: its length rises by {x[2]:.7f}"
        lean = float(np.arctan2(y[2], z[2]))
        if heater.tilt is not None and abs(_turn(lean - heater.tilt)) > EXACT:
            yield f"it leans by {lean:.6f} rad, and {heater.tilt:.6f} rad are asked for"
        if heater.tilt is None and heater.aim_at is None and abs(lean) > EXACT:
            yield f"it leans by {lean:.6f} rad, and is to be level"
    if not isinstance(heater.aim_at, str | None):
        to = np.asarray(heater.aim_at) - frame.origin
        if abs(float(to @ y)) > 1e-5 * (1.0 + float(np.linalg.norm(to))) or float(to @ z) > 0.0:
            yield f"its axis misses what it is aimed at by {float(to @ y):.6f} m"
    if heater.height is not None and abs(frame.origin[2] - heater.height) > ROUNDED:
        yield f"it hangs at {frame.origin[2]:.6f} m, and {heater.height:.6f} m are asked for"
    if heater.at is not None and heater.mount in ("ceiling", "stem"):
        off = float(np.hypot(*(frame.origin[:2] - heater.at)))
        if off > EXACT:
            yield f"it hangs {off:.6f} m beside its place"
    bracket = mount.bracket
    # The type works so far from level; the bracket turns it so far from how it lay.
    left = np.array([-x[1], x[0], 0.0]) / hypot(x[0], x[1])
    ranges = (
        ("its lean", -float(np.arctan2(z @ left, z[2])), kind.tilt_from, kind.tilt_to),
        ("its tilt", mount.tilt, bracket.tilt_from, bracket.tilt_to),
    )
    for what, turned, low, high in ranges:
        if not low - 1e-6 <= turned <= high + 1e-6:
            yield f"{what} of {turned:.5f} rad is outside {low:.5f} to {high:.5f} rad"
    spacing = float(np.linalg.norm(mount.arms[1].pivot - mount.arms[0].pivot))
    asked = kind.spacing if heater.spacing is None else heater.spacing
    if abs(spacing - asked) > EXACT:
        yield f"its pivots are {spacing:.6f} m apart, and {asked:.6f} m are asked for"
    if not kind.least_spacing - EXACT <= spacing <= kind.most_spacing + EXACT:
        yield f"its pivots are {spacing:.4f} m apart, outside its type's range"
    for arm, sign in zip(mount.arms, (-1.0, 1.0), strict=True):
        lift = kind.height + kind.pivot_height
        pivot = frame.origin + np.array([sign * spacing / 2, 0.0, lift]) @ frame.axes
        if np.abs(pivot - arm.pivot).max() > EXACT:
            yield "a pivot is not where the body has it"
    if bracket.load is not None and kind.mass > bracket.load:
        yield f"its {kind.mass} kg hang on a bracket for {bracket.load} kg"


def _turn(angle: float) -> float:
    return float((angle + np.pi) % (2.0 * np.pi) - np.pi)


def _arms(mount: Mount, model: Model) -> Iterator[str]:
    bracket = mount.bracket
    if not bracket.unequal:
        made = [sorted(arm.extensions) for arm in mount.arms]
        if made[0] != made[1]:
            yield "its arms are made up unequally, which the bracket does not allow"
    for arm in mount.arms:
        yield from _stock(mount, arm)
        part = model.by_name.get(arm.surface)
        if part is None:
            yield f"its foot stands on {arm.surface!r}, which is no part"
            continue
        yield from _foot(mount, arm, part)


def _stock(mount: Mount, arm: Arm) -> Iterator[str]:
    bracket = mount.bracket
    if any(e not in bracket.extensions for e in arm.extensions):
        yield f"extensions {arm.extensions} that nobody stocks"
    if len(arm.extensions) > bracket.stack:
        yield f"{len(arm.extensions)} extensions on one arm, and {bracket.stack} fit"
    if not -EXACT <= arm.fine <= bracket.fine + EXACT:
        yield f"a fine adjustment of {arm.fine:.6f} m of {bracket.fine} m"
    built = bracket.arm + sum(arm.extensions) + arm.fine
    reached = float(np.linalg.norm(arm.foot - arm.pivot))
    if abs(built - arm.length) > EXACT or abs(reached - arm.length) > EXACT:
        yield f"an arm of {built:.6f} m spans {reached:.6f} m and is told to be {arm.length:.6f} m"


def _foot(mount: Mount, arm: Arm, part: Part) -> Iterator[str]:
    triangles = part.mesh.vertices[part.mesh.triangles]
    room = np.full(3, 0.4)
    about = near(triangles, arm.foot - room, arm.foot + room)
    if not len(about):
        yield f"its foot stands far from {part.name!r}"
        return
    off, *corners = to_triangles(np.vstack([arm.foot, arm.plate]), about)
    if off > EXACT:
        yield f"its foot stands {off:.7f} m off {part.name!r}"
    # On a bent surface a plate's corners come off it by as much as a turn of one degree makes.
    size = hypot(mount.bracket.plate_length, mount.bracket.plate_width)
    if max(corners) > 0.002 + 0.02 * size:
        yield f"a corner of its plate lies {max(corners):.5f} m off {part.name!r}"
    bracket = mount.bracket
    if abs(arm.lean_along) > bracket.hinge_along + 1e-6:
        yield f"its hinge leans {arm.lean_along:.5f} rad along of {bracket.hinge_along:.5f}"
    if abs(arm.lean_across) > bracket.hinge_across + 1e-6:
        yield f"its hinge leans {arm.lean_across:.5f} rad across of {bracket.hinge_across:.5f}"
    if mount.heater.mount != "wall" and mount.heater.attitude == "level":
        rise = hypot(tan(arm.lean_along), tan(arm.lean_across))
        if abs(arm.normal[2] - 1.0 / hypot(1.0, rise)) > 1e-6:
            yield f"its plate's leans do not go with the slope, {arm.normal[2]:.6f}"
    if bracket.style == "plumb" and mount.heater.mount != "wall" and arm.direction[2] < cos(1e-6):
        yield "its plumb arm is not plumb"
    if bracket.style == "square" and abs(arm.direction @ arm.normal) < cos(1e-5):
        yield "its square arm is not square to its plate"
    sound = part.kind in (Kind.BEAM, Kind.RAFTER) or part.material.casefold() in MASONRY
    if bracket.structure_only and not sound:
        yield f"it must be screwed to structure, and stands on {part.name!r}"
