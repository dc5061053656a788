"""The usual cautions: what is said wherever results are shown, whatever they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from heatcore.geometry.parts import Place
from heatcore.mounting.mount import Mount

USUAL = (
    "This is planning advice, not a certificate.",
    "The maker's instructions and the listing govern clearances, mounting and use.",
    "Local codes apply; licensed trades decide and do the electrical, gas and structural work.",
    "Verify every dimension on site before anything is ordered or drilled.",
)
WITH_HEATERS = (
    "A heater, and what it has warmed, can burn whoever touches it until it has cooled down.",
    "Nobody stays under a working heater who cannot move away: small children, people who are "
    "asleep, who cannot feel heat or who cannot get up by themselves.",
)
NAMED = 8  # names that a sentence carries


def cautions(mounts: Sequence[Mount], places: Iterable[Place]) -> tuple[str, ...]:
    """The usual cautions, then what the heaters and the people here add, each once."""
    if not mounts:
        return USUAL
    places = tuple(places)
    said = [*USUAL, *WITH_HEATERS]
    stay = [place.name for place in places if not place.can_move_away]
    if stay:
        said.append(f"Cannot move away without help, and must not be left there: {_names(stay)}.")
    lie = [place.name for place in places if place.posture == "lounging"]
    if lie:
        said.append(f"People fall asleep on loungers, and then do not move away: {_names(lie)}.")
    said += [caution for mount in mounts for caution in mount.type.cautions]
    return tuple(dict.fromkeys(said))


def _names(names: Sequence[str]) -> str:
    more = len(names) - NAMED
    return ", ".join(names[:NAMED]) + (f" and {more} more" if more > 0 else "")
