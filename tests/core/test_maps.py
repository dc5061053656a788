"""What is read off a map: lines, bands, shares, extremes; on fields whose answers are known."""

from math import hypot, pi

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.errors import InputError
from heatcore.heat.planes.contours import LATTICE, Rings
from heatcore.heat.planes.maps import (
    Band,
    PlaneMap,
    bands,
    extremes,
    isolines,
    levels,
    warmed_share,
)

RECTANGLE = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]
L_SHAPE = [(0.0, 0.0), (4.0, 0.0), (4.0, 1.2), (1.7, 1.2), (1.7, 3.0), (0.0, 3.0)]
U_SHAPE = [
    (0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (2.9, 3.0), (2.9, 1.1), (1.3, 1.1), (1.3, 3.0), (0.0, 3.0),
]  # fmt: skip
TURNED = [(2.0, 0.0), (4.0, 1.4), (2.1, 3.0), (0.0, 1.5)]


def made(outline=RECTANGLE, step=0.05, **fields) -> PlaneMap:
    """A map of functions of x and y, by name, on a grid over the rectangle and beyond."""
    x, y = np.arange(-2.5, 4.0 / step + 2) * step, np.arange(-2.5, 3.0 / step + 2) * step
    grid = np.meshgrid(x, y)
    return PlaneMap(
        level=0.0,
        x=x,
        y=y,
        inside=shapely.contains_xy(shapely.Polygon(outline), *grid),
        outline=np.array(outline),
        by_heater={n: np.broadcast_to(f(*grid), grid[0].shape) for n, f in fields.items()},
    )


def noise(seed, shape, digits=9) -> np.ndarray:
    return np.round(np.random.default_rng(seed).uniform(0.0, 300.0, shape), digits)


def polygons(areas: tuple[Rings, ...]) -> shapely.Geometry:
    found = [shapely.Polygon(rings[0], rings[1:]) for rings in areas]
    return shapely.union_all(found, grid_size=LATTICE)


def covers(found: tuple[Band, ...], outline) -> None:
    """Hold that bands cover an outline once."""
    shapes = [polygons(band.areas) for band in found]
    whole = shapely.Polygon(outline)
    # Pieces below a square millimetre are left out.
    slack = 1e-4
    union = shapely.union_all(shapes, grid_size=LATTICE)
    assert union.symmetric_difference(whole, grid_size=LATTICE).area < slack
    assert sum(shape.area for shape in shapes) == pytest.approx(whole.area, abs=slack)
    for i, shape in enumerate(shapes):
        assert all(
            shape.intersection(other, grid_size=LATTICE).area < slack for other in shapes[:i]
        )
    assert sum(band.share for band in found) == pytest.approx(1.0, abs=1e-9)


class TestBands:
    def test_a_slope_is_cut_where_it_has_the_values(self):
        found = bands(made(h=lambda x, y: 100 * x), [100.0, 250.0])
        assert [(b.low, b.high) for b in found] == [(0, 100), (100, 250), (250, np.inf)]
        assert [b.share for b in found] == pytest.approx([0.25, 0.375, 0.375], abs=1e-9)
        covers(found, RECTANGLE)

    def test_a_cone_has_rings_with_holes(self):
        # Areas of circles; between points 5 cm apart a line is its chord.
        found = bands(made(h=lambda x, y: 200 - 100 * np.hypot(x - 2, y - 1.5)), [100.0, 150.0])
        assert [b.share * 12 for b in found] == pytest.approx(
            [12 - pi, pi * 0.75, pi * 0.25], abs=0.005
        )
        assert [len(rings) for rings in found[1].areas] == [2]
        outer, hole = found[1].areas[0]
        assert shapely.LinearRing(outer).is_ccw
        assert not shapely.LinearRing(hole).is_ccw

    def test_what_is_not_reached_is_empty_and_still_told(self):
        found = bands(made(h=lambda x, y: 10 + x), [50.0, 100.0])
        assert [b.share for b in found] == pytest.approx([1.0, 0.0, 0.0])
        assert found[2].areas == ()

    def test_an_even_field_lies_in_one_band(self):
        found = bands(made(h=lambda x, y: 75.0 + 0 * x), [50.0, 75.0, 100.0])
        assert [b.share for b in found] == pytest.approx([0.0, 0.0, 1.0, 0.0])

    @settings(deadline=None, max_examples=40)
    @given(
        st.sampled_from([RECTANGLE, L_SHAPE, U_SHAPE, TURNED]),
        st.integers(0, 2**32 - 1),
        st.lists(st.floats(1.0, 300.0), max_size=6),
        st.booleans(),
    )
    def test_any_field_is_covered_once(self, outline, seed, values, steps):
        # Noise has every saddle and island that there is; in steps it has plateaus at the values.
        field = made(outline, 0.25, h=lambda x, y: noise(seed, x.shape, -2 if steps else 9))
        values = [*values, 100.0] if steps else values
        covers(bands(field, values), outline)

    @settings(deadline=None, max_examples=20)
    @given(st.integers(0, 2**32 - 1))
    def test_each_point_of_the_grid_lies_in_the_band_of_its_value(self, seed):
        field = made(RECTANGLE, 0.25, h=lambda x, y: noise(seed, x.shape))
        grid = shapely.points(*np.meshgrid(field.x, field.y))
        for band in bands(field, [100.0, 200.0]):
            # Nearer to the values an island may be below a square millimetre.
            well = (field.total > band.low + 10) & (field.total < band.high - 10)
            assert shapely.intersects(polygons(band.areas), grid[field.inside & well]).all()

    @pytest.mark.parametrize("value", [0.0, -5.0, np.nan, np.inf])
    def test_values_that_bound_nothing_are_refused(self, value):
        field = made(h=lambda x, y: x)
        for ask in (bands, isolines):
            with pytest.raises(InputError, match="bounds no area"):
                ask(field, [100.0, value])
        with pytest.raises(InputError, match="bounds no area"):
            warmed_share(field, value)


class TestIsolines:
    def test_a_closed_line_ends_where_it_begins(self):
        field = made(h=lambda x, y: 200 - 100 * np.hypot(x - 2, y - 1.5))
        ((line,),) = (iso.lines for iso in isolines(field, [100.0]))
        assert line[0] == pytest.approx(line[-1])
        assert np.hypot(*(line - [2.0, 1.5]).T) == pytest.approx(1.0, abs=0.001)

    def test_a_line_is_cut_at_the_outline(self):
        (iso,) = isolines(made(U_SHAPE, h=lambda x, y: 100 * y), [200.0])
        ends = sorted(sorted(line[[0, -1], 0].tolist()) for line in iso.lines)
        assert np.array(ends) == pytest.approx(np.array([(0.0, 1.3), (2.9, 4.0)]))
        assert all(line[:, 1] == pytest.approx(2.0) for line in iso.lines)

    def test_a_line_that_leaves_and_comes_back_is_not_cut_elsewhere(self):
        # Half of a circle about a point on the edge: one piece, wherever the circle began.
        field = made(h=lambda x, y: 200 - 100 * np.hypot(x - 4, y - 1.5))
        ((line,),) = (iso.lines for iso in isolines(field, [100.0]))
        assert line[[0, -1], 0] == pytest.approx([4.0, 4.0])

    def test_they_come_in_the_order_of_their_values(self):
        found = isolines(made(h=lambda x, y: 100 * x), [300.0, 100.0, 900.0])
        assert [iso.irradiance_w_m2 for iso in found] == [100.0, 300.0, 900.0]
        assert found[2].lines == ()


class TestWarmedShare:
    def test_shares_of_two_slopes(self):
        # The first reaches 100 from x = 2, the second up to x = 3, both together everywhere.
        field = made(a=lambda x, y: 50 * x, b=lambda x, y: 250 - 50 * x)
        found = warmed_share(field, 100.0)
        assert (found.warmed, found.doubly, found.missed) == pytest.approx((1.0, 0.25, 0.0))

    def test_what_two_reach_only_together_is_warmed_but_not_doubly(self):
        found = warmed_share(made(a=lambda x, y: 60 + 0 * x, b=lambda x, y: 60 + 0 * x), 100.0)
        assert (found.warmed, found.doubly, found.missed) == pytest.approx((1.0, 0.0, 0.0))

    def test_three_heaters_of_which_any_two_do(self):
        # Strips a: x < 1.5, b: 1 < x < 3, c: x > 2.5; two of them over 1 to 1.5 and 2.5 to 3.
        field = made(
            a=lambda x, y: 250 - 100 * x,
            b=lambda x, y: 200 - 100 * np.abs(x - 2),
            c=lambda x, y: 100 * x - 150,
        )
        assert warmed_share(field, 100.0).doubly == pytest.approx(1.0 / 4.0, abs=1e-6)


class TestExtremes:
    def test_the_lowest_is_looked_for_up_to_the_corner(self):
        found = extremes(made(h=lambda x, y: 5 + 10 * x + y))
        assert found.lowest == pytest.approx(5.0)
        assert found.lowest_at == pytest.approx([0.0, 0.0, 0.0], abs=1e-9)
        assert found.highest == pytest.approx(48.0)
        assert found.highest_at == pytest.approx([4.0, 3.0, 0.0])

    def test_what_lies_outside_does_not_count(self):
        field = made(L_SHAPE, h=lambda x, y: 100 * hypot(1, 1) + x * y)
        assert extremes(field).highest == pytest.approx(100 * hypot(1, 1) + 1.7 * 3.0)


class TestLevels:
    @given(st.floats(0.01, 5000.0), st.integers(3, 8))
    def test_even_steps_are_round_few_and_below_the_highest(self, most, count):
        found = levels(made(step=0.5, h=lambda x, y: most * (1 - 0.05 * x)), count)
        assert (count + 1) // 2 <= len(found) <= count
        assert 0.0 < found[0] <= found[-1] < most
        for value in found:
            digits = f"{value:.5e}".partition("e")[0].replace(".", "").rstrip("0")
            assert len(digits) <= 3

    @pytest.mark.parametrize(
        ("most", "expected"),
        [
            (260.0, (50.0, 100.0, 150.0, 200.0, 250.0)),
            (430.0, (100.0, 200.0, 300.0, 400.0)),
            (190.0, (25.0, 50.0, 100.0, 150.0)),
            (79.0, (10.0, 20.0, 40.0, 60.0)),
        ],
    )
    def test_of_a_floor_that_is_lit_all_over(self, most, expected):
        assert levels(made(h=lambda x, y: most * (1 - 0.1 * x))) == expected

    def test_a_narrow_light_is_told_in_values_that_double(self):
        # One bright spot, the rest of the floor under the first even step.
        field = made(h=lambda x, y: 900 * np.exp(-4 * np.hypot(x - 2, y - 1.5)))
        assert levels(field) == (50.0, 100.0, 200.0, 500.0)

    @pytest.mark.parametrize("threshold", [7.0, 100.0, 120.0, 133.0, 260.0, 800.0])
    def test_the_threshold_is_always_among_them(self, threshold):
        found = levels(made(h=lambda x, y: 260 * (1 - 0.1 * x)), threshold=threshold)
        assert threshold in found
        assert 3 <= len(found) <= 6
        assert list(found) == sorted(found)

    def test_a_step_through_the_threshold_is_preferred(self):
        # 125 lies on the steps of 25 alone.
        field = made(h=lambda x, y: 140 * (1 - 0.1 * x))
        assert levels(field, threshold=125.0) == (25.0, 50.0, 75.0, 100.0, 125.0)

    def test_where_nothing_is_radiated_there_is_nothing_to_tell(self):
        assert levels(made(h=lambda x, y: 0 * x), threshold=100.0) == ()


def test_between_the_points_the_field_is_linear():
    field = made(h=lambda x, y: 3 + 2 * x + 5 * y + x * y)
    points = np.random.default_rng(1).uniform((0, 0), (4, 3), (50, 2))
    x, y = points.T
    # Bilinear in a cell, and so is the field.
    assert field.at(points) == pytest.approx(3 + 2 * x + 5 * y + x * y)


def test_a_map_without_heaters_is_dark_and_everything_can_be_asked():
    field = made(U_SHAPE)
    assert np.all(field.total == 0.0)
    assert levels(field) == ()
    (dark,) = bands(field, ())
    assert (dark.low, dark.high, dark.share) == (0.0, np.inf, 1.0)
    assert isolines(field, [100.0])[0].lines == ()
    assert (extremes(field).lowest, extremes(field).highest) == (0.0, 0.0)
    found = warmed_share(field, 100.0)
    assert (found.warmed, found.doubly, found.missed) == (0.0, 0.0, 1.0)
