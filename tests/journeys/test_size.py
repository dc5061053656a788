"""How many heaters, as a user asks for it: a demo scene, a small one, and what goes wrong."""

import json
from pathlib import Path

import pytest

from heatcore import cli
from heatcore.scene import parse_scene, write_scene
from tests.core.sizing_site import patio

PORCH = Path(__file__).parents[2] / "scenes" / "lodge_porch.toml"


@pytest.fixture
def run(capsys):
    """Run `heatcore size`; return exit status, standard output and standard error."""

    def size(*words):
        status = cli.main(["size", *map(str, words)])
        return status, *capsys.readouterr()

    return size


@pytest.fixture
def small(tmp_path):
    """A small patio with an option, two seats and a third beyond its roof."""
    scene = patio(
        width=3.0,
        depth=2.4,
        seats=((0.8, 1.2), (2.2, 1.2), (9.0, 1.2)),
        supply='voltage = "240 V"\nelectricity_price = 0.2\ngas_price = 0.1\ncurrency = "EUR"',
        more='[[option]]\nname = "windy"\n[option.set.site.climate]\nwind = "2 m/s"\n',
    )
    path = tmp_path / "small.toml"
    path.write_text(write_scene(scene), encoding="utf-8")
    return path


def test_json_of_a_demo_scene_and_its_heaters_go_into_the_file(run):
    status, out, err = run(PORCH, "--json")
    data = json.loads(out)
    ways = {answer["way"]: answer for answer in data["answers"]}
    assert (status, err) == (0, "")
    assert list(ways) == ["drawn", "rule", "seats", "floor"]
    assert ways["rule"]["layout"] is None
    assert ways["seats"]["heaters"] < ways["floor"]["heaters"]
    assert ways["seats"]["layout"]["floor_warm"] < ways["floor"]["layout"]["floor_warm"]
    assert list(ways["seats"]["layout"]["left"]) == ["guest on the path"]
    # The scene's evening of four hours, and its price.
    assert ways["seats"]["cost"] == pytest.approx(ways["seats"]["input_w"] / 1000 * 4 * 0.17)
    # North American practice: 125 %, the next rating of NEC Table 240.6(A).
    for circuit in ways["drawn"]["circuits"]:
        assert circuit["design_a"] == pytest.approx(1.25 * circuit["current_a"])
        assert circuit["rating_a"] >= circuit["design_a"]
    added = parse_scene(PORCH.read_text(encoding="utf-8") + data["seats_toml"])
    assert len(added.heater) == 4 + ways["seats"]["heaters"]


def test_the_table_and_what_it_means(run, small):
    status, out, err = run(small, "--strict", "--type", "short linear")
    assert (status, err) == (0, "")
    for row in ("area rule", "just the seats", "the whole floor"):
        assert any(line.startswith(row) for line in out.splitlines())
    assert "as drawn" not in out  # nothing is
    assert "common practice, no source" in out
    assert "a licensed electrician decides" in out
    assert "listing govern" in out
    assert "seat 3 stays cold" in out
    assert "EUR " in out


def test_only_the_heaters_for_the_scene_file(run, small):
    calm = run(small, "--toml", "--type", "short linear")
    windy = run(small, "--toml", "--type", "short linear", "--option", "windy")
    for status, out, _ in (calm, windy):
        assert status == 0
        assert len(parse_scene(small.read_text(encoding="utf-8") + out).heater) == out.count("[[")
    assert calm[1] != windy[1]  # other places, or more of them


def test_an_unknown_type_or_option_is_bad_input(run, small):
    status, out, err = run(small, "--type", "long liner")
    assert (status, out) == (2, "")
    assert 'did you mean "long linear"?' in err
    status, out, _ = run(small, "--option", "Z", "--json")
    assert status == 2
    assert json.loads(out)["mistakes"]


def test_a_gas_heater_takes_no_current_that_is_known(run, small):
    status, out, _ = run(small, "--type", "gas linear")
    assert status == 0
    rule = next(line for line in out.splitlines() if line.startswith("area rule"))
    assert "kWh of gas" in rule
    assert " A " not in rule
    assert "gas sends out less of its input as radiation" in out
