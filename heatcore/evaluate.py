"""From a scene to everything that can be said about it."""

from __future__ import annotations

from dataclasses import dataclass

from heatcore.checks import check
from heatcore.checks.electrical import Electrical, electrical
from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.unknown import Unknown
from heatcore.checks.unknowns import unknowns
from heatcore.geometry.build import build
from heatcore.geometry.parts import Model
from heatcore.heat import (
    LEVELS,
    Surroundings,
    cast,
    emitters_of,
    floor_share,
    lit_places,
    surroundings,
)
from heatcore.heat.beams.beam import Beam, FloorShare, PlaceLight
from heatcore.heat.floor.warm_up import WarmUp
from heatcore.heat.floor.warming import warm_up
from heatcore.heat.people.body import BodyHeat
from heatcore.heat.people.exposure import head_heats
from heatcore.heat.people.head import HeadHeat
from heatcore.heat.people.warmth import body_heats
from heatcore.heat.planes.making import plane_map
from heatcore.heat.planes.maps import PlaneMap, WarmedShare, ZoneHeat, warmed_share
from heatcore.heat.planes.zones import zone_heats
from heatcore.heat.radiation.emitter import Emitter
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene
from heatcore.tolerance import judged


@dataclass(frozen=True, eq=False)
class Evaluation:
    """All that the overlay, the stills, the sheets and the JSON show.

    Attributes
    ----------
    scene : as evaluated, its option applied
    model : the site made solid
    mounts : each heater, hung
    beams : each heater's beam and landings
    emitters : what radiates from each heater
    surroundings : what is in the way of radiation
    floor_map, seat_map : irradiance on the floor, and on the plane at the height of a seat
    warmed : how much of the floor is warmed, at the site's own threshold
    places : how each seat and each standing person lies to the beams
    people : what each of them gets, in the same order
    zones : what each named zone receives
    heads : what reaches the hottest heads
    warm_up : how far the floor warms up; None where nothing warms it
    floor : how much of the floor the beams reach
    electrical : what the heaters draw, and their circuits
    unknowns : what the drawings do not say
    findings : what the checks say, each held against the drawing's tolerances
    """

    scene: Scene
    model: Model
    mounts: tuple[Mount, ...]
    beams: tuple[Beam, ...]
    emitters: tuple[Emitter, ...]
    surroundings: Surroundings
    floor_map: PlaneMap
    seat_map: PlaneMap
    warmed: WarmedShare
    places: tuple[PlaceLight, ...]
    people: tuple[BodyHeat, ...]
    zones: tuple[ZoneHeat, ...]
    heads: tuple[HeadHeat, ...]
    warm_up: WarmUp | None
    floor: FloorShare
    electrical: Electrical
    unknowns: tuple[Unknown, ...]
    findings: tuple[Finding, ...]

    @property
    def failures(self) -> tuple[Finding, ...]:
        """The findings that fail."""
        return tuple(f for f in self.findings if f.verdict is Verdict.FAILS)


def evaluate(scene: Scene) -> Evaluation:
    """Evaluate a scene, its option already chosen.

    Raises
    ------
    InputError
        Where the scene cannot be made solid or a heater cannot be put where it is described.
    """
    site = scene.site
    target = site.target
    model = build(scene)
    mounts = hang(scene, model)
    emitters = emitters_of(mounts, site.supply.voltage)
    around = surroundings(mounts, model)
    beams = cast(emitters, model, around, target.irradiance)
    floor_map, seat_map = (
        plane_map(emitters, model.floor_outline, level, around.space) for level in LEVELS
    )
    people = body_heats(emitters, model, around, site.climate, target, site.units)
    heads = head_heats(emitters, model, around, site.climate)
    fed = electrical([(m.heater, m.type) for m in mounts], site.supply, scene.circuit)
    found = check(scene, model, mounts, emitters, heads, people)
    return Evaluation(
        scene=scene,
        model=model,
        mounts=mounts,
        beams=beams,
        emitters=emitters,
        surroundings=around,
        floor_map=floor_map,
        seat_map=seat_map,
        warmed=warmed_share(floor_map, target.irradiance),
        places=lit_places(emitters, model, around, target.irradiance),
        people=people,
        zones=zone_heats(scene, model, emitters, around.space),
        heads=heads,
        warm_up=warm_up(scene.floor, floor_map, site.climate, target.irradiance),
        floor=floor_share(beams, model),
        electrical=fed,
        unknowns=unknowns(scene, model, mounts),
        findings=judged(scene, model, mounts, found),
    )
