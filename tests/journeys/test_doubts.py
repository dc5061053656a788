"""A doubtful place, from its check over what is measured and asked to a fix that clears it."""

import json
from pathlib import Path

import pytest

from heatcore import cli

# A timber wall stands 520 mm from the side of a heater that asks for 500 mm. Invented.
PLACE = """
[site]
name = "Back yard"
units = "metric"
tolerance = "15 mm"
confirmed = ["fans", "fittings", "structure"]

[floor]
outline = [["0 m", "0 m"], ["6 m", "0 m"], ["6 m", "5 m"], ["0 m", "5 m"]]
material = "stone"

[[roof]]
name = "roof"
form = "flat"
plate = "2.9 m"
material = "concrete"

[[wall]]
name = "shed wall"
from = ["5 m", "3.62 m"]
to = ["1 m", "3.62 m"]
height = "2.7 m"
material = "timber"

[[seat]]
name = "bench"
at = ["3 m", "2.4 m"]

[[heater]]
name = "H1"
type = "long linear"
at = ["3 m", "3 m"]
heading = "0 deg"
"""


@pytest.fixture
def place(tmp_path: Path) -> Path:
    path = tmp_path / "yard.toml"
    path.write_text(PLACE, encoding="utf-8")
    return path


def run(*words: object, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    status = cli.main([str(word) for word in words])
    return status, capsys.readouterr().out


def side(data: dict) -> dict:
    """The finding about the wall beside the heater."""
    found = [f for f in data["findings"] if (f["code"], f["object"]) == ("clearance.side", WALL)]
    return min(found, key=lambda f: f["margin"])


WALL = "shed wall"


def test_what_holds_only_as_drawn_is_told_and_what_to_measure(place, capsys):
    status, out = run("evaluate", place, "--json", capsys=capsys)
    data = json.loads(out)
    found = side(data)
    # 20 mm to spare; the wall's line and the heater's setting-out may each be off by 15 mm.
    assert status == 0
    assert found["verdict"] == "measure on site"
    assert found["margin"] == pytest.approx(0.02, abs=1e-6)
    assert found["doubt"]["margin"] <= 0.02 - 2 * 0.015 + 1e-6
    paths = [item["path"] for item in data["measure_on_site"]]
    assert any("shed wall" in path for path in paths)
    assert any('heater "H1"' in path for path in paths)
    assert run("check", place, "--strict", capsys=capsys)[0] == 1
    assert "Measure on site" in run("check", place, capsys=capsys)[1]


def test_what_was_measured_is_believed(place, capsys):
    text = PLACE.replace('height = "2.7 m"', 'height = "2.7 m"\nmeasured = ["from", "to"]')
    text = text.replace('heading = "0 deg"', 'heading = "0 deg"\nmeasured = ["at", "heading"]')
    place.write_text(text, encoding="utf-8")
    data = json.loads(run("evaluate", place, "--json", capsys=capsys)[1])
    assert side(data)["verdict"] == "holds"


def test_what_is_not_stated_burns_and_is_asked_for(place, capsys):
    stone = PLACE.replace('height = "2.7 m"\nmaterial = "timber"', 'height = "2.7 m"')
    place.write_text(stone.replace("3.62 m", "3.5 m"), encoding="utf-8")
    status, out = run("evaluate", place, "--json", capsys=capsys)
    data = json.loads(out)
    assert status == 1
    assert side(data)["verdict"] == "fails"
    asked = [q for q in data["questions"] if WALL in q["key"]]
    assert len(asked) == 1
    assert asked[0]["question"].endswith("?")
    assert asked[0]["question"] in run("check", place, capsys=capsys)[1]


def test_a_fix_pasted_into_the_scene_clears_the_doubt(place, capsys):
    status, out = run("remedies", place, "--heater", "H1", "--json", capsys=capsys)
    assert status == 0
    told = json.loads(out)
    assert "places" not in told
    cured = next(f for f in told["findings"] if f["finding"]["object"] == WALL)
    assert cured["fixes"]
    _, pasted = run("remedies", place, "--heater", "H1", "--toml", capsys=capsys)
    place.write_text(PLACE + "\n" + pasted, encoding="utf-8")
    for fix in cured["fixes"]:
        name = fix["option"]["name"]
        offered = next(n for n in names(pasted) if name in n or n in name)
        _, out = run("evaluate", place, "--option", offered, "--json", capsys=capsys)
        after = json.loads(out)
        unmet = [f for f in after["findings"] if f["verdict"] in ("fails", "measure on site")]
        assert not [f for f in unmet if f["object"] == WALL and f["code"] == "clearance.side"]


def names(pasted: str) -> list[str]:
    lines = [line for line in pasted.splitlines() if line.startswith("name = ")]
    return [json.loads(line.removeprefix("name = ")) for line in lines]


def test_a_heater_that_is_not_there_is_refused(place, capsys):
    assert cli.main(["remedies", str(place), "--heater", "H9"]) == 2
    assert "H1" in capsys.readouterr().err
