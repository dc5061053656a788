"""How the map's cost grows with points, heaters and triangles."""

from __future__ import annotations

import numpy as np

from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.irradiance import PREVIEW
from tests.bench.cpu import timed, typical
from tests.bench.equal_error import traced
from tests.bench.patio import STEP, Patio, patio
from tests.bench.report import Row

REPEATS = 3


def grown(usual: Patio, obstacles: Obstacles) -> list[Row]:
    """Cost over that of the usual patio, the tracer built beforehand."""
    base = typical(lambda: traced(usual, obstacles, PREVIEW), REPEATS)
    return [
        _row(patio(step=STEP / 2), base, "four times the points", None),
        _row(patio(heaters=24), base, "four times the heaters", None),
        _row(patio(finer=True), base, "ten times the triangles", 1.5),
    ]


def _row(larger: Patio, base: float, what: str, target: float | None) -> Row:
    building, obstacles = timed(lambda: _built(larger))
    seconds = typical(lambda: traced(larger, obstacles, PREVIEW), REPEATS)
    note = (
        f"{len(larger.points):,} points, {len(larger.emitters)} heaters, "
        f"{larger.triangles:,} triangles; tracer built in {building:.2f} s"
    )
    return Row(
        f"growth with {what}",
        seconds,
        base,
        seconds / base,
        target,
        at_most=True,
        note=note,
    )


def _built(larger: Patio) -> Obstacles:
    """Embree builds its tree at the first ray."""
    obstacles = larger.obstacles()
    obstacles.sees(np.array([(0.0, 0.0, 1.0)]), np.array([(0.0, 0.0, 2.0)]))
    return obstacles
