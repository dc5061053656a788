"""Ceilings of many small faces: exact, curved and rough ones. Invented shapes; the numbers they are
held against are the plane's closed forms, a search on the analytic arc, and dense samples."""

from __future__ import annotations

from collections.abc import Callable
from math import atan, cos, pi, sin, sqrt, tan

import numpy as np
import pytest

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import Mount, body_corners
from heatcore.mounting.uneven import UNEVEN, bends, mean_planes
from tests.core.mounting_site import LINEAR, bracket, heater, hung, slope

Height = Callable[[Floats, Floats], Floats]
STYLES = ("square", "plumb")
NOISE = 0.002


def ceiling(height: Height, cells: int, noise: float = 0.0, half: float = 3.0) -> Part:
    """A slab 0.1 m thick under a grid, its underside off by up to a noise."""
    line = np.linspace(-half, half, cells + 1)
    x, y = np.meshgrid(line, line)
    z = height(x, y) + np.random.default_rng(7).uniform(-noise, noise, x.shape)
    low = np.stack([x, y, z], axis=-1).reshape(-1, 3)
    i, j = (a.ravel() for a in np.meshgrid(np.arange(cells), np.arange(cells), indexing="ij"))
    a = i * (cells + 1) + j
    b, c, d = a + 1, a + cells + 2, a + cells + 1
    under = np.concatenate([np.stack([a, c, b], 1), np.stack([a, d, c], 1)])
    top = low + np.array([0.0, 0.0, 0.1])
    edges = np.concatenate([under[:, [k, (k + 1) % 3]] for k in range(3)])
    known = {tuple(e) for e in edges.tolist()}
    open_ = np.array([e for e in edges.tolist() if (e[1], e[0]) not in known])
    p, q = open_.T
    n = len(low)
    sides = [np.stack([q, p, p + n], 1), np.stack([q, p + n, q + n], 1)]
    mesh = Mesh(np.concatenate([low, top]), np.concatenate([under, under[:, ::-1] + n, *sides]))
    return Part("roof", "roof", Kind.ROOF, mesh, "timber boards", True)


def plane(pitch: float) -> Height:
    return lambda x, y: 3.0 + y * tan(pitch) + 0.0 * x


def arch(radius: float, bulging: bool = False) -> Height:
    """A barrel along X, its crown 3 m high; bulging, it hangs down in the middle instead."""
    sign = -1.0 if bulging else 1.0
    return lambda x, y: 3.0 + sign * (np.sqrt(radius**2 - y**2) - radius) + 0.0 * x


def sampled_margin(mount: Mount, height: Height, noise: float) -> float:
    """Least rise of the ceiling, as low as its noise lets it be, over both clearance volumes and
    the body's own least distance, by dense samples [m]."""
    margin = np.inf
    share = np.linspace(0.0, 1.0, 60)
    for low, high in clearance_volumes(mount.type, mount.type.combustible):
        x, y = np.meshgrid(low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1]))
        top = mount.frame.to_world(np.stack([x, y, np.full_like(x, high[2])], axis=-1))
        margin = min(margin, float((height(top[..., 0], top[..., 1]) - noise - top[..., 2]).min()))
    return margin


# ------------------------------------------------------------------------ exact and curved


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("rise", [0, 3, 7, 12])
@pytest.mark.parametrize("heading", [0.0, 0.7, pi / 2])
def test_a_finely_cut_plane_is_a_plane(style: str, rise: int, heading: float) -> None:
    pitch, stock = atan(rise / 12), [bracket(style=style, arm=0.1, fine=1.2)]
    one = heater(heading=heading, at=(0.013, -0.027))
    (plain,) = hung([slope(pitch)], [one], stock)
    (fine,) = hung([ceiling(plane(pitch), 100)], [one], stock)
    assert fine.holds, fine.faults
    assert fine.frame.origin == pytest.approx(plain.frame.origin, abs=1e-8)
    for arm, other in zip(fine.arms, plain.arms, strict=True):
        assert arm.length == pytest.approx(other.length, abs=1e-8)
        assert arm.foot == pytest.approx(other.foot, abs=1e-8)
        assert (arm.lean_along, arm.lean_across) == pytest.approx(
            (other.lean_along, other.lean_across), abs=1e-8
        )
    assert plain.answer is not None
    assert fine.answer is not None
    assert fine.answer.feet_spacing_along == pytest.approx(
        plain.answer.feet_spacing_along, abs=1e-8
    )


@pytest.mark.parametrize("style", STYLES)
def test_a_vault_so_wide_that_it_is_nearly_a_plane_answers_nearly_alike(style: str) -> None:
    """Where a circle of 500 m slopes by 4:12 it leaves its tangent by d2 / 1000 m: over the 1.2 m
    about the heater by less than 1.5 mm, and its slope by less than 0.0025."""
    radius, pitch = 500.0, atan(4 / 12)

    def local(x: Floats, y: Floats) -> Floats:
        return np.asarray(
            3.0 - radius * cos(pitch) + np.sqrt(radius**2 - (y - radius * sin(pitch)) ** 2)
        )

    one, stock = heater(heading=0.6), [bracket(style=style, arm=0.1, fine=0.6)]
    (curved,) = hung([ceiling(local, 60)], [one], stock)
    (plain,) = hung([slope(pitch)], [one], stock)
    assert curved.holds
    assert curved.frame.origin[2] == pytest.approx(plain.frame.origin[2], abs=0.0025)
    for arm, other in zip(curved.arms, plain.arms, strict=True):
        assert arm.length == pytest.approx(other.length, abs=0.004)


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("at", [0.0, 0.6, -1.1])
def test_under_a_vault_the_arms_are_those_of_the_arc(style: str, at: float) -> None:
    """Against the arc itself: the height that its clearances ask for by a search over dense
    samples, and the arms by the distance from the pivots to the circle, radially or plumb."""
    radius, stock = 3.5, [bracket(style=style, arm=0.1, fine=0.6)]
    height = arch(radius)
    (mount,) = hung([ceiling(height, 240)], [heater(at=(0.0, at), heading=pi / 2)], stock)
    assert mount.holds, mount.faults
    # Facets 25 mm wide lie at most 25^2 / (8 R) mm below the arc.
    assert sampled_margin(mount, height, 0.0) > -1e-9
    box = [(low, high) for low, high in clearance_volumes(LINEAR, LINEAR.combustible)]
    share = np.linspace(0.0, 1.0, 2001)
    need = []
    for low, high in box:
        # Along Y the heater's own X runs.
        y = at + low[0] + share * (high[0] - low[0])
        need.append(float((high[2] - height(np.zeros_like(y), y)).max()))
    # The least distance round the body's upper edges, as circles about them.
    top, least = LINEAR.height, LINEAR.combustible.least
    for y in (at - LINEAR.length / 2, at + LINEAR.length / 2):
        turn = np.linspace(0.0, pi, 4001)
        around = y + least * np.cos(turn)
        need.append(
            float((top + least * np.sin(turn) - height(np.zeros_like(around), around)).max())
        )
    z = -max(need)
    assert mount.frame.origin[2] == pytest.approx(z, abs=1e-4)
    for arm in mount.arms:
        y, pivot = arm.pivot[1], arm.pivot[2]
        from_axis = np.hypot(y, pivot - (3.0 - radius))
        exact = radius - from_axis if style == "square" else height(0.0, y) - pivot
        # A plate's mean plane lies a little below the crown of what it spans.
        assert arm.length == pytest.approx(float(exact), abs=0.001)


@pytest.mark.parametrize("bulging", [False, True])
@pytest.mark.parametrize("style", STYLES)
def test_bent_ceilings_carry_anywhere(bulging: bool, style: str) -> None:
    """No arm falls between two facets of a ceiling that hangs down in the middle."""
    part = ceiling(arch(3.5, bulging), 75)
    rng = np.random.default_rng(3)
    heaters = [
        heater(name=f"H{i}", at=tuple(rng.uniform(-1, 1, 2)), heading=float(rng.uniform(0, pi)))
        for i in range(12)
    ]
    stock = [bracket(style=style, arm=0.15, extensions=(0.05, 0.1, 0.2, 0.3), stack=2, fine=0.05)]
    for mount in hung([part], heaters, stock):
        assert mount.holds, mount.faults
        assert sampled_margin(mount, arch(3.5, bulging), 0.0) > -0.001


# ------------------------------------------------------------------------ rough


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("cells", [60, 110])
@pytest.mark.parametrize("shape", ["plane", "vault", "bulge"])
def test_a_rough_ceiling_changes_the_answer_by_no_more_than_its_roughness(
    style: str, cells: int, shape: str
) -> None:
    height = {"plane": plane(atan(5 / 12)), "vault": arch(3.5), "bulge": arch(3.5, True)}[shape]
    rough, smooth = ceiling(height, cells, NOISE), ceiling(height, cells)
    places = [((0.21, 0.13), 0.5), ((-0.4, 0.55), pi / 2), ((0.7, -0.8), 0.0)]
    heaters = [heater(name=f"H{i}", at=at, heading=h) for i, (at, h) in enumerate(places)]
    stock = [bracket(style=style, arm=0.1, fine=0.6)]
    for mount, other in zip(
        hung([rough], heaters, stock), hung([smooth], heaters, stock), strict=True
    ):
        assert mount.holds, mount.faults
        # The clearances hold to the rough faces themselves, wherever they are.
        assert clear_of(mount, rough)
        # It moves by no more than the noise, plumb, where a volume's top meets the ceiling; a
        # rounded corner meets it at a slope of at most 45 deg, sqrt 2 times as far.
        moved = abs(mount.frame.origin[2] - other.frame.origin[2])
        assert moved <= sqrt(2) * NOISE + 1e-4
        for arm, like in zip(mount.arms, other.arms, strict=True):
            # The plate's own place is off by up to the noise as well.
            assert abs(arm.length - like.length) <= moved + 2 * NOISE
            # The lean is off by what one face of 0.1 m could be, twice the noise over it, and by
            # half of what one of them turns from the next on the arc.
            most = 2 * NOISE / 0.1 + 0.1 / 3.5 / 2
            assert abs(arm.lean_across - like.lean_across) < most
            assert abs(arm.lean_along - like.lean_along) < most
            assert arm.overhang == 0.0


def clear_of(mount: Mount, part: Part) -> bool:
    """Whether no dense sample of a part's surface stands in a volume or within the least
    distance."""
    u, v = np.meshgrid(np.linspace(0, 1, 6), np.linspace(0, 1, 6))
    some = u + v <= 1.0
    near = np.abs(part.mesh.corners.mean(axis=1) - mount.frame.origin).max(axis=1) < 1.6
    a, b, c = (part.mesh.corners[near, i][:, None] for i in range(3))
    points = a + u[some][:, None] * (b - a) + v[some][:, None] * (c - a)
    local = mount.frame.to_local(points.reshape(-1, 3))
    for low, high in clearance_volumes(mount.type, mount.type.combustible):
        if ((local > low + 1e-7) & (local < high - 1e-7)).all(axis=1).any():
            return False
    corners = body_corners(mount.type)
    outside = np.maximum(np.maximum(corners.min(axis=0) - local, local - corners.max(axis=0)), 0.0)
    return bool(np.linalg.norm(outside, axis=1).min() >= mount.type.combustible.least - 1e-7)


# ------------------------------------------------------------------------ the planes themselves


def faces(part: Part) -> tuple[Floats, Floats]:
    under = part.mesh.normals[:, 2] < -0.1
    return part.mesh.corners[under], -part.mesh.normals[under]


def test_an_exact_plane_stays_what_it_is_and_a_fold_is_none() -> None:
    corners, into = faces(ceiling(plane(0.4), 40))
    part = np.zeros(len(corners), dtype=np.int64)
    point, turned = mean_planes(corners, into, part)
    assert (point == corners[:, 0]).all()
    assert (turned == into).all()
    # A ridge of 8:12: nobody's plane is a mean of both sides.
    corners, into = faces(ceiling(lambda x, y: 3.0 - np.abs(y) * 8 / 12 + 0.0 * x, 60))
    _, turned = mean_planes(corners, into, np.zeros(len(corners), dtype=np.int64))
    assert np.abs(turned - into).max() < 1e-9
    assert (bends(corners, turned, 0.5) == 0.0).all()


def test_a_rough_plane_has_nearly_its_own_normal() -> None:
    corners, into = faces(ceiling(plane(0.4), 150, NOISE))
    part = np.zeros(len(corners), dtype=np.int64)
    point, turned = mean_planes(corners, into, part)
    exact = np.array([0.0, -sin(0.4), cos(0.4)])
    inner = (np.abs(corners[..., :2]) < 2.5).all(axis=(1, 2))
    assert np.degrees(np.arccos(into[inner] @ exact)).max() > 3.0
    assert np.degrees(np.arccos(np.minimum(turned[inner] @ exact, 1.0))).max() < 1.5
    assert np.abs((point[inner] - [0.0, 0.0, 3.0]) @ exact).max() < NOISE


def test_a_plate_bridges_a_little_and_not_more() -> None:
    """A fold of two planes under a plate of 60 mm: 30 mm beside it they part by 30 tan."""
    for angle, holds in ((0.09, True), (0.12, False)):
        # On a ridge line across the first foot.
        def folded(x: Floats, y: Floats, t: float = tan(angle)) -> Floats:
            return np.asarray(3.0 - np.maximum(x + 0.3, 0.0) * t + 0.0 * y)

        coarse = ceiling(folded, 20)  # 0.3 m faces: the fold lies on an edge
        (mount,) = hung([coarse], [heater()], [bracket(style="plumb")])
        assert mount.holds is holds, (angle, mount.faults)
        assert (0.03 * tan(angle) <= UNEVEN) is holds
