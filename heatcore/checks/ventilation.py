"""Gas heaters without a flue: how much of the place about them stays open for good."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Sequence
from dataclasses import replace
from math import inf

import numpy as np
import shapely

from heatcore.checks.finding import Deciding, Doubt, Finding, Verdict
from heatcore.checks.limit import Limit
from heatcore.checks.unknown import SIDES_QUESTION
from heatcore.geometry.openness import Closed, Side, closed_stretches, open_share, sides_of
from heatcore.geometry.parts import Kind, Model, Part
from heatcore.geometry.plan_gaps import plan_of
from heatcore.geometry.reading import NOISE
from heatcore.mounting.mount import Mount
from heatcore.scene.heights import roof_outline
from heatcore.scene.kinds import Outline
from heatcore.scene.model import Scene
from heatcore.scene.space import Screen, Solid, Wall

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

    Whatever can be closed counts as closed, within a metre of the floor's edge or of the edge of a
    roof over the heater, and up to the roof; the edge that is closed most counts. An open share
    that the site states counts where it is the smaller. Under the open sky nothing is asked for;
    slats count as a roof.

    Returns
    -------
    list of Finding
        'ventilation.open_sides' in percent of the perimeter. What holds as drawn, but not with
        every wall and screen longer by its tolerance at both ends, is to be measured on site. As
        long as nobody confirmed that the sides stay as open as they are, that is to be asked.
    """
    return [
        _finding(mount, scene, model)
        for mount in mounts
        if mount.type.fuel == "gas" and not mount.type.vented
    ]


def _finding(mount: Mount, scene: Scene, model: Model) -> Finding:
    over = {part.owner for part in _roofs(scene, model) if _over(mount, part)}
    sides = (*sides_of(scene.wall, scene.screen), *_solid_walls(scene, model))
    outline, drawn = min(
        ((edge, open_share(edge, sides, BESIDE, inf)) for edge in _edges(scene, over)),
        key=lambda pair: pair[1],
    )
    longer = [_longer(side, _off(side.name, scene)) for side in sides]
    worst = min(open_share(edge, longer, BESIDE, inf) for edge in _edges(scene, over))
    stated = scene.site.open_share
    if stated is not None:
        drawn, worst = min(stated, drawn), min(stated, worst)
    required = OPEN_SIDES.value if over else 0.0
    margin, at_worst = 100.0 * drawn - required, 100.0 * worst - required
    most = _closes_most(list(closed_stretches(outline, sides, BESIDE, inf)))
    level = float(mount.frame.origin[2])
    holds = margin >= -NOISE
    asked = holds and bool(over) and "sides" not in scene.site.confirmed
    doubtful = holds and at_worst < -NOISE
    return Finding(
        code="ventilation.open_sides",
        verdict=Verdict.MEASURE if asked or doubtful else _held(holds),
        heater=mount.name,
        object=most.name if most else "",
        measured=100.0 * drawn,
        required=required,
        unit="%",
        point=np.array([*most.middle, level]) if most else mount.frame.origin,
        heater_point=mount.frame.origin,
        combustible=False,
        note=f"{CLOSABLE}; {FUMES}" if over else UNROOFED,
        source=OPEN_SIDES.source,
        question=SIDES_QUESTION if asked else "",
        doubt=_doubt(most, scene, at_worst, margin) if doubtful and most else None,
    )


def _held(holds: bool) -> Verdict:
    return Verdict.HOLDS if holds else Verdict.FAILS


def _edges(scene: Scene, over: Container[str]) -> Iterator[Outline]:
    """The floor's edge, and those of the roofs over a heater."""
    yield scene.floor.outline
    for roof in scene.roof:
        if roof.name in over:
            plan = roof_outline(roof, scene.floor).buffer(roof.overhang, join_style="mitre")
            yield tuple((float(x), float(y)) for x, y in plan.exterior.coords[:-1])


def _off(name: str, scene: Scene) -> float:
    """How far an end of a wall or a screen may be off along it, and the edge beside it [m]."""
    site = scene.site.tolerance
    things: tuple[Wall | Screen | Solid, ...] = (*scene.wall, *scene.screen, *scene.solid)
    for thing in things:
        if thing.name == name:
            own = site if thing.tolerance is None else thing.tolerance
            return site + (0.0 if {"from", "to"} <= {*thing.measured} else own)
    return 2.0 * site


def _longer(side: Side, by: float) -> Side:
    start, end = np.array(side.from_), np.array(side.to)
    step = by * (end - start) / np.hypot(*(end - start))
    (x0, y0), (x1, y1) = (start - step).tolist(), (end + step).tolist()
    return replace(side, from_=(x0, y0), to=(x1, y1))


def _doubt(most: Closed, scene: Scene, at_worst: float, margin: float) -> Doubt:
    """What is left with everything longer, by the one that closes most."""
    longest = Deciding(
        path=f'wall "{most.name}".to',
        words=f"how much of the edge {most.name} closes",
        drawn=most.length,
        worst=most.length + 2.0 * _off(most.name, scene),
        unit="m",
        effect=margin - at_worst,
    )
    return Doubt(at_worst, (longest,))


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
