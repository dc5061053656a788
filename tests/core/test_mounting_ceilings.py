"""Ridge, hip, valley, vault, and timbers beside the heater: against the ceiling sampled densely."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import atan, cos, hypot, pi, tan

import numpy as np
import pytest

from heatcore.geometry.parts import Kind, Part
from heatcore.mounting.mount import Mount
from tests.core.mounting_site import (
    ENDLESS,
    LINEAR,
    block,
    bracket,
    heater,
    hung,
    rafters,
    sheet,
    slope,
)

Height = Callable[[np.ndarray, np.ndarray], np.ndarray]
RISE = 8 / 12
GRID = 0.008


def ridge() -> tuple[Part, Height]:
    """Two planes that meet along X, highest there."""
    low, high = 3.0, 3.0 + 5 * RISE
    faces = [
        [(-6, -5, low), (6, -5, low), (6, 0, high), (-6, 0, high)],
        [(-6, 0, high), (6, 0, high), (6, 5, low), (-6, 5, low)],
    ]
    return sheet("roof", faces), lambda x, y: high - np.abs(y) * RISE


def valley() -> tuple[Part, Height]:
    """Two planes that meet along X, lowest there."""
    low, high = 3.0, 3.0 + 5 * RISE
    faces = [
        [(-6, -5, high), (6, -5, high), (6, 0, low), (-6, 0, low)],
        [(-6, 0, low), (6, 0, low), (6, 5, high), (-6, 5, high)],
    ]
    return sheet("roof", faces), lambda x, y: low + np.abs(y) * RISE


def hip() -> tuple[Part, Height]:
    """Four planes of one pitch over a rectangle, with a ridge along X."""
    x, y, e = 5.0, 3.0, 2.8
    top = e + y * RISE
    a, b = (-(x - y), 0.0, top), (x - y, 0.0, top)
    corner = [(-x, -y, e), (x, -y, e), (x, y, e), (-x, y, e)]
    faces = [
        [corner[0], corner[1], b, a],
        [corner[1], corner[2], b],
        [corner[2], corner[3], a, b],
        [corner[3], corner[0], a],
    ]
    return sheet("roof", faces), lambda u, v: e + RISE * np.minimum(x - np.abs(u), y - np.abs(v))


def vault(count: int = 121) -> tuple[Part, Height]:
    """A round barrel along X, in narrow facets."""
    radius, span = 4.0, 3.0
    ys = np.linspace(-span, span, count)
    zs = 1.0 + np.sqrt(radius**2 - ys**2)
    faces = [
        [(-6, y, z), (6, y, z), (6, next_y, next_z), (-6, next_y, next_z)]
        for (y, z), (next_y, next_z) in pairwise(zip(ys, zs, strict=True))
    ]
    return sheet("roof", faces), lambda x, y: np.interp(y, ys, zs)


def samples(height: Height, mount: Mount, reach: float = 1.1) -> np.ndarray:
    """Points of the ceiling round a heater."""
    x, y = mount.frame.origin[:2]
    grid = np.arange(-reach, reach, GRID)
    u, v = np.meshgrid(x + grid, y + grid)
    points: np.ndarray = np.stack([u, v, height(u, v)], axis=-1).reshape(-1, 3)
    return points


def too_near(mount: Mount, points: np.ndarray, lift: float = 0.0) -> bool:
    """Whether a sampled point is in a clearance volume or nearer than the least distance."""
    kind, d = mount.type, mount.type.combustible
    p = mount.frame.to_local(points - [0.0, 0.0, lift])
    x, y, z = p.T
    beyond = np.stack(
        [np.abs(x) - kind.length / 2, np.abs(y) - kind.width / 2, np.maximum(-z, z - kind.height)]
    )
    upper = (beyond[0] < 0) & (beyond[1] < 0) & (z > kind.height) & (z < kind.height + d.above)
    lower = (beyond[0] < d.ends) & (beyond[1] < d.sides) & (z < kind.height) & (z > -d.below)
    near = np.linalg.norm(np.maximum(beyond, 0.0), axis=0) < d.least - 1e-9
    slack = 1e-9
    inner = upper & (z < kind.height + d.above - slack) | lower & (z < kind.height - slack)
    return bool((inner | near).any())


PLACES = [(0.0, 0.0), (0.3, 0.25), (-1.1, 0.6), (2.1, 0.1), (2.9, -0.7)]
HEADINGS = [0.0, pi / 2, 2.4]


@pytest.mark.parametrize("roof", [ridge, valley, hip, vault])
@pytest.mark.parametrize("style", ["square", "plumb"])
def test_the_arm_is_as_short_as_the_sampled_ceiling_allows(
    roof: Callable[[], tuple[Part, Height]], style: str
) -> None:
    part, height = roof()
    heaters = [
        heater(name=f"{at} {turn}", at=at, heading=turn) for at in PLACES for turn in HEADINGS
    ]
    proved = 0
    for mount in hung([part], heaters, [bracket(style=style)]):
        if {fault.code for fault in mount.faults} - {"plate"}:
            # Near a valley's fold a square arm that is long enough finds no foot.
            assert roof is valley
            assert style == "square"
            continue
        proved += 1
        points = samples(height, mount)
        assert not too_near(mount, points)
        assert too_near(mount, points, lift=0.015)
        for arm in mount.arms:
            x, y, z = arm.foot
            assert z == pytest.approx(float(height(np.array(x), np.array(y))), abs=1e-6)
            assert np.linalg.norm(arm.foot - arm.pivot) == pytest.approx(arm.length, abs=1e-9)
            if style == "plumb":
                assert arm.direction == pytest.approx([0.0, 0.0, 1.0], abs=1e-12)
                continue
            assert arm.direction == pytest.approx(arm.normal, abs=1e-9)
            step = 1e-5
            slopes = [
                (height(np.array(x + dx), np.array(y + dy)) - z) / step
                for dx, dy in ((step, 0.0), (0.0, step))
            ]
            # Where it stands on an edge of a facet, either neighbour is right.
            if hypot(slopes[0] + arm.normal[0] / arm.normal[2],
                     slopes[1] + arm.normal[1] / arm.normal[2]) > 0.02:  # fmt: skip
                assert roof is vault or arm.overhang > 0.0
            if roof is not valley:
                nearest = np.linalg.norm(points - arm.pivot, axis=1).min()
                assert arm.length == pytest.approx(nearest, abs=2 * GRID)
    assert proved >= len(heaters) * 0.6


def one_plane_gap(s: float) -> float:
    """Low pivot's drop along the contour under an endless plane, by the design's closed form."""
    d = LINEAR.combustible
    over, rim = LINEAR.width / 2, LINEAR.width / 2 + d.sides
    return max(max(d.above, d.least / cos(s)) + over * tan(s), rim * tan(s)) - LINEAR.pivot_height


def test_in_a_valley_one_plane_asks_for_more_than_is_needed() -> None:
    part, _ = valley()
    s = atan(RISE)
    alone = hung([slope(s)], [heater(at=(0.0, 0.4))], [bracket(style="plumb")])[0]
    folded = hung([part], [heater(at=(0.0, 0.4))], [bracket(style="plumb")])[0]
    assert alone.arms[0].length == pytest.approx(one_plane_gap(s), abs=1e-9)
    # The rim of the lower volume, sides + half width = 0.55 m, reaches past the valley line, which
    # is the lowest it can meet: 0.4 m x 8/12 below the ceiling over the pivot. So the shortest
    # distance decides, square to the plane from the body's upper edge.
    rim, edge = 0.4 * RISE, 0.2 / cos(s) + 0.1 * RISE
    assert folded.arms[0].length == pytest.approx(max(rim, edge) - 0.03, abs=1e-9)
    assert folded.arms[0].length < alone.arms[0].length - 0.05


def test_under_a_ridge_the_neighbour_plane_can_decide() -> None:
    flat, steep = 2 / 12, 1.0
    faces = [
        [(-6, -5, 5 - 5 * flat), (6, -5, 5 - 5 * flat), (6, 0, 5), (-6, 0, 5)],
        [(-6, 0, 5), (6, 0, 5), (6, 4, 5 - 4 * steep), (-6, 4, 5 - 4 * steep)],
    ]
    plumb = [bracket(style="plumb")]
    mount = hung([sheet("roof", faces)], [heater(at=(0.0, -0.1))], plumb)[0]
    assert mount.arms[0].normal[1] < 0.0
    # 0.1 m off the ridge under the flat plane, the rim reaches 0.45 m under the steep one.
    over_pivot = 5 - 0.1 * flat
    assert mount.arms[0].length == pytest.approx(over_pivot - (5 - 0.45 * steep) - 0.03, abs=1e-9)
    alone = hung([sheet("roof", faces[:1])], [heater(at=(0.0, -1.0))], plumb)[0]
    assert alone.arms[0].length == pytest.approx(one_plane_gap(atan(flat)), abs=1e-9)
    assert mount.arms[0].length > alone.arms[0].length + 0.1


def test_across_a_ridge_the_feet_stand_on_both_planes() -> None:
    part, _ = ridge()
    mount = hung([part], [heater(heading=pi / 2)])[0]
    first, second = mount.arms
    assert first.normal[1] * second.normal[1] < 0.0
    assert first.length == pytest.approx(second.length, abs=1e-9)
    assert first.foot[1] == pytest.approx(-second.foot[1], abs=1e-9)
    # Under the ridge, along it, both stand on one plane.
    along = hung([part], [heater()])[0]
    assert along.arms[0].normal == pytest.approx(along.arms[1].normal, abs=1e-12)


def test_a_square_arm_has_no_foot_in_the_fold_of_a_valley() -> None:
    part, _ = valley()
    mount = hung([part], [heater()])[0]
    assert {fault.code for fault in mount.faults} == {"surface"}
    plumb = hung([part], [heater()], [bracket(style="plumb")])[0]
    # A plumb arm reaches the fold; its plate would span it.
    assert {fault.code for fault in plumb.faults} == {"plate"}


def test_a_beam_beside_it_takes_a_longer_arm_or_none() -> None:
    flat = sheet("roof", [[(-4, -4, 3), (4, -4, 3), (4, 4, 3), (-4, 4, 3)]])
    # Its underside 0.3 m below the ceiling, its face 0.35 m from the body's side: 0.45 m required.
    low = block("beam", (-4, 0.45, 2.7), (4, 0.55, 3.0))
    mount = hung([flat, low], [heater()])[0]
    assert mount.holds
    # Below the beam, by the lower volume's upper rim.
    assert mount.frame.origin[2] + LINEAR.height == pytest.approx(2.7, abs=1e-9)
    assert mount.arms[0].length == pytest.approx(0.3 - LINEAR.pivot_height, abs=1e-9)
    short = bracket(arm=0.15, fine=0.05)
    failed = hung([flat, low], [heater()], [short])[0]
    # Against the ceiling alone 0.17 m would do: the beam is what no arm clears.
    assert failed.arms[0].length == pytest.approx(0.17, abs=1e-9)
    (fault,) = failed.faults
    assert (fault.code, fault.object) == ("arm", "beam")
    assert (fault.measured, fault.required) == pytest.approx((0.35, 0.45), abs=1e-9)
    assert "100 mm" in fault.message


def test_feet_land_on_timbers_where_they_meet_them_first() -> None:
    flat = sheet("roof", [[(-4, -4, 3), (4, -4, 3), (4, 4, 3), (-4, 4, 3)]])
    timber = block("purlins 1", (-4, -0.06, 2.85), (4, 0.06, 3.0), Kind.RAFTER, owner="purlins")
    mount = hung([flat, timber], [heater()], rafters=(rafters("purlins", "roof"),))[0]
    assert [arm.surface for arm in mount.arms] == ["purlins 1"] * 2
    assert mount.arms[0].length == pytest.approx(0.17, abs=1e-9)
    across = hung([flat, timber], [heater(heading=pi / 2)], rafters=(rafters("purlins", "roof"),))
    assert [arm.surface for arm in across[0].arms] == ["roof"] * 2


def test_a_plate_on_the_boards_must_clear_the_timber_beside_it() -> None:
    flat = sheet("roof", [[(-4, -4, 3), (4, -4, 3), (4, 4, 3), (-4, 4, 3)]])
    timber = block("purlins 1", (-4, 0.02, 2.95), (4, 0.12, 3.0), Kind.RAFTER, owner="purlins")
    mount = hung([flat, timber], [heater()], rafters=(rafters("purlins", "roof"),))[0]
    codes = {fault.code for fault in mount.faults}
    assert codes == {"plate"}
    # Half the plate is 0.03 m wide, and the timber's face is 0.02 m from its middle.
    assert mount.faults[0].measured == pytest.approx(0.01, abs=1e-6)
    assert mount.faults[0].object == "purlins 1"


def test_a_vault_carries_a_plate_on_its_narrow_facets() -> None:
    part, _ = vault()
    mount = hung([part], [heater(heading=0.0)], [bracket(arm=0.1, fine=0.4)])[0]
    assert mount.holds, mount.faults
    assert ENDLESS.plate_width > 6.0 / 120


def test_planes_of_the_tests_are_what_they_seem() -> None:
    for make in (ridge, valley, hip, vault):
        part, height = make()
        middles = part.mesh.corners.mean(axis=1)
        under = part.mesh.normals[:, 2] < -0.01
        x, y, z = middles[under].T
        assert z == pytest.approx(height(x, y), abs=1e-9)
