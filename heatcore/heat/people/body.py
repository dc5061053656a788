"""What a person gets from the heaters, as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from heatcore.geometry.parts import Place


class Comfort(StrEnum):
    """What a place comes to against the target."""

    WARM = "warm"
    BORDERLINE = "borderline"
    COLD = "cold"


class Cause(StrEnum):
    """Why a place is not warm."""

    NO_HEATER = "no heater"
    OUTSIDE = "outside every beam"
    SHADED = "shaded"
    WIND = "too windy"
    FAR = "too far"


@dataclass(frozen=True)
class Reason:
    """Why a place is not warm, tested by taking the cause away.

    Attributes
    ----------
    cause : the one that decides
    words : one sentence for people, with its figures
    heater : the heater it is about; '' where it is about all
    object : name of what shades it, as people call it; '' where nothing does
    """

    cause: Cause
    words: str
    heater: str = ""
    object: str = ""


@dataclass(frozen=True, eq=False)
class BodyHeat:
    """What one person gets.

    Attributes
    ----------
    place : the seat or person
    absorbed_w : for each heater's name, power absorbed by the body [W]
    irradiance_w_m2 : on a level surface at the person's middle, from all heaters
    head_w_m2 : the same at the head
    radiant_temperature : mean radiant temperature with the heaters [C]
    utci_without, utci : Universal Thermal Climate Index without and with the heaters [C]
    needed_gain : rise of the UTCI that meets the target [K]; nothing or less where it is met anyway
    comfort : the verdict
    reason : why it is not warm; None where it is
    notes : where a number is outside the method's range and was clamped, and the like
    """

    place: Place
    absorbed_w: Mapping[str, float]
    irradiance_w_m2: float
    head_w_m2: float
    radiant_temperature: float
    utci_without: float
    utci: float
    needed_gain: float
    comfort: Comfort
    reason: Reason | None
    notes: tuple[str, ...] = ()

    @property
    def gain(self) -> float:
        """Rise of the UTCI by the heaters [K]."""
        return self.utci - self.utci_without

    @property
    def total_w(self) -> float:
        """Power absorbed from all heaters [W]."""
        return sum(self.absorbed_w.values())

    @property
    def shares(self) -> dict[str, float]:
        """Each heater's share of the absorbed power; empty where nothing is absorbed."""
        total = self.total_w
        return {n: w / total for n, w in self.absorbed_w.items()} if total > 0.0 else {}
