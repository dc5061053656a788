"""The design evening held against the target: what goes for everybody alike."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from numpy.typing import ArrayLike

from heatcore.geometry.frames import Floats
from heatcore.heat.people.comfort import (
    CALMEST,
    MOST_ABOVE_AIR,
    TO_10_M,
    WALKING,
    utci,
    utci_notes,
    wind_at_10_m,
)
from heatcore.scene.model import Climate, Target


@dataclass(frozen=True)
class Evening:
    """A climate and what counts as warm in it."""

    climate: Climate
    target: Target

    @property
    def background(self) -> float:
        """Mean radiant temperature without the heaters [C]; left out, that of the air."""
        given = self.climate.radiant_temperature
        return self.climate.air_temperature if given is None else given

    @property
    def wind_10_m(self) -> float:
        """Wind at 10 m [m/s]."""
        return float(wind_at_10_m(self.climate.wind))

    @property
    def calm(self) -> bool:
        """Whether the wind is the least that UTCI knows."""
        return self.wind_10_m <= CALMEST

    @cached_property
    def utci_without(self) -> float:
        """UTCI without the heaters [C]."""
        return float(self.utci(self.background))

    @cached_property
    def needed_gain(self) -> float:
        """Rise of the UTCI that meets the target [K]; nothing or less where it is met anyway."""
        return min(self.target.gain, self.target.utci - self.utci_without)

    @cached_property
    def needed_radiant(self) -> float:
        """Mean radiant temperature that meets the target [C]; infinite where none does."""
        low, high = self.background, self.climate.air_temperature + MOST_ABOVE_AIR
        if self.gain(high) < self.needed_gain:
            return float("inf")
        for _ in range(50):
            middle = (low + high) / 2
            if self.gain(middle) < self.needed_gain:
                low = middle
            else:
                high = middle
        return high

    def utci(self, radiant_c: ArrayLike) -> Floats:
        """UTCI (...) at mean radiant temperatures (...) [C]."""
        climate = self.climate
        return utci(climate.air_temperature, radiant_c, self.wind_10_m, climate.humidity)

    def gain(self, radiant_c: ArrayLike) -> Floats:
        """By how much mean radiant temperatures (...) raise the UTCI [K]."""
        return self.utci(radiant_c) - self.utci_without

    def without_wind(self) -> Evening:
        """The same evening in the calmest air that UTCI knows."""
        return replace(self, climate=replace(self.climate, wind=CALMEST / TO_10_M))

    def notes(self, radiant_c: float) -> tuple[str, ...]:
        """What has to be said of the UTCI, without the heaters and at a radiant temperature."""
        climate = self.climate
        found = [WALKING]
        for radiant in (self.background, radiant_c):
            found += utci_notes(climate.air_temperature, radiant, self.wind_10_m, climate.humidity)
        return tuple(dict.fromkeys(found))
