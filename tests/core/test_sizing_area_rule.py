"""The trade's area rule, and how open a perimeter is."""

from dataclasses import replace

import pytest

from heatcore.geometry.openness import open_share, sides_of
from heatcore.scene import shipped
from heatcore.sizing.area_rule import area_rule
from tests.core.sizing_site import patio

LONG = shipped().heaters["long linear"]
UNIT = replace(LONG, input_power=6000.0)
SIDE = (68.0 * 0.3048**2) ** 0.5  # m, of a square of 68 square feet


def wall(start, end, more=""):
    at = ", ".join(f'"{c} m"' for c in start), ", ".join(f'"{c} m"' for c in end)
    return f'[[wall]]\nname = "w{start}{end}"\nfrom = [{at[0]}]\nto = [{at[1]}]\n{more}\n'


def share_of(scene):
    return open_share(scene.floor.outline, sides_of(scene.wall))


def test_one_unit_of_6_kw_for_68_square_feet():
    # Common practice, no source: one 6 kW electric unit for each 68 sq ft of an open covered patio.
    rule = area_rule(patio(SIDE, SIDE), UNIT)
    assert rule.open_share == 1.0
    assert rule.unrounded == pytest.approx(1.0)
    assert rule.heaters == 1
    assert rule.input_w == pytest.approx(6000.0)


def test_a_little_more_floor_takes_another():
    rule = area_rule(patio(SIDE, 1.01 * SIDE), UNIT)
    assert rule.unrounded == pytest.approx(1.01)
    assert rule.heaters == 2


@pytest.mark.parametrize(("share", "scale"), [(1.0, 1.0), (0.75, 0.75), (0.5, 0.5), (0.2, 0.5)])
def test_scaled_by_what_is_open_but_not_below_half(share, scale):
    scene = patio(SIDE, SIDE)
    scene = replace(scene, site=replace(scene.site, open_share=share))
    rule = area_rule(scene, UNIT)
    assert rule.scale == scale
    assert rule.unrounded == pytest.approx(scale)
    assert not rule.derived


def test_at_a_lower_voltage_it_takes_more_heaters():
    # 208 V leaves 0.7511 of a 240 V heater.
    rule = area_rule(patio(SIDE, SIDE, supply='voltage = "208 V"'), UNIT)
    assert rule.unrounded == pytest.approx(1 / 0.751111, rel=1e-5)
    assert rule.heaters == 2


def test_an_open_perimeter():
    assert share_of(patio()) == 1.0


@pytest.mark.parametrize(
    ("more", "share"),
    [
        ("", 0.75),
        ('height = "2 m"', 0.75),
        ('height = "1.2 m"', 0.75),
        ('height = "1.1 m"', 0.875),  # a half wall counts half
        ('base = "1 m"', 0.875),  # as does what leaves the lower half open
        ('base = "2.2 m"\nheight = "2.8 m"', 1.0),  # a band under the roof shelters nobody
    ],
)
def test_one_side_of_four(more, share):
    assert share_of(patio(more=wall((0, 4), (4, 4), more))) == pytest.approx(share)


def test_where_walls_overlap_the_higher_one_counts_once():
    both = wall((0, 4), (4, 4), 'height = "1 m"') + wall((1, 4.05), (3, 4.05))
    assert share_of(patio(more=both)) == pytest.approx(1 - (2 + 2 * 0.5) / 16)


def test_a_wall_goes_on_beyond_the_floor():
    assert share_of(patio(more=wall((-5, 0), (9, 0)))) == pytest.approx(0.75)


def test_a_wall_that_only_meets_the_edge_or_stands_inside_closes_nothing():
    assert share_of(patio(more=wall((2, 4), (2, 1)))) == 1.0
    assert share_of(patio(more=wall((0.5, 2), (3.5, 2)))) == 1.0


def test_a_door_in_a_wall_counts_as_closed():
    door = '[[door]]\nname = "d"\nwall = "w(0, 4)(4, 4)"\nat = "1 m"\n'
    assert share_of(patio(more=wall((0, 4), (4, 4)) + door)) == pytest.approx(0.75)


def test_a_closed_perimeter_counts_half():
    ends = [((0, 0), (4, 0)), ((4, 0), (4, 4)), ((4, 4), (0, 4)), ((0, 4), (0, 0))]
    scene = patio(more="".join(wall(*pair) for pair in ends))
    assert share_of(scene) == pytest.approx(0.0)
    assert area_rule(scene, UNIT).scale == 0.5
