"""Keep-outs: what a heater keeps from kinds of things. Distances by hand; figures invented."""

from dataclasses import replace

import numpy as np
import pytest

from heatcore.checks import check
from heatcore.checks.finding import Verdict
from heatcore.checks.keepouts import ARM, CODES, keep_outs
from heatcore.checks.said import misses
from heatcore.geometry.build import build
from heatcore.geometry.frames import heading_axes
from heatcore.geometry.parts import Kind, Model, Place
from heatcore.geometry.people import person_parts
from heatcore.scene import shipped
from heatcore.scene.space import Fitting
from heatcore.scene.types import KeepOut
from heatcore.units import UnitSystem
from tests.core.checks_site import (
    LINEAR,
    SCENE,
    block,
    floor,
    keeping,
    model,
    mount,
    part,
    platform,
)

SHIPPED = shipped().keep_outs
BY_KIND = {keep_out.from_: keep_out for keep_out in SHIPPED.values()}
FITTINGS = ("sprinkler", "light", "speaker", "fan", "television")
KINDS = {"cable": Kind.CABLE, "furniture": Kind.FURNITURE}
# The body of `mount()`: 1.2 x 0.2 x 0.1 m, its emitting face 2.4 m above the floor.
END, SIDE, LOW, TOP = 0.6, 0.1, 2.4, 2.5


def thing_at(kind, gap, way):
    """A model with one thing of a kind, so far from the body."""
    at = {
        "around": ((END + gap, -0.1, 2.4), (END + gap + 0.2, 0.1, 2.6)),
        "beside": ((-0.1, SIDE + gap, 3.0), (0.1, SIDE + gap + 0.3, 3.1)),
        "under": ((-0.3, -0.3, 0.0), (0.3, 0.3, LOW - gap)),
    }[way]
    owner = "it"
    made = part("the thing", block(*at), kind=KINDS.get(kind, Kind.FITTING), owner=owner)
    return model(floor(), made)


def held(kind, scene_model, heater=None, keep_out=None):
    keep_out = keep_out or BY_KIND[kind]
    fittings = (Fitting(name="it", kind=kind, at=(0, 0), height=2.0),) if kind in FITTINGS else ()
    return keep_outs(heater or mount(), keeping(keep_out, fitting=fittings), scene_model)


@pytest.mark.parametrize("kind", [*FITTINGS, "cable", "furniture"])
def test_each_kind_of_thing_holds_at_its_distance_and_fails_a_millimetre_nearer(kind):
    keep_out = BY_KIND[kind]
    for more, verdict in ((0.0, Verdict.HOLDS), (0.001, Verdict.HOLDS), (-0.001, Verdict.FAILS)):
        gap = keep_out.distance + more
        (finding,) = held(kind, thing_at(kind, gap, keep_out.way))
        assert finding.code == CODES[kind]
        assert (finding.verdict, finding.heater, finding.object) == (verdict, "H1", "the thing")
        assert finding.measured == pytest.approx(gap, abs=1e-9)
        assert (finding.required, finding.source) == (keep_out.distance, keep_out.source)
        assert finding.note.startswith(keep_out.name)


def test_every_kind_ships_with_a_source_and_a_code_of_its_own():
    assert set(BY_KIND) == set(CODES)
    assert len(set(CODES.values())) == len(CODES)
    for keep_out in SHIPPED.values():
        said = keep_out.source
        assert "common practice, no source" in said or any(
            word in said for word in ("from memory", "second-hand", "NFPA")
        )


def test_the_published_figures():
    # NFPA 13 (2002) 8.6.5.2.1.3: three times the obstruction, capped at 24 in; read second-hand.
    assert BY_KIND["sprinkler"].distance == pytest.approx(24 * 0.0254)
    # 2010 ADA Standards 307.4: 80 in; read second-hand.
    assert BY_KIND["headroom"].distance == pytest.approx(80 * 0.0254)
    # Pheasant, Bodyspace: grip reach 2190 mm of the 95th percentile of British men, and 60 % of a
    # hand of 205 mm to the fingertips; from memory.
    assert BY_KIND["reach"].distance == pytest.approx(2.19 + 0.6 * 0.205, abs=0.02)


def test_the_points_lie_on_the_thing_and_on_the_heater():
    (beside,) = held("sprinkler", thing_at("sprinkler", 0.5, "beside"))
    assert beside.point[1] == pytest.approx(SIDE + 0.5)
    assert beside.point[2] == pytest.approx(3.0)  # nearest to the heater's level
    assert beside.heater_point[1:] == pytest.approx([SIDE, TOP])
    (under,) = held("furniture", thing_at("furniture", 1.0, "under"))
    assert under.point[2] == pytest.approx(1.4)
    assert under.heater_point[2] == pytest.approx(LOW)
    assert under.point[:2] == pytest.approx(under.heater_point[:2])
    (around,) = held("light", thing_at("light", 0.2, "around"))
    assert np.linalg.norm(around.point - around.heater_point) == pytest.approx(0.2)


def test_each_thing_that_is_too_near_is_told_else_only_the_nearest():
    spots = ((0.4, "a"), (0.9, "b"), (1.4, "c"))
    parts = [
        part(n, block((-0.1, SIDE + y, 3), (0.1, SIDE + y + 0.1, 3.1)), kind=Kind.CABLE)
        for y, n in spots
    ]
    near = KeepOut(name="k", from_="cable", way="beside", distance=1.0, source="s")
    found = held("cable", model(*parts), keep_out=near)
    assert [(f.object, f.verdict.value) for f in found] == [("a", "fails"), ("b", "fails")]
    found = held("cable", model(*parts), keep_out=replace(near, distance=0.3))
    assert [(f.object, f.verdict.value) for f in found] == [("a", "holds")]


def test_with_slack_whatever_has_less_to_spare_is_told_of_too():
    near = KeepOut(name="k", from_="cable", way="around", distance=0.5, source="s")
    parts = [
        part(n, block((END + x, -0.1, 2.4), (END + x + 0.1, 0.1, 2.5)), kind=Kind.CABLE)
        for x, n in ((0.4, "a"), (0.52, "b"), (0.6, "c"))
    ]
    for slack, names in ((0.0, "a"), (0.05, "ab"), (0.11, "abc")):
        found = keep_outs(mount(), keeping(near), model(*parts), slack)
        assert "".join(f.object for f in found) == names
        assert [f.verdict is Verdict.FAILS for f in found] == [n == "a" for n in names]


def test_several_parts_of_one_thing_are_told_once():
    legs = [
        part(n, block((-0.1, -0.1, 0), (0.1, 0.1, z)), kind=Kind.FURNITURE, owner="table")
        for n, z in (("table top", 1.9), ("table leg", 1.8))
    ]
    (finding,) = held("furniture", model(*legs))
    assert (finding.object, finding.measured) == ("table top", pytest.approx(0.5))


def test_nothing_within_sight_is_no_finding():
    assert held("sprinkler", model(floor())) == []
    assert held("sprinkler", thing_at("sprinkler", 5.5, "beside")) == []
    # Beside the body's plan nothing stands under it.
    off = part("chair", block((0.7, 0, 0), (1, 1, 2.3)), kind=Kind.FURNITURE)
    assert held("furniture", model(off)) == []


def test_a_fan_counts_by_its_whole_disc():
    hub = part("it", block((-0.1, 1.3, 2.4), (0.1, 1.5, 2.6)), kind=Kind.FITTING, owner="it")
    disc = part(
        "it disc",
        block((-0.6, 0.5, 2.4), (0.6, 1.9, 2.42)),
        kind=Kind.FITTING,
        owner="it",
        swept=True,
    )
    (finding,) = held("fan", model(hub, disc))
    assert (finding.object, finding.verdict) == ("it disc", Verdict.FAILS)
    assert finding.measured == pytest.approx(0.4)
    assert held("light", model(hub, disc))[0].object == "it disc"


def test_a_turned_heater_is_measured_from_its_own_corner():
    quarter = mount(axes=heading_axes(np.pi / 2))
    (finding,) = held("sprinkler", thing_at("sprinkler", 0.9, "beside"), quarter)
    assert finding.measured == pytest.approx(1.0 - END)


def test_under_a_tilted_heater_the_drop_is_plumb():
    tilted = mount(axes=heading_axes(0.0, np.radians(30)))
    plate = part("t", block((-5, -5, 1.0), (5, 5, 1.1)), kind=Kind.FURNITURE)
    (finding,) = held("furniture", model(plate), tilted)
    # The emitting face's lower edge lies half the width times sin 30 under its middle.
    assert finding.measured == pytest.approx(LOW - 0.1 * 0.5 - 1.1)


def test_what_hangs_above_stands_not_under():
    above = part("c", block((-1, -1, 2.6), (1, 1, 2.7)), kind=Kind.CABLE)
    under = KeepOut(name="k", from_="cable", way="under", distance=0.5, source="s")
    assert held("cable", model(above), keep_out=under) == []
    through = part("c", block((-1, -1, 2.3), (1, 1, 2.7)), kind=Kind.CABLE)
    (finding,) = held("cable", model(through), keep_out=under)
    assert finding.measured == pytest.approx((LOW - TOP) / 2)
    assert misses(finding, UnitSystem.METRIC).startswith("H1 comes within 0 mm of c")


# People


def at_place(name, x, y, *, occupied=True, stature=1.72):
    return Place(name, name, np.array([x, y, 0.0]), 0.0, "standing", 0.0, occupied, stature)


def test_somebody_at_a_place_is_kept_from_be_it_taken_or_not():
    place = at_place("guest", 0.0, 0.0, occupied=False)
    people = Model((floor(),), (place,), np.array([(-5, -5), (5, -5), (5, 5), (-5, 5)]))
    head = max(p.mesh.bounds[1, 2] for p in person_parts(place, 0))
    assert head == pytest.approx(1.72, abs=0.05)
    for gap, verdict in ((0.3048, Verdict.HOLDS), (0.3038, Verdict.FAILS)):
        (finding,) = held("person", people, mount("H1", (0, 0, head + gap)))
        assert (finding.code, finding.object) == ("keepout.person", "guest")
        assert (finding.verdict, finding.measured) == (verdict, pytest.approx(gap, abs=1e-6))


# Reach and headroom


@pytest.mark.parametrize(
    ("height", "verdict"),
    [(2.3, "holds"), (2.299, "advisory"), (2.1, "advisory"), (2.099, "fails")],
)
def test_a_raised_hand_reaches_it_unless_its_maker_allows_that(height, verdict):
    (finding,) = held("reach", model(floor()), mount("H1", (0, 0, height)))
    assert (finding.code, finding.object, finding.required) == ("keepout.reach", "floor", 2.3)
    assert (finding.verdict.value, finding.measured) == (verdict, pytest.approx(height))
    assert ("instructions allow" in finding.note) is (verdict == "advisory")


@pytest.mark.parametrize(("away", "verdict"), [(ARM, "fails"), (ARM + 0.001, "holds")])
def test_a_platform_within_an_arm_brings_the_hand_nearer(away, verdict):
    stage = platform((-1, SIDE + away), (1, 3), 0.35)
    (finding,) = held("reach", model(floor(), stage))
    assert finding.verdict.value == verdict
    assert (finding.object == "stage") is (verdict == "fails")
    assert finding.measured == pytest.approx(2.05 if verdict == "fails" else 2.4)


def test_headroom_counts_from_the_lowest_of_body_and_bracket():
    least = 80 * 0.0254
    for height, verdict in ((least, Verdict.HOLDS), (least - 0.001, Verdict.FAILS)):
        (finding,) = held("headroom", model(floor()), mount("H1", (0, 0, height)))
        assert (finding.code, finding.verdict) == ("keepout.headroom", verdict)
    low = mount()
    arm = replace(low.arms[0], plate=low.arms[0].plate - [0, 0, 1.0])
    (finding,) = held("headroom", model(floor()), replace(low, arms=(arm, low.arms[1])))
    assert (finding.verdict, finding.measured) == (Verdict.FAILS, pytest.approx(1.78))


def test_headroom_over_a_platform():
    stage = platform((-1, -1), (1, 1), 0.4)
    (finding,) = held("headroom", model(floor(), stage))
    assert (finding.object, finding.measured) == ("stage", pytest.approx(2.0))
    assert finding.verdict is Verdict.FAILS
    assert finding.point[2] == pytest.approx(0.4)


# All together


def test_the_shipped_values_are_checked_and_a_scene_overrides_them():
    scene = replace(SCENE, keep_outs=SHIPPED)
    codes = [f.code for f in check(scene, model(floor()), [mount()]) if "keepout" in f.code]
    assert sorted(codes) == ["keepout.headroom", "keepout.reach"]
    lower = replace(BY_KIND["reach"], distance=2.5)
    (own,) = held("reach", model(floor()), keep_out=lower)
    assert (own.verdict, own.required) == (Verdict.ADVISORY, 2.5)
    assert build(replace(scene, keep_outs={})) is not None


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("furniture", "the thing stands 1.000 m under H1 where 1.200 m must stay free"),
        ("light", "H1 comes within 100 mm of the thing where 305 mm must stay free"),
    ],
)
def test_in_words(kind, said):
    gap = {"furniture": 1.0, "light": 0.1}[kind]
    (finding,) = held(kind, thing_at(kind, gap, BY_KIND[kind].way))
    assert misses(finding, UnitSystem.METRIC) == said


def test_reach_and_headroom_in_words():
    low = mount("H1", (0, 0, 2.0))
    (reach,), (headroom,) = (held(k, model(floor()), low) for k in ("reach", "headroom"))
    assert misses(reach, UnitSystem.METRIC) == (
        "H1 hangs 2.000 m above floor, where a hand reaches 2.300 m"
    )
    assert misses(headroom, UnitSystem.METRIC) == (
        "H1 leaves 2.000 m over floor where 2.032 m is asked for"
    )
    assert LINEAR.least_height == 2.1
