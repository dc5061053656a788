"""Everything with less than so much to spare: what drawing tolerances could bring too near."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.checks.clearance import clearances, margins
from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.frames import heading_axes
from heatcore.geometry.parts import Kind, Mesh
from tests.core.checks_site import block, floor, model, mount, part


def key(finding: Finding):
    return (
        finding.heater,
        finding.code,
        finding.side,
        finding.object,
        finding.combustible,
        finding.verdict,
    )


def figures(findings: list[Finding]):
    return {key(f): (f.measured, f.required, *f.point, *f.heater_point) for f in findings}


def test_whatever_has_less_than_the_slack_is_told_of_and_not_only_the_nearest():
    # 0.45 is required at the sides: margins of 0.01, 0.02, 0.04 and, beyond the slack, 0.08.
    gaps = (0.46, 0.47, 0.49, 0.53)
    posts = [
        part(f"post {i}", block((x, 0.1 + gap, 0), (x + 0.1, 0.9, 3)), kind=Kind.POST)
        for i, (x, gap) in enumerate(zip((-0.5, -0.2, 0.1, 0.4), gaps, strict=True))
    ]
    one, site = mount(), model(*posts)
    sides = [f for f in margins(one, site, [one], 0.05) if f.code == "clearance.side"]
    assert [f.object for f in sides] == ["post 0", "post 1", "post 2"]
    assert [f.margin for f in sides] == pytest.approx([0.01, 0.02, 0.04])
    assert {f.verdict for f in sides} == {Verdict.HOLDS}
    assert [f.object for f in clearances(one, site, [one]) if f.code == "clearance.side"] == [
        "post 0"
    ]


def test_corners_and_the_shortest_distance_have_slack_too():
    # 0.46 from the side and 0.36 from the end: 0.01 to spare at the corner, beside a nearer wall.
    post = part("post", block((0.96, 0.56, 0), (1.1, 0.7, 3)), kind=Kind.POST)
    wall = part("wall", block((-3, -0.8, 0), (3, -0.552, 3)))
    # 0.21 and 0.22 of 0.20 from the body's upper edge, and in neither volume.
    purlins = [
        part(f"purlin {i}", block((-0.5, 0.1 + gap / 2**0.5, 2.5 + gap / 2**0.5), (0.5, 0.6, 3)))
        for i, gap in enumerate((0.21, 0.22))
    ]
    one, site = mount(), model(post, wall, *purlins)
    found = margins(one, site, [one], 0.03)
    assert [(f.code, f.object, round(f.margin, 9)) for f in found] == [
        ("clearance.side", "wall", 0.002),
        ("clearance.corner", "post", 0.01),
        ("clearance.shortest", "purlin 0", 0.01),
        ("clearance.shortest", "purlin 1", 0.02),
    ]


def test_other_heaters_have_slack_too():
    a, b, c = mount("A"), mount("B", (0.0, 0.42, 2.4)), mount("C", (0.0, -0.43, 2.4))
    found = margins(a, model(), [a, b, c], 0.05)
    sides = {f.object: f.margin for f in found if f.code == "clearance.side"}
    assert sides == pytest.approx({"B": 0.02, "C": 0.03})


def test_a_door_is_one_thing_with_its_swing():
    leaf = part("leaf", block((0, 0.56, 0), (0.9, 0.6, 2)), kind=Kind.DOOR, owner="door")
    swept = part(
        "swing", block((0, 0.56, 0), (0.9, 1.4, 2)), kind=Kind.DOOR, owner="door", swept=True
    )
    one = mount()
    found = margins(one, model(leaf, swept), [one], 0.05)
    assert len([f for f in found if f.code == "clearance.side"]) == 1


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_what_clearances_say_is_among_it_with_the_same_figures(seed):
    rng = np.random.default_rng(seed)
    parts = [floor()]
    for i in range(25):
        solid = block(*np.sort(rng.normal(size=(2, 3)) * 0.2, axis=0))
        turn, at = heading_axes(*rng.uniform(-3, 3, 2)), rng.uniform((-2, -2, 1), (2, 2, 3.5))
        mesh = Mesh(solid.vertices @ turn + at, solid.triangles)
        parts.append(part(f"part {i}", mesh, combustible=bool(rng.integers(2))))
    heaters = [
        mount(name, rng.uniform((-1, -1, 2), (1, 1, 3)), heading_axes(*rng.uniform(-2, 2, 2)))
        for name in "AB"
    ]
    site = model(*parts)
    for heater in heaters:
        said = figures(clearances(heater, site, heaters))
        slack = float(rng.uniform(0.0, 0.3))
        more = margins(heater, site, heaters, slack)
        assert len(figures(more)) == len(more)
        for one, values in said.items():
            np.testing.assert_allclose(figures(more)[one], values, rtol=0, atol=1e-9)
            assert figures(more)[one][1] == values[1]
        for f in more:
            assert f.margin < slack or key(f) in said
        assert figures(margins(heater, site, heaters, 0.0)) == said
        wider = figures(margins(heater, site, heaters, slack + 0.2))
        for f in more:
            assert wider[key(f)][:2] == pytest.approx((f.measured, f.required), abs=1e-12)


@pytest.mark.parametrize("slack", [-0.01, np.inf, np.nan])
def test_a_slack_is_a_length(slack):
    one = mount()
    with pytest.raises(ValueError, match="slack"):
        margins(one, model(), [one], slack)
