"""Why a place is not warm: each reason proved by taking the cause away."""

import re
from dataclasses import replace
from math import acos, atan, degrees, pi

import numpy as np
import pytest

from heatcore.geometry.build import build
from heatcore.geometry.parts import Kind
from heatcore.geometry.people import person_parts
from heatcore.heat.people.body import Cause, Comfort
from heatcore.heat.people.warmth import body_heats
from heatcore.heat.radiation.surroundings import surroundings
from heatcore.scene import parse_scene
from heatcore.scene.model import Target
from heatcore.scene.types import Pattern
from heatcore.units import UnitSystem
from tests.core.people_site import (
    CALM,
    GAIN,
    emitter,
    heat,
    heats,
    model,
    part,
    seat,
    small,
    stander,
)

NARROW = Pattern(along=6.0, across=6.0)


def target_of(share: float, *lamps, place=None, climate=CALM) -> Target:
    """A target that a seat reaches this share of, with nothing in the way."""
    free = heat(lamps, place or seat(), climate=climate)
    return Target(utci=90.0, gain=free.gain / share)


class TestOutside:
    def test_a_seat_pushed_out_of_a_beam_step_by_step(self):
        height, half = 2.4, acos(0.5 ** (1 / 6.0))  # of the beam: where cos(x)**6 = 1/2
        lamp = small(at=(0, 0, height), pattern=NARROW)
        target = target_of(1.6, lamp)
        met, causes = [], []
        for x in np.arange(0.0, 2.6, 0.05):
            found = heat([lamp], seat(x, 0.0), target=target)
            reached = found.gain / target.gain
            expected = (
                Comfort.WARM if reached >= 1 else
                Comfort.BORDERLINE if reached >= 0.9 else Comfort.COLD
            )  # fmt: skip
            assert found.comfort is expected
            # Of ankles, waist and head the second one counts.
            off = sorted(degrees(atan(x / (height - z)) - half) for z in (0.1, 0.6, 1.1))[1]
            if found.comfort is Comfort.WARM:
                assert found.reason is None
            elif off > 0.01:
                assert found.reason.cause is Cause.OUTSIDE
                assert found.reason.heater == "H1"
                (by,) = re.findall(r"(\d+)°", found.reason.words)
                assert int(by) == pytest.approx(max(off, 1.0), abs=0.51)
            elif off < -0.01:
                assert found.reason.cause is Cause.FAR
            met.append(found.comfort)
            causes.append(found.reason and found.reason.cause)
        order = [Comfort.WARM, Comfort.BORDERLINE, Comfort.COLD]
        assert [order.index(c) for c in met] == sorted(order.index(c) for c in met)
        assert set(met) == set(order)
        assert {Cause.FAR, Cause.OUTSIDE} <= set(causes)

    def test_turned_into_the_beam_it_is_warm(self):
        lamp, place = small(at=(-2.0, 0, 2.4), pattern=NARROW), seat()
        aimed = small(at=(-2.0, 0, 2.4), pattern=NARROW, heading=-pi / 2, tilt=0.9)
        assert aimed.frame.z @ (-1.0, 0.0, 0.0) > 0.7  # its beam leans toward the seat
        target = Target(utci=90.0, gain=2.5)
        assert heat([lamp], place, target=target).reason.cause is Cause.OUTSIDE
        assert heat([aimed], place, target=target).comfort is Comfort.WARM

    def test_the_nearest_beam_is_named(self):
        lamps = [
            small("A", (2.5, 0, 2.4), pattern=NARROW),
            small("B", (-1.6, 0, 2.4), pattern=NARROW),
        ]
        assert heat(lamps, seat()).reason.heater == "B"
        below = small("C", (0, 0, 0.05))
        found = heat([below], seat())
        assert found.reason.cause is Cause.OUTSIDE
        assert "behind the face" in found.reason.words

    def test_a_heater_that_is_off_has_no_beam(self):
        off, away = small("A", power=0.0), small("B", (3.0, 0, 2.4), pattern=NARROW)
        assert heat([off, away], seat()).reason.heater == "B"


class TestShaded:
    LAMP = emitter(at=(0, 0, 2.9))

    @pytest.mark.parametrize(
        ("thing", "kind", "owner"),
        [
            (((-0.5, -0.3, 2.2), (0.5, 0.3, 2.25)), Kind.FITTING, "ceiling fan"),
            (((-3.0, -0.1, 2.3), (3.0, 0.1, 2.5)), Kind.BEAM, "front beam"),
            (((-1.0, -0.25, 2.5), (1.0, 0.25, 2.52)), Kind.ROOF, "slats"),
        ],
    )
    def test_by_a_thing(self, thing, kind, owner):
        target = target_of(1.3, self.LAMP)
        shade = part(f"{owner} blades", kind, *thing, owner=owner)
        found = heat([self.LAMP], seat(), shade, target=target)
        assert found.comfort is not Comfort.WARM
        assert found.reason.cause is Cause.SHADED
        assert (found.reason.object, found.reason.heater) == (owner, "H1")
        assert f"{owner} takes" in found.reason.words
        assert "without it, it would be warm" in found.reason.words
        assert heat([self.LAMP], seat(), target=target).comfort is Comfort.WARM
        # How much it takes is how much is missing.
        (share,) = re.findall(r"takes (\d+)%", found.reason.words)
        free = heat([self.LAMP], seat(), target=target)
        assert int(share) == pytest.approx(100 * (1 - found.total_w / free.total_w), abs=0.6)

    def test_swept_things_and_empty_seats_shade_nobody(self):
        swept = replace(part("disc", Kind.FITTING, (-1, -1, 2.2), (1, 1, 2.3)), swept=True)
        assert heat([self.LAMP], seat(), swept).total_w == heat([self.LAMP], seat()).total_w

    def test_by_another_guest_who_stands_between(self):
        lamp = emitter(at=(2.6, 0, 1.9), heading=pi / 2, tilt=1.2)
        place, guest = seat(), replace(stander(0.75, 0.0, "Ann"), occupied=True)
        target = target_of(1.4, lamp)
        site = model(*person_parts(guest, 0), places=[place, guest])
        seated, _ = heats([lamp], site, target=target)
        assert seated.reason.cause is Cause.SHADED
        assert seated.reason.object == "Ann"
        assert "Ann takes" in seated.reason.words
        gone = replace(site, parts=site.parts[:1])
        assert heats([lamp], gone, target=target)[0].comfort is Comfort.WARM

    def test_a_seated_guest_is_called_by_the_seat(self):
        lamp = emitter(at=(3.2, 0, 1.5), heading=pi / 2, tilt=1.3)
        places = [seat(name="S1"), replace(seat(0.8, 0.0, "S2", pi), occupied=True)]
        target = target_of(1.2, lamp)
        site = model(*person_parts(places[1], 0), places=places)
        found = heats([lamp], site, target=target)[0]
        assert (found.reason.cause, found.reason.object) == (Cause.SHADED, "S2")
        assert "the guest at S2 takes" in found.reason.words

    def test_who_sits_across_the_own_table_shades_though_the_table_does_not(self):
        lamp = emitter(at=(3.2, 0, 1.5), heading=pi / 2, tilt=1.3)
        places = [
            seat(name="table seat 1", owner="table"),
            replace(seat(0.9, 0.0, "table seat 2", pi, owner="table"), occupied=True),
        ]
        back = part(
            "table seat 2 back", Kind.FURNITURE, (1.15, -0.25, 0.45), (1.2, 0.25, 1.3), "table"
        )
        top = part("table top", Kind.FURNITURE, (0.25, -0.5, 0.7), (0.6, 0.5, 0.75), "table")
        free = heats([lamp], model(places=places))[0]
        own = heats([lamp], model(back, top, places=places))[0]
        assert own.total_w == pytest.approx(free.total_w)
        guest = heats([lamp], model(back, top, *person_parts(places[1], 0), places=places))[0]
        assert guest.total_w < 0.8 * free.total_w

    def test_nobody_shades_themselves(self):
        guest = replace(stander(0.3, 0.2, "Ann"), occupied=True)
        alone = heats([self.LAMP], model(places=[guest]))[0]
        with_body = heats([self.LAMP], model(*person_parts(guest, 0), places=[guest]))[0]
        assert with_body.total_w == pytest.approx(alone.total_w)

    def test_half_shaded_though_cold_anyway(self):
        target = target_of(0.5, self.LAMP)
        roof = part("awning", Kind.ROOF, (-2, -2, 2.4), (2, 2, 2.45))
        found = heat([self.LAMP], seat(), roof, target=target)
        assert (found.reason.cause, found.reason.object) == (Cause.SHADED, "awning")
        assert "takes 100%" in found.reason.words
        assert "still not be warm" in found.reason.words
        assert heat([self.LAMP], seat(), target=target).comfort is Comfort.COLD

    def test_the_one_that_takes_most_is_named_and_all_must_go(self):
        target = target_of(1.05, self.LAMP)
        small_one = part("lamp", Kind.FITTING, (0.1, -0.2, 2.2), (0.35, 0.2, 2.25))
        large_one = part("fan", Kind.FITTING, (-0.6, -0.3, 2.2), (0.05, 0.3, 2.25))
        found = heat([self.LAMP], seat(), small_one, large_one, target=target)
        assert found.reason.object == "fan"
        assert "with nothing in the way it would be warm" in found.reason.words
        for left in (small_one, large_one):
            assert heat([self.LAMP], seat(), left, target=target).comfort is not Comfort.WARM
        assert heat([self.LAMP], seat(), target=target).comfort is Comfort.WARM

    def test_by_the_blades_of_a_real_fan(self):
        scene = parse_scene(
            """
            [site]
            name = "Deck"
            [floor]
            outline = [[0, 0], ["6 m", 0], ["6 m", "6 m"], [0, "6 m"]]
            [[fitting]]
            name = "ceiling fan"
            kind = "fan"
            at = ["3 m", "3 m"]
            height = "2.1 m"
            [[seat]]
            name = "S1"
            at = ["3 m", "3 m"]
            """
        )
        lamp, site = emitter(at=(3, 3, 2.9)), build(scene)
        bare = replace(site, parts=tuple(p for p in site.parts if p.kind is not Kind.FITTING))
        free = heats([lamp], bare)[0]
        target = Target(utci=90.0, gain=free.gain * 0.95)
        found = heats([lamp], site, target=target)[0]
        assert (found.reason.cause, found.reason.object) == (Cause.SHADED, "ceiling fan")
        assert heats([lamp], bare, target=target)[0].comfort is Comfort.WARM


class TestWind:
    # UTCI's gain by radiation hardly depends on the wind, its level does: a target of so many
    # degrees is what a wind takes out of reach.
    TARGET = Target(utci=12.0, gain=60.0)

    def test_a_series(self):
        met, causes, gains = [], [], []
        for wind in np.arange(0.0, 4.0, 0.05):
            climate = replace(CALM, wind=float(wind))
            found = heat([emitter()], seat(), climate=climate, target=self.TARGET)
            reached = found.gain / (12.0 - found.utci_without)
            assert (found.comfort is Comfort.WARM) is (found.utci >= 12.0) is (reached >= 1.0)
            assert (found.comfort is Comfort.COLD) is (reached < 0.9)
            met.append(found.comfort)
            causes.append(found.reason and found.reason.cause)
            gains.append(found.gain)
            if found.reason:
                assert "in calm air what arrives would do" in found.reason.words
        order = [Comfort.WARM, Comfort.BORDERLINE, Comfort.COLD]
        assert [order.index(c) for c in met] == sorted(order.index(c) for c in met)
        assert set(met) == set(order)
        assert set(causes) == {None, Cause.WIND}
        assert np.all(np.diff(gains) <= 1e-9)

    def test_in_calm_air_it_is_never_the_wind(self):
        found = heat([emitter(power=600.0)], seat(), target=self.TARGET)
        assert found.reason.cause is Cause.FAR

    def test_what_it_would_take_from_overhead_is_just_what_warms(self):
        windy, lamp = replace(CALM, wind=2.0), emitter()
        found = heat([lamp], seat(), climate=windy, target=self.TARGET)
        assert found.reason.cause is Cause.WIND
        assert found.reason.words.startswith("Too windy: at 2 m/s it takes")
        assert "more than the 240 W/m2 that heads should get" in found.reason.words
        wanted = float(re.findall(r"takes (\d+) W/m2", found.reason.words)[0])
        far = 3000.0  # so that all of the body gets the same
        for share, warm in ((0.96, False), (1.04, True)):
            power = share * wanted * pi * far**2
            sun = small(at=(0, 0, far), power=power, pattern=Pattern(kind="uniform"))
            got = heat([sun], seat(), climate=windy, target=self.TARGET)
            assert (got.comfort is Comfort.WARM) is warm

    def test_where_heads_may_get_more_it_does_not_say_so(self):
        target = replace(self.TARGET, head_irradiance=2000.0)
        found = heat([emitter()], seat(), climate=replace(CALM, wind=2.0), target=target)
        assert found.reason.cause is Cause.WIND
        assert "heads" not in found.reason.words

    def test_where_a_heater_aimed_at_it_would_do_it_is_not_the_wind(self):
        # At the edge of a beam the seat gets too little in a light wind; in calm air it would do,
        # and so would the same heater turned toward it.
        lamp = small(at=(-0.85, 0, 2.4), pattern=NARROW)
        breeze, target = replace(CALM, wind=1.0), Target(utci=12.5, gain=60.0)
        found = heat([lamp], seat(), climate=breeze, target=target)
        assert found.reason.cause is Cause.FAR
        assert found.reason.words.endswith("times what arrives, or for calm air.")
        assert heat([lamp], seat(), target=target).comfort is Comfort.WARM
        aimed = small(at=(-0.85, 0, 2.4), pattern=NARROW, heading=-pi / 2, tilt=0.44)
        assert heat([aimed], seat(), climate=breeze, target=target).comfort is Comfort.WARM

    def test_beyond_what_any_beam_can_do(self):
        gale = replace(CALM, wind=11.0)
        found = heat([emitter(power=1e5)], seat(), climate=gale, target=self.TARGET)
        assert found.radiant_temperature > 80.0
        assert found.reason.cause is Cause.WIND
        assert found.reason.words.startswith("Too windy: at 11 m/s no beam can")


class TestFar:
    def test_more_power_is_what_it_takes(self):
        lamp = emitter(at=(0, 0, 4.0))
        target = target_of(0.7, lamp)
        found = heat([lamp], seat(), target=target)
        assert (found.reason.cause, found.reason.heater) == (Cause.FAR, "H1")
        times = float(re.findall(r"asks for ([\d.]+) times", found.reason.words)[0])
        for share, warm in ((0.94, False), (1.06, True)):
            power = lamp.radiant_power_w * times * share
            more = heat([replace(lamp, radiant_power_w=power)], seat(), target=target)
            assert (more.comfort is Comfort.WARM) is warm

    def test_distance_and_how_fast_it_falls(self):
        # Inverse square of a point: 3.4 m above the waist, and four fifths of that.
        lamp = small(at=(0, 0, 4.0), power=1000.0, pattern=Pattern(kind="uniform"))
        words = heat([lamp], seat(), target=Target(utci=90, gain=30)).reason.words
        here, there = (1000.0 / pi / (3.4 * share) ** 2 for share in (1.0, 0.8))
        assert f"3.4 m from H1 its beam brings {here:.0f} W/m2" in words
        assert f"{there:.0f} W/m2 at 2.7 m" in words

    def test_in_feet_where_the_site_is(self):
        site = model(places=[seat()])
        (found,) = body_heats(
            [small(at=(0, 0, 4.0))], site, surroundings([], site), CALM, GAIN, UnitSystem.IMPERIAL
        )
        assert "11' 2\" from H1" in found.reason.words
        assert "W/m2" in found.reason.words

    def test_the_strongest_is_named(self):
        lamps = [emitter("A", (0.8, 0, 4.0)), emitter("B", (0, 0, 3.6))]
        assert heat(lamps, seat(), target=Target(utci=90, gain=20)).reason.heater == "B"

    def test_a_target_that_no_radiation_reaches(self):
        found = heat([emitter()], seat(), target=Target(utci=200.0, gain=150.0))
        assert "no beam can reach the target" in found.reason.words
