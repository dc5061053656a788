"""The command line, as a user meets it: every demo scene, its options, and what goes wrong."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from heatcore import cli

SCENES = Path(__file__).parents[2] / "scenes"
NAMES = ("lodge_porch", "cafe_terrace", "courtyard_pergola")
VERDICTS = ("FAILS", "MEASURE ON SITE", "ADVISORY", "holds")


def run(*words: object, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    """Exit status, standard output and standard error of one command."""
    status = cli.main([str(word) for word in words])
    out, err = capsys.readouterr()
    return status, out, err


@pytest.fixture
def scene(tmp_path: Path) -> Path:
    """A copy of a demo scene that a test may spoil."""
    return Path(shutil.copy(SCENES / "cafe_terrace.toml", tmp_path))


def spoil(scene: Path, old: str, new: str) -> Path:
    """Replace one piece of the scene's text."""
    text = scene.read_text(encoding="utf-8")
    assert old in text
    scene.write_text(text.replace(old, new, 1), encoding="utf-8")
    return scene


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("option", [None, "A"])
def test_the_recommended_layout_holds(name, option, capsys):
    words = ["check", SCENES / f"{name}.toml", *(["--option", option] if option else [])]
    status, out, err = run(*words, capsys=capsys)
    assert status == 0, out
    assert err == ""
    assert "FAILS" not in out
    assert "listing govern" in out


@pytest.mark.parametrize("name", NAMES)
def test_the_cheaper_layout_is_worse_and_says_why(name, capsys):
    data = {}
    for option in "AB":
        _, out, _ = run(
            "evaluate", SCENES / f"{name}.toml", "--option", option, "--json", capsys=capsys
        )
        data[option] = json.loads(out)
    lit = {o: sum(p["verdict"] == "in the beam" for p in d["places"]) for o, d in data.items()}
    assert lit["B"] < lit["A"]
    missed = [p for p in data["B"]["places"] if p["verdict"] != "in the beam"]
    assert all(p["why"] for p in missed)


def test_a_heater_that_meets_the_service_door_fails(capsys):
    status, out, _ = run(
        "check", SCENES / "lodge_porch.toml", "--option", "B", "--json", capsys=capsys
    )
    assert status == 1
    failing = [f for f in json.loads(out)["findings"] if f["verdict"] == "fails"]
    assert {("H3", "service door swing")} <= {(f["heater"], f["object"]) for f in failing}
    assert all(f["margin"] < 0 for f in failing)


def test_the_return_spoils_the_obvious_place(capsys):
    status, out, _ = run(
        "check", SCENES / "cafe_terrace.toml", "--option", "B", "--json", capsys=capsys
    )
    assert status == 1
    failing = [f for f in json.loads(out)["findings"] if f["verdict"] == "fails"]
    assert ("W2", "kitchen return", "clearance.end") in {
        (f["heater"], f["object"], f["code"]) for f in failing
    }


def test_the_same_scene_gives_the_same_json(capsys):
    words = ("evaluate", SCENES / "courtyard_pergola.toml", "--json")
    first, second = (run(*words, capsys=capsys)[1] for _ in range(2))
    assert first == second


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('type = "wall linear"', 'type = "wall linaer"', "wall linear"),
        ('height = "2.1 m"', 'hieght = "2.1 m"', "height"),
        ('width = "1.0 m"', 'width = "-1.0 m"', "width"),
        ('width = "1.0 m"', 'width = "3 fot"', "3 fot"),
        ('width = "1.0 m"', "width = nan", "width"),
        ('mounted_on = "facade"', 'mounted_on = "fassade"', "facade"),
        ('name = "table 2"', 'name = "table 1"', "table 1"),
        ("chairs = 3", 'chairs = 3\nmesh = "../../etc/passwd"', "folder"),
        ("chairs = 3", 'chairs = 3\nmesh = "missing.obj"', "missing.obj"),
        ("[[roof]]", "[[roof", "line"),
    ],
)
def test_a_mistake_is_one_clear_message(scene, old, new, said, capsys):
    status, out, err = run("check", spoil(scene, old, new), capsys=capsys)
    assert status == 2
    assert out == ""
    assert said in err
    assert "Traceback" not in err


def test_all_mistakes_are_told_in_one_pass(scene, capsys):
    spoil(scene, 'tilt = "30 deg"', 'tilt = "thirty"')
    spoil(scene, 'units = "metric"', 'units = "metrical"')
    status, out, _ = run("check", scene, "--json", capsys=capsys)
    assert status == 2
    mistakes = json.loads(out)["mistakes"]
    assert len(mistakes) == 2
    assert all(m["line"] and m["remedy"] for m in mistakes)


def test_an_unknown_option_names_those_there_are(capsys):
    status, _, err = run("check", SCENES / "lodge_porch.toml", "--option", "Z", capsys=capsys)
    assert status == 2
    assert "A" in err
    assert "B" in err


@pytest.mark.parametrize("what", ["nowhere.toml", ""])
def test_no_such_scene(what, tmp_path, capsys):
    status, _, err = run("check", tmp_path / what, capsys=capsys)
    assert status == 2
    assert err.strip()


def test_a_mesh_file_that_is_no_mesh(scene, capsys):
    (scene.parent / "chair.obj").write_bytes(b"\x00\x01 not a mesh")
    status, _, err = run(
        "check", spoil(scene, "chairs = 3", 'chairs = 3\nmesh = "chair.obj"'), capsys=capsys
    )
    assert status == 2
    assert "table 4" in err


def test_building_says_what_to_install_where_there_is_no_bpy(scene, tmp_path):
    # A Python that cannot find bpy: the module is blocked before anything is imported.
    code = (
        "import sys, importlib.util as u; real = u.find_spec\n"
        "u.find_spec = lambda name, *rest: None if name == 'bpy' else real(name, *rest)\n"
        "from heatcore import cli; sys.exit(cli.main(sys.argv[1:]))"
    )
    out = tmp_path / "x.blend"
    done = subprocess.run(
        [sys.executable, "-c", code, "build", str(scene), "--out", str(out)],
        capture_output=True,
        text=True,
        timeout=100,
        cwd=Path(__file__).parents[2],
        check=False,
    )
    assert done.returncode == 2
    assert "pip install bpy" in done.stderr
    assert not out.exists()


def test_python_runs_the_package_itself():
    done = subprocess.run(
        [sys.executable, "-m", "heatcore", "--help"],
        capture_output=True,
        text=True,
        timeout=100,
        cwd=Path(__file__).parents[2],
        check=False,
    )
    assert done.returncode == 0
    assert "usage: heatcore" in done.stdout
    assert "Exit status" in done.stdout


def test_the_json_has_all_that_the_tables_show(capsys):
    scene = SCENES / "lodge_porch.toml"
    _, shown, _ = run("check", scene, "--option", "B", capsys=capsys)
    checked, whole = (
        json.loads(run(command, scene, "--option", "B", "--json", capsys=capsys)[1])
        for command in ("check", "evaluate")
    )
    assert whole.keys() - checked.keys() == {"beams", "maps"}
    assert all(whole[key] == checked[key] for key in checked)
    for listed in ("assumptions", "cautions"):
        assert checked[listed]
        assert all(line in shown for line in checked[listed])
    assert checked["questions"]
    assert all(asked["question"] in shown for asked in checked["questions"])
    assert checked["measure_on_site"]
    assert all(item["words"] in shown for item in checked["measure_on_site"])
    told = {r["reason"] for h in checked["heaters"] for r in h["passed_over"]}
    said = {line.partition(": ")[2] for line in shown.splitlines() if " bracket" in line[2:]}
    assert told & said
    assert {reason for reason in said if "FAILS" not in reason} <= told | {""}
    for heater in checked["heaters"]:
        assert f"{heater['heading_deg']:.0f}°" in shown
        assert heater["arms"]
    rows = [line.split() for line in shown.splitlines() if line.startswith(VERDICTS)]
    assert len(rows) == len(checked["findings"])
    codes = {f["code"] for f in checked["findings"]}
    assert {next(word for word in row if word in codes) for row in rows} == codes
    for found in checked["findings"]:
        margin = found["measured"] - found["required"]
        assert found["margin"] == pytest.approx(-margin if found["at_most"] else margin)
