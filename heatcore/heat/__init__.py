"""Beams and where they land, and the irradiance behind them: see the design's section 6."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import shapely

from heatcore.geometry.parts import Model
from heatcore.heat.beams.beam import Beam
from heatcore.heat.beams.landing import floor_share, landing
from heatcore.heat.beams.places import lit_places
from heatcore.heat.beams.solid import beam_solid
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.pattern import BEAM_SHARE, FIELD_SHARE, full_angles
from heatcore.heat.radiation.surroundings import Surroundings, surroundings
from heatcore.mounting.mount import Mount

__all__ = [
    "LEVELS",
    "Surroundings",
    "cast",
    "emitters_of",
    "floor_share",
    "lit_places",
    "surroundings",
]

LEVELS = (0.0, 0.45)  # m: the floor, and the height of a seat


def emitters_of(mounts: Iterable[Mount], voltage: float | None = None) -> tuple[Emitter, ...]:
    """What radiates from each hung heater, on a supply of so many volts; None: the type's own."""
    return tuple(Emitter.of(mount, voltage) for mount in mounts)


def cast(
    emitters: Sequence[Emitter],
    model: Model,
    around: Surroundings,
    reach_irradiance_w_m2: float,
) -> tuple[Beam, ...]:
    """Each heater's beam, cut by whatever stands in its way; people move, and cut none.

    Parameters
    ----------
    emitters : of the heaters
    model : the site
    around : what is in the way
    reach_irradiance_w_m2 : a beam ends where it has fallen to this on its axis
    """
    floor = shapely.Polygon(model.floor_outline)
    beams = []
    for emitter in emitters:
        reach = emitter.reach(reach_irradiance_w_m2)
        beams.append(
            Beam(
                heater=emitter.name,
                solid=beam_solid(emitter, reach, around.space),
                angles=full_angles(emitter.pattern, BEAM_SHARE),
                field_angles=full_angles(emitter.pattern, FIELD_SHARE),
                landings=tuple(
                    landing(emitter, reach, level, floor, around.space) for level in LEVELS
                ),
                reach=reach,
            )
        )
    return tuple(beams)
