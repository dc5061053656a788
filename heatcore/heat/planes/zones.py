"""Zones: where they lie, and what each receives."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, sin

import numpy as np

from heatcore.errors import InputError, Mistake
from heatcore.geometry.frames import Floats, locked
from heatcore.geometry.parts import Kind, Model
from heatcore.geometry.rays import Obstacles
from heatcore.heat.planes.making import plane_map
from heatcore.heat.planes.maps import ZoneHeat, extremes, warmed_share
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import FINAL, Quality
from heatcore.scene.model import Furniture, Scene, Zone
from heatcore.scene.plan import polygon_of, where

STEP = 0.05  # m; a zone is small, and its coldest corner counts
OVER = 0.05  # m over a piece of furniture, so that it does not shade its own zone


def zone_outline(zone: Zone, scene: Scene, model: Model) -> Floats:
    """Corners of a zone in plan, (n, 2), counter-clockwise [m].

    Around a piece of furniture it is the rectangle that the piece fills in plan, turned with it and
    grown by the margin on every side; a table's chairs stand in that margin and do not widen it. It
    may reach beyond the floor.

    Raises
    ------
    InputError
        If its outline is no simple polygon, or there is no such furniture.
    """
    if zone.outline is not None:
        polygon = polygon_of(zone.outline, where(zone, "outline"))
        return locked(polygon.exterior.coords)[:-1]
    piece = _piece(zone, scene)
    c, s = cos(piece.facing), sin(piece.facing)
    turn = np.array([(c, s), (-s, c)])  # rows: the piece's length and left, in the world
    own = _own_vertices(piece, model)[:, :2] @ turn.T
    (x0, y0), (x1, y1) = own.min(axis=0) - zone.margin, own.max(axis=0) + zone.margin
    return locked(np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]) @ turn)


def zone_level(zone: Zone, scene: Scene, model: Model) -> float:
    """Height of the plane on which a zone is judged [m].

    Raises
    ------
    InputError
        If it lies about furniture that is not there.
    """
    if zone.level is not None:
        return zone.level
    if zone.around is None:
        return 0.0
    return float(_own_vertices(_piece(zone, scene), model)[:, 2].max()) + OVER


def zone_heats(
    scene: Scene,
    model: Model,
    emitters: Sequence[Emitter],
    obstacles: Obstacles,
    quality: Quality = FINAL,
) -> tuple[ZoneHeat, ...]:
    """What each of a scene's zones receives on its own plane, in the scene's order.

    The spread is the uniformity of lighting practice, lowest over mean (U0 of EN 12464-1, from
    memory).

    Raises
    ------
    InputError
        If a zone has no place; with every such zone.
    """
    outlines: list[Floats] = []
    mistakes: list[Mistake] = []
    for zone in scene.zone:
        try:
            outlines.append(zone_outline(zone, scene, model))
        except InputError as error:
            mistakes += error.mistakes
    if mistakes:
        raise InputError.of(mistakes)
    threshold = scene.site.target.irradiance
    return tuple(
        _heat(
            zone.name,
            outline,
            zone_level(zone, scene, model),
            emitters,
            obstacles,
            quality,
            threshold,
        )
        for zone, outline in zip(scene.zone, outlines, strict=True)
    )


def _heat(
    name: str,
    outline: Floats,
    level: float,
    emitters: Sequence[Emitter],
    obstacles: Obstacles,
    quality: Quality,
    threshold: float,
) -> ZoneHeat:
    field = plane_map(emitters, outline, level, obstacles, STEP, quality)
    found = extremes(field)
    # Every grid point stands for the same area, so these are means over the zone.
    values = field.total[field.inside]
    mean = float(np.mean(values))
    return ZoneHeat(
        name=name,
        level=level,
        coldest=found.lowest,
        coldest_at=found.lowest_at,
        typical=float(np.median(values)),
        hottest=found.highest,
        spread=found.lowest / mean if mean > 0.0 else 0.0,
        warmed=warmed_share(field, threshold),
    )


def _piece(zone: Zone, scene: Scene) -> Furniture:
    piece = next((f for f in scene.furniture if f.name == zone.around), None)
    if piece is None:
        known = ", ".join(f'"{f.name}"' for f in scene.furniture) or "none"
        raise InputError(
            where(zone, "around"),
            f'there is no furniture "{zone.around}"',
            f"give the name of a piece that is there: {known}",
        )
    return piece


def _own_vertices(piece: Furniture, model: Model) -> Floats:
    """Vertices (n, 3) of a piece of furniture without the chairs that stand around it."""
    chairs = tuple(
        f"{place.name} "
        for place in model.places
        if place.owner == piece.name and place.name.startswith(f"{piece.name} seat ")
    )
    parts = [
        part
        for part in model.owned_by(piece.name)
        if part.kind is Kind.FURNITURE and not f"{part.name} ".startswith(chairs)
    ]
    return np.concatenate([part.mesh.vertices for part in parts])
