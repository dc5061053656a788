"""Clearances as findings: who is named, what is required of whom, and in which order."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.checks import check
from heatcore.checks.clearance import clear
from heatcore.checks.clearance import clearances as said
from heatcore.checks.finding import Verdict
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh
from heatcore.scene.types import Distances
from tests.core.checks_site import HEIGHT, SCENE, block, floor, model, mount, part, swing

CEILING = part("porch ceiling", block((-3, -3, 2.8), (3, 3, 2.95)), kind=Kind.ROOF)


def clearances(parts, *mounts):
    mounts = mounts or (mount(),)
    found = check(SCENE, model(*parts), mounts)
    return [f for f in found if f.code.startswith("clearance.")]


def failing(parts, *mounts):
    return [f for f in clearances(parts, *mounts) if f.verdict is Verdict.FAILS]


def test_each_kind_of_material_is_held_to_its_own_distances():
    wall = block((-3, 0.4, 0), (3, 0.6, 3))  # 0.30 m from the side; 0.45 and 0.20 are required
    (timber,) = (f for f in failing([part("wall", wall)]) if f.code == "clearance.side")
    assert (timber.object, timber.side, timber.combustible) == ("wall", "+side", True)
    assert timber.measured == pytest.approx(0.3)
    assert timber.required == 0.45
    assert timber.margin == pytest.approx(-0.15)
    assert timber.point == pytest.approx([0, 0.4, 2.45])
    assert timber.heater_point == pytest.approx([0, 0.1, 2.45])
    stone = clearances([part("wall", wall, combustible=False)])
    assert not failing([part("wall", wall, combustible=False)])
    assert [(f.code, f.required, f.combustible) for f in stone] == [
        ("clearance.side", 0.2, False),
        ("clearance.shortest", 0.1, False),
    ]


def test_what_holds_names_the_nearest_and_one_only():
    far = part("far wall", block((-3, 1.4, 0), (3, 1.5, 3)))
    near = part("near wall", block((-3, 1.1, 0), (3, 1.2, 3)))
    found = clearances([far, near, CEILING, floor()])
    assert [(f.code, f.side, f.object) for f in found] == [
        ("clearance.above", "above", "porch ceiling"),
        ("clearance.shortest", "", "porch ceiling"),
        ("clearance.side", "+side", "near wall"),
        ("clearance.below", "below", "floor"),
        ("clearance.shortest", "", "floor"),
    ]
    assert {f.verdict for f in found} == {Verdict.HOLDS}


def test_every_object_that_is_too_near_is_named_worst_first():
    posts = [
        part(f"post {i}", block((x, 0.1 + gap, 0), (x + 0.1, 0.7, 3)), kind=Kind.POST)
        for i, (x, gap) in enumerate([(-0.4, 0.3), (0.0, 0.1), (0.3, 0.2)])
    ]
    found = [f for f in failing(posts) if f.code == "clearance.side"]
    assert [f.object for f in found] == ["post 1", "post 2", "post 0"]
    assert [f.margin for f in found] == pytest.approx([-0.35, -0.25, -0.15])


def test_heaters_stand_in_the_order_of_the_scene_and_nothing_is_said_twice():
    wall = part("wall", block((-3, 0.4, 0), (3, 0.6, 3)))
    found = clearances([wall, CEILING, floor()], mount("B"), mount("A", (0, -2, 2.4)))
    assert list(dict.fromkeys(f.heater for f in found)) == ["B", "A"]
    said = [(f.heater, f.code, f.side, f.object, f.combustible) for f in found]
    assert len(set(said)) == len(said)
    for heater in "AB":
        ranks = [(f.verdict is Verdict.HOLDS, f.margin) for f in found if f.heater == heater]
        assert ranks == sorted(ranks)


@pytest.mark.parametrize(
    ("shift", "verdict"),
    [(0.0, Verdict.HOLDS), (-0.001, Verdict.FAILS), (0.001, Verdict.HOLDS)],
)
def test_a_door_leaf_that_grazes_the_lower_volume(shift, verdict):
    # Hinged at y = 1.45, the leaf's edge comes to y = 0.55 when it stands open at 90 degrees,
    # exactly 0.45 from the side, 0.37 below the lower face and so within the lower volume.
    leaf = part("door leaf", block((0, 1.405, 0), (0.9, 1.45, 2.03)), kind=Kind.DOOR, owner="door")
    sector = swing((0.0, 1.45), 0.0, -90.0)
    sweep = part("door swing", sector, kind=Kind.DOOR, owner="door", swept=True)
    found = clearances([leaf, sweep], mount("H1", (0.0, -shift, HEIGHT)))
    (side,) = (f for f in found if f.code == "clearance.side")
    assert (side.object, side.verdict) == ("door swing", verdict)
    assert side.measured == pytest.approx(0.45 + shift, abs=1e-6)
    assert "whole swing" in side.note
    assert side.point == pytest.approx([0.0, 0.55, 2.03], abs=1e-5)


def test_a_door_that_opens_the_other_way_is_out_of_the_question():
    away = part("door swing", swing((0.0, 1.45), 0.0, 90.0), kind=Kind.DOOR, swept=True)
    assert not failing([away])
    assert next(f.measured for f in clearances([away])) == pytest.approx(1.35)


def test_a_door_hung_on_the_other_hand_meets_the_corner_instead():
    # Over the body's length, then from the same hinge the other way: only beside side and end.
    before = part("door swing", swing((0.7, 1.25), 180.0, 90.0), kind=Kind.DOOR, swept=True)
    assert "clearance.side" in {f.code for f in failing([before])}
    beside = part("door swing", swing((0.7, 1.25), 0.0, -90.0), kind=Kind.DOOR, swept=True)
    (corner,) = failing([beside])
    # The open leaf's tip stands 0.25 of 0.45 from the side and 0.10 of 0.35 from the end.
    assert corner.code == "clearance.corner"
    assert corner.offsets == pytest.approx((0.25, 0.1), abs=1e-5)
    assert corner.measured == pytest.approx(0.25, abs=1e-5)
    assert corner.required == 0.45


def test_timber_between_the_two_volumes_is_caught_by_the_shortest_distance():
    timber = part("purlin", block((-1, 0.15, 2.55), (1, 0.3, 2.7)))
    (found,) = failing([timber])
    assert found.code == "clearance.shortest"
    assert found.measured == pytest.approx(0.05 * 2**0.5)
    assert found.required == 0.2


def test_the_shortest_distance_stands_beside_the_faces():
    wall = part("wall", block((-3, 0.4, 0), (3, 0.6, 3)))
    (shortest,) = (f for f in clearances([wall]) if f.code == "clearance.shortest")
    assert shortest.verdict is Verdict.HOLDS
    assert shortest.measured == pytest.approx(0.3)


def test_people_walk_and_the_floor_does_not():
    standing = block((-0.2, -0.2, 0), (0.2, 0.2, 1.8))
    assert failing([part("stool", standing, kind=Kind.FURNITURE)])
    assert not clearances([part("Ann", standing, kind=Kind.PERSON)])
    low = mount("H1", (0, 0, 0.4))
    assert failing([floor()], low)[0].object == "floor"


def test_what_reaches_under_the_body_is_said_to():
    # A table 0.6 m below crosses the planes of the sides under the body: they read 0 by definition.
    table = part("table", block((-0.2, -0.4, 0), (0.2, 0.4, 1.8)), kind=Kind.FURNITURE)
    found = failing([table])
    assert {f.side: f.note for f in found} == {
        "+side": "it reaches under the body",
        "-side": "it reaches under the body",
        "below": "",
    }


def test_heaters_are_held_against_each_other():
    a, b = mount("A"), mount("B", (0.0, 0.35, HEIGHT))  # bodies 0.15 apart, 0.20 required
    found = failing([], a, b)
    assert [(f.heater, f.object, f.side, f.combustible) for f in found] == [
        ("A", "B", "+side", False),
        ("B", "A", "-side", False),
    ]
    assert [f.margin for f in found] == pytest.approx([-0.05, -0.05])
    assert not failing([], a, mount("B", (0.0, 0.4, HEIGHT)))


def test_heaters_are_as_far_from_each_other_as_the_other_way_round():
    rng = np.random.default_rng(9)
    apart = 0
    for _ in range(60):
        a, b = (
            mount(name, rng.uniform((-0.8, -0.8, 2.1), (0.8, 0.8, 2.9)), heading_axes(*angles))
            for name, angles in zip("AB", rng.uniform(-1.5, 1.5, (2, 2)), strict=True)
        )
        there, back = (
            next(f for f in said(one, model(), [a, b]) if f.code == "clearance.shortest")
            for one in (a, b)
        )
        assert (there.object, back.object) == ("B", "A")
        assert not there.combustible
        if there.measured > 0.0:
            apart += 1
            assert there.measured == pytest.approx(back.measured, abs=1e-9)
            # Of bodies that are parallel many places are as near.
            assert np.linalg.norm(there.point - there.heater_point) == pytest.approx(back.measured)
        else:
            assert back.measured <= 1e-9
    assert 20 < apart < 60


def test_bodies_in_one_another_are_reported_as_such():
    beam = part("beam", block((-3, -0.05, 2.47), (3, 0.05, 2.7)))
    shortest = next(f for f in failing([beam]) if f.code == "clearance.shortest")
    # The beam's underside is 0.03 under the top of the body.
    assert shortest.measured == pytest.approx(-0.03)
    assert "in one another" in shortest.note


def test_nothing_required_still_keeps_bodies_apart():
    none = Distances(above=0, sides=0, ends=0, below=0)
    flush = part("ceiling", block((-3, -3, 2.5), (3, 3, 2.7)))
    sunk = part("ceiling", block((-3, -3, 2.499), (3, 3, 2.7)))
    assert not failing([flush], mount(combustible=none))
    assert [f.code for f in failing([sunk], mount(combustible=none))] == ["clearance.shortest"]


def test_a_heater_wholly_within_a_swept_volume_fails():
    drop = part("screen", block((-2, -2, 0), (2, 2, 3)), kind=Kind.SCREEN, swept=True)
    found = failing([drop])
    assert {f.side for f in found} == {"above", "below", "+side", "-side", "+end", "-end", ""}
    assert all("whole travel" in f.note for f in found)


def test_a_tilted_heater_takes_its_volumes_along():
    # Level, the wall is 0.50 from the side. Leaning 30 degrees toward it, it comes to 0.0743: from
    # the lowest line of the volume, (0.6 - 0.9 sin 30) / cos 30 - 0.1.
    wall = part("wall", block((-3, 0.6, 0), (3, 0.8, 3)))
    assert not failing([wall])
    leaning = mount("H1", axes=heading_axes(0.0, np.radians(30)))
    (side,) = (f for f in failing([wall], leaning) if f.code == "clearance.side")
    assert side.measured == pytest.approx(0.15 / np.cos(np.radians(30)) - 0.1, abs=1e-7)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_what_is_clear_is_what_no_clearance_fails(seed):
    rng = np.random.default_rng(seed)
    parts = []
    for i in range(rng.integers(1, 8)):
        solid = block(*np.sort(rng.normal(size=(2, 3)) * 0.3, axis=0))
        turn, at = heading_axes(*rng.uniform(-3, 3, 2)), rng.uniform((-3, -3, 1), (3, 3, 4))
        mesh = Mesh(solid.vertices @ turn + at, solid.triangles)
        parts.append(part(f"part {i}", mesh, combustible=bool(rng.integers(2))))
    heaters = [
        mount(f"H{i}", rng.uniform((-2, -2, 2), (2, 2, 3)), heading_axes(*rng.uniform(-2, 2, 2)))
        for i in range(6)
    ]
    site = model(*parts)
    expected = [
        all(f.verdict is not Verdict.FAILS for f in said(one, site, [one])) for one in heaters
    ]
    assert clear(heaters, site).tolist() == expected


def test_clear_holds_at_exactly_the_required_distances_and_not_within_a_solid():
    need = Distances(above=0, sides=0.45, ends=0.35, below=0)
    flush = part("ceiling", block((-3, -3, 2.5), (3, 3, 2.7)))
    wall = part("wall", block((-3, 0.55, 0), (3, 0.6, 3)))
    one, nearer = mount(combustible=need), mount("H2", (0, 0.001, 2.4), combustible=need)
    assert clear([one, nearer], model(flush, wall)).tolist() == [True, False]
    assert clear([one], model(part("solid", block((-9, -9, -9), (9, 9, 9))))).tolist() == [False]
    lying = mount(combustible=Distances(above=0.1, sides=0, ends=0, below=0))
    assert clear([lying], model(flush)).tolist() == [False]
    assert clear([], model(wall)).tolist() == []
    assert clear([one], model()).tolist() == [True]


@pytest.mark.parametrize("at", [(0.0, 0.0), (100.0, -60.0)])
@pytest.mark.parametrize("turn", [0.0, np.radians(33)])
def test_a_site_moved_and_turned_gives_the_same_findings(at, turn):
    axes, shift = heading_axes(turn), np.array([*at, 0.0])

    def there(part_):
        mesh = Mesh(part_.mesh.vertices @ axes + shift, part_.mesh.triangles)
        return part(part_.name, mesh, combustible=part_.combustible)

    parts = [
        part("wall", block((-3, 0.4, 0), (3, 0.6, 3))),
        part("post", block((0.7, -0.4, 0), (0.8, -0.2, 3))),
        CEILING,
        floor(),
    ]
    heater = mount()
    frame = Frame(heater.frame.origin @ axes + shift, heater.frame.axes @ axes)
    moved = mount("H1", frame.origin, frame.axes)
    before, after = clearances(parts), clearances([there(p) for p in parts], moved)
    assert [(f.code, f.side, f.object, f.verdict) for f in before] == [
        (f.code, f.side, f.object, f.verdict) for f in after
    ]
    assert [f.measured for f in before] == pytest.approx([f.measured for f in after], abs=1e-9)
