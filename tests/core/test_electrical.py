"""Loads and circuits of a scene's heaters."""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest

from heatcore.checks.electrical import (
    RATINGS,
    electrical,
    electrical_findings,
    feed_at,
    switching,
)
from heatcore.checks.finding import Verdict
from heatcore.checks.said import figures, misses, subject
from heatcore.geometry.build import build
from heatcore.scene import shipped
from heatcore.scene.model import Circuit, Furniture, Heater, Supply, Zone
from heatcore.units import UnitSystem
from tests.core.checks_site import SCENE, model, mount

KINDS = shipped().heaters
LONG, SHORT, GAS = KINDS["long linear"], KINDS["short linear"], KINDS["gas linear"]
MAINS = Supply(voltage=240.0, electricity_price=0.2, gas_price=0.1)
DELTA = Supply(voltage=208.0, phases="three")
WYE = Supply(voltage=230.0, phases="three", practice="iec")


def heater(name, kind, **more):
    return Heater(name=name, type=kind.name, at=(0.0, 0.0), **more), kind


def test_heaters_of_one_circuit_are_fed_together():
    fed = electrical(
        [
            heater("A", LONG, circuit="west"),
            heater("B", SHORT),
            heater("C", LONG, circuit="west"),
        ],
        MAINS,
    )
    west, own = fed.circuits
    assert (west.name, west.heaters) == ("west", ("A", "C"))
    assert west.current_a == pytest.approx(8000 / 240)
    assert (west.design_a, west.rating_a) == (pytest.approx(41.667, abs=1e-3), 45)
    assert (own.name, own.heaters, own.rating_a) == ("B", ("B",), 15)
    assert fed.current_a == pytest.approx(10000 / 240)
    assert fed.input_w == pytest.approx(10000)
    assert fed.notes == ()


def test_a_circuit_that_bears_the_name_of_another_heater_is_not_its_own():
    fed = electrical([heater("A", LONG), heater("B", LONG, circuit="A")], MAINS)
    assert [circuit.heaters for circuit in fed.circuits] == [("A",), ("B",)]


def test_a_heater_turned_down_takes_less_energy_and_the_same_circuit():
    full = electrical([heater("A", LONG)], MAINS)
    down = electrical([heater("A", LONG, output=0.5)], MAINS)
    assert down.circuits == full.circuits
    assert down.input_w == full.input_w / 2
    assert down.cost == pytest.approx(full.cost / 2)


def test_iec_practice_takes_the_smaller_protection():
    # 4 kW at 230 V would be 3674 W of a 240 V heater: 15.97 A fit 16 A.
    supply = Supply(voltage=230.0, practice="iec")
    (circuit,) = electrical([heater("A", LONG)], supply).circuits
    assert circuit.current_a == pytest.approx(15.972, abs=1e-3)
    assert circuit.rating_a == 16


def test_without_a_supply_each_heater_has_its_own_voltage():
    low = replace(SHORT, name="low", voltage=120.0)
    fed = electrical([heater("A", LONG, circuit="x"), heater("B", low, circuit="x")], Supply())
    assert [load.voltage for load in fed.loads] == [240.0, 120.0]
    assert "separate them" in fed.notes[0]


def test_off_voltage_is_told_and_much_of_it_warned_of():
    (said,) = electrical([heater("A", LONG)], Supply(voltage=230.0)).notes
    assert "92%" in said
    assert "listing" not in said
    (warned,) = electrical([heater("A", LONG)], Supply(voltage=208.0)).notes
    assert "75%" in warned
    assert "its listing must allow that voltage" in warned


def test_gas_takes_no_current_that_a_type_would_state():
    fed = electrical([heater("G", GAS, circuit="x"), heater("A", LONG, circuit="x")], MAINS)
    assert fed.loads[0].current_a is None
    assert fed.loads[0].input_w == GAS.input_power  # whatever the supply's voltage
    assert [circuit.heaters for circuit in fed.circuits] == [("A",)]
    assert any("ignition" in note for note in fed.notes)
    hours = MAINS.evening / 3600
    assert fed.cost == pytest.approx(hours * (4 * 0.2 + GAS.input_power / 1000 * 0.1))
    assert electrical([heater("G", GAS)], MAINS).circuits == ()


@pytest.mark.parametrize("kind", [LONG, GAS])
def test_without_a_price_there_is_energy_and_no_cost(kind):
    fed = electrical([heater("A", kind)], Supply(voltage=240.0))
    assert fed.cost is None
    assert fed.energy_kwh(kind.fuel) > 0.0


def test_a_circuit_beyond_every_rating_says_so():
    many = [heater(f"H{n}", LONG, circuit="all") for n in range(9)]
    fed = electrical(many, Supply(voltage=240.0, practice="iec"))
    assert fed.circuits[0].rating_a is None
    assert "divide it" in fed.notes[0]


def test_no_heaters():
    fed = electrical([], MAINS)
    assert (fed.loads, fed.circuits, fed.input_w, fed.current_a, fed.cost) == ((), (), 0, None, 0)


def of_watts(name, watts, volts, **more):
    """A heater of so many watts at its own voltage."""
    return heater(name, replace(LONG, input_power=watts, voltage=volts), **more)


def found(heaters, supply, circuits=()):
    fed = electrical(heaters, supply, circuits)
    mounts = [
        replace(mount(one.name, at=(float(n), 0.0, 2.5)), heater=one, type=kind)
        for n, (one, kind) in enumerate(heaters)
    ]
    return electrical_findings(fed, mounts)


def test_a_stated_rating_is_what_the_design_current_is_held_against():
    # 2 x 4 kW at 240 V: 33.33 A, 41.67 A with the quarter that a continuous load adds.
    pair = [heater("A", LONG, circuit="west"), heater("B", LONG, circuit="west")]
    low, *_ = found(pair, MAINS, [Circuit(name="west", rating=40.0)])
    assert (low.code, low.verdict, low.unit) == ("electrical.circuit", Verdict.FAILS, "A")
    assert (low.heater, low.object) == ("", "west")
    assert (low.measured, low.required) == (pytest.approx(125 / 3), 40.0)
    assert low.margin == pytest.approx(40 - 125 / 3)
    assert "A and B" in low.note
    assert "210.20(A)" in low.source
    # Far above what the next standard rating would be: it still holds, by what is stated.
    high, *_ = found(pair, MAINS, [Circuit(name="west", rating=100.0)])
    assert (high.verdict, high.required) == (Verdict.HOLDS, 100.0)
    (exact,) = found([of_watts("A", 9600, 240, circuit="x")], MAINS, [Circuit(name="x", rating=50)])
    assert (exact.verdict, exact.measured) == (Verdict.HOLDS, 50.0)
    odd, *_ = found(pair, MAINS, [Circuit(name="west", rating=42.0)])
    assert odd.verdict is Verdict.HOLDS
    assert "no standard rating" in odd.note


def test_a_circuit_without_a_rating_holds_by_the_smallest_standard_one():
    (own,) = found([heater("A", LONG)], MAINS, [Circuit(name="elsewhere", rating=1.0)])
    assert (own.verdict, own.required, own.object) == (Verdict.HOLDS, 25, "A")
    many = [heater(f"H{n}", LONG, circuit="all") for n in range(9)]
    (beyond,) = found(many, Supply(voltage=240.0, practice="iec"))
    assert beyond.verdict is Verdict.FAILS
    assert (beyond.measured, beyond.required) == (pytest.approx(150.0), RATINGS["iec"][-1])
    assert "divide it" in beyond.note


def test_the_rating_of_a_circuit_is_not_that_of_a_heater_of_the_same_name():
    (own,) = found([heater("A", LONG)], MAINS, [Circuit(name="A", rating=10.0)])
    assert own.verdict is Verdict.HOLDS
    (named,) = found([heater("A", LONG, circuit="A")], MAINS, [Circuit(name="A", rating=10.0)])
    assert named.verdict is Verdict.FAILS


def test_iec_practice_takes_a_stated_rating_of_just_the_design_current():
    fed = [of_watts("A", 3680, 230, circuit="x")]  # 16 A
    iec = replace(WYE, phases="single")
    (holds,) = found(fed, iec, [Circuit(name="x", rating=16.0)])
    assert (holds.verdict, holds.measured) == (Verdict.HOLDS, 16.0)
    (fails,) = found(fed, replace(iec, practice="north_american"), [Circuit(name="x", rating=16.0)])
    assert (fails.verdict, fails.measured) == (Verdict.FAILS, 20.0)


@pytest.mark.parametrize(
    ("rated", "volts", "verdict", "required", "at_most"),
    [
        (240.0, 230.0, Verdict.ADVISORY, 240.0, False),
        (240.0, 208.0, Verdict.ADVISORY, 240.0, False),  # 13.3 % lower: it only gives less
        (230.0, 240.0, Verdict.ADVISORY, 230.0, True),
        (230.0, 253.0, Verdict.ADVISORY, 230.0, True),  # 10 % higher exactly
        (208.0, 240.0, Verdict.FAILS, 228.8, True),  # 15.4 % higher
    ],
)
def test_a_heater_on_another_voltage_than_its_own(rated, volts, verdict, required, at_most):
    _, off = found([of_watts("A", 6000, rated)], Supply(voltage=volts))
    assert (off.code, off.verdict, off.heater) == ("electrical.voltage", verdict, "A")
    assert (off.measured, off.required, off.unit) == (volts, pytest.approx(required), "V")
    assert off.at_most is at_most
    assert off.margin < 0.0
    watts = 6000 * (volts / rated) ** 2
    assert f"{watts:.0f} W" in off.note
    assert f"{watts / volts:.2f} A" in off.note
    assert "the listing must allow that voltage" in off.note


def test_on_its_own_voltage_and_for_gas_there_is_nothing_to_say_of_it():
    codes = [f.code for f in found([heater("A", LONG), heater("G", GAS)], MAINS)]
    assert codes == ["electrical.circuit"]


def test_a_circuit_for_two_voltages_fails():
    heaters = [of_watts("A", 4000, 240, circuit="x"), of_watts("B", 1500, 120, circuit="x")]
    _, mixed, _ = found(heaters, Supply())
    assert (mixed.code, mixed.verdict) == ("electrical.mixed", Verdict.FAILS)
    assert (mixed.measured, mixed.required, mixed.unit) == (240.0, 120.0, "V")
    assert mixed.margin < 0.0
    assert "A for 240 V and B for 120 V" in mixed.note
    apart = [of_watts("A", 4000, 240, circuit="x"), of_watts("B", 1500, 120, circuit="y")]
    assert {f.code for f in found(apart, Supply())} == {"electrical.circuit"}


def test_a_circuit_for_several_heaters_is_told_of_above_what_a_dwelling_may_have():
    # NEC 424.3(A) of 2017: 30 A, of infrared heaters in other than a dwelling 50 A; second-hand.
    def shared(heaters, supply=MAINS, rating=None):
        fed = found(heaters, supply, [Circuit(name="x", rating=rating)])
        return [f for f in fed if f.code == "electrical.shared"]

    pair = [of_watts("A", 2800, 240, circuit="x"), of_watts("B", 2800, 240, circuit="x")]
    assert shared(pair) == []  # 29.2 A: 30 A
    (dwelling,) = shared(pair, rating=40.0)
    assert (dwelling.verdict, dwelling.measured) == (Verdict.ADVISORY, 40.0)
    assert (dwelling.required, dwelling.object) == (30.0, "x")
    (anywhere,) = shared(pair, rating=60.0)
    assert anywhere.required == 50.0
    assert shared(pair[:1], rating=60.0) == []
    assert shared(pair, replace(MAINS, practice="iec"), 63.0) == []


def test_findings_point_at_the_first_heater_of_a_circuit():
    heaters = [heater("A", LONG), heater("B", LONG, circuit="x"), heater("C", LONG, circuit="x")]
    first, second, _ = found(heaters, MAINS)
    assert first.point.tolist() == [0.0, 0.0, 2.5]
    assert second.point.tolist() == second.heater_point.tolist() == [1.0, 0.0, 2.5]


def test_what_does_not_hold_is_said_with_both_figures():
    def said(code, heaters, supply=MAINS, circuits=()):
        (finding,) = (f for f in found(heaters, supply, circuits) if f.code == code)
        return misses(finding, UnitSystem.METRIC)

    pair = [heater("A", LONG, circuit="x"), heater("B", LONG, circuit="x")]
    low = [Circuit(name="x", rating=40.0)]
    assert said("electrical.circuit", pair, circuits=low) == (
        "circuit x asks for a protection of 41.67 A or more and has 40 A"
    )
    # A hair over its rating never reads as being on it.
    hair = [of_watts("A", 40.001 * 192, 240, circuit="x")]
    assert "40.01 A or more" in said("electrical.circuit", hair, circuits=low)
    assert said("electrical.shared", pair, circuits=low) == (
        "circuit x feeds several heaters and is rated 40 A where at most 30 A is usual"
    )
    two = [of_watts("A", 4000, 240, circuit="x"), of_watts("B", 1500, 120, circuit="x")]
    assert said("electrical.mixed", two, Supply()) == (
        "circuit x feeds heaters for 120 V and for 240 V"
    )
    code = "electrical.voltage"
    assert said(code, pair[:1], Supply(voltage=208.0)) == "A is made for 240 V and is on 208 V"
    assert said(code, pair[:1], Supply(voltage=277.0)) == (
        "A is allowed at most 264 V and is on 277 V"
    )


def test_findings_have_a_subject_and_figures():
    pair = [heater("A", LONG, circuit="x"), heater("B", LONG, circuit="x")]
    low = Supply(voltage=230.0)
    said = {f.code: f"{subject(f)} {figures(f, UnitSystem.METRIC)}" for f in found(pair, low)}
    assert said["electrical.circuit"] == (
        "what circuit x asks of its protection comes to 39.93 A where at most 40 A is asked for"
    )
    assert said["electrical.shared"].startswith("the rating of circuit x comes to 40 A")
    two = [of_watts("A", 4000, 240, circuit="x"), of_watts("B", 1500, 120, circuit="x")]
    (mixed,) = (f for f in found(two, Supply()) if f.code == "electrical.mixed")
    assert subject(mixed) == "the voltage of circuit x"
    (off, _) = (f for f in found(pair, low) if f.code == "electrical.voltage")
    assert subject(off) == "the voltage of A"


@pytest.mark.parametrize(
    ("practice", "lines", "neutral"),
    [
        ("north_american", (208, 240, 480, 600), (120, 277, 347)),
        ("iec", (380, 400, 415), (220, 230, 240)),
    ],
)
def test_how_a_voltage_is_fed_on_three_phases(practice, lines, neutral):
    assert {feed_at(v, practice) for v in lines} == {"line to line"}
    assert {feed_at(v, practice) for v in neutral} == {"line to neutral"}


def test_equal_circuits_lie_evenly_on_three_phases():
    # Six of 6 kW at 480 V: 18 kW on each half, so twice 21.651 A in each line.
    fed = electrical(
        [of_watts(f"H{n}", 6000, 480) for n in range(6)],
        Supply(voltage=480.0, phases="three"),
    )
    assert sorted(c.legs for c in fed.circuits) == sorted(2 * ["L1-L2", "L2-L3", "L3-L1"])
    assert fed.lines.lines_a == pytest.approx([36000 / (3**0.5 * 480)] * 3)
    assert fed.lines.imbalance == pytest.approx(0.0, abs=1e-12)
    assert fed.lines.neutral_a == pytest.approx(0.0, abs=1e-12)
    assert fed.current_a == pytest.approx(43.301, abs=1e-3)
    # Each circuit's own protection carries its heater between two lines.
    assert [c.current_a for c in fed.circuits] == pytest.approx([12.5] * 6)


def test_the_largest_goes_first_and_onto_the_least_loaded_leg():
    watts = {"A": 1000, "B": 3000, "C": 2000, "D": 1500}
    fed = electrical([of_watts(name, w, 230) for name, w in watts.items()], WYE)
    assert {c.name: c.legs for c in fed.circuits} == {"B": "L1", "C": "L2", "D": "L3", "A": "L3"}
    assert fed.lines.lines_a == pytest.approx([3000 / 230, 2000 / 230, 2500 / 230])
    # Largest deviation from the mean of 2500 W is 500 W.
    assert fed.lines.imbalance == pytest.approx(0.2)


def test_two_loads_between_lines_add_up_as_phasors():
    # 10 A each between L1 and L2 and between L3 and L1: 60 degrees apart in L1.
    legs = [Circuit(name="x", legs="L1-L2"), Circuit(name="y", legs="L3-L1")]
    heaters = [of_watts("A", 2080, 208, circuit="x"), of_watts("B", 2080, 208, circuit="y")]
    fed = electrical(heaters, DELTA, legs)
    assert fed.lines.lines_a == pytest.approx([10 * 3**0.5, 10.0, 10.0])
    assert fed.lines.neutral_a == pytest.approx(0.0, abs=1e-12)


def test_an_uneven_neutral_carries_what_is_left():
    # 10, 10 and 4 A on three legs: 6 A are left in the neutral.
    heaters = [of_watts(n, a * 230, 230) for n, a in (("A", 10), ("B", 10), ("C", 4))]
    lines = electrical(heaters, WYE).lines
    assert lines.lines_a == pytest.approx([10, 10, 4])
    assert lines.neutral_a == pytest.approx(6.0)


def test_line_currents_are_those_of_the_circuits_solved_by_kirchhoff():
    # Random delta loads: node voltages and Ohm's law, without any phasor of ours.
    rng = np.random.default_rng(4)
    for _ in range(20):
        a, b, c = rng.uniform(0.0, 40.0, 3)  # A between L1-L2, L2-L3, L3-L1 at 208 V
        pairs = ("L1-L2", "L2-L3", "L3-L1")
        heaters = [
            of_watts(p, amps * 208, 208, circuit=p)
            for p, amps in zip(pairs, (a, b, c), strict=True)
        ]
        fed = electrical(heaters, DELTA, [Circuit(name=p, legs=p) for p in pairs])
        t = np.linspace(0.0, 1 / 60, 2000, endpoint=False)
        volts = [208 / 3**0.5 * 2**0.5 * np.cos(2 * np.pi * (60 * t - n / 3)) for n in range(3)]
        ohms = [208 / amps for amps in (a, b, c)]
        one, two, three = volts
        i12, i23, i31 = (one - two) / ohms[0], (two - three) / ohms[1], (three - one) / ohms[2]
        rms = [np.sqrt((i**2).mean()) for i in (i12 - i31, i23 - i12, i31 - i23)]
        assert fed.lines.lines_a == pytest.approx(rms, rel=1e-9)


def test_spreading_is_never_far_from_the_best():
    # Against every way to put seven circuits on three legs.
    rng = np.random.default_rng(7)
    for _ in range(10):
        amps = rng.uniform(5.0, 25.0, 7)
        heaters = [of_watts(f"H{n}", a * 230, 230) for n, a in enumerate(amps)]
        ways = np.indices((3,) * 7).reshape(7, -1)
        loads = np.stack([(amps[:, None] * (ways == leg)).sum(axis=0) for leg in range(3)])
        # Largest first is at most 4/3 - 1/9 of the best: Graham, SIAM J. Appl. Math. 17 (1969).
        assert electrical(heaters, WYE).lines.most_a <= loads.max(axis=0).min() * (4 / 3 - 1 / 9)


def test_the_order_of_the_heaters_does_not_change_the_currents():
    watts = {"A": 1000, "B": 3000, "C": 2000, "D": 1500}
    seen = set()
    for order in permutations(watts):
        lines = electrical([of_watts(n, watts[n], 208) for n in order], DELTA).lines
        seen.add(tuple(round(a, 9) for a in lines.lines_a))
    assert len(seen) == 1


def test_stated_legs_go_and_the_others_fill_up():
    heaters = [of_watts("A", 6000, 208, circuit="x"), of_watts("B", 6000, 208)]
    fed = electrical(heaters, DELTA, [Circuit(name="x", legs="L3-L1")])
    assert [c.legs for c in fed.circuits] == ["L3-L1", "L1-L2"]
    # A line and neutral at 208 V: what is stated goes.
    single = electrical(heaters[:1], DELTA, [Circuit(name="x", legs="L2")])
    assert single.lines.lines_a == pytest.approx([0.0, 6000 / 208, 0.0])
    assert any("usually lies line to line: check its legs" in note for note in single.notes)
    assert not any("check its legs" in note for note in fed.notes)
    wrong = electrical(
        [of_watts("A", 3000, 230, circuit="x")], WYE, [Circuit(name="x", legs="L1-L2")]
    )
    assert any("usually lies line to neutral" in note for note in wrong.notes)


def test_a_circuit_on_three_legs_takes_the_worst_of_them():
    whole = [Circuit(name="x", rating=70.0, legs="L1-L2-L3")]
    three = [of_watts(f"H{n}", 6000, 208, circuit="x") for n in range(3)]
    (circuit,) = electrical(three, DELTA, whole).circuits
    assert circuit.legs == "L1-L2-L3"
    assert circuit.current_a == pytest.approx(49.963, abs=1e-3)
    assert circuit.rating_a == 70
    held, *_ = found(three, DELTA, whole)
    assert held.verdict is Verdict.HOLDS
    # A fourth heater: two pairs of legs with 28.85 A, one with 57.7: sqrt(a2 + c2 + ac) of them.
    four = [*three, of_watts("H3", 6000, 208, circuit="x")]
    (circuit,) = electrical(four, DELTA, whole).circuits
    amps = 6000 / 208
    assert circuit.current_a == pytest.approx(amps * 7**0.5)
    assert sorted(circuit.lines.lines_a) == pytest.approx(
        [amps * 3**0.5, amps * 7**0.5, amps * 7**0.5]
    )
    held, *_ = found(four, DELTA, whole)
    assert (held.verdict, held.measured) == (Verdict.FAILS, pytest.approx(1.25 * amps * 7**0.5))
    # One heater counts as fed by one phase, which is more than if it took three.
    alone = electrical(four[:1], DELTA, whole)
    assert alone.circuits[0].current_a == pytest.approx(amps)
    assert any("feeds one heater" in note for note in alone.notes)


def test_two_circuits_on_three_legs_lie_evenly_together():
    names = ("x", "y", "z")
    heaters = [of_watts(f"{c}{n}", 6000, 208, circuit=c) for c in names for n in range(4)]
    fed = electrical(heaters, DELTA, [Circuit(name=c, legs="L1-L2-L3") for c in names])
    assert fed.lines.imbalance == pytest.approx(0.0, abs=1e-9)


def test_legs_are_nothing_to_a_single_phase():
    fed = electrical([heater("A", LONG, circuit="x")], MAINS, [Circuit(name="x", legs="L1-L2-L3")])
    assert (fed.lines, fed.circuits[0].legs, fed.loads[0].legs) == (None, None, None)
    assert fed.circuits[0].current_a == 4000 / 240


def test_no_heaters_on_three_phases():
    fed = electrical([], DELTA, [Circuit(name="x")])
    assert (fed.circuits, fed.lines, fed.current_a) == ((), None, None)
    assert electrical([heater("G", GAS)], DELTA).lines is None


def hung(name, x, kind=LONG, **more):
    one = Heater(name=name, type=kind.name, at=(x, 0.0), **more)
    return replace(mount(name, at=(x, 0.0, 2.5)), heater=one, type=kind)


def test_switching_by_zone_and_step():
    west = Zone(name="west", outline=((-5, -1), (0, -1), (0, 1), (-5, 1)))
    east = Zone(name="east", outline=((0, -1), (3, -1), (3, 1), (0, 1)))
    scene = replace(SCENE, zone=(west, east))
    mounts = [
        hung("A", -2.0, circuit="1"),
        hung("B", -1.0, circuit="2", step=2),
        hung("C", 0.0, circuit="1", output=0.5),  # on both zones' edge: the first one's
        hung("D", 2.0),
        hung("E", 4.0, GAS),
    ]
    fed = electrical([(m.heater, m.type) for m in mounts], MAINS)
    groups = switching(scene, model(), mounts, fed)
    assert [(g.zone, g.step, g.heaters) for g in groups] == [
        ("west", 1, ("A", "C")),
        ("west", 2, ("B",)),
        ("east", 1, ("D",)),
        ("", 1, ("E",)),
    ]
    first, *_, gas = groups
    assert first.circuits == ("1",)
    assert first.input_w == pytest.approx(6000)  # C is turned down
    assert first.current_a == pytest.approx(8000 / 240)  # and can be turned up again
    assert (gas.current_a, gas.circuits) == (None, ())
    assert gas.input_w == GAS.input_power


def test_switching_on_three_phases_tells_the_most_loaded_line():
    mounts = [hung(n, float(i)) for i, n in enumerate("ABC")]
    fed = electrical([(m.heater, m.type) for m in mounts], DELTA)
    (group,) = switching(SCENE, model(), mounts, fed)
    watts = 4000 * (208 / 240) ** 2
    assert group.current_a == pytest.approx(3 * watts / (3**0.5 * 208))


def test_a_zone_about_a_table_holds_the_heaters_over_it():
    table = Furniture(name="table", kind="table", at=(0.0, 0.0), size=(2.0, 1.0, 0.75))
    scene = replace(SCENE, furniture=(table,), zone=(Zone(name="dining", around="table"),))
    mounts = [hung("A", 1.5), hung("B", 1.7)]
    fed = electrical([(m.heater, m.type) for m in mounts], MAINS)
    groups = switching(scene, build(scene), mounts, fed)
    assert [(g.zone, g.heaters) for g in groups] == [("dining", ("A",)), ("", ("B",))]
