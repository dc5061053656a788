"""Fans that no drawing shows: one of usual size is taken to hang where a fan usually hangs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import cos, pi

import numpy as np
from shapely import MultiPoint, Point, Polygon

from heatcore.checks.clearance import clearances
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.keepouts import keep_outs
from heatcore.checks.limit import Limit
from heatcore.checks.unknown import FAN_QUESTION
from heatcore.geometry.fitting_site import ring
from heatcore.geometry.overhead import ceiling_height
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.geometry.solids import part_of, prism
from heatcore.geometry.sweeps import circle_sides
from heatcore.mounting.mount import Mount
from heatcore.scene.heights import roof_outline
from heatcore.scene.model import Scene
from heatcore.scene.space import Fitting
from heatcore.units import format_length

FAN = Limit(52 * 0.0254, "a ceiling fan is 52 in across, in the middle: common practice, no source")
LOWEST = Limit(7 * 0.3048, "blades 7 ft above the floor: the usual instructions, second-hand")

_THIN = 0.05  # m; the least height of the room that its blades may take


@dataclass(frozen=True, eq=False)
class Roofed:
    """A roof, or a ceiling out of a mesh file, and who hangs under it.

    Attributes
    ----------
    name : its name
    plan : where it lies
    parts : its solids
    mounts : the heaters under it
    """

    name: str
    plan: Polygon
    parts: tuple[Part, ...]
    mounts: tuple[Mount, ...] = ()


def roofed(scene: Scene, model: Model, mounts: Sequence[Mount]) -> Iterator[Roofed]:
    """Yield each roof, with the heaters under it."""
    for roof in _roofs(scene, model):
        over = roof.plan.buffer(1e-9)
        under = (m for m in mounts if over.intersects(Point(m.frame.origin[:2])))
        yield replace(roof, mounts=tuple(under))


def _roofs(scene: Scene, model: Model) -> Iterator[Roofed]:
    for roof in scene.roof:
        parts = model.owned_by(roof.name)
        if parts:
            plan = roof_outline(roof, scene.floor).buffer(roof.overhang, join_style="mitre")
            yield Roofed(roof.name, plan, parts)
    for solid in scene.solid:
        parts = model.owned_by(solid.name)
        if parts and solid.role == "ceiling":
            corners = np.concatenate([part.mesh.vertices[:, :2] for part in parts])
            yield Roofed(solid.name, MultiPoint(corners).convex_hull, parts)


def cautious_parts(scene: Scene, model: Model) -> tuple[Part, ...]:
    """Return the room that the blades of an undrawn fan may take under each roof.

    A fan of usual size in the roof's middle, at any height from that of the usual instructions up
    to the ceiling: a swept cylinder round its circle, at most 0.5 mm beyond it. Where the scene has
    a fan, or the client confirmed that there are none but those drawn, there is none.
    """
    if "fans" in scene.site.confirmed or any(f.kind == "fan" for f in scene.fitting):
        return ()
    return tuple(_blades(roof) for roof in _roofs(scene, model))


def _blades(roof: Roofed) -> Part:
    middle = roof.plan.centroid
    if not roof.plan.contains(middle):
        middle = roof.plan.representative_point()
    at = (middle.x, middle.y)
    radius = FAN.value / 2
    sides = circle_sides(radius)
    circle = np.array(at) + radius / cos(pi / sides) * ring(sides)
    heights = ceiling_height(roof.parts, np.vstack([at, circle]))
    covered = heights[np.isfinite(heights)]
    # Over the gaps between slats there is nothing.
    ceiling = min(part.mesh.bounds[0, 2] for part in roof.parts)
    top = float(covered.min()) if len(covered) else float(ceiling)
    bottom = max(min(LOWEST.value, top - _THIN), 0.0)
    fan = Fitting(
        name=f"possible fan under {roof.name}",
        kind="fan",
        at=at,
        height=bottom,
        size=(FAN.value, FAN.value, top - bottom),
        material="timber",
    )
    return part_of(prism(Polygon(circle), bottom, top), fan, Kind.FITTING, swept=True)


def unknown_findings(scene: Scene, model: Model, mounts: Sequence[Mount]) -> list[Finding]:
    """Hold every heater against the fans that nobody drew.

    Returns
    -------
    list of Finding
        ``unknown.fan`` for each heater and each such fan that stands within the heater's clearances
        or within the fans' keep-out, by what falls short most. It never fails, for nothing is
        drawn there: it must be asked.
    """
    parts = cautious_parts(scene, model)
    if not parts:
        return []
    fans = tuple(Fitting(name=part.owner, kind="fan", at=(0.0, 0.0), height=0.0) for part in parts)
    undrawn = Model(parts, (), model.floor_outline)
    kept = {name: k for name, k in scene.keep_outs.items() if k.from_ == "fan"}
    with_fans = replace(scene, fitting=fans, keep_outs=kept)
    findings = []
    for mount in mounts:
        found = [*clearances(mount, undrawn, ()), *keep_outs(mount, with_fans, undrawn)]
        worst: dict[str, Finding] = {}
        for finding in sorted(found, key=lambda f: f.margin):
            if finding.verdict is Verdict.FAILS:
                worst.setdefault(finding.object, finding)
        findings += [_to_ask(finding, scene) for finding in worst.values()]
    return findings


def _to_ask(finding: Finding, scene: Scene) -> Finding:
    across = format_length(FAN.value, scene.site.units)
    broken = (
        "the heater's clearance" if finding.code.startswith("clearance.") else "a fan's keep-out"
    )
    note = (
        f"no fan is drawn; one of usual size, {across} across, in the middle of the roof would "
        f"come within {broken}"
    )
    return replace(
        finding,
        code="unknown.fan",
        verdict=Verdict.MEASURE,
        note=note,
        source="; ".join(filter(None, (finding.source, FAN.source))),
        question=FAN_QUESTION,
    )
