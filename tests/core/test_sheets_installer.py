"""What the installer marks, and what is said of a place where something is missing. Invented."""

from dataclasses import replace

import pytest

from heatcore.checks import check
from heatcore.checks.finding import Verdict
from heatcore.geometry.build import build
from heatcore.mounting import hang
from heatcore.scene import parse_scene
from heatcore.sheets.marking import marking, record
from heatcore.units import UnitSystem

OPEN = """
[site]
name = "Open yard"
units = "metric"

[floor]
outline = [["0 m", "0 m"], ["6 m", "0 m"], ["6 m", "5 m"], ["0 m", "5 m"]]
material = "stone"

[[beam]]
name = "beam"
from = ["0 m", "2 m"]
to = ["6 m", "2 m"]
underside = "2.7 m"
material = "timber"

[[heater]]
name = "H1"
type = "wall linear"
at = ["3 m", "2 m"]
mount = "beam"
tilt = "30 deg"
"""

BOARDS = """
[site]
name = "Boarded porch"
units = "metric"
CONFIRMED

[floor]
outline = [["0 m", "0 m"], ["6 m", "0 m"], ["6 m", "5 m"], ["0 m", "5 m"]]
material = "stone"

[[roof]]
name = "roof"
form = "flat"
plate = "3 m"
material = "timber boards"

[[heater]]
name = "H1"
type = "short linear"
at = ["3 m", "2 m"]
"""


def test_a_corner_under_the_open_sky_is_said_to_be_open():
    scene = parse_scene(OPEN)
    mounts = hang(scene, build(scene))
    shown = marking(mounts, UnitSystem.METRIC)
    assert "open" in shown
    data = record(mounts[0].answer)
    assert data["feet_spacing_level_m"] == pytest.approx(mounts[0].type.spacing)
    assert record(None) is None


def only_into_timber(confirmed: str):
    scene = parse_scene(BOARDS.replace("CONFIRMED", confirmed))
    types = {n: replace(b, structure_only=True) for n, b in scene.bracket_types.items()}
    scene = replace(scene, bracket_types=types)
    model = build(scene)
    mounts = hang(scene, model)
    return [f for f in check(scene, model, mounts) if f.code == "mount.structure"]


def test_structure_that_the_client_confirmed_holds():
    failing = only_into_timber("")
    assert [f.verdict for f in failing] == [Verdict.FAILS] * len(failing)
    assert failing
    assert "none drawn at roof" in failing[0].note
    assert only_into_timber('confirmed = ["structure"]') == []
