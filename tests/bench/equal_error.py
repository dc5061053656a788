"""The map at the error that another engine reaches, and what each of the two takes for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from heatcore.geometry.frames import Floats
from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.irradiance import FINAL, LIVE, PREVIEW, Quality, irradiances
from tests.bench.cpu import timed, typical
from tests.bench.cycles_direct import bakes
from tests.bench.patio import Patio
from tests.bench.radiance import Radiance
from tests.bench.reference import UP, Error
from tests.bench.report import Row
from tests.bench.trimesh_loop import Loop

# The cheapest that reaches the other's error is taken.
QUALITIES = (
    *(
        Quality(4 * scan, most, scan=scan, blend=blend)
        for scan, most, blend in (
            (2, 32, 0.015), (2, 32, 0.005), (2, 64, 0.025), (2, 64, 0.015), (4, 64, 0.01),
            (4, 64, 0.005), (4, 128, 0.01), (4, 128, 0.005), (4, 128, 0.002),
            (4, 256, 0.005), (4, 256, 0.003),
        )
    ),
    LIVE,
    PREVIEW,
    Quality(16, 128, scan=4),
    Quality(32, 128, scan=4),
    Quality(32, 256, scan=4),
    FINAL,
)  # fmt: skip
# Radiance at its thriftiest: -ds for a whole aperture, or for one in four pieces, where the 64
# parts that rtrace makes of a source are too few. Its jitter (-dj) only adds noise here.
COARSE = (1, (0.042, 0.041, 0.04, 0.038, 0.036))
FINE = (4, (0.021, 0.02, 0.0195, 0.019, 0.0185, 0.018, 0.0175))
LOOKS = (48, 56, 60, 64, 80)  # places a user's loop looks at
REPEATS = 5  # of either side's timing, of which the median counts
SAMPLES = 128  # of a bake: some 1.2 % of noise


@dataclass(frozen=True, eq=False)
class Map:
    """One quality's map of the patio: its error, and CPU seconds with the tracer built."""

    quality: Quality
    error: Error
    seconds: float


def traced(patio: Patio, obstacles: Obstacles, quality: Quality) -> Floats:
    """The whole map (n,) as heatcore makes it, plane by plane."""
    planes = (
        sum(irradiances(patio.emitters, plane, UP, obstacles, quality, patio.grid).values())
        for plane in patio.planes
    )
    return np.concatenate(list(planes))


def maps(patio: Patio, obstacles: Obstacles, reference: Floats) -> list[Map]:
    """Each quality tried."""
    out = []
    for quality in QUALITIES:
        seconds, found = timed(lambda quality=quality: traced(patio, obstacles, quality))
        out.append(Map(quality, Error.of(found, reference), seconds))
    return out


def row(patio: Patio, obstacles: Obstacles, tried: Iterable[Map], theirs: Row, error: float) -> Row:
    """The row of another engine, whose error that is, with ours at no more than that."""
    good = [one for one in tried if one.error.rms <= error]
    if not good:
        raise RuntimeError(f"no quality reaches an error of {error:.2%}")
    best = min(good, key=lambda one: one.seconds)
    ours = typical(lambda: traced(patio, obstacles, best.quality), REPEATS)
    if theirs.theirs is None:
        raise ValueError("nothing to compare with")
    note = f"{theirs.note}; ours RMS {best.error.rms:.2%}, {words(best.quality)}"
    return replace(theirs, ours=ours, figure=theirs.theirs / ours, note=note)


def words(quality: Quality) -> str:
    return str(quality).replace("Quality", "")


def radiance(patio: Patio, reference: Floats, goal: float, folder: Path) -> tuple[Row, float]:
    """Radiance's rtrace at the least subdivision that reaches an error."""
    pieces, subdivisions = COARSE if goal >= 0.005 else FINE
    engine = Radiance.of(patio, folder, pieces)
    loading = engine.loading(patio.points)
    for subdivision in subdivisions:
        error = Error.of(engine.trace(patio.points, subdivision, 0.0), reference)
        if error.rms <= goal:
            break
    seconds = typical(lambda: engine.trace(patio.points, subdivision, 0.0), REPEATS)
    note = f"theirs {error}, -ds {subdivision:g} -dj 0, apertures in {pieces}"
    return Row(f"map, Radiance at {goal:.2%}", None, seconds - loading, 0, 40, note=note), error.rms


def trimesh(patio: Patio, reference: Floats, goal: float) -> tuple[Row, float]:
    """A loop over apertures' places with trimesh and Embree."""
    loop = Loop.of(patio)

    def looped(looks: int) -> Floats:
        each = (loop.irradiance(emitter, patio.points, looks) for emitter in patio.emitters)
        return np.sum(list(each), axis=0)

    for looks in LOOKS:
        error = Error.of(looped(looks), reference)
        if error.rms <= goal:
            break
    seconds = typical(lambda: looped(looks), REPEATS)
    note = f"theirs {error}, {looks} places of each aperture"
    return Row(f"map, trimesh loop at {goal:.2%}", None, seconds, 0, 7, note=note), error.rms


def cycles(patio: Patio, reference: Floats, folder: Path) -> tuple[Row, float]:
    """Cycles' bake of direct diffuse light at equal noise: the spread of two seeds.

    What one sample takes is taken off: synchronising the scene and building its tree.
    """
    wanted = ((1, 0), *((SAMPLES, seed) for seed in range(1, REPEATS + 1)))
    idle, one, other, *more = bakes(patio, wanted, folder)
    spread = Error.of(one.irradiance, other.irradiance, reference.max()).rms / np.sqrt(2)
    seconds = float(np.median([bake.seconds for bake in (one, other, *more)])) - idle.seconds
    off = Error.of(one.irradiance, reference).rms
    note = (
        f"theirs noise {spread:.2%} with {SAMPLES} samples (RMS {off:.2%} against the reference,"
        f" as a pixel is a mean over its area)"
    )
    return Row("map, Cycles bake at equal noise", None, seconds, 0, 50, note=note), float(spread)
