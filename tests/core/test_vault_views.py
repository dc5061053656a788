"""A vault goes through evaluation and the stills: an arc that has no one pitch."""

from __future__ import annotations

from pathlib import Path

import pytest

from heatcore.checks.finding import Verdict
from heatcore.evaluate import Evaluation, evaluate
from heatcore.scene import read_scene
from heatcore.views import plan_views

VAULT = """
[site]
name = "vault"
[floor]
outline = [["0 m", "0 m"], ["6 m", "0 m"], ["6 m", "4 m"], ["0 m", "4 m"]]
[[roof]]
name = "vault"
form = "vault"
plate = "2.6 m"
ridge = "3.4 m"
material = "timber boards"
[[rafters]]
name = "ribs"
roof = "vault"
spacing = "1.5 m"
first = "0.75 m"
[[wall]]
name = "end"
from = ["0 m", "0 m"]
to = ["0 m", "4 m"]
material = "brick"
[[heater]]
name = "H1"
type = "short linear"
at = ["3 m", "2 m"]
[[heater]]
name = "H2"
type = "short linear"
at = ["3 m", "1.2 m"]
heading = "90 deg"
"""


@pytest.fixture(scope="module")
def vaulted(tmp_path_factory: pytest.TempPathFactory) -> Evaluation:
    path: Path = tmp_path_factory.mktemp("vault") / "vault.toml"
    path.write_text(VAULT)
    return evaluate(read_scene(path))


def test_heaters_hang_under_it(vaulted: Evaluation) -> None:
    assert len(vaulted.mounts) == 2
    for mount in vaulted.mounts:
        assert not {f.code for f in mount.faults} & {"plate", "surface"}, mount.faults
    above = [f for f in vaulted.findings if f.code == "clearance.above"]
    assert above
    assert all(f.verdict is not Verdict.FAILS for f in above)


def test_its_elevations_show_no_pitch(vaulted: Evaluation) -> None:
    views = {view.name: view for view in plan_views(vaulted)}
    assert {"hero", "plan", "elevation_1", "elevation_2"} <= views.keys()
    for name in ("elevation_1", "elevation_2"):
        assert "pitch" not in views[name].caption
