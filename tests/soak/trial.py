"""One scene file on its way through the tool, and what is wrong with what comes out."""

from __future__ import annotations

import io
import math
import random
import time
import traceback
import warnings
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from heatcore.checks import check
from heatcore.checks.finding import Finding
from heatcore.errors import InputError
from heatcore.evaluate import evaluate
from heatcore.geometry.build import build
from heatcore.geometry.parts import Model
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene import choose, read_scene
from heatcore.scene.model import Scene
from heatcore.units.reading import UnitWarning
from tests.soak.clear import clearance_faults
from tests.soak.hung import mount_faults
from tests.soak.memory import forget_peak, peak
from tests.soak.outcome import EVALUATED, REFUSED, Outcome, unfit

WHOLE = 0.04  # share of the scenes whose heat is worked out too


def try_file(path: Path, seed: str = "") -> Outcome:
    """Read a scene file, evaluate it with one of its options, and judge whatever is said."""
    rng = random.Random(f"{seed} option")
    source = path.read_bytes().decode("utf-8", "replace")
    forget_peak()
    start = time.process_time()
    aside = io.StringIO()
    with warnings.catch_warnings(), redirect_stderr(aside), redirect_stdout(aside):
        warnings.simplefilter("error")
        warnings.simplefilter("ignore", UnitWarning)
        # What trimesh must change some day is no fault of the file's.
        warnings.filterwarnings("ignore", category=DeprecationWarning, module="trimesh")
        try:
            kind, faults, heaters = _through(path, source, rng)
        except Exception:  # noqa: BLE001 (whatever it is, it is what is looked for here)
            kind, heaters = "broken", 0
            faults = [traceback.format_exc()]
    if aside.getvalue():
        faults.append(f"printed: {aside.getvalue()}")
    seconds = time.process_time() - start
    return Outcome(kind, tuple(faults), heaters, seconds, peak())


def _through(path: Path, source: str, rng: random.Random) -> tuple[str, list[str], int]:
    try:
        scene = read_scene(path)
        if scene.option and rng.random() < 0.7:
            scene = choose(scene, rng.choice(scene.option).name)
        if rng.random() < WHOLE:
            whole = evaluate(scene)
            model, mounts, findings = whole.model, whole.mounts, whole.findings
        else:
            model = build(scene)
            mounts = hang(scene, model)
            findings = check(scene, model, mounts)
    except InputError as error:
        said = [str(mistake) for mistake in error.mistakes]
        return REFUSED, unfit(said, source), 0
    return EVALUATED, judged(scene, model, mounts, findings, source), len(mounts)


def judged(
    scene: Scene,
    model: Model,
    mounts: Sequence[Mount],
    findings: Sequence[Finding],
    source: str,
) -> list[str]:
    """What is wrong with a result."""
    faults = [*clearance_faults(model, mounts, findings), *mount_faults(model, mounts, findings)]
    if [mount.name for mount in mounts] != [heater.name for heater in scene.heater]:
        faults.append("the mounts are not the heaters of the scene")
    said = [f.note for f in findings if f.note]
    said += [fault.message for mount in mounts for fault in mount.faults]
    said += [passed.reason for mount in mounts for passed in mount.passed]
    faults += unfit(said, source)
    faults += [
        f"{f.code} of {f.heater} has figures that are none: {f.measured}, {f.required}"
        for f in findings
        if math.isnan(f.measured) or not math.isfinite(f.required)
    ]
    return faults
