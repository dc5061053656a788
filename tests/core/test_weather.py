"""Rain: straight down, and driven by the wind. Distances by hand; figures invented."""

from dataclasses import replace
from math import radians, tan

import numpy as np
import pytest

from heatcore.checks.finding import Verdict
from heatcore.checks.said import misses
from heatcore.checks.weather import DRIVEN, weather
from heatcore.geometry.build import build
from heatcore.geometry.frames import heading_axes
from heatcore.geometry.parts import Kind
from heatcore.scene.model import Scene, Site
from heatcore.scene.space import Floor, Roof, Solid
from heatcore.units import UnitSystem
from tests.core.checks_site import SCENE, block, floor, model, mount, part, roof

# The body of `mount()`: 1.2 x 0.2 x 0.1 m, its emitting face 2.4 m above the floor.
SIDE, LOW = 0.1, 2.4
WIDE = roof((-4, -4), (4, 4))


def rain(scene_model, heater=None, scene=SCENE):
    return {f.code: f for f in weather(heater or mount(), scene, scene_model)}


@pytest.mark.parametrize(
    ("edge", "verdict", "measured"),
    [(SIDE, "holds", 0.0), (SIDE + 0.001, "holds", 0.001), (SIDE - 0.001, "fails", -0.001)],
)
def test_the_body_ends_at_the_roofs_edge_to_the_millimetre(edge, verdict, measured):
    straight = rain(model(floor(), roof((-4, -4), (4, edge))))["weather.rain"]
    assert straight.verdict.value == verdict
    assert straight.measured == pytest.approx(measured, abs=1e-9)
    assert (straight.required, straight.unit, straight.object) == (0.0, "m", "porch roof")
    assert straight.heater_point[1] == pytest.approx(SIDE)
    assert straight.point[1:] == pytest.approx([edge, 2.8])


def test_how_far_it_stands_out():
    out = rain(model(floor(), roof((-4, -4), (4, 0.06))))["weather.rain"]
    assert out.measured == pytest.approx(-0.04)
    assert misses(out, UnitSystem.METRIC) == (
        "H1 stands 40 mm out in the rain, and its type may not get wet"
    )


def test_in_the_open_all_its_width_is_out():
    bare = rain(model(floor()))["weather.rain"]
    assert (bare.verdict, bare.object) == (Verdict.FAILS, "")
    assert bare.measured == pytest.approx(-0.2)
    assert misses(bare, UnitSystem.METRIC).startswith("H1 hangs in the open")


def test_a_type_that_may_get_wet_holds_anywhere():
    found = weather(mount(outdoor="exposed"), SCENE, model(floor()))
    assert [(f.code, f.verdict) for f in found] == [("weather.rain", Verdict.HOLDS)]
    assert found[0].margin == 0.0
    assert "may get wet" in found[0].note


def test_a_roof_below_the_heater_keeps_nothing_off():
    low = roof((-4, -4), (4, 4), level=2.0)
    assert rain(model(floor(), low))["weather.rain"].verdict is Verdict.FAILS
    assert rain(model(low, WIDE))["weather.rain"].verdict is Verdict.HOLDS


def test_a_gap_between_two_roofs_lets_rain_through_but_a_crack_does_not():
    for gap, verdict in ((0.0008, Verdict.HOLDS), (0.01, Verdict.FAILS)):
        two = roof((-4, -4), (-gap / 2, 4), name="a"), roof((gap / 2, -4), (4, 4), name="b")
        found = rain(model(floor(), *two))["weather.rain"]
        assert found.verdict is verdict
    assert found.measured == pytest.approx(-0.005, abs=1e-6)


def test_a_turned_heater_is_measured_at_its_corner():
    turned = mount(axes=heading_axes(radians(45)))
    reach = (0.6 + 0.1) * np.sin(radians(45))
    for more, verdict in ((0.001, Verdict.HOLDS), (-0.001, Verdict.FAILS)):
        found = rain(model(floor(), roof((-4, -4), (4, reach + more))), turned)["weather.rain"]
        assert (found.verdict, found.measured) == (verdict, pytest.approx(more, abs=1e-9))


# Roofs as they are built


def built(*roofs, **more):
    square = ((-3, -3), (3, -3), (3, 3), (-3, 3))
    return Scene(site=Site(name="t"), floor=Floor(outline=square), roof=roofs, **more)


def test_slats_keep_no_rain_off_even_where_one_covers_the_whole_body():
    slats = Roof(name="slats", form="slatted", plate=2.8, slat_width=0.6, slat_gap=0.05)
    scene = built(slats)
    found = rain(build(scene), scene=scene)["weather.rain"]
    assert (found.verdict, found.object) == (Verdict.FAILS, "slats")
    assert misses(found, UnitSystem.METRIC) == (
        "H1 hangs under slats, which keeps no rain off, and its type may not get wet"
    )
    closed = built(slats, Roof(name="roof", form="flat", plate=3.0))
    assert rain(build(closed), scene=closed)["weather.rain"].verdict is Verdict.HOLDS


def test_a_steep_roof_covers_to_its_own_edge_though_that_hangs_lower_than_the_heater():
    gable = Roof(name="roof", form="gable", plate=2.2, pitch=radians(30), overhang=0.4)
    scene = built(gable)
    found = rain(build(scene), scene=scene)
    assert found["weather.rain"].verdict is Verdict.HOLDS
    # The heater lies along the ridge: its end is 0.6 m from the middle, the gable's edge 3.4 m.
    assert found["weather.rain"].measured == pytest.approx(3.4 - 0.6, abs=1e-6)


def test_a_ceiling_out_of_a_mesh_file_is_a_roof_and_a_wall_is_none():
    sheet = part("m", block((-4, -4, 2.8), (4, 4, 2.9)), kind=Kind.SOLID)
    for role, verdict in (("ceiling", Verdict.HOLDS), ("wall", Verdict.FAILS)):
        scene = replace(SCENE, solid=(Solid(name="m", mesh="m.glb", role=role),))
        assert rain(model(floor(), sheet), scene=scene)["weather.rain"].verdict is verdict


# Rain in the wind


def test_driven_rain_comes_in_by_the_edges_height_times_the_tangent():
    # 30 degrees from the vertical: common practice, no source.
    assert DRIVEN.value == radians(30)
    reach = (2.8 - LOW) * tan(radians(30))
    for more, verdict in ((0.001, Verdict.HOLDS), (-0.001, Verdict.ADVISORY)):
        edge = SIDE + reach + more
        driven = rain(model(floor(), roof((-4, -4), (4, edge))))["weather.driven_rain"]
        assert driven.verdict is verdict
        assert driven.measured == pytest.approx(reach + more, abs=1e-6)
        assert driven.required == pytest.approx(reach, abs=1e-6)
        assert driven.heater_point[1:] == pytest.approx([SIDE, LOW])
        assert driven.object == "porch roof"
    assert misses(driven, UnitSystem.METRIC) == (
        "H1 hangs 229 mm in from the edge of porch roof, where rain in the wind comes in by 231 mm"
    )


def test_a_wall_under_the_edge_stops_the_wind():
    near = roof((-4, -4), (4, 0.2))
    driven = rain(model(floor(), near))["weather.driven_rain"]
    assert driven.verdict is Verdict.ADVISORY
    wall = part("wall", block((-4, 0.2, 0), (4, 0.3, 2.9)))
    driven = rain(model(floor(), near, wall))["weather.driven_rain"]
    assert driven.verdict is Verdict.HOLDS
    assert driven.margin >= 0.0


def test_where_rain_falls_straight_the_wind_is_no_matter():
    assert list(rain(model(floor()))) == ["weather.rain"]


@pytest.mark.parametrize("turn", [0.0, 17.0, 41.3, 90.0])
def test_turning_the_whole_place_changes_nothing(turn):
    c, s = np.cos(radians(turn)), np.sin(radians(turn))
    spin = np.array([(c, s, 0), (-s, c, 0), (0, 0, 1)])
    edge = SIDE + (2.8 - LOW) * tan(radians(30)) - 0.001
    over = roof((-4, -4), (4, edge))
    turned = replace(over, mesh=replace(over.mesh, vertices=over.mesh.vertices @ spin))
    heater = mount("H1", (0, 0, LOW), axes=heading_axes(radians(turn)))
    found = rain(model(turned), heater)
    assert found["weather.rain"].measured == pytest.approx(edge - SIDE, abs=1e-6)
    assert found["weather.driven_rain"].verdict is Verdict.ADVISORY
    assert found["weather.driven_rain"].margin == pytest.approx(-0.001, abs=1e-5)
