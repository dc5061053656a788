"""What the drawings do not say: taken at its cautious value, and asked once."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
import trimesh

from heatcore.checks import check
from heatcore.checks.clearance import clearances
from heatcore.checks.finding import Verdict
from heatcore.checks.said import misses, subject
from heatcore.checks.unknowns import cautious_parts, unknown_findings, unknowns
from heatcore.geometry.build import build
from heatcore.geometry.overhead import ceiling_height
from heatcore.mounting import hang
from heatcore.scene import shipped
from heatcore.scene.model import Furniture, Heater, Scene, Site, Supply
from heatcore.scene.space import (
    Beam,
    Cable,
    Door,
    Fitting,
    Floor,
    Platform,
    Post,
    Rafters,
    Roof,
    Solid,
    Wall,
    Window,
)

STOCK = shipped()
TYPE = STOCK.heaters["long linear"]
NAMED = "arm"

# A room of 8 x 8 m under a flat ceiling, a heater near its west end; all of it is stated.
ALL = ("fans", "fittings", "sides", "structure")
FULL = Scene(
    site=Site(name="test", confirmed=ALL, supply=Supply(voltage=240.0)),
    floor=Floor(outline=((0, 0), (8, 0), (8, 8), (0, 8)), material="stone"),
    roof=(Roof(name="ceiling", form="flat", plate=3.2, material="timber boards"),),
    heater=(Heater(name="H1", type=TYPE.name, at=(1.5, 4.0), heading=pi / 2, bracket=NAMED),),
    heater_types=STOCK.heaters,
    bracket_types=STOCK.brackets,
    keep_outs=STOCK.keep_outs,
)


def asked(scene):
    model = build(scene)
    return unknowns(scene, model, hang(scene, model))


def keys(scene):
    return [unknown.key for unknown in asked(scene)]


def only(scene):
    (unknown,) = asked(scene)
    assert unknown.question.endswith("?")
    return unknown


def with_site(**changes):
    return replace(FULL, site=replace(FULL.site, **changes))


def without(confirmed):
    return with_site(confirmed=tuple(c for c in ALL if c != confirmed))


def test_where_everything_is_stated_nothing_is_asked():
    assert asked(FULL) == ()


def test_where_no_heater_hangs_nothing_is_asked():
    assert asked(replace(with_site(confirmed=(), supply=Supply()), heater=())) == ()


WALL = Wall(name="west", from_=(0, 8), to=(0, 0), material="stone")
THINGS = [
    ("roof", Roof(name="ceiling", form="flat", plate=3.2)),
    ("rafters", Rafters(name="timbers", roof="ceiling")),
    ("beam", Beam(name="tie", from_=(0, 1), to=(8, 1), underside=2.9)),
    ("post", Post(name="pole", at=(0.3, 2.3))),
    ("wall", Wall(name="west", from_=(0, 8), to=(0, 0))),
    ("door", Door(name="D1", wall="west", at=3.0, hand="left", swing="in", swing_angle=1.5)),
    ("window", Window(name="W1", wall="west", at=3.0, kind="fixed")),
    ("fitting", Fitting(name="lamp", kind="light", at=(3.0, 4.0), height=2.2)),
    ("cable", Cable(name="string", from_=(2.5, 1.0, 2.6), to=(2.5, 7.0, 2.6), sag=0.1)),
    ("platform", Platform(name="stage", height=0.2, outline=((0, 0), (2, 0), (2, 8), (0, 8)))),
]


@pytest.mark.parametrize(("kind", "thing"), THINGS, ids=lambda x: x if isinstance(x, str) else "")
def test_a_material_that_is_not_stated(kind, thing):
    def having(thing):
        walls = (WALL,) if kind in ("door", "window") else ()
        return replace(FULL, **{"wall": walls, kind: (thing,)})

    unknown = only(having(thing))
    assert unknown.key == f'material.{kind} "{thing.name}"'
    assert thing.name in unknown.question
    assert thing.name in unknown.subject
    assert unknown.taken == "combustible"
    assert unknown.heaters == ("H1",)
    assert asked(having(replace(thing, material="stone"))) == ()
    assert asked(having(replace(thing, combustible=True))) == ()


def test_the_floor():
    unknown = only(replace(FULL, floor=replace(FULL.floor, material=None)))
    assert (unknown.key, unknown.heaters) == ("material.floor", ("H1",))
    assert unknown.question == "Could you tell us what the floor is made of?"


def test_ten_windows_are_one_question():
    windows = tuple(
        Window(name=f"W{n}", wall="west", at=1.5 + 0.5 * n, width=0.4, kind="fixed")
        for n in range(10)
    )
    unknown = only(replace(FULL, wall=(WALL,), window=windows))
    assert unknown.key == "material.window"
    assert 'the windows "W0", ' in unknown.question
    assert "2 more" in unknown.question
    some = (*(replace(w, material="glass") for w in windows[:9]), windows[9])
    assert keys(replace(FULL, wall=(WALL,), window=some)) == ['material.window "W9"']


def test_what_is_out_of_sight_is_not_asked_about():
    # The body's end is nearest: measured from it, in plan, the post's near edge.
    def post(away):
        y = 4.0 + TYPE.length / 2 + away + 0.07
        return replace(FULL, post=(Post(name="far", at=(1.5, y), top=3.1),))

    assert keys(post(2.99)) == ['material.post "far"']
    assert keys(post(3.01)) == []
    turned = replace(FULL.heater[0], heading=pi / 2 + 0.3)  # out of every axis
    assert keys(replace(post(3.5), heater=(turned,))) == []


def test_only_heaters_near_it_are_named():
    second = replace(FULL.heater[0], name="H2", at=(6.5, 4.0))
    scene = replace(FULL, heater=(*FULL.heater, second), post=(Post(name="P", at=(7.8, 6.0)),))
    assert only(scene).heaters == ("H2",)


def test_a_material_that_the_table_does_not_know():
    floor = replace(FULL.floor, material="unobtainium")
    beam = Beam(name="tie", from_=(0, 1), to=(8, 1), underside=2.9, material="unobtainium")
    scene = replace(FULL, floor=floor, beam=(beam,))
    unknown = only(scene)
    assert unknown.key == 'material "unobtainium"'
    assert unknown.question == (
        'Could you tell us whether "unobtainium", of which the floor and the beam "tie" consist, '
        "can burn?"
    )
    said = replace(floor, combustible=False), replace(beam, combustible=True)
    assert asked(replace(scene, floor=said[0], beam=(said[1],))) == ()
    assert "the floor consists," in only(replace(FULL, floor=floor)).question
    # Furniture too: what it is made of is always stated, and may be unheard of.
    table = Furniture(name="T", kind="table", at=(2.0, 4.0), material="mystery")
    assert keys(replace(FULL, furniture=(table,))) == ['material "mystery"']


@pytest.mark.parametrize(
    ("kind", "hand", "swing"),
    [
        ("hinged", "is hinged", "opens onto the patio or away"),
        ("pair", None, "opens onto the patio or away"),
        ("sliding", "slides to", "on the patio's side of its wall"),
        ("folding", "folds to", "folds onto the patio or away"),
    ],
)
def test_a_door_whose_way_is_not_stated(kind, hand, swing):
    door = Door(name="D1", wall="west", at=3.0, width=1.8, kind=kind, material="glass")
    door = replace(door, swing_angle=pi / 2)
    scene = replace(FULL, wall=(WALL,))

    both = only(replace(scene, door=(door,)))
    assert both.key == 'swing.door "D1"'
    assert both.heaters == ("H1",)
    assert swing in both.question
    assert (hand or swing) in both.question
    handed = replace(door, hand="left")
    swung = replace(door, swing="in")
    assert swing in only(replace(scene, door=(handed,))).question
    if hand is None:
        assert asked(replace(scene, door=(swung,))) == ()
    else:
        question = only(replace(scene, door=(swung,))).question
        assert hand in question
        assert swing not in question
    assert asked(replace(scene, door=(replace(handed, swing="out"),))) == ()


def test_a_casement_whose_hand_is_not_stated():
    window = Window(name="W1", wall="west", at=3.0, kind="casement", material="glass")
    scene = replace(FULL, wall=(WALL,))
    assert only(replace(scene, window=(window,))).key == 'swing.window "W1"'
    assert asked(replace(scene, window=(replace(window, hand="left"),))) == ()
    assert asked(replace(scene, window=(replace(window, kind="awning"),))) == ()


DOOR = Door(name="D1", wall="west", at=2.0, hand="left", swing="out", material="glass")


def doors(*some):
    return replace(FULL, wall=(WALL,), door=some)


@pytest.mark.parametrize("kind", ["hinged", "pair"])
def test_how_far_a_door_opens(kind):
    door = replace(DOOR, kind=kind)
    unknown = only(doors(door))
    assert unknown.key == 'swing.door "D1"'
    assert unknown.question == 'How far does the door "D1" open, and what stops it?'
    assert "180 degrees" in unknown.taken
    assert unknown.heaters == ("H1",)
    assert asked(doors(replace(door, swing_angle=pi / 2))) == ()


@pytest.mark.parametrize("kind", ["folding", "sliding"])
def test_how_far_a_door_opens_is_not_asked_where_it_counts_as_far_as_it_can(kind):
    assert asked(doors(replace(DOOR, kind=kind))) == ()


def test_one_question_says_all_that_is_not_stated_of_a_door():
    unknown = only(doors(replace(DOOR, hand=None, swing=None)))
    assert unknown.question == (
        'Could you tell us on which side the door "D1" is hinged, whether it opens onto the patio '
        "or away from it and how far it opens and what stops it?"
    )
    assert "every way" in unknown.taken
    assert "180 degrees" in unknown.taken


def test_doors_that_lack_the_same_are_one_question():
    second = replace(DOOR, name="D2", at=4.0)
    both = only(doors(DOOR, second))
    assert both.key == 'swing.door "D1" and "D2"'
    assert both.question == 'How far do the doors "D1" and "D2" open, and what stops them?'
    lacking_more = only(doors(*(replace(door, swing=None) for door in (DOOR, second))))
    assert lacking_more.question == (
        'Could you tell us whether the doors "D1" and "D2" open onto the patio or away from it and '
        "how far they open and what stops them?"
    )
    apart = doors(DOOR, replace(second, swing=None))
    assert keys(apart) == ['swing.door "D1"', 'swing.door "D2"']
    assert keys(doors(DOOR, replace(second, kind="pair"))) == ['swing.door "D1" and "D2"']
    handless = replace(DOOR, hand=None), replace(second, hand=None, kind="folding")
    assert keys(doors(*handless)) == keys(apart)
    sliding = replace(second, kind="sliding", swing=None)
    assert keys(doors(replace(DOOR, swing=None, swing_angle=1.5), sliding)) == keys(apart)
    assert keys(doors(DOOR, replace(second, swing_angle=1.5))) == ['swing.door "D1"']


def windows(*some):
    return replace(FULL, wall=(WALL,), window=some)


def test_whether_a_window_opens():
    window = Window(name="W1", wall="west", at=2.0, material="glass")
    unknown = only(windows(window))
    assert unknown.key == 'swing.window "W1"'
    assert unknown.question.startswith('Does the window "W1" open, and if so how')
    assert "at either side and at the top" in unknown.taken
    assert "onto the patio by 90 degrees" in unknown.taken
    assert unknown.heaters == ("H1",)
    for kind in ("fixed", "awning", "hopper", "sliding"):
        assert asked(windows(replace(window, kind=kind))) == ()
    two = only(windows(window, replace(window, name="W2", at=4.0)))
    assert two.question.startswith('Do the windows "W1" and "W2" open, and if so how')
    inward = replace(window, name="W2", at=4.0, swing="in", hand="left")
    assert keys(windows(window, inward)) == ['swing.window "W1"', 'swing.window "W2"']
    east = Wall(name="east", from_=(8, 0), to=(8, 8), material="stone")
    assert asked(replace(FULL, wall=(east,), window=(replace(window, wall="east"),))) == ()


def test_a_door_out_of_sight_is_not_asked_about():
    wall = Wall(name="east", from_=(8, 0), to=(8, 8), material="stone")
    door = Door(name="D1", wall="east", at=3.0, material="glass")
    assert asked(replace(FULL, wall=(wall,), door=(door,))) == ()


def test_lights_speakers_and_sprinklers():
    scene = without("fittings")
    unknown = only(scene)
    assert (unknown.key, unknown.heaters) == ("fittings", ())
    for kind in ("lights", "speakers", "sprinklers"):
        assert kind in unknown.question
    lamp = Fitting(name="lamp", kind="light", at=(7, 7), height=2.2, material="steel")
    rest = only(replace(scene, fitting=(lamp,)))
    assert "lights" not in rest.question
    assert "speakers or sprinklers" in rest.question
    every = tuple(
        replace(lamp, name=kind, kind=kind, at=(7.0, 5.0 + n))
        for n, kind in enumerate(("light", "speaker", "sprinkler"))
    )
    assert asked(replace(scene, fitting=every)) == ()


def test_open_sides():
    scene = without("sides")
    unknown = only(scene)
    assert (unknown.key, unknown.heaters) == ("sides", ())
    assert "gas" not in unknown.taken
    corners = ((0, 0), (8, 0), (8, 8), (0, 8), (0, 0))
    closed = tuple(
        Wall(name=f"wall {n}", from_=corners[n], to=corners[n + 1], material="stone")
        for n in range(4)
    )
    assert asked(replace(scene, wall=closed)) == ()
    assert keys(replace(scene, wall=closed[:3])) == ["sides"]
    stated = replace(scene, site=replace(scene.site, open_share=0.0))
    assert asked(stated) == ()
    open_after_all = replace(scene.site, open_share=0.3)
    assert keys(replace(scene, site=open_after_all, wall=closed)) == ["sides"]


def test_a_gas_heater_under_open_sides():
    gas = replace(FULL.heater[0], type="gas linear", bracket=None)
    unknown = only(replace(without("sides"), heater=(gas,)))
    assert "closed" in unknown.taken


def test_what_lies_behind_a_ceiling():
    scene = without("structure")
    unknown = only(scene)
    assert (unknown.key, unknown.heaters) == ('structure "ceiling"', ("H1",))
    second = replace(FULL.heater[0], name="H2", at=(6.5, 4.0))
    both = only(replace(scene, heater=(*scene.heater, second)))
    assert both.heaters == ("H1", "H2")
    masonry = replace(FULL.roof[0], material="concrete")
    assert asked(replace(scene, roof=(masonry,))) == ()
    timbers = Rafters(name="rafters", roof="ceiling", material="timber")
    assert asked(replace(scene, rafters=(timbers,))) == ()


def test_a_ceiling_out_of_a_mesh_file(tmp_path):
    slab = trimesh.creation.box(bounds=[(0, 0, 3.2), (8, 8, 3.4)])
    (tmp_path / "ceiling.stl").write_bytes(slab.export(file_type="stl"))
    ceiling = Solid(name="ceiling", mesh="ceiling.stl", role="ceiling", material="plaster")
    scene = replace(FULL, roof=(), solid=(ceiling,), folder=tmp_path)
    assert asked(scene) == ()
    unstated = replace(scene, solid=(replace(ceiling, material=None),))
    assert only(unstated).key == 'material.solid "ceiling"'
    behind = replace(scene, site=without("structure").site)
    assert 'the ceiling "ceiling"' in only(behind).question
    fan = replace(scene, site=without("fans").site)
    assert only(fan).key == "fans"
    (part,) = cautious_parts(fan, build(fan))
    assert part.mesh.bounds.mean(axis=0)[:2] == pytest.approx([4.0, 4.0])
    assert part.mesh.bounds[1, 2] == pytest.approx(3.2)


def test_what_lies_behind_a_wall():
    wall = replace(WALL, material="stucco")
    heater = Heater(name="H1", type=TYPE.name, at=(0, 4), mount="wall", height=2.6)
    scene = replace(without("structure"), wall=(wall,), heater=(heater,))
    assert keys(scene) == ['structure "west"']
    assert asked(replace(scene, wall=(replace(wall, material="brick"),))) == ()


def test_a_bracket_that_does_not_say_what_it_carries():
    bare = replace(STOCK.brackets[NAMED], load=None)
    second = replace(FULL.heater[0], name="H2", at=(6.5, 4.0))
    scene = replace(
        FULL,
        bracket_types={**STOCK.brackets, NAMED: bare},
        heater=(*FULL.heater, second),
    )
    unknown = only(scene)
    assert unknown.key == 'load.bracket "arm"'
    assert unknown.heaters == ("H1", "H2")


def test_a_supply_whose_voltage_is_not_stated():
    unknown = only(with_site(supply=Supply()))
    assert unknown.key == "supply.voltage"
    assert "240 V" in unknown.taken
    gas = replace(FULL.heater[0], type="gas linear", bracket=None)
    assert asked(replace(with_site(supply=Supply()), heater=(gas,))) == ()


def test_nothing_is_asked_twice():
    bare = Scene(
        site=Site(name="bare", units=FULL.site.units),
        floor=replace(FULL.floor, material=None),
        roof=(Roof(name="ceiling", form="flat", plate=3.2),),
        wall=(replace(WALL, material=None),),
        door=tuple(Door(name=f"D{n}", wall="west", at=0.2 + 1.5 * n) for n in range(3)),
        window=(Window(name="W", wall="west", at=5.0, kind="casement"),),
        heater=tuple(replace(FULL.heater[0], name=f"H{n}", at=(1.5 + n, 4.0)) for n in range(4)),
        heater_types=STOCK.heaters,
        bracket_types=STOCK.brackets,
        keep_outs=STOCK.keep_outs,
    )
    found = asked(bare)
    for part in ("key", "question", "subject"):
        said = [getattr(unknown, part) for unknown in found]
        assert len(set(said)) == len(said)
    assert [unknown.key for unknown in found] == [
        "material.floor",
        'material.roof "ceiling"',
        'material.wall "west"',
        "material.door",
        'material.window "W"',
        'swing.door "D0", "D1" and "D2"',
        'swing.window "W"',
        "fans",
        "fittings",
        "sides",
        'structure "ceiling"',
        "supply.voltage",
    ]
    assert all(unknown.question.endswith("?") for unknown in found)


def test_the_sites_own_unknowns_stay_as_they_are():
    assert asked(with_site(unknowns=("who pays",))) == ()


def test_unstated_material_is_held_to_the_combustible_distance():
    # A post whose side stands between the two distances from the heater's end.
    need, other = TYPE.combustible.ends, TYPE.noncombustible.ends
    away = (need + other) / 2
    assert other < away < need
    post = Post(name="P", at=(1.5, 4.0 + TYPE.length / 2 + away + 0.07))

    def end(post):
        scene = replace(FULL, post=(post,))
        model = build(scene)
        mounts = hang(scene, model)
        found = check(scene, model, mounts)
        return next(f for f in found if f.code == "clearance.end" and f.object == "P")

    unstated = end(post)
    assert unstated.verdict is Verdict.FAILS
    assert unstated.combustible
    assert unstated.required == need
    assert unstated.measured == pytest.approx(away)
    stone = end(replace(post, material="stone"))
    assert stone.verdict is Verdict.HOLDS
    assert not stone.combustible
    assert stone.required == other
    unheard = end(replace(post, material="unobtainium"))
    assert unheard.verdict is Verdict.FAILS


def fans(scene):
    model = build(scene)
    return cautious_parts(scene, model), unknown_findings(scene, model, hang(scene, model))


def test_no_fan_is_drawn():
    scene = without("fans")
    unknown = only(scene)
    assert (unknown.key, unknown.heaters) == ("fans", ("H1",))
    (part,), found = fans(scene)
    # 52 in across, at most half a millimetre more, in the middle; from 7 ft up to the ceiling.
    plan = np.hypot(*(part.mesh.vertices[:, :2] - [4.0, 4.0]).T)
    assert plan.min() >= 26 * 0.0254
    assert plan.max() <= 26 * 0.0254 + 0.0005 + 1e-12
    upright = np.abs(part.mesh.normals[:, 2]) < 1e-9
    out = part.mesh.corners[upright, 0] - [4.0, 4.0, 0.0]
    rim = (out * part.mesh.normals[upright]).sum(axis=1)
    assert rim.min() >= 26 * 0.0254 - 1e-12  # between its corners too
    assert part.mesh.bounds[:, 2] == pytest.approx([7 * 0.3048, 3.2])
    assert part.swept
    assert part.combustible
    assert found == []  # H1 hangs 2.5 m away


def test_a_heater_where_a_fan_may_turn_is_to_be_asked_about():
    near = replace(FULL.heater[0], at=(3.0, 4.0))
    scene = replace(without("fans"), heater=(near,))
    _, (finding,) = fans(scene)
    assert (finding.code, finding.verdict) == ("unknown.fan", Verdict.MEASURE)
    assert finding.margin < 0.0
    assert finding.object == "possible fan under ceiling"
    assert finding.heater == "H1"
    assert finding.question == only(scene).question
    assert "no fan is drawn" in finding.note
    assert "would come within" in misses(finding, scene.site.units)
    assert "H1 and a possible fan under ceiling" in subject(finding)
    drawn = Fitting(name="F", kind="fan", at=(4.0, 4.0), height=2.5, material="steel")
    for stated in (replace(FULL, heater=(near,)), replace(scene, fitting=(drawn,))):
        parts, found = fans(stated)
        assert (parts, found) == ((), [])
        assert "fans" not in keys(stated)


def test_the_keep_out_of_fans_goes_beyond_the_clearances():
    # Beside the disc by more than the clearance to its blades, by less than the keep-out.
    keep_out = STOCK.keep_outs["fan blades"]
    need = TYPE.combustible.sides
    wide = {**STOCK.keep_outs, "fan blades": replace(keep_out, distance=need + 0.2)}
    x = 4.0 - 26 * 0.0254 - TYPE.width / 2 - need - 0.1
    scene = replace(without("fans"), heater=(replace(FULL.heater[0], at=(x, 4.0)),), keep_outs=wide)
    model = build(scene)
    (mount,) = hang(scene, model)
    with_disc = replace(model, parts=(*model.parts, *cautious_parts(scene, model)))
    assert all(
        f.verdict is Verdict.HOLDS
        for f in clearances(mount, with_disc, (mount,))
        if f.object == "possible fan under ceiling"
    )
    (finding,) = unknown_findings(scene, model, (mount,))
    assert finding.required == need + 0.2
    assert keep_out.source in finding.source
    assert unknown_findings(replace(scene, keep_outs={}), model, (mount,)) == []


def test_a_fan_may_hang_in_the_middle_of_every_roof():
    roofs = (
        Roof(
            name="low", form="flat", plate=2.4, outline=((0, 0), (8, 0), (8, 3), (0, 3)),
            material="timber boards",
        ),
        Roof(
            name="ell", form="flat", plate=3.2, material="timber boards",
            outline=((0, 3), (1, 3), (1, 7), (8, 7), (8, 8), (0, 8)),
        ),
    )  # fmt: skip
    scene = replace(without("fans"), roof=roofs, heater=(replace(FULL.heater[0], at=(0.5, 5.0)),))
    low, ell = cautious_parts(scene, build(scene))
    middle = low.mesh.vertices.mean(axis=0)
    assert middle[:2] == pytest.approx([4.0, 1.5])
    assert low.mesh.bounds[1, 2] == pytest.approx(2.4)
    x, y = ell.mesh.bounds.mean(axis=0)[:2]
    assert (x < 1.0 and 3.0 < y < 8.0) or (7.0 < y < 8.0)  # on the roof, not in its notch
    assert only(scene).heaters == ("H1",)


def test_under_a_slope_the_blades_stay_below_its_lowest_place():
    roof = Roof(name="ceiling", form="single_slope", plate=2.8, pitch=0.3, material="timber boards")
    scene = replace(without("fans"), roof=(roof,))
    (part,) = cautious_parts(scene, build(scene))
    circle = part.mesh.vertices
    shape = build(scene).by_name["ceiling"]
    assert part.mesh.bounds[1, 2] <= ceiling_height([shape], circle[:, :2]).min() + 1e-9


def test_a_roof_of_slats_and_a_low_one_have_room_for_a_fan():
    slats = Roof(
        name="ceiling", form="slatted", plate=2.1, material="timber boards", slat_gap=3.0,
        slat_width=0.1,
    )  # fmt: skip
    scene = replace(without("fans"), roof=(slats,), heater=())
    (part,) = cautious_parts(scene, build(scene))
    low, high = part.mesh.bounds[:, 2]
    assert low < high <= 2.1 + 1e-9
    assert low < 7 * 0.3048
