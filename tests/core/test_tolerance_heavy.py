"""Things of very many triangles: what is taken off for them is never less than what is found."""

from pathlib import Path

import pytest
import trimesh

from heatcore.checks.finding import Finding, Verdict
from heatcore.scene.space import Solid
from heatcore.tolerance import judging, variants
from tests.core.tolerance_site import heater, judge, roof, scene

TOLERANCE = 0.01  # m
# From the heater's middle to the rock's 0.75 m must lie: half the heater's width, what it asks for
# beside it, half the rock.


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    trimesh.creation.box((1.0, 0.4, 2.6)).apply_translation((0.0, 0.0, 1.3)).export(
        tmp_path / "rock.ply"
    )
    return tmp_path


def found(y: float, folder: Path) -> tuple[list[Finding], list[Finding]]:
    judging._JUDGED.clear()
    rock = Solid(name="rock", mesh="rock.ply", at=(4.0, y), material="timber")
    place = scene(roof(), heater(), tolerance=TOLERANCE, solid=(rock,), folder=folder)
    drawn, told = judge(place)
    return [[f for f in some if f.object == "rock"] for some in (drawn, told)]


@pytest.mark.parametrize("beyond", [0.3, 0.75, 0.76, 0.77, 0.78, 0.8, 0.85, 1.2])
def test_it_never_holds_where_the_corners_do_not(beyond, folder, monkeypatch):
    _, exact = found(4.0 + beyond, folder)
    monkeypatch.setattr(variants, "MANY", 1)
    drawn, rough = found(4.0 + beyond, folder)
    holds = {(f.code, f.side) for f in rough if f.verdict is Verdict.HOLDS}
    assert not {(f.code, f.side) for f in exact if f.verdict is not Verdict.HOLDS} & holds
    assert [f.measured for f in rough[: len(drawn)]] == [f.measured for f in drawn]


def test_somewhere_only_the_tolerances_decide(folder, monkeypatch):
    monkeypatch.setattr(variants, "MANY", 1)
    verdicts = []
    for beyond in (0.3, 0.765, 1.6):
        _, told = found(4.0 + beyond, folder)
        beside = [f for f in told if f.code == "clearance.side"]
        verdicts.append(min(beside, key=lambda f: f.margin).verdict if beside else Verdict.HOLDS)
    assert verdicts == [Verdict.FAILS, Verdict.MEASURE, Verdict.HOLDS]


def test_the_rock_is_named_as_what_to_measure(folder, monkeypatch):
    monkeypatch.setattr(variants, "MANY", 1)
    unsure = [
        f
        for beyond in (0.75, 0.76, 0.77)
        for f in found(4.0 + beyond, folder)[1]
        if f.verdict is Verdict.MEASURE
    ]
    assert unsure
    assert all(f.doubt.deciding[0].words == "where rock stands" for f in unsure)
    assert all(f.doubt.margin < 0.0 <= f.margin for f in unsure)
