"""Zones: where they lie, and what they receive."""

from dataclasses import replace
from math import pi, radians

import numpy as np
import pytest
import shapely
import shapely.affinity
from scipy.integrate import dblquad

from heatcore.errors import InputError
from heatcore.geometry.build import build
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Model
from heatcore.geometry.rays import Obstacles
from heatcore.heat.planes.maps import ZoneHeat
from heatcore.heat.planes.zones import zone_heats, zone_outline
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import irradiance
from heatcore.scene.model import Furniture, Scene, Site, Target, Zone
from heatcore.scene.space import Floor
from heatcore.scene.types import Pattern

NOTHING = Obstacles(())
FLOOR = Floor(outline=((-4.0, -4.0), (4.0, -4.0), (4.0, 4.0), (-4.0, 4.0)))
TABLE = Furniture(name="table", kind="table", at=(1.0, 0.5), size=(1.8, 0.9, 0.75), chairs=6)
SQUARE = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))


def scene(*zones: Zone, furniture=(TABLE,), threshold=100.0) -> Scene:
    site = Site(name="deck", target=Target(irradiance=threshold))
    return Scene(site=site, floor=FLOOR, furniture=furniture, zone=zones)


def source(x=0.0, y=0.0, z=2.0, power=1800.0, size=1e-3, pattern=None) -> Emitter:
    frame = Frame(np.array([x, y, z]), heading_axes(0.0))
    pattern = pattern or Pattern(kind="uniform")
    return Emitter("H1", frame, size, size, power, pattern, 850.0)


def heat(zone: Zone, *emitters: Emitter, **changes) -> ZoneHeat:
    site = scene(zone, **changes)
    (found,) = zone_heats(site, build(site), emitters, NOTHING)
    return found


def outline_of(zone: Zone, furniture: Furniture = TABLE) -> shapely.Polygon:
    site = scene(zone, furniture=(furniture,))
    return shapely.Polygon(zone_outline(zone, site, build(site)))


class TestOutline:
    @pytest.mark.parametrize("corners", [SQUARE, SQUARE[::-1]])
    def test_an_outline_runs_counter_clockwise(self, corners):
        found = outline_of(Zone(name="z", outline=corners))
        assert found.exterior.is_ccw
        assert found.equals(shapely.Polygon(SQUARE))

    @pytest.mark.parametrize("turn", [0.0, 30.0, -75.0, 180.0])
    def test_around_a_table_it_is_the_table_grown_by_the_margin(self, turn):
        table = replace(TABLE, facing=radians(turn))
        found = outline_of(Zone(name="z", around="table", margin=0.4), table)
        expected = shapely.box(-0.9 - 0.4, -0.45 - 0.4, 0.9 + 0.4, 0.45 + 0.4)
        expected = shapely.affinity.rotate(expected, turn, origin=(0, 0))
        expected = shapely.affinity.translate(expected, *TABLE.at)
        assert found.exterior.is_ccw
        assert found.symmetric_difference(expected).area < 0.01

    def test_chairs_do_not_widen_it(self):
        zone = Zone(name="z", around="table")
        assert outline_of(zone).equals_exact(outline_of(zone, replace(TABLE, chairs=0)), 1e-9)

    def test_without_margin_it_is_the_piece_itself(self):
        sofa = Furniture(name="sofa", kind="sofa", at=(0.0, 0.0), size=(2.2, 0.9, 0.8))
        found = outline_of(Zone(name="z", around="sofa", margin=0.0), sofa)
        assert sorted(np.ptp(shapely.get_coordinates(found), axis=0)) == pytest.approx(
            [0.9, 2.2], abs=0.06
        )

    def test_it_may_reach_beyond_the_floor(self):
        found = outline_of(
            Zone(name="z", around="table", margin=2.0), replace(TABLE, at=(3.5, 3.5))
        )
        assert found.bounds[2] > 4.0

    def test_furniture_that_is_not_there(self):
        zone = Zone(name="z", around="bar")
        with pytest.raises(InputError) as caught:
            zone_outline(zone, scene(zone), build(scene()))
        (mistake,) = caught.value.mistakes
        assert mistake.where == 'zone "z".around'
        assert '"table"' in mistake.remedy

    def test_every_zone_that_has_no_place_is_told(self):
        nan = float("nan")
        zones = (
            Zone(name="a", outline=((0.0, 0.0), (1.0, nan), (1.0, 1.0))),
            Zone(name="b", outline=((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0))),
            Zone(name="c", around="nothing"),
        )
        with pytest.raises(InputError) as caught:
            zone_heats(scene(*zones), build(scene()), (), NOTHING)
        assert [mistake.where for mistake in caught.value.mistakes] == [
            'zone "a".outline', 'zone "b".outline', 'zone "c".around',
        ]  # fmt: skip


class TestHeat:
    def test_a_square_under_a_small_lambertian_source(self):
        # E = P / pi * h**2 / (h**2 + r**2)**2 (textbook, cos**4); the mean by quadrature.
        found = heat(Zone(name="z", outline=SQUARE), source(), threshold=120.0)

        def field(y: float, x: float) -> float:
            return 1800 / pi * 4 / (4 + x * x + y * y) ** 2

        mean = dblquad(field, -1, 1, -1, 1)[0] / 4
        assert found.hottest == pytest.approx(field(0, 0), rel=2e-3)
        assert found.coldest == pytest.approx(field(1, 1), rel=2e-3)
        assert np.abs(found.coldest_at) == pytest.approx([1.0, 1.0, 0.0], abs=1e-6)
        assert found.spread == pytest.approx(field(1, 1) / mean, rel=2e-3)
        # The median: half of the square lies within r of its middle, where pi r**2 = 2.
        assert found.typical == pytest.approx(1800 / pi * 4 / (4 + 2 / pi) ** 2, rel=3e-3)
        circle = pi * (np.sqrt(1800 / pi * 4 / 120.0) - 4)
        assert found.warmed.warmed == pytest.approx(circle / 4, abs=1e-3)
        assert found.warmed.threshold_w_m2 == 120.0

    def test_the_coldest_place_is_where_the_engine_finds_it(self):
        heaters = [
            replace(source(x, y, size=0.5, pattern=Pattern(along=1.5, across=2.5)), name=name)
            for name, x, y in (("A", -0.7, 0.2), ("B", 1.1, -0.4))
        ]
        site = scene(Zone(name="z", outline=((-1.6, -0.9), (1.8, -1.1), (0.4, 1.3)), level=0.7))
        (found,) = zone_heats(site, build(site), heaters, NOTHING)
        there = sum(
            irradiance(h, found.coldest_at[None], np.array([0.0, 0.0, 1.0]), NOTHING)[0]
            for h in heaters
        )
        assert found.coldest == pytest.approx(there, rel=0.01)
        assert found.coldest_at[2] == found.level == 0.7
        # No place of it is colder.
        plan = np.random.default_rng(3).uniform((-1.6, -1.1), (1.8, 1.3), (4000, 2))
        inside = plan[shapely.contains_xy(shapely.Polygon(site.zone[0].outline), *plan.T)]
        points = np.column_stack([inside, np.full(len(inside), 0.7)])
        every = sum(irradiance(h, points, np.array([0.0, 0.0, 1.0]), NOTHING) for h in heaters)
        assert found.coldest <= every.min() * 1.01
        assert found.hottest == pytest.approx(every.max(), rel=0.01)
        assert found.typical == pytest.approx(np.median(every), rel=0.02)
        assert found.spread == pytest.approx(there / every.mean(), rel=0.02)

    def test_in_a_beam_and_out_of_it(self):
        # 90 degrees of beam from 2.4 m: 2.4 m to either side of its foot.
        narrow = source(z=2.4, size=0.1, pattern=Pattern(along=8.0, across=8.0))
        zone = Zone(name="z", outline=SQUARE)
        found = [heat(zone, replace(narrow, frame=narrow.frame.moved([d, 0, 0]))) for d in range(8)]
        typical = [one.typical for one in found]
        assert typical == sorted(typical, reverse=True)
        assert found[0].warmed.warmed > 0.9
        assert found[7].warmed.warmed == 0.0
        assert found[7].hottest < 0.02 * found[0].hottest
        assert [one.warmed.warmed for one in found] == sorted(
            (one.warmed.warmed for one in found), reverse=True
        )

    def test_a_higher_plane_lies_nearer(self):
        low, high = (heat(Zone(name="z", outline=SQUARE, level=z), source()) for z in (0.0, 0.75))
        assert high.hottest > low.hottest

    def test_without_heaters_nothing_is_even(self):
        found = heat(Zone(name="z", around="table"))
        assert (found.coldest, found.typical, found.hottest, found.spread) == (0, 0, 0, 0)
        assert found.warmed.missed == 1.0

    @pytest.mark.parametrize("width", [1e-3, 0.01, 0.1])
    def test_a_zone_as_narrow_as_a_bar(self, width):
        narrow = ((0.0, 0.0), (1.0, 0.0), (1.0, width), (0.0, width))
        found = heat(Zone(name="z", outline=narrow), source())
        assert 0 < found.coldest < found.typical < found.hottest
        assert found.hottest == pytest.approx(1800 / pi / 4, rel=0.01)

    def test_zones_come_in_the_order_of_the_scene(self):
        site = scene(*(Zone(name=n, outline=SQUARE) for n in "bca"))
        model: Model = build(site)
        assert [z.name for z in zone_heats(site, model, [source()], NOTHING)] == ["b", "c", "a"]
        assert zone_heats(scene(), model, [source()], NOTHING) == ()
