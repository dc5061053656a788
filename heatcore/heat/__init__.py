"""Beams and where they land. Watts have their place here too: see the design's section 6."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from heatcore.geometry.parts import Kind, Mesh, Model
from heatcore.geometry.rays import Obstacles
from heatcore.heat.aperture import Aperture
from heatcore.heat.beam import Beam, Lit, PlaceLight
from heatcore.heat.landing import floor_share, landing
from heatcore.heat.pattern import BEAM_SHARE, FIELD_SHARE, full_angles
from heatcore.heat.places import lit_by
from heatcore.heat.solid import beam_solid
from heatcore.mounting.mount import BODY_TRIANGLES, Mount

__all__ = ["LEVELS", "cast", "floor_share", "lit_places"]

LEVELS = (0.0, 0.45)  # m: the floor, and the height of a seat


def cast(mounts: Sequence[Mount], model: Model) -> tuple[Beam, ...]:
    """Each heater's beam, cut by whatever stands in its way; people move, and cut none."""
    obstacles = _obstacles(mounts, model)
    floor = shapely.Polygon(model.floor_outline)
    beams = []
    for aperture in map(Aperture, mounts):
        pattern = aperture.mount.type.pattern
        beams.append(
            Beam(
                heater=aperture.mount.name,
                solid=beam_solid(aperture, obstacles),
                angles=full_angles(pattern, BEAM_SHARE),
                field_angles=full_angles(pattern, FIELD_SHARE),
                landings=tuple(landing(aperture, level, floor, obstacles) for level in LEVELS),
            )
        )
    return tuple(beams)


def lit_places(mounts: Sequence[Mount], model: Model) -> tuple[PlaceLight, ...]:
    """How each place lies to every beam; what a person sits on or at does not shade that person."""
    apertures = [Aperture(mount) for mount in mounts]
    owned = {
        owner: _obstacles(mounts, model, but=owner) for owner in {p.owner for p in model.places}
    }
    order = [Lit.BEAM, Lit.EDGE, Lit.OUTSIDE]
    lights = []
    for place in model.places:
        found = {a.mount.name: lit_by(a, place, owned[place.owner]) for a in apertures}
        lights.append(
            PlaceLight(
                place=place,
                by_heater={name: lit for name, (lit, _) in found.items()},
                why={name: why for name, (lit, why) in found.items() if lit is not Lit.BEAM},
                best=min((lit for lit, _ in found.values()), key=order.index, default=Lit.OUTSIDE),
            )
        )
    return tuple(lights)


def _obstacles(mounts: Sequence[Mount], model: Model, but: str | None = None) -> Obstacles:
    """Everything that stops a ray: the space without people, and the heaters' bodies."""
    solids = [
        (part.name, part.mesh)
        for part in model.parts
        if not part.swept and part.kind is not Kind.PERSON and part.owner != but
    ]
    bodies = [(mount.name, Mesh(mount.body, BODY_TRIANGLES)) for mount in mounts]
    return Obstacles([*solids, *bodies])
