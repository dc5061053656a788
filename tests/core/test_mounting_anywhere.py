"""The same site far off, turned and mirrored: the same answers. And how long they take."""

from __future__ import annotations

from dataclasses import replace
from math import pi, radians
from time import process_time

import numpy as np
import pytest

from heatcore.geometry.distance import clearance_margin
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater
from heatcore.scene.types import BracketType
from tests.core.mounting_site import (
    HERE,
    LINEAR,
    Ground,
    beam,
    block,
    bracket,
    heater,
    hung,
    rafters,
    sheet,
    site,
    wall,
)

GROUNDS = [
    Ground(at=(100.0, -70.0)),
    Ground(turn=radians(33.0)),
    Ground(mirrored=True),
    Ground(turn=radians(33.0), at=(-100.0, 100.0), mirrored=True),
]
STOCK: tuple[BracketType, ...] = (
    bracket(name="square", arm=0.15, extensions=(0.05, 0.15, 0.3), stack=2, fine=0.04),
    bracket(name="plumb", arm=0.2, extensions=(0.1, 0.25), stack=2, fine=0.04, style="plumb"),
    bracket(name="wall", mount="wall", arm=0.3, extensions=(0.1, 0.25, 0.3), fine=0.03),
    bracket(name="clamp", mount="beam", arm=0.12, extensions=(0.1,), fine=0.05, style="plumb"),
    bracket(name="stem", mount="stem", arm=0.3, extensions=(0.3,), fine=0.05, style="plumb"),
)


def hip() -> Part:
    e, top = 2.8, 2.8 + 3 * 8 / 12
    a, b = (-2.0, 0.0, top), (2.0, 0.0, top)
    c = [(-5, -3, e), (5, -3, e), (5, 3, e), (-5, 3, e)]
    return sheet("roof", [[c[0], c[1], b, a], [c[1], c[2], b], [c[2], c[3], a, b], [c[3], c[0], a]])


HOUSE = block("house wall", (-5, 3.0, 0), (5, 3.3, 2.7), Kind.WALL)
TIE = block("tie beam", (-5, -0.1, 2.5), (5, 0.1, 2.75))
PURLINS = tuple(
    replace(
        sheet("x", [[(-4, y, z - 0.1), (4, y, z - 0.1), (4, y + 0.1, z - 0.1 + 0.1 * 8 / 12),
                     (-4, y + 0.1, z - 0.1 + 0.1 * 8 / 12)]], 0.1),
        name=f"purlins {i}", owner="purlins", kind=Kind.RAFTER,
    )
    for i, (y, z) in enumerate([(-2.0, 2.8 + 8 / 12), (-1.2, 2.8 + 1.8 * 8 / 12)])
)  # fmt: skip


def heaters(ground: Ground) -> list[Heater]:
    return [
        heater(ground, name="flat", at=(0.5, -1.4), heading=0.0),
        heater(ground, name="skew", at=(0.2, 1.6), heading=0.8),
        heater(ground, name="steep", at=(3.6, 0.4), heading=0.1),
        heater(ground, name="tilted", at=(-0.8, 1.5), heading=0.0, tilt=0.3),
        heater(ground, name="slope", at=(0.9, 1.4), heading=0.4, attitude="slope"),
        heater(ground, name="high", at=(1.0, 0.9), heading=pi / 2, height=2.3),
        heater(ground, name="stem", at=(-1.0, -1.15), heading=0.0, mount="stem"),
        heater(ground, name="aimed", at=(-2.0, 1.0), heading=0.2, aim_at=_aim(ground)),
        heater(ground, name="beam", at=(1.0, 0.0), mount="beam", tilt=0.2),
        # In a mirror the wall's own heading, which keeps the patio on the left, runs the other way.
        heater(ground, name="wall", at=(1.0, 3.0), mount="wall", height=2.1, tilt=0.3,
               heading=pi),
        heater(ground, name="lost", at=(4.6, 2.9), heading=0.0),
    ]  # fmt: skip


def _aim(ground: Ground) -> tuple[float, float, float]:
    return (*ground.plan((-1.6, 2.0)), 0.8)


def everywhere(ground: Ground) -> tuple[Mount, ...]:
    return hung(
        [hip(), HOUSE, TIE, *PURLINS], heaters(ground), STOCK, ground=ground,
        beam=(beam(TIE, ground),), wall=(wall(HOUSE, ground),),
        rafters=(rafters("purlins", "roof"),),
    )  # fmt: skip


@pytest.fixture(scope="module")
def here() -> tuple[Mount, ...]:
    return everywhere(HERE)


def test_the_site_tries_good_mounts_and_bad_ones(here: tuple[Mount, ...]) -> None:
    assert 0 < sum(mount.holds for mount in here) < len(here)
    assert any(arm.surface.startswith("purlins") for mount in here for arm in mount.arms)


@pytest.mark.parametrize("ground", GROUNDS)
def test_the_same_answers_anywhere(here: tuple[Mount, ...], ground: Ground) -> None:
    for one, other in zip(here, everywhere(ground), strict=True):
        assert other.bracket.name == one.bracket.name, one.name
        assert other.frame.origin == pytest.approx(ground.space(one.frame.origin), abs=1e-8)
        assert other.spare == pytest.approx(one.spare, abs=1e-8)
        assert other.tilt == pytest.approx(ground.tilt(one.tilt), abs=1e-8)
        assert [f.code for f in other.faults] == [f.code for f in one.faults]
        assert [f.measured for f in other.faults] == pytest.approx(
            [_sign(ground, f.code) * f.measured for f in one.faults], abs=1e-7
        )
        assert [p.reason for p in other.passed] == [p.reason for p in one.passed]
        assert other.parts == one.parts
        for arm, moved in zip(one.arms, other.arms, strict=True):
            assert moved.length == pytest.approx(arm.length, abs=1e-8)
            assert moved.extensions == arm.extensions
            assert moved.surface == arm.surface
            assert moved.foot == pytest.approx(ground.space(arm.foot), abs=1e-8)
            assert moved.overhang == pytest.approx(arm.overhang, abs=1e-7)
            assert abs(moved.lean_along) == pytest.approx(abs(arm.lean_along), abs=1e-8)
            assert abs(moved.lean_across) == pytest.approx(abs(arm.lean_across), abs=1e-8)
        # A mirror swaps the body's two sides, so its corners go the other way round.
        order = [3, 2, 1, 0] if ground.mirrored else [0, 1, 2, 3]
        assert other.gaps[order] == pytest.approx(one.gaps, abs=1e-7)


def _sign(ground: Ground, code: str) -> float:
    return -1.0 if ground.mirrored and code == "tilt" else 1.0


def test_the_clearances_hold_where_the_mount_says_so(here: tuple[Mount, ...]) -> None:
    size = (LINEAR.length, LINEAR.width, LINEAR.height)
    for mount in here:
        margin = min(
            clearance_margin(mount.frame, size, LINEAR.combustible, part.mesh)
            for part in (hip(), TIE, *PURLINS, *([HOUSE] if mount.name == "wall" else []))
        )
        codes = {fault.code for fault in mount.faults}
        if not codes & {"arm", "height", "level"}:
            assert margin >= -1e-9, mount.name
        else:
            assert margin < 0.0 or codes == {"level"}


# ------------------------------------------------------------------------------------- speed


def facets(rows: int, columns: int) -> Part:
    """A gently bent ceiling of many triangles, with a flat lid on top."""
    x, y = np.meshgrid(np.linspace(-6, 6, columns + 1), np.linspace(-6, 6, rows + 1))
    low = np.stack([x, y, 3.0 + 0.25 * y + 0.02 * np.sin(x)], axis=-1).reshape(-1, 3)
    i, j = (a.ravel() for a in np.meshgrid(np.arange(rows), np.arange(columns), indexing="ij"))
    a = i * (columns + 1) + j
    b, c, d = a + 1, a + columns + 2, a + columns + 1
    under = np.concatenate([np.stack([a, c, b], 1), np.stack([a, d, c], 1)])
    top = under[:, ::-1] + len(low)
    mesh = Mesh(
        np.concatenate([low, low + np.array([0.0, 0.0, 0.2])]), np.concatenate([under, top])
    )
    return Part("roof", "roof", Kind.ROOF, mesh, "timber boards", True)


def each_seconds(rows: int, columns: int) -> float:
    """CPU time that hanging one more heater takes under a ceiling of so many facets."""
    part = facets(rows, columns)
    stock = [bracket(arm=0.15, extensions=(0.05, 0.1, 0.2), stack=2, fine=0.05)]
    took = []
    for count in (1, 6):
        some = [heater(name=f"H{i}", at=(0.3 * i, 0.0), heading=0.2) for i in range(count)]
        scene, model = site([part], some, stock)
        start = process_time()
        mounts = hang(scene, model)
        took.append(process_time() - start)
        assert all(np.isfinite(mount.gaps).all() for mount in mounts)
    return (took[1] - took[0]) / 5


def test_a_thousand_times_the_facets_cost_a_few_times_the_work() -> None:
    coarse, fine = each_seconds(12, 10), each_seconds(320, 350)
    assert fine < 60.0 * coarse, f"{1e3 * fine:.0f} ms beside {1e3 * coarse:.0f} ms"
