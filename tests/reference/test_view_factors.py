"""Irradiance by a uniform rectangle against published view factors.

Numbers and letters (B-3, C-11) are those of J. R. Howell's catalogue of radiation configuration
factors, from memory where not said otherwise; Modest: M. F. Modest, Radiative Heat Transfer,
appendix D. The values to six digits were recomputed from the closed forms.
"""

from itertools import pairwise
from math import atan, cos, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import dblquad

from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.rays import Obstacles
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import irradiance
from heatcore.heat.radiation.pattern import solid_angle
from heatcore.heat.radiation.unobstructed import view_factor
from heatcore.scene.types import Pattern

OPEN = Obstacles([])
UP = np.array([0.0, 0.0, 1.0])
EVEN = Pattern(  # the same intensity in every direction before the face
    kind="table",
    angles_along=(-pi / 2, pi / 2),
    angles_across=(-pi / 2, pi / 2),
    intensities=((1.0, 1.0), (1.0, 1.0)),
)


def panel(length, width, height=0.0, power=1.0, pattern=None) -> Emitter:
    """A level panel over the origin."""
    frame = Frame(np.array([0.0, 0.0, height]), heading_axes(0.0))
    pattern = pattern or Pattern(kind="uniform")
    return Emitter("panel", frame, length, width, power, pattern, 850.0)


def factor(length, width, point, normal=UP) -> float:
    """Configuration factor from an element to a level panel at the origin, F = E / M."""
    found = irradiance(panel(length, width, power=length * width), np.array([point]), normal, OPEN)
    return float(found[0])


def over(x0, x1, order=40, power=1):
    """Nodes and weights between two ends, closing up toward the first by a power."""
    node, weight = np.polynomial.legendre.leggauss(order)
    t = (node + 1) / 2
    return x0 + (x1 - x0) * t**power, weight / 2 * (x1 - x0) * power * t ** (power - 1)


@pytest.mark.parametrize(
    ("x", "y", "expected"), [(1, 1, 0.138532), (0.5, 0.5, 0.059864), (2, 1, 0.167375)]
)
def test_element_parallel_to_a_rectangle_under_its_corner(x, y, expected) -> None:
    # B-3; Modest no. 10; Hamilton and Morgan 1952.
    assert factor(x, y, (-x / 2, -y / 2, -1.0)) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("x", "y", "expected"),
    [(0, 0, 0.011455), (1, 0, 0.007672), (0, 1, 0.007397), (2, 0, 0.003106), (1, 1, 0.005300)],
)
def test_a_strip_heater_over_a_floor(x, y, expected) -> None:
    # 1.00 x 0.15 m, 2 m up: superposition of B-3, and Radiance's rtrace to 0.04 %.
    assert factor(1.0, 0.15, (x, y, -2.0)) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("lean", "expected"), [(0, 0.007672), (45, 0.007965), (90, 0.003592)])
def test_a_surface_that_leans_toward_the_heater(lean, expected) -> None:
    # B-8 (tilted element), by the general polygon (Lambert; Hottel and Sarofim).
    normal = np.array([sin(radians(lean)), 0.0, cos(radians(lean))])
    assert factor(1.0, 0.15, (-1.0, 0.0, -2.0), normal) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("x", "y", "expected"), [(1, 1, 0.055734), (2, 1, 0.095068), (0.5, 1, 0.021121)]
)
def test_element_square_to_a_rectangle(x, y, expected) -> None:
    # B-4; Modest no. 11: X = a/b, Y = c/b. The element lies c below one end of the edge of length
    # b, and looks along the edge of length a.
    found = factor(x, 1.0, (-x / 2, -0.5, -y), np.array([1.0, 0.0, 0.0]))
    assert found == pytest.approx(expected, abs=1e-6)


def test_element_under_a_disk() -> None:
    # B-12; Modest no. 12: r**2 / (r**2 + h**2) = 0.022005 for r = 0.3, h = 2. The disk in strips.
    r, h, strips = 0.3, 2.0, 2000
    width = 2 * r / strips
    middles = -r + width * (np.arange(strips) + 0.5)
    point, up = np.array([[0.0, 0.0, -h]]), UP[None]
    found = sum(
        float(view_factor(2 * sqrt(r * r - y * y), width, point - [0.0, y, 0.0], up)[0])
        for y in middles.tolist()
    )
    assert found == pytest.approx(0.022005, abs=1e-6)
    assert found == pytest.approx(r**2 / (r**2 + h**2), rel=1e-4)


@pytest.mark.parametrize(
    ("radius", "length", "height", "expected"),
    [(1, 2, 2, 0.236117), (1, 10, 2, 0.249842), (0.05, 0.5, 2, 0.003893)],
)
def test_element_beside_the_end_of_a_cylinder(radius, length, height, expected) -> None:
    # B-31; Modest no. 15; Siegel and Howell, appendix C. The cylinder in flat facets along its
    # axis, each of which is dark from behind.
    facets = 4000
    turn = 2 * pi * (np.arange(facets) + 0.5) / facets
    out = np.column_stack([np.zeros(facets), np.sin(turn), np.cos(turn)])
    along, across = np.array([1.0, 0.0, 0.0]), np.cross(-out, [1.0, 0.0, 0.0])
    # Element at the origin looking up, the axis at height `height` from x = 0 on.
    centers = np.array([length / 2, 0.0, height]) + radius * out
    frame = np.stack([np.broadcast_to(along, out.shape), across, -out], axis=1)
    points = np.einsum("fij,fj->fi", frame, -centers)
    normals = np.einsum("fij,j->fi", frame, UP)
    found = view_factor(length, 2 * radius * sin(pi / facets), points, normals).sum()
    assert found == pytest.approx(expected, abs=1e-6)


def test_a_thin_line() -> None:
    # E = P' / (2 pi**2 h) (theta + sin theta cos theta) for a thin glowing line, 0.012165 W/m2 for
    # 1 W/m, 0.5 m, h = 2 m (limit of B-31). A strip sends pi times as much along its normal.
    length, h = 0.5, 2.0
    theta = atan(length / h)
    strip = panel(length, 1e-4, power=length)
    found = irradiance(strip, np.array([[-length / 2, 0.0, -h]]), UP, OPEN)[0]
    assert found / pi == pytest.approx(0.012165, abs=1e-6)
    line = (theta + sin(theta) * cos(theta)) / (2 * pi**2 * h)
    assert found / pi == pytest.approx(line, rel=1e-6)


@pytest.mark.parametrize(
    ("times", "expected"),
    [(1, 0.863648), (2, 0.960546), (3, 0.981933), (5, 0.993393), (10, 0.998337)],
)
def test_a_line_against_a_point(times, expected) -> None:
    # On the axis at so many lengths; within 1 % from 5 on: IES definition 9.1.1, the inverse-square
    # law.
    under = np.array([[0.0, 0.0, -float(times)]])
    line, point = (irradiance(panel(a, 1e-4), under, UP, OPEN)[0] for a in (1.0, 1e-4))
    assert line / point == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("a", "b", "c", "expected"), [(1, 1, 1, 0.165595), (2, 1, 2, 0.095883)])
def test_a_strip_element_along_the_edge_of_a_rectangle(a, b, c, expected) -> None:
    # Modest no. 26 (strip of length b against a rectangle a x b at distance c).
    y, weight = over(-b / 2, b / 2)
    points = np.column_stack([np.full(len(y), -a / 2), y, np.full(len(y), -c)])
    found = irradiance(panel(a, b, power=a * b), points, UP, OPEN) @ weight / b
    assert found == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("x", "y", "expected", "tolerance"),
    [
        (1, 1, 0.199825, 1e-6),
        (2, 2, 0.415253, 1e-6),
        (1, 0.5, 0.116654, 1e-6),
        (2, 3, 0.475576, 1e-6),
        (2, 3, 0.4756, 5e-5),  # as printed: EES example citing Siegel and Howell, 4th ed., p. 843
        (10, 10, 0.826995, 1e-6),
        (10, 10, 0.827, 5e-4),  # as read off Incropera, fig. 13.4
        # A public table lists this one as 0.2353, which the formula does not give.
        (1, 2, 0.285875, 1e-6),
    ],
)
def test_aligned_parallel_rectangles(x, y, expected, tolerance) -> None:
    # C-11; Modest no. 38; Incropera, table 13.2. Sides x and y at distance 1.
    (gx, wx), (gy, wy) = over(0, x / 2), over(0, y / 2)
    points = np.stack(np.meshgrid(gx, gy, [-1.0], indexing="ij"), axis=-1).reshape(-1, 3)
    weight = np.outer(wx, wy).ravel()
    found = irradiance(panel(x, y, power=x * y), points, UP, OPEN) @ weight / weight.sum()
    assert found == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("h", "w", "expected"), [(1, 1, 0.200044), (2, 1, 0.232853)])
def test_rectangles_that_share_an_edge(h, w, expected) -> None:
    # C-14; Modest no. 39; Incropera, table 13.2: from the face of width w to that of height h, the
    # common edge of length 1.
    (depth, wd), (y, wy) = over(0, w, 60, power=3), over(-0.5, 0.5, 60)
    points = np.stack(np.meshgrid([-h / 2], y, -depth, indexing="ij"), axis=-1).reshape(-1, 3)
    weight = np.outer(wy, wd).ravel() / w
    emitter, facing = panel(h, 1.0, power=h), np.array([1.0, 0.0, 0.0])
    found = irradiance(emitter, points, facing, OPEN) @ weight
    assert found == pytest.approx(expected, abs=2e-6)


@pytest.mark.parametrize(("r1", "r2", "expected"), [(1, 1, 0.381966), (0.5, 1, 0.468871)])
def test_coaxial_disks(r1, r2, expected) -> None:
    # C-40, C-41; Modest no. 40, at distance 1; the far disk in strips.
    radius, weight = over(0, r1, 24)
    strips, found = 1000, np.zeros(24)
    width = 2 * r2 / strips
    for y in (-r2 + width * (np.arange(strips) + 0.5)).tolist():
        points = np.column_stack([radius, np.full(24, -y), np.full(24, -1.0)])
        found += view_factor(2 * sqrt(r2 * r2 - y * y), width, points, np.tile(UP, (24, 1)))
    assert found @ (2 * radius * weight) / r1**2 == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize(("side", "expected"), [(2, 0.233756), (10, 0.884137)])
def test_share_of_the_power_that_lands_on_a_floor(side, expected) -> None:
    # Energy closure, by integrals over the aperture and over the floor alike.
    x, w = over(0, side / 2, 60)
    points = np.stack(np.meshgrid(x, x, [0.0], indexing="ij"), axis=-1).reshape(-1, 3)
    landed = irradiance(panel(1.0, 0.15, 2.0), points, UP, OPEN) @ np.outer(w, w).ravel() * 4
    assert landed == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("half", "expected"), [(30, 0.25), (45, 0.50), (60, 0.75)])
def test_share_of_a_lambertian_power_within_an_angle(half, expected) -> None:
    # sin(half angle)**2: textbook identity.
    angle, weight = over(0, radians(half))
    way = np.column_stack([np.sin(angle), np.zeros(len(angle)), -np.cos(angle)])
    inside = panel(1.0, 0.15).intensity(way) @ (weight * 2 * pi * np.sin(angle))
    assert inside == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(
    ("pattern", "power"), [(Pattern(kind="uniform"), 4), (EVEN, 3)], ids=["lambertian", "even"]
)
def test_fall_off_on_a_floor_under_a_small_source(pattern, power) -> None:
    # cos**4 under a Lambertian source, cos**3 under an even intensity: textbook. Exact values
    # 1, .5625, .25, .0625 and 1, .649519, .353553, .125.
    angles = np.radians([0, 30, 45, 60])
    points = np.column_stack([np.tan(angles), np.zeros(4), np.full(4, -1.0)])
    found = irradiance(panel(1e-4, 1e-4, pattern=pattern), points, UP, OPEN)
    assert found / found[0] == pytest.approx(np.cos(angles) ** power, rel=1e-6)


def test_an_even_intensity_fills_half_of_space() -> None:
    assert solid_angle(EVEN) == pytest.approx(2 * pi, rel=1e-4)


@pytest.mark.parametrize(("z", "expected"), [(0, 96.64), (0.6, 168.14), (1.7, 888.75)])
def test_under_a_strip_heater_at_three_heights(z, expected) -> None:
    # 1800 W radiant, Lambertian, 1.0 x 0.15 m, 2.4 m up: B-3 times 12000 W/m2.
    under = np.array([[0.0, 0.0, z]])
    found = irradiance(panel(1.0, 0.15, 2.4, 1800.0), under, UP, OPEN)[0]
    assert found == pytest.approx(expected, abs=0.006)


def test_the_intensity_of_a_lambertian_source_on_its_axis_is_its_power_over_pi() -> None:
    # 1800 W at 2 m: 143 W/m2 as a point, 137.46 W/m2 as an aperture of 1.0 x 0.15 m.
    heater = panel(1.0, 0.15, 2.0, 1800.0)
    assert heater.intensity(-UP) / 2.0**2 == pytest.approx(143.24, abs=0.01)
    assert irradiance(heater, np.zeros((1, 3)), UP, OPEN)[0] == pytest.approx(137.46, abs=0.01)


PATTERNS = {
    "uniform": Pattern(kind="uniform"),
    "cosine": Pattern(along=1.6, across=2.6),
    "narrow": Pattern(along=9.0, across=20.0),
    "table": Pattern(
        kind="table",
        angles_along=tuple(np.radians([0.0, 20.0, 45.0, 70.0])),
        angles_across=tuple(np.radians([-60.0, -20.0, 0.0, 30.0, 75.0])),
        intensities=((3, 8, 9, 10, 1), (2, 7, 8, 9, 1), (1, 4, 5, 4, 0.5), (0, 0, 0, 0, 0)),
    ),
}


def bare_intensity(pattern: Pattern, x: float, y: float) -> float:
    """Intensity over the projected angles x, y, as the scene file's reference has it."""
    if pattern.kind == "uniform":
        return 1.0 / sqrt(1.0 + np.tan(x) ** 2 + np.tan(y) ** 2)
    if pattern.kind == "cosine":
        return cos(x) ** pattern.along * cos(y) ** pattern.across
    along, across = pattern.angles_along, pattern.angles_across
    if abs(x) > along[-1] or not across[0] <= y <= across[-1]:
        return 0.0
    rows = [np.interp(y, across, row) for row in pattern.intensities]
    return float(np.interp(abs(x), along, rows))


@pytest.mark.parametrize("name", PATTERNS)
def test_random_rectangles_and_attitudes_against_plain_integration(name) -> None:
    pattern, random = PATTERNS[name], np.random.default_rng(7)

    def over_sphere(y, x):  # solid angle over the two projected angles
        return (
            bare_intensity(pattern, x, y) * cos(x) * cos(y) / (1.0 - (sin(x) * sin(y)) ** 2) ** 1.5
        )

    edge = pi / 2 - 1e-9
    if pattern.kind == "table":
        ends = [-a for a in pattern.angles_along[:0:-1]] + list(pattern.angles_along)
        norm = sum(
            dblquad(over_sphere, x0, x1, y0, y1, epsabs=1e-6)[0]
            for x0, x1 in pairwise(ends)
            for y0, y1 in pairwise(pattern.angles_across)
        )
    else:
        norm = 4 * dblquad(over_sphere, 0, edge, 0, edge, epsabs=1e-7)[0]
    for _ in range(4):
        length, width = random.uniform([0.3, 0.1], [1.5, 0.5])
        frame = Frame(
            random.uniform(-50, 50, 3), heading_axes(random.uniform(0, 6), random.uniform(-1, 1))
        )
        emitter = Emitter("E", frame, length, width, 1500.0, pattern, 850.0)
        point = frame.to_world(random.uniform([-1.5, -1.5, -2.5], [1.5, 1.5, -0.6]))
        normal = (frame.origin - point) / np.linalg.norm(frame.origin - point)
        normal = normal + random.uniform(-0.5, 0.5, 3)
        normal /= np.linalg.norm(normal)

        def each(b, a, frame=frame, point=point, normal=normal):
            way = frame.to_world([a, b, 0.0]) - point
            far = np.linalg.norm(way)
            x, y, z = frame.axes @ way
            # `way` runs from the point: the direction of the radiation is the other one.
            intensity = bare_intensity(pattern, atan(-x / z), atan(-y / z))
            return intensity * max(way @ normal, 0.0) / far**3

        mean = dblquad(each, -length / 2, length / 2, -width / 2, width / 2, epsabs=1e-6)[0]
        expected = 1500.0 * mean / (norm * length * width)
        found = irradiance(emitter, point[None], normal, OPEN)[0]
        exact = 1e-6 if pattern.kind == "uniform" else 1e-3 if pattern.kind == "table" else 2e-4
        assert found == pytest.approx(expected, rel=exact, abs=1e-4)
