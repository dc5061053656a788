"""`make bench`: every figure a ratio of CPU seconds in this one run.

It fails where something is broken; a target that is missed is printed as missed.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import numpy as np

from heatcore.heat.radiation.irradiance import FINAL, LIVE
from tests.bench.clearances import clearances
from tests.bench.cpu import timed
from tests.bench.dragging import dragged
from tests.bench.equal_error import cycles, maps, radiance, row, trimesh, words
from tests.bench.growth import grown
from tests.bench.patio import patio
from tests.bench.radiance import Radiance
from tests.bench.reference import Error, converged
from tests.bench.report import Report
from tests.bench.throughput import share

CHECKED = 3000  # points at which the reference itself is compared with converged Radiance


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--json", metavar="FILE", type=Path, help="write the figures there as well")
    asked = parser.parse_args()
    report = Report()
    usual = patio()
    obstacles = usual.obstacles()
    say(f"{usual.triangles:,} triangles, {len(usual.points):,} points, 6 heaters")
    seconds, by_heater = timed(lambda: converged(usual))
    reference = np.sum(list(by_heater.values()), axis=0)
    say(f"reference: {seconds:.0f} s")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        some = np.random.default_rng(0).permutation(len(reference))[:CHECKED]
        outside = Radiance.of(usual, folder, pieces=16).trace(usual.points[some], 0.01)
        off = Error.of(outside, reference[some], reference.max())
        report.remarks.append(f"Reference against converged Radiance: {off}.")
        say(report.remarks[-1])
        if off.rms > 0.005:
            raise RuntimeError("heatcore and Radiance do not agree: see the remark above")
        tried = maps(usual, obstacles, reference)
        for one in tried:
            say(f"{one.seconds:.3f} s  {one.error}  {words(one.quality)}")
        for theirs, error in (
            radiance(usual, reference, 0.01, folder),
            radiance(usual, reference, 0.0036, folder),
            trimesh(usual, reference, 0.005),
            cycles(usual, reference, folder),
        ):
            report.rows.append(row(usual, obstacles, tried, theirs, error))
            say(" ".join(report.rows[-1].cells))
    report.rows.append(share(usual, obstacles, FINAL, "final map"))
    report.rows.append(share(usual, obstacles, LIVE, "live"))
    report.rows += dragged(usual)
    report.rows += grown(usual, obstacles)
    report.rows += clearances(usual)
    sys.stdout.write(report.table() + "\n")
    if asked.json:
        asked.json.write_text(report.as_json() + "\n")


def say(text: str) -> None:
    """Progress, apart from the table."""
    sys.stderr.write(text + "\n")


if __name__ == "__main__":
    main()
