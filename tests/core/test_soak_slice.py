"""A slice of `make soak`, what it has found so far, and whether it would find anything at all."""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import tomlkit
import trimesh

from heatcore.checks import check
from heatcore.checks.finding import Verdict
from heatcore.errors import InputError
from heatcore.geometry.build import build
from heatcore.mounting import hang
from heatcore.scene import parse_scene
from tests.soak.bases import patio
from tests.soak.jobs import attempt
from tests.soak.meshes import FORMS, GLBS, OBJS, PLYS, STLS
from tests.soak.outcome import EVALUATED, REFUSED, Outcome, unfit
from tests.soak.overlap import box_triangles, distance, holds, stands_in, to_triangles
from tests.soak.pool import Bounds, run
from tests.soak.trial import judged, try_file

MESHES = [f"{form}:garbled:{n}" for form in FORMS for n in range(2)]
MESHES += [f"{form}:cut:{n}" for form in FORMS for n in (1, 25)]
MESHES += [f"{form}:whole:{n}" for form in FORMS for n in range(2)]
MESHES += [
    f"{form}:{way}:0"
    for form, made in (("obj", OBJS), ("stl", STLS), ("ply", PLYS), ("glb", GLBS))
    for way in made
    if way not in ("many groups", "one long line", "a million corners", "a million of one face")
]


def test_scene_files_spoilt_at_random() -> None:
    outcomes = {seed: attempt(seed) for seed in (f"slice-{n}" for n in range(14))}
    assert {seed: o.faults for seed, o in outcomes.items() if o.faults} == {}
    kinds = [outcome.kind for outcome in outcomes.values()]
    assert min(kinds.count(REFUSED), kinds.count(EVALUATED)) > 2


def test_mesh_files_spoilt_at_random() -> None:
    outcomes = {name: attempt(name) for name in MESHES}
    assert {name: o.faults for name, o in outcomes.items() if o.faults} == {}
    assert {o.kind for name, o in outcomes.items() if ":whole:" in name} >= {EVALUATED}


# ---------------------------------------------------------------------- what it has found

SITE = '[site]\nname = "x"\n[floor]\noutline = [[0, 0], ["4 m", 0], ["4 m", "4 m"], [0, "4 m"]]\n'
OVER_ITS_ROOF = """
[[roof]]
name = "roof"
form = "flat"
plate = "3 m"
[[wall]]
name = "wall"
from = [0, 0]
to = ["4 m", 0]
base = "4 m"
[[door]]
name = "door"
wall = "wall"
at = "1 m"
"""
HIGH_BENCH = """
[[furniture]]
name = "bench"
kind = "bench"
at = ["2 m", "2 m"]
mesh = "high.obj"
"""


@pytest.mark.parametrize("text", [OVER_ITS_ROOF, HIGH_BENCH])
def test_what_it_found_is_refused_in_words(text: str, tmp_path: Path) -> None:
    trimesh.creation.box(extents=(1, 1, 3)).export(tmp_path / "high.obj")
    (tmp_path / "scene.toml").write_text(SITE + text)
    outcome = try_file(tmp_path / "scene.toml")
    assert (outcome.kind, outcome.faults) == (REFUSED, ())


# ---------------------------------------------------------------------- whether it finds anything


def patios(count: int):
    """Small scenes, hung and checked."""
    for number in range(count):
        text = tomlkit.dumps(patio(random.Random(number)))
        try:
            scene = parse_scene(text)
            model = build(scene)
            mounts = hang(scene, model)
        except InputError:
            continue
        yield scene, model, mounts, check(scene, model, mounts)


def test_wrong_findings_are_found() -> None:
    dropped = failed = 0
    for scene, model, mounts, findings in patios(6):
        assert judged(scene, model, mounts, findings, "") == []
        failing = [f for f in findings if f.verdict is Verdict.FAILS and f.code[:9] == "clearance"]
        for heater in {f.heater for f in failing}:
            left = [f for f in findings if f not in failing or f.heater != heater]
            dropped += 1
            assert any("WRONG HOLDS" in said for said in judged(scene, model, mounts, left, ""))
        for held in (f for f in findings if f.code == "clearance.side" and f.margin > 0.01):
            wrong = replace(held, verdict=Verdict.FAILS)
            others = {f.object for f in failing if f.heater == held.heater}
            if held.object not in others:
                said = judged(scene, model, mounts, [*findings, wrong], "")
                failed += 1
                assert any("WRONG FAILS" in fault for fault in said)
    assert min(dropped, failed) > 3


def test_mounts_that_are_off_are_found() -> None:
    seen = 0
    for scene, model, mounts, findings in patios(14):
        for mount in mounts:
            if mount.holds:
                seen += 1
                for shift in ((0.0, 0.0, 0.003), (1e-5, 0.0, 0.0)):
                    off = replace(mount, frame=mount.frame.moved(shift))
                    off_all = [off if m is mount else m for m in mounts]
                    assert any(
                        "pivot" in said for said in judged(scene, model, off_all, findings, "")
                    )
    assert seen > 3


def test_messages_that_speak_of_python_are_found() -> None:
    assert unfit(["wall: array([1.0, 2.0]) is wrong"], "")
    assert unfit(["wall: is nan high"], "")
    assert unfit([" "], "")
    assert not unfit(['wall "nan": is nan high'], 'height = "nan"')


def test_near_and_within_by_hand() -> None:
    low, high = np.zeros(3), np.ones(3)
    other = box_triangles(np.array([1.5, 0.2, 0.2]), np.array([2.0, 0.8, 0.8]))
    assert distance(other, low, high) == pytest.approx(0.5, abs=1e-9)
    assert not stands_in(other, low, high)
    assert stands_in(other, low, high + 0.51)
    assert stands_in(other, np.array([1.6, 0.3, 0.3]), np.array([1.7, 0.4, 0.4]))
    assert stands_in(other, low - 9.0, high + 9.0)
    assert holds(np.array([1.7, 0.5, 0.5]), other)
    assert not holds(np.array([1.4, 0.5, 0.5]), other)
    points = np.array([(1.4, 0.5, 0.5), (1.0, 0.2, -0.2), (1.7, 0.5, 0.5)])
    assert to_triangles(points, other) == pytest.approx([0.1, np.hypot(0.5, 0.4), 0.2])


def spin(_: str) -> Outcome:
    while True:
        pass


def doze(_: str) -> Outcome:
    time.sleep(60.0)
    raise AssertionError


def hoard(_: str) -> Outcome:
    return Outcome(EVALUATED, peak=len(bytearray(2 << 30)))


@pytest.mark.parametrize(
    # On a busy machine a second of CPU may take many by the clock.
    ("job", "elapsed", "words"),
    [(spin, 90.0, "more CPU"), (doze, 8.0, "no answer"), (hoard, 90.0, "ended")],
)
def test_what_takes_too_much_is_ended(
    job: Callable[[str], Outcome], elapsed: float, words: str
) -> None:
    bounds = Bounds(cpu=1, elapsed=elapsed, memory=1 << 30)
    (answer,) = run(job, ["case"], bounds, workers=1)
    assert answer[0] == "case"
    assert words in answer[1].faults[0]
