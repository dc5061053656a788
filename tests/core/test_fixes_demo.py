"""What the demo scenes' second options fail in is cleared by what is offered."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from heatcore.evaluate import Evaluation, evaluate
from heatcore.remedies import Kind, fixable, fixes
from heatcore.remedies.pasted import together
from heatcore.scene import choose, read_scene
from tests.core.fixes_site import proved

SCENES = Path(__file__).resolve().parents[2] / "scenes"


@pytest.mark.parametrize(
    ("name", "heater", "kinds"),
    [
        ("lodge_porch", "H3", {Kind.MOVE, Kind.OPENING}),  # beside the service door's swing
        ("cafe_terrace", "W2", {Kind.MOVE}),  # on the wall, beside the kitchen's return
    ],
)
def test_the_second_option_is_mended(name: str, heater: str, kinds: set[Kind]) -> None:
    drawn = read_scene(SCENES / f"{name}.toml")
    base = next(option for option in drawn.option if option.name == "B")
    chosen = choose(drawn, "B")
    # As drawn: what tolerances do is for the tests of the tolerances, and takes its time.
    site = replace(chosen.site, tolerance=0.0, angle_tolerance=0.0)
    scene = replace(chosen, site=site)
    before = evaluate(scene)
    wanted = [f for f in before.findings if fixable(f) and f.heater == heater]
    found = fixes(before, wanted)
    assert [one.finding for one in found] == wanted
    known: dict[str, Evaluation] = {}
    for one in found:
        assert one.fixes
        proved(scene, before, one, known)
    assert kinds <= {fix.change.kind for one in found for fix in one.fixes}
    whole = [fix for fix in found[0].fixes if not fix.leaves]
    assert whole
    # Laid over option B in the scene as drawn, it is the same scene again.
    both = together(base, whole[0].change.option)
    again = choose(replace(drawn, option=(both,)), both.name)
    assert again.heater == whole[0].evaluation.scene.heater
