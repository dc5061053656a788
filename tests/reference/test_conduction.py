"""Heat conducted into floors, against handbook formulas, worked examples and scipy."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
import scipy.integrate
import scipy.optimize
import scipy.special

from heatcore.heat.floor.conduction import (
    Layer,
    Solid,
    erfcx,
    insulated_slab,
    layered,
    semi_infinite,
)

HALF_HOUR = 1800.0
NEAR = 0.005  # half a percent, of values printed to three digits or four

# Incropera, Fundamentals of Heat and Mass Transfer, Table A.3, at 300 K (from memory).
CONCRETE = Solid(1.4, 2300.0, 880.0)
GRANITE = Solid(2.79, 2630.0, 775.0)
SOIL = Solid(0.52, 2050.0, 1840.0)
SOFTWOOD = Solid(0.12, 510.0, 1380.0)


def fourier(solid: Solid, thickness: float, flux: float, seconds: float, depth: float) -> float:
    """A slab insulated at its back, by its Fourier series (Carslaw and Jaeger, 3.8, from memory).

    An independent route to what the code has from mirrored sources.
    """
    fourier_number = solid.diffusivity_m2_s * seconds / thickness**2
    from_back = 1.0 - depth / thickness
    n = np.arange(1, 4000)
    series = (-1.0) ** n / n**2 * np.exp(-((n * pi) ** 2) * fourier_number)
    rest = float(series @ np.cos(n * pi * from_back)) * 2 / pi**2
    shape = (3 * from_back**2 - 1) / 6
    return flux * thickness / solid.conductivity_w_mk * (fourier_number + shape - rest)


def test_the_scaled_error_function_against_scipy() -> None:
    x = np.concatenate([np.linspace(0.0, 30.0, 3001), [9.999999, 10.0, 1e3, 1e8, 1e150]])
    assert erfcx(x) == pytest.approx(scipy.special.erfcx(x), rel=1e-12)
    assert erfcx(0.0) == pytest.approx(1.0)


def test_what_a_solid_does_with_heat() -> None:
    """Concrete, stone mix: 6.917e-7 m2/s and 1683.3 (Incropera, Table A.3, from memory)."""
    assert CONCRETE.diffusivity_m2_s == pytest.approx(6.917e-7, rel=1e-4)
    assert CONCRETE.effusivity == pytest.approx(1683.3, rel=1e-4)


@pytest.mark.parametrize(
    ("depth", "rise"), [(0.0, 5.688), (0.025, 2.816), (0.050, 1.183), (0.100, 0.120)]
)
def test_a_deep_body_below_its_surface(depth: float, rise: float) -> None:
    """200 W/m2 for half an hour into concrete: Incropera, 7th ed., eq. 5.62."""
    assert semi_infinite(CONCRETE, 200.0, HALF_HOUR, depth) == pytest.approx(rise, rel=NEAR)


@pytest.mark.parametrize(
    ("flux", "seconds", "rise"),
    [(100, 1800, 2.844), (300, 1800, 8.532), (500, 1800, 14.220), (200, 600, 3.284)],
)
def test_a_deep_body_at_its_surface(flux: float, seconds: float, rise: float) -> None:
    """2 q sqrt(a t / pi) / k, from the same equation at the surface."""
    assert semi_infinite(CONCRETE, flux, seconds) == pytest.approx(rise, rel=NEAR)


@pytest.mark.parametrize(("loss", "rise"), [(10.0, 4.623), (25.0, 3.563)])
def test_a_deep_body_that_loses_at_its_surface(loss: float, rise: float) -> None:
    """(q / h) (1 - erfcx(h sqrt(a t) / k)): Carslaw and Jaeger, 2.9 (number from memory)."""
    assert semi_infinite(CONCRETE, 200.0, HALF_HOUR, loss_w_m2k=loss) == pytest.approx(
        rise, rel=NEAR
    )


@pytest.mark.parametrize("loss", [1e-7, 3.0, 10.0, 40.0])
@pytest.mark.parametrize("depth", [0.0, 0.02, 0.08])
def test_the_closed_form_with_losses_obeys_the_heat_equation(loss: float, depth: float) -> None:
    """Its own differential equation and its condition at the surface, by differences."""

    def rise(x: float, t: float = HALF_HOUR) -> float:
        return float(semi_infinite(SOIL, 200.0, t, x, loss))

    step, wait = 5e-4, 1.0
    if depth == 0.0:
        slope = (-3 * rise(0.0) + 4 * rise(step) - rise(2 * step)) / (2 * step)
        arriving = -SOIL.conductivity_w_mk * slope
        assert arriving + loss * rise(0.0) == pytest.approx(200.0, rel=1e-4)
        return
    curved = (rise(depth - step) - 2 * rise(depth) + rise(depth + step)) / step**2
    faster = (rise(depth, HALF_HOUR + wait) - rise(depth, HALF_HOUR - wait)) / (2 * wait)
    assert faster == pytest.approx(SOIL.diffusivity_m2_s * curved, rel=1e-3)


def test_small_losses_come_to_none() -> None:
    depths = np.linspace(0.0, 0.1, 11)
    without = semi_infinite(CONCRETE, 200.0, HALF_HOUR, depths)
    assert semi_infinite(CONCRETE, 200.0, HALF_HOUR, depths, 1e-5) == pytest.approx(
        without, rel=1e-4
    )


@pytest.mark.parametrize(
    ("thickness", "surface", "back"), [(0.100, 5.688, 0.240), (0.050, 5.928, 2.378)]
)
def test_a_slab_with_an_insulated_back(thickness: float, surface: float, back: float) -> None:
    """Concrete, 200 W/m2, half an hour: Fourier series and finite differences agree on these."""
    found = insulated_slab(CONCRETE, thickness, 200.0, HALF_HOUR, [0.0, thickness])
    assert found == pytest.approx([surface, back], rel=NEAR)


def test_a_thin_paver_is_not_evenly_warm() -> None:
    """Lumped, 50 mm of concrete would rise by q t / (rho c L), and that is wrong by a lot."""
    lumped = 200.0 * HALF_HOUR / (CONCRETE.volumetric_capacity_j_m3k * 0.05)
    assert lumped == pytest.approx(3.557, rel=NEAR)
    assert float(insulated_slab(CONCRETE, 0.05, 200.0, HALF_HOUR)) > 1.6 * lumped


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
@pytest.mark.parametrize("seconds", [60.0, 1800.0, 36000.0, 864000.0])
def test_mirrored_sources_and_fourier_series_agree(share: float, seconds: float) -> None:
    found = float(insulated_slab(CONCRETE, 0.06, 200.0, seconds, share * 0.06))
    assert found == pytest.approx(fourier(CONCRETE, 0.06, 200.0, seconds, share * 0.06), abs=2e-5)


@pytest.mark.parametrize(
    ("solid", "rise"), [(GRANITE, 4.015), (SOIL, 6.836), (SOFTWOOD, 32.9)], ids=str
)
def test_other_grounds(solid: Solid, rise: float) -> None:
    """200 W/m2 for half an hour without losses; properties as Incropera, Table A.3 (memory)."""
    assert semi_infinite(solid, 200.0, HALF_HOUR) == pytest.approx(rise, rel=NEAR)


def test_a_brick_wall_whose_surface_reaches_150_degrees() -> None:
    """From 20 C at 4500 W/m2, k 1.07, diffusivity 5.4e-7: 1389.7 s; 2725.6 W/m2 at 20 mm.

    Inputs: a tutorial's reprint of a problem in J. P. Holman, Heat Transfer; answers recomputed.
    """
    brick = Solid(1.07, 1.07 / 5.4e-7 / 1000.0, 1000.0)
    time = scipy.optimize.brentq(lambda t: semi_infinite(brick, 4500.0, t) - 130.0, 1.0, 1e5)
    assert time == pytest.approx(1389.7, rel=NEAR)
    above, below = semi_infinite(brick, 4500.0, time, [0.0199, 0.0201])
    assert 1.07 * (above - below) / 0.0002 == pytest.approx(2725.6, rel=NEAR)


@pytest.mark.parametrize(("loss", "rise"), [(0.0, 5.6876), (10.0, 4.6231)])
def test_the_layered_solver_on_one_deep_layer(loss: float, rise: float) -> None:
    """Against an implicit finite-difference solution made elsewhere, and the closed form."""
    found = layered([Layer(CONCRETE, 0.6)], 200.0, HALF_HOUR, loss)
    assert found.surface_k == pytest.approx(rise, rel=1e-3)
    exact = semi_infinite(CONCRETE, 200.0, HALF_HOUR, found.depths, loss)
    assert found.rise_k == pytest.approx(exact, abs=2e-3 * rise)


@pytest.mark.parametrize(("depth", "rise"), [(0.025, 2.8155), (0.050, 1.1834)])
def test_the_layered_solver_below_the_surface(depth: float, rise: float) -> None:
    """Against an implicit finite-difference solution made elsewhere."""
    found = layered([Layer(CONCRETE, depth), Layer(CONCRETE, 0.6)], 200.0, HALF_HOUR)
    at = int(np.argmin(np.abs(found.depths - depth)))
    assert found.depths[at] == pytest.approx(depth)
    assert found.rise_k[at] == pytest.approx(rise, rel=2e-3)


@pytest.mark.parametrize("thickness", [0.02, 0.05, 0.10])
@pytest.mark.parametrize("seconds", [300.0, 1800.0, 10800.0])
def test_the_layered_solver_against_the_series(thickness: float, seconds: float) -> None:
    found = layered([Layer(CONCRETE, thickness)], 200.0, seconds)
    series = [fourier(CONCRETE, thickness, 200.0, seconds, x) for x in (0.0, thickness)]
    assert found.rise_k[[0, -1]] == pytest.approx(series, rel=NEAR, abs=1e-3)


def test_a_slab_between_two_airs_comes_to_rest() -> None:
    """After days: the rise that Ohm's law for heat gives, and all that is absorbed is lost."""
    found = layered([Layer(SOFTWOOD, 0.028)], 200.0, 10 * 86400.0, 10.0, 6.0)
    through = 1 / (0.028 / 0.12 + 1 / 6.0)
    assert found.surface_k == pytest.approx(200.0 / (10.0 + through), rel=1e-6)
    assert found.lost_share == pytest.approx(1.0, abs=1e-2)


def test_two_layers_against_an_integration_in_time() -> None:
    """Pavers on sand with losses, by another grid and scipy's stiff integrator."""
    paver, sand, loss, cell = CONCRETE, Solid(0.27, 1515.0, 800.0), 10.0, 0.001
    count = 300
    solids = [paver if i < 60 else sand for i in range(count)]
    conductivity = np.array([s.conductivity_w_mk for s in solids])
    heat = cell * np.array([s.volumetric_capacity_j_m3k for s in solids])
    between = 1 / (cell / 2 / conductivity[:-1] + cell / 2 / conductivity[1:])
    skin = 2 * conductivity[0] / cell  # from the first cell's middle to the surface

    def rate(_: float, rise: np.ndarray) -> np.ndarray:
        surface = (200.0 + skin * rise[0]) / (skin + loss)
        flow = between * (rise[:-1] - rise[1:])
        return (np.r_[skin * (surface - rise[0]), flow] - np.r_[flow, 0.0]) / heat

    solved = scipy.integrate.solve_ivp(
        rate, (0.0, HALF_HOUR), np.zeros(count), method="LSODA", lband=1, uband=1,
        rtol=1e-8, atol=1e-9,
    )  # fmt: skip
    surface = (200.0 + skin * solved.y[0]) / (skin + loss)
    found = layered([Layer(paver, 0.06), Layer(sand, 0.24)], 200.0, HALF_HOUR, loss)
    assert found.surface_k == pytest.approx(surface[-1], rel=2e-3)
    lost = loss * scipy.integrate.trapezoid(surface, solved.t) / (200.0 * HALF_HOUR)
    assert found.lost_share == pytest.approx(lost, rel=NEAR)


@pytest.mark.parametrize("loss", [0.0, 10.0])
@pytest.mark.parametrize("back", [0.0, 6.0])
def test_no_heat_is_made_or_mislaid(loss: float, back: float) -> None:
    """What is absorbed is in the layers or lost."""
    layers = [Layer(GRANITE, 0.03), Layer(Solid(0.27, 1515.0, 800.0), 0.04), Layer(SOIL, 0.3)]
    found = layered(layers, 200.0, HALF_HOUR, loss, back)
    depths, rise, stored = found.depths, found.rise_k, 0.0
    top = 0.0
    for layer in layers:
        inside = (depths >= top - 1e-9) & (depths <= top + layer.thickness + 1e-9)
        kept = scipy.integrate.trapezoid(rise[inside], depths[inside])
        stored += layer.solid.volumetric_capacity_j_m3k * kept
        top += layer.thickness
    assert stored / (200.0 * HALF_HOUR) + found.lost_share == pytest.approx(1.0, abs=1e-9)


def test_the_effusivity_decides_the_surface_of_a_deep_body() -> None:
    """2 q sqrt(t / pi) / e: the same rise for two solids of the same effusivity."""
    other = Solid(2 * CONCRETE.conductivity_w_mk, CONCRETE.density_kg_m3 / 2, 880.0)
    rise = 2 * 200.0 * sqrt(HALF_HOUR / pi) / CONCRETE.effusivity
    assert semi_infinite(other, 200.0, HALF_HOUR) == pytest.approx(rise)
