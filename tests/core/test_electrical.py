"""Loads and circuits of a scene's heaters."""

from dataclasses import replace

import pytest

from heatcore.checks.electrical import electrical
from heatcore.scene import shipped
from heatcore.scene.model import Heater, Supply

KINDS = shipped().heaters
LONG, SHORT, GAS = KINDS["long linear"], KINDS["short linear"], KINDS["gas linear"]
MAINS = Supply(voltage=240.0, electricity_price=0.2, gas_price=0.1)


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
