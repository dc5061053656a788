"""One plane: the solver against the closed forms of the design, section 5, in plain arithmetic.

Nothing here uses the solver's own geometry: trigonometry only, on paper.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import atan, atan2, cos, pi, radians, sin, tan

import numpy as np
import pytest

from heatcore.mounting.mount import Mount
from heatcore.scene.types import BracketType, Distances, HeaterType
from tests.core.mounting_site import LINEAR, bracket, heater, heater_type, hung, slope

# Under LINEAR, whose `above` is the least of its distances, the shortest distance decides or the
# lower volume's rim; under HIGH the upper volume; under WIDE mostly the rim.
HIGH = heater_type(name="high", combustible=Distances(
    above=0.6, sides=0.05, ends=0.1, below=0.9))  # fmt: skip
WIDE = heater_type(name="wide", length=1.8, width=0.35, height=0.08, pivot_height=0.06,
    combustible=Distances(above=0.1, sides=0.6, ends=0.5, below=0.9))  # fmt: skip
TYPES = (LINEAR, HIGH, WIDE)
PITCHES = range(13)
TURNS = [k * pi / 16 for k in (-8, -5, 0, 1, 3, 4, 6, 8, 11, 17, 22)]  # from the slope's contour
SPACINGS = (0.4, 0.7)


def gap(kind: HeaterType, spacing: float, s: float, y: float) -> float:
    """G: the vertical distance from the ceiling down to the low pivot."""
    d = kind.combustible
    least = min(d.above, d.sides, d.ends, d.below)
    over = abs(cos(y)) * kind.width / 2 + abs(sin(y)) * (kind.length - spacing) / 2
    rim = abs(cos(y)) * (kind.width / 2 + d.sides) + abs(sin(y)) * (
        (kind.length - spacing) / 2 + d.ends
    )
    return max(max(d.above, least / cos(s)) + over * tan(s), rim * tan(s)) - kind.pivot_height


def lengths(g: float, spacing: float, s: float, y: float, style: str) -> tuple[float, float]:
    """Low and high arm, when the low pivot hangs g under the ceiling."""
    if style == "square":
        return g * cos(s), g * cos(s) + spacing * abs(sin(y)) * sin(s)
    return g, g + spacing * abs(sin(y)) * tan(s)


def cases() -> Iterator[tuple[HeaterType, float, float]]:
    return iter(product(TYPES, SPACINGS, TURNS))


@pytest.mark.parametrize("style", ["square", "plumb"])
@pytest.mark.parametrize("rise", PITCHES)
def test_arms_are_as_long_as_the_closed_forms_say(rise: int, style: str) -> None:
    s = atan(rise / 12)
    heaters = [
        heater(name=f"{kind.name} {spacing} {y}", type=kind.name, spacing=spacing, heading=y)
        for kind, spacing, y in cases()
    ]
    mounts = hung([slope(s)], heaters, [bracket(style=style)], TYPES)
    for (kind, spacing, y), mount in zip(cases(), mounts, strict=True):
        low, high = lengths(gap(kind, spacing, s, y), spacing, s, y, style)
        assert sorted(arm.length for arm in mount.arms) == pytest.approx([low, high], abs=1e-9)
        assert mount.holds
        assert mount.spare == pytest.approx(0.0, abs=1e-9)
        assert mount.frame.z == pytest.approx([0.0, 0.0, 1.0], abs=1e-12)
        assert mount.frame.origin[:2] == pytest.approx([0.0, 0.0], abs=1e-12)
        for arm in mount.arms:
            x, foot_y, z = arm.foot
            assert z == pytest.approx(3.0 + foot_y * tan(s), abs=1e-9)
            # A square arm's foot lies its length times sin s downhill of its pivot.
            drift = arm.length * sin(s) if style == "square" else 0.0
            assert arm.pivot[1] - foot_y == pytest.approx(drift, abs=1e-9)
            assert x == pytest.approx(arm.pivot[0], abs=1e-9)


@pytest.mark.parametrize("rise", [0, 3, 8, 12])
def test_gaps_and_leans_are_those_of_the_slope(rise: int) -> None:
    s = atan(rise / 12)
    headings = [0.0, 0.4, pi / 4, pi / 2, 2.5]
    mounts = hung([slope(s)], [heater(name=str(y), heading=y) for y in headings])
    for y, mount in zip(headings, mounts, strict=True):
        top = mount.frame.origin[2] + LINEAR.height
        x_half, y_half = LINEAR.length / 2, LINEAR.width / 2
        for gap_m, (i, j) in zip(mount.gaps, [(-1, -1), (1, -1), (1, 1), (-1, 1)], strict=True):
            north = i * x_half * sin(y) + j * y_half * cos(y)
            assert gap_m == pytest.approx(3.0 + north * tan(s) - top, abs=1e-9)
        assert mount.gap_surface == ("roof",) * 4
        for arm in mount.arms:
            # The plate rises toward +Y: about the body's Y and X by the right-hand rule.
            assert arm.lean_along == pytest.approx(-atan(sin(y) * tan(s)), abs=1e-9)
            assert arm.lean_across == pytest.approx(atan(cos(y) * tan(s)), abs=1e-9)


STOCK = (
    bracket(name="close", arm=0.12, fine=0.01, unequal=False),
    bracket(name="square", arm=0.15, extensions=(0.05, 0.15), stack=2, fine=0.03),
    bracket(name="plumb", arm=0.2, extensions=(0.1, 0.25), stack=2, fine=0.04, style="plumb"),
)


def stacks(kind: BracketType) -> list[tuple[float, int]]:
    """Every length of extensions with the number of pieces, by hand for a stack of two at most."""
    some = [(0.0, 0)] + [(e, 1) for e in kind.extensions]
    if kind.stack > 1:
        some += [(a + b, 2) for a in kind.extensions for b in kind.extensions]
    return some


def shortest(spacing: float, s: float, y: float, g: float) -> tuple[float, set[str]] | None:
    """The least total of two arms that hang it level at g or lower, and whose it is."""
    best: list[tuple[float, str]] = []
    for kind in STOCK:
        for (a, _), (b, _) in product(stacks(kind), repeat=2):
            if not kind.unequal and a != b:
                continue
            # Lengths grow with the drop at one rate: cos s for square arms, 1 for plumb ones.
            rate = cos(s) if kind.style == "square" else 1.0
            low0, high0 = lengths(0.0, spacing, s, y, kind.style)
            ends = [
                ((kind.arm + a - low0) / rate, (kind.arm + a + kind.fine - low0) / rate),
                ((kind.arm + b - high0) / rate, (kind.arm + b + kind.fine - high0) / rate),
            ]
            lowest, highest = min(e for _, e in ends), max(max(e for e, _ in ends), g)
            if highest <= lowest + 1e-9:
                low, high = lengths(highest, spacing, s, y, kind.style)
                best.append((low + high, kind.name))
    if not best:
        return None
    least = min(best)[0]
    return least, {name for total, name in best if total <= least + 1e-6}


@pytest.mark.parametrize("rise", PITCHES)
def test_the_shortest_stocked_pair_that_passes_is_chosen(rise: int) -> None:
    s = atan(rise / 12)
    kind = heater_type(combustible=Distances(
        above=0.1, sides=0.2, ends=0.15, below=0.9))  # fmt: skip
    turns = TURNS[2:8]
    heaters = [heater(name=str(y), heading=y) for y in turns]
    served = 0
    for y, mount in zip(turns, hung([slope(s)], heaters, STOCK, (kind,)), strict=True):
        g = gap(kind, kind.spacing, s, y)
        wanted = shortest(kind.spacing, s, y, g)
        assert mount.holds == (wanted is not None), (rise, y, mount.faults)
        if wanted is None:
            assert {f.code for f in mount.faults} <= {"arm", "level"}
            continue
        served += 1
        total = sum(arm.length for arm in mount.arms)
        assert total == pytest.approx(wanted[0], abs=1e-6)
        assert mount.bracket.name in wanted[1]
        for arm in mount.arms:
            made = mount.bracket.arm + sum(arm.extensions) + arm.fine
            assert arm.length == pytest.approx(made, abs=2e-6)
            assert -1e-6 <= arm.fine <= mount.bracket.fine + 1e-6
        for passed in mount.passed:
            assert passed.shortfall > 0.0
    assert served, "a stock that serves nothing proves nothing"


def test_the_stock_serves_some_pitches_with_unequal_pairs() -> None:
    mount = hung([slope(atan(6 / 12))], [heater(heading=pi / 2)], STOCK, (
        heater_type(combustible=Distances(
            above=0.1, sides=0.2, ends=0.15, below=0.9)),
    ))[0]  # fmt: skip
    assert mount.holds
    assert mount.arms[0].extensions != mount.arms[1].extensions
    # The level pair's difference is the spacing times sin s.
    difference = mount.arms[1].length - mount.arms[0].length
    assert difference == pytest.approx(0.6 * sin(atan(0.5)), abs=1e-6)


# --------------------------------------------------------------- parallel to the slope, and tilted


@pytest.mark.parametrize("heading", [0.0, 0.5, pi / 2, 2.2])
@pytest.mark.parametrize("rise", [0, 4, 9])
def test_a_heater_that_follows_the_slope_needs_its_distance_square_to_it(
    rise: int, heading: float
) -> None:
    s = atan(rise / 12)
    mount = hung([slope(s)], [heater(attitude="slope", heading=heading)])[0]
    # Parallel to the ceiling every vertex of a volume's top is equally far from it.
    for arm in mount.arms:
        assert arm.length == pytest.approx(0.2 - 0.03, abs=1e-9)
        assert arm.lean_along == pytest.approx(0.0, abs=1e-9)
        assert arm.lean_across == pytest.approx(0.0, abs=1e-9)
    assert mount.frame.z == pytest.approx([0.0, -sin(s), cos(s)], abs=1e-9)
    x = mount.frame.x
    assert atan2(x[1], x[0]) == pytest.approx(heading, abs=1e-9)


def section(kind: HeaterType, angle: float, tilt: float) -> float:
    """How far a square arm must hold the pivots off, in the section across the body.

    The ceiling is turned about the body's X by `angle`, the heater by `tilt`. In the ceiling's own
    frame the heater is then turned by their difference: its corners are a right-angled walk from
    the pivot, along its own axes.
    """
    turn = abs(tilt - angle)
    d, half, h = kind.combustible, kind.width / 2, kind.pivot_height
    least = min(d.above, d.sides, d.ends, d.below)
    upper = (d.above - h) * cos(turn) + half * sin(turn)
    rim = -h * cos(turn) + (half + d.sides) * sin(turn)
    foot = -(h + kind.height + d.below) * cos(turn) + (half + d.sides) * sin(turn)
    body = -h * cos(turn) + half * sin(turn) + least
    return max(upper, rim, foot, body)


@pytest.mark.parametrize("tilt", [radians(t) for t in (-35, -10, 0, 5, 20, 40)])
@pytest.mark.parametrize("rise", [0, 3, 7])
def test_a_tilted_heater_takes_its_volumes_with_it(rise: int, tilt: float) -> None:
    s = atan(rise / 12)
    for kind in TYPES:
        mount = hung([slope(s)], [heater(type=kind.name, tilt=tilt)], types=(kind,))[0]
        assert mount.tilt == tilt
        # Heading along the contour, +Y is uphill: the ceiling itself is turned by +s about X.
        for arm in mount.arms:
            assert arm.length == pytest.approx(section(kind, s, tilt), abs=1e-9)
        beam = -mount.frame.z
        assert beam == pytest.approx([0.0, sin(tilt), -cos(tilt)], abs=1e-12)


def every(mounts: tuple[Mount, ...]) -> np.ndarray:
    return np.array([[arm.length for arm in mount.arms] for mount in mounts])


def test_noncombustible_ceilings_ask_for_their_own_distances() -> None:
    roofs = [slope(0.3, combustible=burns) for burns in (True, False)]
    timber, steel = (every(hung([roof], [heater()])) for roof in roofs)
    plain = heater_type(combustible=LINEAR.noncombustible)
    assert steel == pytest.approx(every(hung([roofs[0]], [heater()], types=(plain,))), abs=1e-12)
    assert (steel < timber).all()
