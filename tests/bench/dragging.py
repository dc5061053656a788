"""One heater dragged through the patio: floor and seat planes kept up at 10 cm."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, radians, sin

import numpy as np

from heatcore.geometry.frames import Floats, Frame, heading_axes
from heatcore.geometry.rays import Obstacles
from heatcore.heat.planes.making import plane_map, updated
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import LIVE, Quality
from tests.bench.cpu import timed
from tests.bench.patio import LENGTH, LEVELS, WIDTH, Patio, body
from tests.bench.reference import Error
from tests.bench.report import Row

POSITIONS = 60
CHECKED = (7, 22, 37, 52)  # positions at which the error is found
CLOSE = Quality(64, 1024, scan=4)


def dragged(patio: Patio) -> list[Row]:
    """CPU seconds of each step, the body's move included, and the error of some of them."""
    first = patio.emitters[0]
    space = Obstacles([one for one in patio.solids if one[0] != first.name])
    outline = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * [LENGTH / 2, WIDTH / 2]
    around = _around(space, first)
    fields = [plane_map(patio.emitters, outline, level, around, quality=LIVE) for level in LEVELS]
    highest = max(float(field.total.max()) for field in fields)
    seconds, errors = [], []
    for number, emitter in enumerate(_path(first)):
        spent, fields = timed(
            lambda fields=fields, emitter=emitter: [
                updated(field, emitter, _around(space, emitter), LIVE) for field in fields
            ]
        )
        seconds.append(spent)
        if number in CHECKED:
            around = _around(space, emitter)
            for field in fields:
                close = plane_map([emitter], outline, field.level, around, quality=CLOSE)
                inside = field.inside
                found = field.by_heater[emitter.name][inside]
                errors.append((found, close.total[inside]))
    off = Error.of(*(np.concatenate(column) for column in zip(*errors, strict=True)), highest)
    typical, slow = (float(np.percentile(seconds, share)) for share in (50, 95))
    note = (
        f"{POSITIONS} positions, median {1e3 * typical:.1f} ms; error of the map's highest: {off}"
    )
    return [
        Row("heater dragged, 95th percentile", slow, None, 1e3 * slow, 12, " ms", True, note),
        Row("heater dragged, RMS error", None, None, 100 * off.rms, 0.5, " %", True),
    ]


def _around(space: Obstacles, emitter: Emitter) -> Obstacles:
    return Obstacles.together(space, Obstacles([(emitter.name, body(emitter))]))


def _path(emitter: Emitter) -> list[Emitter]:
    """Round the patio once, turning as it goes."""
    out = []
    for number in range(POSITIONS):
        turn = 2 * pi * number / POSITIONS
        at: Floats = np.array([4.2 * cos(turn), 2.2 * sin(turn), 2.45])
        frame = Frame(at, heading_axes(turn / 2, radians(20)))
        out.append(replace(emitter, frame=frame))
    return out
