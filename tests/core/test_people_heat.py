"""What people receive: physics against published factors, invariances, ranges, crowds."""

import tracemalloc
from dataclasses import replace
from math import atan2, cos, hypot, pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.geometry.frames import Frame
from heatcore.geometry.parts import Mesh, Model, Part, Place
from heatcore.geometry.people import person_parts
from heatcore.geometry.people.pose import pose_of
from heatcore.heat.people.bodies import BODY_AREA, Bodies, projected_area_factor
from heatcore.heat.people.body import Cause, Comfort
from heatcore.heat.people.comfort import LONG_WAVE, absorptance, utci
from heatcore.scene.model import Climate, Target
from heatcore.scene.types import Pattern
from tests.core.people_site import (
    CALM,
    COLD_ELEMENT,
    GAIN,
    emitter,
    heat,
    heats,
    model,
    seat,
    small,
    stander,
)

PLACES = st.builds(
    seat,
    x=st.floats(-3, 3),
    y=st.floats(-3, 3),
    facing=st.floats(-7, 7),
    posture=st.sampled_from(["upright", "perched", "lounging", "standing"]),
    height=st.floats(0.3, 0.8),
)


class TestPhysics:
    @pytest.mark.parametrize(
        ("posture", "irradiance", "rise"),
        [
            ("upright", 100, 3.377), ("upright", 400, 12.849),
            ("standing", 100, 1.579), ("standing", 400, 6.166),
        ],
    )  # fmt: skip
    def test_a_small_far_source_overhead(self, posture, irradiance, rise):
        # T**4 = T0**4 + f_p E / sigma at 10 C, f_p from Fanger 1970 as tabulated in ASHRAE 55
        # Appendix C: 0.177 seated and 0.082 standing from overhead. Within the published digits.
        far = 3000.0
        # A Lambertian point of power P has the intensity P / pi on its axis: textbook.
        lamp = small(at=(0, 0, far), power=irradiance * pi * far**2,
                     pattern=Pattern(kind="uniform"), element=COLD_ELEMENT)  # fmt: skip
        found = heat([lamp], seat(posture=posture))
        assert found.radiant_temperature - 10.0 == pytest.approx(rise, rel=2e-3)
        assert found.irradiance_w_m2 == pytest.approx(irradiance, rel=2e-3)
        assert found.head_w_m2 == pytest.approx(irradiance, rel=2e-3)
        assert found.utci == pytest.approx(utci(10, found.radiant_temperature, 0.5, 0.5), abs=1e-6)
        assert found.utci_without == pytest.approx(10.631, abs=0.01)  # as in the reference tests

    def test_absorbed_watts_are_flux_times_silhouette_times_absorptance(self):
        # By hand, from the inverse square law and the published factors.
        lamp = small(power=1000.0, pattern=Pattern(kind="uniform"), element=900.0)
        found = heat([lamp], stander())
        flux = [1000.0 / pi / (2.4 - z) ** 2 for z in (0.1, 1.1, 1.7)]
        mean = (flux[0] + 2 * flux[1] + flux[2]) / 4
        by_hand = float(absorptance(900.0)) * 0.082 * 0.725 * 1.8 * mean
        # Rays leave two millimetres before the face, which is that much of 0.7 m.
        assert found.absorbed_w["H1"] == pytest.approx(by_hand, rel=6e-3)

    @settings(max_examples=100, deadline=None)
    @given(PLACES, st.floats(2.2, 4.0), st.floats(-0.6, 0.6), st.floats(200, 2500))
    def test_a_body_absorbs_less_than_meets_its_silhouette(self, place, height, tilt, element):
        lamp = small(at=(0.3, -0.4, height), tilt=tilt, element=element)
        found = heat([lamp], place)
        meets = []
        for point, weight in zip(place.points, (0.25, 0.5, 0.25), strict=True):
            way = lamp.samples(1)[0] - point
            flux = float(lamp.intensity(-way)) / float(way @ way)
            shown = Bodies.of([place]).projected((way / np.linalg.norm(way))[None])[0]
            f_eff = 0.696 if place.posture in ("upright", "perched") else 0.725
            meets.append(weight * flux * shown * f_eff * BODY_AREA)
        assert found.total_w <= sum(meets) * 1.01 * LONG_WAVE
        assert found.total_w == pytest.approx(
            sum(meets) * float(absorptance(element)), rel=1e-2, abs=1e-6
        )

    def test_a_turned_person_absorbs_as_the_factors_say(self):
        # Level from the side: 0.230 standing, 0.350 from the front (ASHRAE 55 Appendix C). From
        # so far that the three points see it level and equally well.
        lamp = small(at=(3000.0, 0, 1.0), power=1e9, tilt=0.0)
        lamp = replace(lamp, frame=Frame(lamp.frame.origin, [(0, 1, 0), (0, 0, 1), (1, 0, 0)]))
        front = heat([lamp], stander(facing=0.0)).total_w
        side = heat([lamp], stander(facing=pi / 2)).total_w
        back = heat([lamp], stander(facing=pi)).total_w
        assert side / front == pytest.approx(0.230 / 0.350, rel=2e-3)
        assert back / front == pytest.approx(0.347 / 0.350, rel=2e-3)

    def test_somebody_who_lies_back_shows_a_heater_overhead_more(self):
        # The standing body's factor where the body's own axes see the zenith: from the ankles to
        # the head it leans back by 68 degrees, so the zenith is 22 degrees above its level front.
        place = seat(posture="lounging", height=0.35)
        ankle, _, head = place.points
        lean = atan2(ankle[0] - head[0], head[2] - ankle[2])
        up = np.array([[0.0, 0.0, 1.0]])
        shown = float(Bodies.of([place]).projected(up)[0])
        assert shown == pytest.approx(
            float(projected_area_factor(False, pi / 2 - lean, 0.0)), rel=1e-6
        )
        assert shown > 1.5 * 0.177

    def test_heaters_add_up_and_scale(self):
        one, two = emitter("H1", (0, 0, 2.4)), emitter("H2", (0.9, 0.5, 2.5), heading=0.7)
        place = seat(0.3, 0.2, facing=0.4)
        alone = [heat([lamp], place) for lamp in (one, two)]
        both = heat([one, two], place)
        assert dict(both.absorbed_w) == pytest.approx(
            {"H1": alone[0].total_w, "H2": alone[1].total_w}
        )
        assert both.irradiance_w_m2 == pytest.approx(sum(a.irradiance_w_m2 for a in alone))
        assert both.gain < alone[0].gain + alone[1].gain + 0.5
        half = heat([replace(one, radiant_power_w=one.radiant_power_w / 2)], place)
        assert half.total_w == pytest.approx(alone[0].total_w / 2)
        t0 = 10.0 + 273.15
        fourth = [(h.radiant_temperature + 273.15) ** 4 - t0**4 for h in (half, alone[0])]
        assert fourth[0] == pytest.approx(fourth[1] / 2)
        assert sum(both.shares.values()) == pytest.approx(1.0)

    def test_the_surroundings_radiant_temperature_counts(self):
        cold_sky = replace(CALM, radiant_temperature=0.0)
        found = heat([emitter()], seat(), climate=cold_sky)
        assert found.utci_without == pytest.approx(utci(10, 0, 0.5, 0.5), abs=1e-6)
        assert found.radiant_temperature < heat([emitter()], seat()).radiant_temperature


def turned(points, turn, by, mirrored):
    points = np.asarray(points) * ([1, -1, 1] if mirrored else [1, 1, 1])
    c, s = cos(turn), sin(turn)
    return points @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]) + by


def carried(site: Model, lamps, turn, by, mirrored):
    """The whole site elsewhere."""

    def mesh(part: Part) -> Part:
        order = [0, 2, 1] if mirrored else [0, 1, 2]
        vertices = turned(part.mesh.vertices, turn, by, mirrored)
        return replace(part, mesh=Mesh(vertices, part.mesh.triangles[:, order]))

    def place(one: Place) -> Place:
        facing = turn - one.facing if mirrored else turn + one.facing
        return replace(one, point=turned(one.point, turn, by, mirrored), facing=facing)

    def lamp(one):
        axes = turned(one.frame.axes, turn, 0.0, mirrored)
        if mirrored:
            axes = axes * np.array([1.0, -1.0, 1.0])[:, None]  # right-handed again
        return replace(one, frame=Frame(turned(one.frame.origin, turn, by, mirrored), axes))

    return (
        Model(tuple(map(mesh, site.parts)), tuple(map(place, site.places)), site.floor_outline),
        [lamp(one) for one in lamps],
    )


@pytest.mark.parametrize(
    ("turn", "by", "mirrored", "within"),
    [
        (0.0, (500.0, -300.0, 0.0), False, 1e-3),
        (1.1, (0.0, 0.0, 0.0), False, 1e-3),
        (-2.3, (40.0, 70.0, 0.0), False, 1e-3),
        # The aperture's samples are not their own mirror image.
        (0.4, (1.0, 2.0, 0.0), True, 0.02),
    ],
)
def test_the_same_elsewhere_turned_and_mirrored(turn, by, mirrored, within):
    places = [seat(0.6, 0.3, "A", 0.5), seat(-0.5, 0.7, "B", 2.0, "lounging"),
              replace(stander(0.9, 0.9, "C", -1.0), occupied=True)]  # fmt: skip
    site = model(*person_parts(places[2], 0), places=places)
    lamps = [emitter("H1", (0.2, 0.1, 2.5), heading=0.3, tilt=0.2), emitter("H2", (1.4, 0.9, 2.3))]
    before = heats(lamps, site)
    moved, lamps_there = carried(site, lamps, turn, np.array(by), mirrored)
    for a, b in zip(before, heats(lamps_there, moved), strict=True):
        assert dict(b.absorbed_w) == pytest.approx(dict(a.absorbed_w), rel=within, abs=0.02)
        assert b.utci == pytest.approx(a.utci, abs=3 * within)
        assert b.comfort is a.comfort


class TestPoints:
    def test_of_the_standard(self):
        # ISO 7726:1998, from memory.
        assert seat().points[:, 2] == pytest.approx([0.1, 0.6, 1.1])
        assert stander().points[:, 2] == pytest.approx([0.1, 1.1, 1.7])
        assert np.ptp(seat(1.0, 2.0).points[:, :2], axis=0) == pytest.approx([0.0, 0.0])

    def test_another_stature_scales_somebody_who_stands(self):
        child = stander(stature=1.72 / 2)
        assert child.points[:, 2] == pytest.approx([0.05, 0.55, 0.85])
        assert heat([small(at=(0, 0, 900.0), power=1e9)], child).total_w == pytest.approx(
            heat([small(at=(0, 0, 900.0), power=1e9)], stander()).total_w / 4, rel=5e-3
        )

    def test_on_a_stool_the_feet_are_up(self):
        assert seat(posture="perched", height=0.75).heights == pytest.approx((0.4, 0.9, 1.4))

    @pytest.mark.parametrize("facing", [0.0, 2.0])
    def test_somebody_on_a_lounger_lies_along_the_facing_as_the_figure_does(self, facing):
        place = seat(1.0, -2.0, facing=facing, posture="lounging", height=0.35)
        pose = pose_of("lounging", 0.35, 0.0, 2)
        c, s = cos(facing), sin(facing)
        there = np.array([pose.legs[0].tip, pose.hips + 0.15 * pose.trunk[2], pose.head])
        for point, joint in zip(place.points, there, strict=True):
            assert hypot(*(point[:2] - [1.0 + c * joint[0], -2.0 + s * joint[0]])) < 0.03
            assert point[2] == pytest.approx(joint[2], abs=0.03)

    def test_read_only(self):
        with pytest.raises(ValueError, match="read-only"):
            seat().points[0, 0] = 1.0


class TestVerdict:
    def test_warm_from_the_needed_gain_borderline_from_nine_tenths(self):
        found = heat([emitter()], seat())
        for share, comfort in (
            (0.999, Comfort.WARM), (1.001, Comfort.BORDERLINE),
            (1.11, Comfort.BORDERLINE), (1.112, Comfort.COLD),
        ):  # fmt: skip
            target = Target(utci=60.0, gain=found.gain * share)
            assert heat([emitter()], seat(), target=target).comfort is comfort

    def test_whichever_comes_first(self):
        found = heat([emitter()], seat())
        high = Target(utci=found.utci - 0.01, gain=30.0)
        assert heat([emitter()], seat(), target=high).needed_gain == pytest.approx(
            found.gain - 0.01
        )
        assert heat([emitter()], seat(), target=high).comfort is Comfort.WARM
        assert heat([emitter()], seat(), target=GAIN).needed_gain == 3.0

    def test_where_it_is_warm_anyway(self):
        found = heat([], seat(), target=Target(utci=9.0))
        assert found.comfort is Comfort.WARM
        assert found.reason is None
        assert found.needed_gain < 0.0
        assert "warm enough without heaters, at a UTCI of 10.6 °C" in found.notes


class TestRanges:
    def test_still_air_counts_as_the_least_wind(self):
        still = heat([emitter()], seat(), climate=replace(CALM, wind=0.0))
        assert still.utci == pytest.approx(heat([emitter()], seat()).utci, abs=1e-9)
        assert "wind below 0.5 m/s at 10 m counts as 0.5" in still.notes
        assert not any("wind" in note for note in heat([emitter()], seat()).notes)

    def test_walking_is_said_once(self):
        notes = heat([emitter()], seat()).notes
        assert sum("walks" in note for note in notes) == 1

    def test_under_a_furnace_the_radiant_temperature_is_bounded(self):
        found = heat([emitter(power=1e5)], seat())
        assert found.radiant_temperature > 80.0
        assert found.utci == pytest.approx(utci(10, 80, 0.5, 0.5), abs=1e-9)
        assert any("70 K above" in note for note in found.notes)

    @pytest.mark.parametrize("climate", [
        Climate(air_temperature=-60.0), Climate(air_temperature=55.0), Climate(wind=40.0),
        Climate(humidity=0.0), Climate(air_temperature=10.0, radiant_temperature=-40.0),
    ])  # fmt: skip
    def test_any_climate_gives_a_number_and_a_note(self, climate):
        found = heat([emitter()], seat(), climate=climate)
        assert np.isfinite([found.utci, found.utci_without, found.radiant_temperature]).all()
        assert any("counts" in note for note in found.notes)


class TestCrowds:
    def test_nobody(self):
        assert heats([emitter()], model()) == ()

    @pytest.mark.parametrize("lamps", [[], [emitter(power=0.0)]])
    def test_no_heater(self, lamps):
        found = heat(lamps, seat())
        assert found.comfort is Comfort.COLD
        assert found.reason.cause is Cause.NO_HEATER
        assert found.total_w == 0.0
        assert found.shares == {}
        assert list(found.absorbed_w) == [lamp.name for lamp in lamps]

    def test_in_the_order_of_the_places_and_each_as_if_alone(self):
        rng = np.random.default_rng(3)
        places = [seat(*rng.uniform(-3, 3, 2), f"S{i}", rng.uniform(0, 6)) for i in range(1100)]
        lamps = [emitter(), emitter("H2", (1, 1, 2.5))]
        together = heats(lamps, model(places=places))
        assert [h.place.name for h in together] == [p.name for p in places]
        for i in (0, 511, 512, 1023, 1099):
            alone = heat(lamps, places[i])
            assert together[i].utci == pytest.approx(alone.utci, abs=1e-4)
            assert together[i].comfort is alone.comfort

    def test_ten_thousand_in_bounded_memory(self):
        rng = np.random.default_rng(4)
        plan = rng.uniform(-40, 40, (10_000, 2))
        places = [seat(x, y, f"S{i}") for i, (x, y) in enumerate(plan)]
        site = model(places=places)
        tracemalloc.start()
        found = heats([emitter(), emitter("H2", (3, 0, 2.4))], site)
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert len(found) == 10_000
        assert peak < 150e6  # bytes; all rays at once would take ten times as much
