"""How far the floor warms up under the heaters, and what that is worth to somebody above it."""

from __future__ import annotations

import numpy as np

from heatcore.geometry.frames import locked
from heatcore.heat.floor.conduction import layered
from heatcore.heat.floor.ground import ground
from heatcore.heat.floor.warm_up import WarmUp
from heatcore.heat.people.comfort import radiant_temperature, utci, wind_at_10_m
from heatcore.heat.planes.maps import PlaneMap
from heatcore.heat.radiation.blackbody import SIGMA, ZERO_CELSIUS, exitance
from heatcore.scene.model import Climate
from heatcore.scene.space import Floor

ABSORPTANCE = 0.9
"""Share of the heaters' radiation that stone, concrete, brick, tiles and wood absorb, and their
emissivity (common practice, no source)."""

SEAT_DOWN = 0.18 / 1.40
"""Share of a seated body's radiation exchange that goes to what lies below it: the weight of the
downward plane among the six of ISO 7726:1998 (as a measuring instrument's handbook quotes it)."""

WINDIEST = 7.0  # m/s; as far as the correlation of the wind was measured

BASIS = (
    "it is night, and floor, ground and air begin at the air temperature of the design climate",
    f"{ABSORPTANCE:.0%} of what lands is absorbed (common practice, no source)",
    "the wind at seat height is taken along the floor too, where it is weaker",
)
IN_THE_BEAM = (
    "warmth is felt only in the direct beam, with a small gain from the floor after half an hour "
    "(common practice, no source)"
)


def surface_loss(climate: Climate) -> float:
    """What a floor gives off to air and surroundings for each kelvin above them [W/m2 K].

    Radiation in its linear form, 4 eps sigma T**3 at the surroundings' temperature. Convection by
    J. H. Watmuff, W. W. S. Charters and D. Proctor, COMPLES 2, 1977, p. 56: h = 2.8 + 3.0 v, for
    0 to 7 m/s, as J. A. Duffie and W. A. Beckman, Solar Engineering of Thermal Processes, gives it
    in place of McAdams' 5.7 + 3.8 v, which counts radiation in (all from memory).
    """
    radiant = climate.radiant_temperature
    around = (climate.air_temperature if radiant is None else radiant) + ZERO_CELSIUS
    radiation: float = 4.0 * ABSORPTANCE * SIGMA * around**3
    return radiation + 2.8 + 3.0 * climate.wind


def warm_up(
    floor: Floor, floor_map: PlaneMap, climate: Climate, threshold_w_m2: float
) -> WarmUp | None:
    """How far a floor that has been under the heaters for `floor.warmed_for` has warmed up.

    Heat goes straight down, place by place (`conduction.layered`); all is linear in the irradiance.

    Parameters
    ----------
    floor : as the scene describes it
    floor_map : what lands on it
    climate : the design evening
    threshold_w_m2 : irradiance from which a place counts as warmed [W/m2]

    Returns
    -------
    WarmUp or None
        None where nothing lands on the floor, or no time is given.
    """
    landing = np.where(floor_map.inside, floor_map.total, 0.0)
    hottest = float(landing.max(initial=0.0))
    if hottest <= 0.0 or floor.warmed_for <= 0.0:
        return None
    made = ground(floor, floor.warmed_for)
    unit = layered(
        made.layers, ABSORPTANCE, floor.warmed_for, surface_loss(climate), made.back_loss_w_m2k
    )
    row, column = np.unravel_index(int(landing.argmax()), landing.shape)
    warmed = landing[floor_map.inside & (landing >= threshold_w_m2)]
    typical_k = unit.surface_k * float(np.median(warmed)) if len(warmed) else 0.0
    share = len(warmed) / float(np.count_nonzero(floor_map.inside))
    notes = [f"counted as {made.words}", *BASIS, IN_THE_BEAM]
    if climate.wind > WINDIEST:
        notes.append(f"the losses are known for winds of up to {WINDIEST:.0f} m/s only")
    return WarmUp(
        construction=made.construction,
        seconds=floor.warmed_for,
        absorbed_w_m2=ABSORPTANCE * hottest,
        point=locked([floor_map.x[column], floor_map.y[row], floor_map.level]),
        hottest_k=unit.surface_k * hottest,
        typical_k=typical_k,
        lost_share=unit.lost_share,
        seat_gain_k=seat_gain(typical_k, share, climate),
        notes=tuple(notes),
    )


def seat_gain(rise_k: float, share: float, climate: Climate) -> float:
    """Rise of the UTCI of somebody seated over a floor that has warmed up [K].

    An upper bound: the chair is not in the way, and the rest of the floor's warmed places count as
    if they lay all round the seat.

    Parameters
    ----------
    rise_k : of the warmed places [K]
    share : of the floor that is warmed, 0 to 1
    climate : the design evening
    """
    air = climate.air_temperature
    before = air if climate.radiant_temperature is None else climate.radiant_temperature
    cold = air + ZERO_CELSIUS
    field = SEAT_DOWN * share * ABSORPTANCE * (exitance(cold + rise_k) - exitance(cold))
    after = radiant_temperature(before, field, 1.0)
    wind = wind_at_10_m(climate.wind)
    without, gained = (utci(air, mrt, wind, climate.humidity) for mrt in (before, after))
    return float(gained - without)
