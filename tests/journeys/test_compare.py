"""The demo scenes' options side by side, and what would help in the worse one, by command."""

import json
from pathlib import Path
from typing import Any

import pytest

from heatcore.cli import main
from heatcore.evaluate import evaluate
from heatcore.scene import choose, parse_scene, read_scene

SCENES = Path(__file__).parents[2] / "scenes"
# What the README of the scenes says is wrong with the second option.
WORSE = {
    "lodge_porch": ("H4", "service door swing"),
    "cafe_terrace": ("W1", "kitchen return"),
    "courtyard_pergola": ("S1", "house beam"),
}


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = main(list(arguments))
    out = capsys.readouterr()
    return status, out.out, out.err


def compared(capsys: pytest.CaptureFixture[str], name: str, *options: str) -> dict[str, Any]:
    chosen = [word for option in options for word in ("--option", option)]
    status, out, _ = run(capsys, "compare", str(SCENES / f"{name}.toml"), "--json", *chosen)
    assert status == 0
    data: dict[str, Any] = json.loads(out)
    return data


@pytest.mark.parametrize("name", WORSE)
def test_the_worse_option_is_explained(capsys: pytest.CaptureFixture[str], name: str) -> None:
    data = compared(capsys, name)
    assert [option["name"] for option in data["options"]] == ["A", "B"]
    (pair,) = data["pairs"]
    said = [d["words"] for d in pair["differences"]]
    for thing in WORSE[name]:
        assert any(thing in words for words in said)
    assert "warm" in pair["first_better_on"]
    assert {"power", "heaters"} <= set(pair["second_better_on"])
    # Every option's figures are those of its own evaluation.
    scene = read_scene(SCENES / f"{name}.toml")
    for option in data["options"]:
        found = evaluate(choose(scene, option["name"]))
        assert option["warm"] == sum(str(p.comfort) == "warm" for p in found.people)
        assert option["floor_warmed"] == found.warmed.warmed
        assert len(option["failures"]) == len(found.failures)
        assert option["coldest"]["gain_k"] == min(p.gain for p in found.people)


def test_swapped_by_command_the_numbers_change_places(capsys: pytest.CaptureFixture[str]) -> None:
    (one,) = compared(capsys, "lodge_porch", "A", "B")["pairs"]
    (other,) = compared(capsys, "lodge_porch", "B", "A")["pairs"]
    assert one["first_better_on"] == other["second_better_on"]
    assert one["second_better_on"] == other["first_better_on"]
    assert len(one["differences"]) > 8
    for here, there in zip(one["differences"], other["differences"], strict=True):
        assert here["topic"] == there["topic"]
        assert here["object"] == there["object"]
        assert here["values"] == there["values"][::-1]
        assert here["words"] != there["words"]


def test_the_report_reads_without_json(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(capsys, "compare", str(SCENES / "lodge_porch.toml"))
    assert status == 0
    assert "A is better on failing checks, warm places" in out
    assert "B fails a check that holds with A" in out
    assert "Cautions" in out


def test_an_unknown_option_is_refused_with_a_guess(capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = run(capsys, "compare", str(SCENES / "lodge_porch.toml"), "--option", "C")
    assert status == 2
    assert 'choose from "A", "B"' in err


def test_what_helps_in_the_porch(capsys: pytest.CaptureFixture[str]) -> None:
    path, place = SCENES / "lodge_porch.toml", "refectory table seat 6"
    arguments = ("remedies", str(path), "--option", "B", "--place", place)
    status, out, err = run(capsys, *arguments, "--json")
    assert status == 0
    assert f"looking at {place}" in err
    (found,) = json.loads(out)["places"]
    assert found["verdict"] == "borderline"
    kinds = [remedy["kind"] for remedy in found["remedies"]]
    assert kinds[0] == "seat"
    assert kinds[-1] == "add"
    assert all(r["gain_after_k"] >= found["needed_gain_k"] for r in found["remedies"])
    # Pasted into the scene, each does what option B does, and helps.
    status, pasted, _ = run(capsys, *arguments, "--toml")
    assert status == 0
    scene = parse_scene(path.read_text(encoding="utf-8") + "\n" + pasted, SCENES)
    assert [o.note for o in scene.option[2:]] == [r["words"] for r in found["remedies"]]
    for option, remedy in zip(scene.option[2:], found["remedies"], strict=True):
        people = evaluate(choose(scene, option.name)).people
        (gain,) = (p.gain for p in people if p.place.name == place)
        assert gain == pytest.approx(remedy["gain_after_k"], abs=1e-9)


def test_an_unknown_place_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(SCENES / "lodge_porch.toml")
    status, _, err = run(capsys, "remedies", path, "--place", "bar seat 9")
    assert status == 2
    assert 'there is no place "bar seat 9"' in err
