"""From a scene to everything that can be said about it."""

from __future__ import annotations

from dataclasses import dataclass

from heatcore.checks import check
from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.build import build
from heatcore.geometry.parts import Model
from heatcore.heat import Surroundings, cast, emitters_of, floor_share, lit_places, surroundings
from heatcore.heat.beam import Beam, FloorShare, PlaceLight
from heatcore.heat.emitter import Emitter
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene


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
    places : how each seat and each standing person lies to the beams
    floor : how much of the floor the beams reach
    findings : what the checks say
    """

    scene: Scene
    model: Model
    mounts: tuple[Mount, ...]
    beams: tuple[Beam, ...]
    emitters: tuple[Emitter, ...]
    surroundings: Surroundings
    places: tuple[PlaceLight, ...]
    floor: FloorShare
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
    model = build(scene)
    mounts = hang(scene, model)
    emitters, around = emitters_of(mounts), surroundings(mounts, model)
    reached = scene.site.target.irradiance
    beams = cast(emitters, model, around, reached)
    places = lit_places(emitters, model, around, reached)
    floor = floor_share(beams, model)
    findings = check(scene, model, mounts)
    return Evaluation(scene, model, mounts, beams, emitters, around, places, floor, findings)
