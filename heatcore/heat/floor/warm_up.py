"""How far the floor warms up, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

from heatcore.geometry.frames import Floats


@dataclass(frozen=True, eq=False)
class WarmUp:
    """The floor under the heaters after a set time.

    Attributes
    ----------
    construction : slab, pavers or decking
    seconds : the time
    absorbed_w_m2 : at the floor's hottest place
    point : (3,) where that is [m]
    hottest_k : rise of the surface's temperature there [K]
    typical_k : the same at the median of the warmed floor [K]; 0 where none is
    lost_share : share of the absorbed heat that the floor has given off again by then
    seat_gain_k : by how much, at most, that raises the UTCI of a person seated over the typical
        warmed floor
    notes : what was assumed
    """

    construction: str
    seconds: float
    absorbed_w_m2: float
    point: Floats
    hottest_k: float
    typical_k: float
    lost_share: float
    seat_gain_k: float
    notes: tuple[str, ...] = ()
