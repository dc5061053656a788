"""How often a demo scene is hung and measured to be judged: counts, since clocks differ."""

from dataclasses import replace
from math import isfinite
from pathlib import Path

import pytest

from heatcore.checks import check
from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.build import build
from heatcore.mounting import hang
from heatcore.scene.model import Scene
from heatcore.scene.options import choose
from heatcore.scene.read import read_scene
from heatcore.tolerance import corners, judged, judging, variants

SCENES = Path(__file__).parents[2] / "scenes"
# A tenth above what they took when this was written, the most of any.
MOST_READ, MOST_HUNG = 235, 200


@pytest.fixture
def counts(monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    """How often something was measured and hung, nothing being kept from before."""
    counted = {"read": 0, "hang": 0}
    for store in (variants._MODELS, variants._MOUNTS, judging._JUDGED):
        store.clear()
    for module, name in ((corners, "read"), (variants, "hang")):
        whole = getattr(module, name)

        def counting(*args: object, whole=whole, name: str = name) -> object:
            counted[name] += 1
            return whole(*args)

        monkeypatch.setattr(module, name, counting)
    return counted


def judge(scene: Scene) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    model = build(scene)
    mounts = hang(scene, model)
    drawn = check(scene, model, mounts)
    return drawn, judged(scene, model, mounts, drawn)


def said(findings: tuple[Finding, ...]) -> list[tuple[object, ...]]:
    return [(f.heater, f.code, f.side, f.object, f.verdict, f.measured, f.doubt) for f in findings]


@pytest.mark.parametrize("option", ["A", "B"])
@pytest.mark.parametrize("name", ["lodge_porch", "cafe_terrace", "courtyard_pergola"])
def test_a_demo_scene_is_judged_by_few_readings(
    name: str, option: str, counts: dict[str, int]
) -> None:
    scene = choose(read_scene(SCENES / f"{name}.toml"), option)
    drawn, told = judge(scene)
    assert 0 < counts["read"] <= MOST_READ
    assert 0 < counts["hang"] <= MOST_HUNG
    for found in told[len(drawn) :]:
        # What is told of besides says where its figures come from, and is to be measured.
        assert found.verdict is Verdict.MEASURE
        assert isfinite(found.measured)
        assert isfinite(found.required)
        assert found.margin >= 0.0 or "at the worst corner" in found.note


def test_what_has_not_changed_is_not_judged_anew(counts: dict[str, int]) -> None:
    scene = choose(read_scene(SCENES / "cafe_terrace.toml"), "B")
    _, first = judge(scene)
    whole = dict(counts)
    _, again = judge(scene)
    assert said(again) == said(first)
    assert counts == whole
    *others, last = scene.heater
    assert last.at is not None
    moved = replace(last, at=(last.at[0] + 0.05, last.at[1]))
    place = replace(scene, heater=(*others, moved))
    _, told = judge(place)
    assert counts["read"] - whole["read"] < whole["read"] / 2
    # And it is judged as if nothing had been judged before.
    for store in (variants._MODELS, variants._MOUNTS, judging._JUDGED):
        store.clear()
    assert said(judge(place)[1]) == said(told)
