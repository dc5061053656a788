"""Gas heaters without a flue: how much of the place about them stays open for good."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.limit import Limit
from heatcore.checks.unknown import SIDES_QUESTION
from heatcore.geometry.openness import Closed, Side, closed_stretches, open_share, sides_of
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.geometry.plan_gaps import plan_of
from heatcore.geometry.reading import NOISE
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene

OPEN_SIDES = Limit(
    30.0,
    "under a roof with walls, 30 percent or more of the horizontal periphery is permanently open: "
    "what makes a place outdoors in ANSI Z83.26 and its kin, from memory, not checked against the "
    "printed standard; the maker's instructions, the gas code and a licensed fitter decide",
)
BESIDE = 1.0  # m from the floor's edge; what stands so near closes it, to be on the safe side
UNROOFED = "no roof over it"
FUMES = "its fumes rise and gather under the roof: they need a way out high up"
CLOSABLE = "doors, windows, screens and curtains count as closed"


def ventilation(mounts: Sequence[Mount], scene: Scene, model: Model) -> list[Finding]:
    """Hold each gas heater without a flue against how open the sides about it stay.

    Whatever can be closed counts as closed, along the floor's edge or within a metre of it. An open
    share that the site states counts where it is the smaller. Under the open sky nothing is asked
    for; slats count as a roof.

    Returns
    -------
    list of Finding
        'ventilation.open_sides' in percent of the perimeter. As long as nobody confirmed that the
        sides stay as open as they are, what would hold is to be asked for.
    """
    return [
        _finding(mount, scene, model)
        for mount in mounts
        if mount.type.fuel == "gas" and not mount.type.vented
    ]


def _finding(mount: Mount, scene: Scene, model: Model) -> Finding:
    sides = (*sides_of(scene.wall, scene.screen), *_solid_walls(scene, model))
    drawn = open_share(scene.floor.outline, sides, BESIDE)
    stated = scene.site.open_share
    share = 100.0 * (drawn if stated is None else min(stated, drawn))
    roofed = any(_over(mount, part) for part in _roofs(scene, model))
    required = OPEN_SIDES.value if roofed else 0.0
    holds = share >= required - NOISE
    asked = holds and roofed and "sides" not in scene.site.confirmed
    most = _closes_most(list(closed_stretches(scene.floor.outline, sides, BESIDE)))
    level = float(mount.frame.origin[2])
    fails_or_holds = Verdict.HOLDS if holds else Verdict.FAILS
    return Finding(
        code="ventilation.open_sides",
        verdict=Verdict.MEASURE if asked else fails_or_holds,
        heater=mount.name,
        object=most.name if most else "",
        measured=share,
        required=required,
        unit="%",
        point=np.array([*most.middle, level]) if most else mount.frame.origin,
        heater_point=mount.frame.origin,
        combustible=False,
        note=f"{CLOSABLE}; {FUMES}" if roofed else UNROOFED,
        source=OPEN_SIDES.source,
        question=SIDES_QUESTION if asked else "",
    )


def _closes_most(stretches: Sequence[Closed]) -> Closed | None:
    """The longest stretch of what closes most of the perimeter; None where nothing does."""
    lengths: defaultdict[str, float] = defaultdict(float)
    for stretch in stretches:
        lengths[stretch.name] += stretch.share * stretch.length
    if not lengths:
        return None
    name = max(lengths, key=lengths.__getitem__)
    return max((s for s in stretches if s.name == name), key=lambda s: s.length)


def _solid_walls(scene: Scene, model: Model) -> Iterator[Side]:
    """Walls out of mesh files, each as the longer way through the smallest rectangle round it."""
    walls = {solid.name for solid in scene.solid if solid.role == "wall"}
    for part in model.parts:
        if part.owner in walls:
            frame = shapely.minimum_rotated_rectangle(shapely.MultiPoint(part.mesh.vertices[:, :2]))
            a, b, c, d = shapely.get_coordinates(frame)[:4]
            if np.hypot(*(b - a)) < np.hypot(*(c - b)):
                a, b, c, d = b, c, d, a
            start, end = (a + d) / 2, (b + c) / 2
            yield Side(
                part.owner,
                (float(start[0]), float(start[1])),
                (float(end[0]), float(end[1])),
                float(part.mesh.bounds[0, 2]),
                float(part.mesh.bounds[1, 2]),
            )


def _roofs(scene: Scene, model: Model) -> Iterator[Part]:
    ceilings = {solid.name for solid in scene.solid if solid.role == "ceiling"}
    return (p for p in model.parts if p.kind is Kind.ROOF or p.owner in ceilings)


def _over(mount: Mount, part: Part) -> bool:
    """Whether a roof, its gaps filled, lies over any part of a heater."""
    if part.mesh.bounds[1, 2] <= mount.body[:, 2].min():
        return False
    hull = shapely.MultiPoint(part.mesh.vertices[:, :2]).convex_hull
    return bool(shapely.intersection(hull, plan_of(mount.body)).area > NOISE)
