"""Currents, ratings and energy against the code's tables and worked examples."""

from dataclasses import replace
from math import inf

import pytest

from heatcore.checks.electrical import (
    RATINGS,
    Electrical,
    Load,
    current,
    design_current,
    electrical,
    next_rating,
    three_phase_current,
)
from heatcore.scene.library import shipped
from heatcore.scene.model import Circuit, Heater, Supply
from heatcore.units import parse_power

# NEC Table 240.6(A), standard ampere ratings of fuses and inverse time circuit breakers, up to
# 600 A as reprinted in several places.
TABLE_240_6 = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
    350, 400, 450, 500, 600,
)  # fmt: skip


def test_north_american_ratings_are_those_of_the_code():
    ratings = RATINGS["north_american"]
    assert ratings[: len(TABLE_240_6)] == TABLE_240_6
    assert list(ratings) == sorted(set(ratings))
    assert ratings[-1] == 6000  # the table's last


def test_a_heater_with_a_blower_as_worked_by_a_code_teacher():
    # M. Holt, questions on the 2017 NEC, October 2019: 9,600 W at 240 V and a 3 A blower make 43 A,
    # times 1.25 is 53.75 A, so 60 A (the page misprints the power as 9,600 kW).
    drawn = current(9600.0, 240.0) + 3.0
    assert drawn == 43.0
    assert design_current(drawn, "north_american") == 53.75
    assert next_rating(53.75, "north_american") == 60


# I = P / V; fixed electric space heating is a continuous load, so 125 % (NEC 424.3(B) up to 2017,
# 424.4(B) after), then the next rating of Table 240.6(A). The arithmetic is of ours.
SINGLE_PHASE = [
    (1500, 120, 12.5, 15.625, 20),
    (1500, 240, 6.25, 7.8125, 15),
    (3000, 240, 12.5, 15.625, 20),
    (4000, 240, 16.667, 20.833, 25),
    (6000, 240, 25.0, 31.25, 35),
    (6000, 208, 28.846, 36.058, 40),
    (9600, 240, 40.0, 50.0, 50),
]


@pytest.mark.parametrize(("watts", "volts", "amps", "design", "rating"), SINGLE_PHASE)
def test_single_phase(watts, volts, amps, design, rating):
    drawn = current(watts, volts)
    assert drawn == pytest.approx(amps, abs=5e-4)
    assert design_current(drawn, "north_american") == pytest.approx(design, abs=5e-4)
    assert next_rating(design_current(drawn, "north_american"), "north_american") == rating


# I = P / (sqrt(3) V), balanced: any handbook; the arithmetic is of ours.
@pytest.mark.parametrize(
    ("watts", "volts", "amps", "design", "rating"),
    [(18000, 480, 21.651, 27.063, 30), (18000, 208, 49.963, 62.454, 70)],
)
def test_three_phases(watts, volts, amps, design, rating):
    drawn = three_phase_current(watts, volts)
    assert drawn == pytest.approx(amps, abs=5e-4)
    assert design_current(drawn, "north_american") == pytest.approx(design, abs=6e-4)
    assert next_rating(design_current(drawn, "north_american"), "north_american") == rating


@pytest.mark.parametrize(
    ("watts", "volts", "amps", "rating"), [(18000, 480, 21.651, 30), (18000, 208, 49.963, 70)]
)
def test_three_heaters_on_a_circuit_of_three_phases(watts, volts, amps, rating):
    # The same two rows, out of three single heaters between the lines of one circuit.
    kind = replace(shipped().heaters["long linear"], input_power=watts / 3, voltage=volts)
    heaters = [Heater(name=n, type=kind.name, at=(0.0, 0.0), circuit="x") for n in "ABC"]
    supply = Supply(voltage=volts, phases="three")
    fed = electrical(
        [(heater, kind) for heater in heaters], supply, [Circuit(name="x", legs="L1-L2-L3")]
    )
    (circuit,) = fed.circuits
    assert circuit.current_a == pytest.approx(amps, abs=5e-4)
    assert circuit.rating_a == rating
    assert fed.lines.lines_a == pytest.approx([amps] * 3, abs=5e-4)


def test_a_lower_voltage_gives_less_power_and_less_current():
    # The amperes follow from the derated power: 6 kW made for 240 V takes 21.667 A on 208 V, not
    # 28.846 A, and 27.083 A with the quarter on top, so 30 A. Six kilowatts on 240 V need 35 A,
    # not 30: the 125 % go on the current once, and no 80 % beside them. All arithmetic.
    kind = replace(shipped().heaters["long linear"], input_power=6000.0, voltage=240.0)
    heater = Heater(name="A", type=kind.name, at=(0.0, 0.0))
    (low,) = electrical([(heater, kind)], Supply(voltage=208.0)).circuits
    assert (low.current_a, low.design_a, low.rating_a) == (
        pytest.approx(21.667, abs=5e-4),
        pytest.approx(27.083, abs=5e-4),
        30,
    )
    fed = electrical([(heater, kind)], Supply(voltage=240.0, evening=3600.0))
    (own,) = fed.circuits
    assert (own.current_a, own.design_a, own.rating_a) == (25.0, 31.25, 35)
    assert fed.energy_kwh("electric") == 6.0  # what is paid for has no 125 % on it


def at(rated_w: float, rated_v: float, voltage: float) -> float:
    kind = replace(shipped().heaters["long linear"], input_power=rated_w, voltage=rated_v)
    return kind.input_at(voltage)


def test_another_voltage_than_its_own():
    # P ~ V^2 for a resistance; then the current from what is left of the power.
    power = at(6000.0, 240.0, 208.0)
    assert power == pytest.approx(4506.67, abs=5e-3)
    assert power / 6000.0 == pytest.approx(0.751111, abs=5e-7)
    assert current(power, 208.0) == pytest.approx(21.667, abs=5e-4)
    assert at(3000.0, 230.0, 240.0) == pytest.approx(3266.54, abs=5e-3)


def test_iec_practice_adds_nothing():
    # IEC 60364-4-43, 433.1: design current <= rated current. IEC 60898-1: preferred values of the
    # rated current 6 to 125 A. Both from memory.
    assert RATINGS["iec"] == (6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125)
    assert design_current(16.0, "iec") == 16.0
    assert next_rating(16.0, "iec") == 16
    assert next_rating(16.01, "iec") == 20
    assert next_rating(125.01, "iec") is None


def test_an_evening_of_four_heaters():
    # 4 x 3 kW x 3 h x 0.17 = 6.12: arithmetic.
    loads = tuple(
        Load(str(n), str(n), "electric", 240.0, 240.0, 3000.0, 3000.0, 3000.0) for n in range(4)
    )
    supply = Supply(electricity_price=0.17, evening=3 * 3600.0)
    fed = Electrical(loads, (), supply)
    assert fed.energy_kwh("electric") == pytest.approx(36.0)
    assert fed.cost == pytest.approx(6.12)


def test_an_evening_of_gas():
    # 40,000 Btu/h for 3 h are 1.200 therms of 100,000 Btu, 1 kWh being 3412.14 Btu (EIA, Energy
    # conversion factors), so 35.17 kWh; or 1.3122 gallons of propane of 91,452 Btu.
    watts = parse_power("40 kBtu/h")
    load = Load("G", "G", "gas", 120.0, 120.0, watts, watts, watts)
    fed = Electrical((load,), (), Supply(evening=3 * 3600.0))
    assert fed.energy_kwh("gas") * 3412.14 / 100_000 == pytest.approx(1.2, rel=1e-5)
    assert fed.energy_kwh("gas") * 3412.14 / 91_452 == pytest.approx(1.3122, abs=5e-5)
    assert fed.energy_kwh("electric") == 0.0
    assert fed.current_a is None


@pytest.mark.parametrize("practice", ["north_american", "iec"])
def test_a_rating_is_the_least_that_is_enough(practice):
    below = -inf
    for rating in RATINGS[practice]:
        assert next_rating(rating, practice) == rating
        assert next_rating(max(below, 0.0) + 0.01, practice) == rating
        below = rating
