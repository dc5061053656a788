"""The floor under the heaters. Landings and climates are invented; the physics is not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.heat.floor.conduction import semi_infinite
from heatcore.heat.floor.ground import CONCRETE, GRANITE, HARDWOOD, SOFTWOOD, SOIL, ground
from heatcore.heat.floor.warm_up import WarmUp
from heatcore.heat.floor.warming import ABSORPTANCE, SEAT_DOWN, seat_gain, surface_loss, warm_up
from heatcore.heat.people.comfort import radiant_temperature, utci
from heatcore.heat.planes.maps import PlaneMap
from heatcore.heat.radiation.blackbody import SIGMA, exitance
from heatcore.scene.model import Climate
from heatcore.scene.space import Floor

SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
FLOOR = Floor(outline=SQUARE, material="concrete", thickness=0.1, warmed_for=1800.0)
EVENING = Climate(air_temperature=10.0, wind=1.0, humidity=0.5)
THRESHOLD = 100.0


def landing(*peaks: float, names: str = "ABC") -> PlaneMap:
    """A bell of each height over its own place, and a hotter one beyond the floor's edge."""
    x, y = np.linspace(-1.0, 5.0, 61), np.linspace(0.0, 4.0, 41)
    inside = np.broadcast_to((x >= -1e-9) & (x <= 4 + 1e-9), (41, 61))
    by_heater = {}
    for index, (name, peak) in enumerate(zip(names, peaks, strict=False)):
        away = (x[None] - 1.0 - index) ** 2 + (y[:, None] - 2.0) ** 2
        beyond = np.where(inside, 0.0, 5 * peak)
        by_heater[name] = peak * np.exp(-away) + beyond
    return PlaneMap(0.0, x, y, inside, np.array(SQUARE), by_heater)


def warmed(floor: Floor = FLOOR, climate: Climate = EVENING, *peaks: float) -> WarmUp:
    found = warm_up(floor, landing(*(peaks or (300.0,))), climate, THRESHOLD)
    assert found is not None
    return found


def test_a_slab_warms_as_a_deep_body_does() -> None:
    """200 W/m2 absorbed, 10 W/m2K lost, half an hour: 4.623 K (Carslaw and Jaeger, 2.9)."""
    calm = surface_loss(replace(EVENING, wind=0.0))
    climate = replace(EVENING, wind=(10.0 - calm) / 3.0)
    found = warmed(FLOOR, climate, 200.0 / ABSORPTANCE)
    assert found.absorbed_w_m2 == pytest.approx(200.0)
    assert found.hottest_k == pytest.approx(4.623, rel=0.005)


def test_what_a_surface_loses() -> None:
    """4 eps sigma T**3 is 5.149 W/m2K of a black surface at 10 C; wind adds 2.8 + 3 v (Watmuff)."""
    assert surface_loss(EVENING) == pytest.approx(0.9 * 5.149 + 5.8, abs=1e-3)
    warmer = replace(EVENING, radiant_temperature=20.0)
    radiation = surface_loss(warmer) - surface_loss(EVENING)
    assert radiation == pytest.approx(4 * 0.9 * SIGMA * (293.15**3 - 283.15**3))


def test_the_hottest_place_is_on_the_floor() -> None:
    found = warmed(FLOOR, EVENING, 300.0)
    assert found.point == pytest.approx([1.0, 2.0, 0.0])
    assert found.absorbed_w_m2 == pytest.approx(0.9 * 300.0)
    assert not found.point.flags.writeable


def test_typical_is_the_median_of_the_warmed_places() -> None:
    plane = landing(300.0)
    lands = plane.total[plane.inside]
    found = warmed(FLOOR, EVENING, 300.0)
    share = np.median(lands[lands >= THRESHOLD]) / lands.max()
    assert found.typical_k == pytest.approx(found.hottest_k * share)


def test_a_floor_that_nothing_warms_gives_its_seats_nothing() -> None:
    faint = warmed(FLOOR, EVENING, 50.0)
    assert (faint.typical_k, faint.seat_gain_k) == (0.0, 0.0)
    assert faint.hottest_k > 0.0


def test_no_heaters_no_warm_up() -> None:
    assert warm_up(FLOOR, landing(), EVENING, THRESHOLD) is None
    assert warm_up(FLOOR, landing(0.0), EVENING, THRESHOLD) is None
    assert warm_up(replace(FLOOR, warmed_for=0.0), landing(300.0), EVENING, THRESHOLD) is None


@settings(max_examples=25, deadline=None)
@given(
    material=st.sampled_from(["concrete", "granite", "brick", "timber boards"]),
    wind=st.floats(0.0, 6.0),
    more=st.floats(0.1, 4.0),
    seconds=st.floats(60.0, 20000.0),
)
def test_wind_cools_and_time_warms(material: str, wind: float, more: float, seconds: float) -> None:
    floor = replace(FLOOR, material=material, warmed_for=seconds)
    here = warmed(floor, replace(EVENING, wind=wind))
    windier = warmed(floor, replace(EVENING, wind=wind + more))
    later = warmed(replace(floor, warmed_for=seconds * (1 + more)), replace(EVENING, wind=wind))
    assert windier.hottest_k < here.hottest_k < later.hottest_k
    assert windier.lost_share > here.lost_share
    assert later.lost_share > here.lost_share
    assert 0.0 < here.lost_share < 1.0
    # Never more than if nothing were lost sideways, downward or with the wind.
    assert here.hottest_k < here.absorbed_w_m2 / surface_loss(replace(EVENING, wind=wind))


def test_twice_the_heat_warms_twice_as_much() -> None:
    one, two = warmed(FLOOR, EVENING, 300.0), warmed(FLOOR, EVENING, 300.0, 0.0)
    assert two.hottest_k == pytest.approx(one.hottest_k)
    both = warm_up(FLOOR, landing(600.0), EVENING, 2 * THRESHOLD)
    assert both is not None
    assert both.hottest_k == pytest.approx(2 * one.hottest_k)
    assert both.typical_k == pytest.approx(2 * one.typical_k)


@pytest.mark.parametrize("seconds", [300.0, 1800.0])
def test_decking_warms_more_than_pavers_and_those_more_than_a_slab(seconds: float) -> None:
    rises = [
        warmed(replace(FLOOR, material=m, warmed_for=seconds)).hottest_k
        for m in ("timber", "brick", "concrete", "granite")
    ]
    assert rises == sorted(rises, reverse=True)
    assert rises[0] > 2 * rises[2]


def test_decking_is_nearly_done_when_a_slab_has_hardly_begun() -> None:
    """Of what each comes to in four hours, after ten minutes."""

    def early(material: str) -> float:
        times = (600.0, 14400.0)
        first, last = (
            warmed(replace(FLOOR, material=material, warmed_for=t)).hottest_k for t in times
        )
        return first / last

    assert early("timber") > 0.6
    assert early("concrete") < 0.4


def test_a_deck_never_passes_what_its_two_faces_give_off() -> None:
    """After a day: Ohm's law for heat through 28 mm of softwood, 0.17 m2K/W below it (ISO 6946)."""
    found = warmed(replace(FLOOR, material="timber", warmed_for=86400.0))
    loss = surface_loss(EVENING) + 1 / (0.028 / 0.12 + 0.17)
    assert found.hottest_k == pytest.approx(found.absorbed_w_m2 / loss, rel=1e-6)


@pytest.mark.parametrize(
    ("material", "stated", "construction", "solid"),
    [
        ("concrete", None, "slab", CONCRETE),
        ("Granite", None, "slab", GRANITE),
        ("granite pavers", None, "pavers", GRANITE),
        ("concrete tiles", None, "pavers", CONCRETE),
        ("pavers", None, "pavers", CONCRETE),
        ("timber boards", None, "decking", SOFTWOOD),
        ("ipe decking", None, "decking", HARDWOOD),
        ("composite decking", None, "decking", HARDWOOD),
        ("soil", None, "slab", SOIL),
        ("concrete", "decking", "decking", CONCRETE),
        ("granite pavers", "slab", "slab", GRANITE),
        ("rubber crumb", None, "slab", CONCRETE),
    ],
)
def test_what_a_floor_is_taken_for(material, stated, construction, solid) -> None:
    made = ground(replace(FLOOR, material=material, construction=stated), 1800.0)
    assert (made.construction, made.layers[0].solid) == (construction, solid)
    assert (made.back_loss_w_m2k > 0.0) is (construction == "decking")
    found = warmed(replace(FLOOR, material=material, construction=stated))
    assert found.construction == construction
    assert made.words in found.notes[0]


def test_a_material_without_figures_is_named() -> None:
    assert "rubber crumb" in warmed(replace(FLOOR, material="rubber crumb")).notes[0]


def test_a_thin_floor_is_taken_at_its_word() -> None:
    thick, usual, thin = (
        warmed(replace(FLOOR, material="brick", thickness=t)) for t in (0.5, 0.06, 0.02)
    )
    assert thick.hottest_k == usual.hottest_k < thin.hottest_k


def test_the_ground_below_is_deep_enough() -> None:
    """Nothing has come to its end by then: the deep body's answer is under a thousandth there."""
    made = ground(FLOOR, 10800.0)
    depth = made.layers[-1].thickness
    surface, end = semi_infinite(SOIL, 200.0, 10800.0, [0.0, depth])
    assert end < 1e-3 * surface


def test_the_downward_face_of_a_seated_body() -> None:
    """One level face at 60 C, the other five at 10 C: 17.9956 C (ISO 7726:1998, six directions)."""
    field = SEAT_DOWN * (exitance(333.15) - exitance(283.15))
    assert radiant_temperature(10.0, field, 1.0) == pytest.approx(17.9956, abs=1e-3)


def test_what_a_seat_gains_by_hand() -> None:
    """The six-direction weights by hand; the UTCI is held to published values elsewhere."""
    rise, share = 8.0, 0.6
    t4 = 283.15**4 + 0.18 / 1.40 * share * 0.9 * (291.15**4 - 283.15**4)
    wind = np.log(10 / 0.01) / np.log(1.1 / 0.01)
    before, after = (utci(10.0, mrt, wind, 0.5) for mrt in (10.0, t4**0.25 - 273.15))
    assert seat_gain(rise, share, EVENING) == pytest.approx(float(after - before), abs=2e-3)


def test_a_warm_floor_is_worth_little() -> None:
    """Common practice, no source: the beam warms, the floor adds a little after half an hour."""
    found = warmed(FLOOR, EVENING, 300.0, 300.0, 300.0)
    assert 0.0 < found.seat_gain_k < 0.3
    assert any("only in the direct beam" in note and "no source" in note for note in found.notes)


def test_notes_say_what_was_assumed() -> None:
    said = " ".join(warmed().notes)
    for word in ("night", "air temperature", "90%", "wind"):
        assert word in said
    assert not any("up to 7 m/s" in note for note in warmed().notes)
    assert any("up to 7 m/s" in n for n in warmed(FLOOR, replace(EVENING, wind=9.0)).notes)
