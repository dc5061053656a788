"""A scene whose dimensions can be moved one at a time without contradicting each other.

A roof may be given by more heights than it takes; moving one of them would contradict the others.
A heater may be aimed; what is set on site is a tilt. Here both are said by what is independent.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater, Scene
from heatcore.scene.space import Roof


def consistent(scene: Scene, mounts: Mapping[str, Mount]) -> Scene:
    """Return the scene said by a smallest set of dimensions.

    Of heights that a roof has too many of, one that was not measured is left out: the beam's
    underside rather than the plate, the ridge rather than the pitch. An aimed heater is given the
    tilt that it has; one under a ceiling without a heading is given the one that it has.
    """
    beams = {beam.name for beam in scene.beam}
    return replace(
        scene,
        roof=tuple(map(_roof, scene.roof)),
        heater=tuple(_heater(h, mounts.get(h.name), beams) for h in scene.heater),
    )


def _roof(roof: Roof) -> Roof:
    if roof.beam_underside is not None and roof.plate is not None:
        roof = _without(roof, "beam_underside", "plate")
    plate = "beam_underside" if roof.plate is None else "plate"
    if roof.form == "flat":
        given = getattr(roof, plate) is not None and roof.ridge is not None
        return _without(roof, "ridge", plate) if given else roof
    if roof.ridge is None or roof.pitch is None or getattr(roof, plate) is None:
        return roof
    return _without(roof, "ridge", "pitch", plate)


def _without(roof: Roof, *keys: str) -> Roof:
    """Leave out the first of some heights that was not measured, or the first of all."""
    out = next((key for key in keys if key not in roof.measured), keys[0])
    left_out: dict[str, Any] = {out: None}
    return replace(roof, **left_out)


def _heater(heater: Heater, mount: Mount | None, beams: set[str]) -> Heater:
    if heater.aim_at is not None and mount is not None:
        measured = tuple("tilt" if key == "aim_at" else key for key in heater.measured)
        heater = replace(heater, aim_at=None, tilt=mount.tilt, measured=measured)
    under_a_roof = heater.mount in ("ceiling", "stem") and heater.mounted_on not in beams
    if heater.heading is None and under_a_roof:
        heater = replace(heater, heading=0.0)
    return heater
