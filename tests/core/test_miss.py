"""What fails never reads as if it held: rounding goes away from what is required."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest

from heatcore.checks.finding import Finding, Verdict
from heatcore.mounting.stock import Pair
from heatcore.mounting.words import Words
from heatcore.sheets.terminal import figures
from heatcore.units import (
    UnitSystem,
    format_angle,
    format_angle_miss,
    format_miss,
    parse_length,
)
from tests.core.mounting_site import bracket

INCH = 0.0254


@pytest.mark.parametrize(
    ("measured", "required", "system", "said"),
    [
        (0.2999, 0.3, "metric", ("299 mm", "300 mm")),
        (0.2995, 0.2999, "metric", ("299 mm", "300 mm")),
        (0.2999, 0.29995, "metric", ("299 mm", "300 mm")),
        (0.3001, 0.3, "metric", ("301 mm", "300 mm")),
        (17.99 * INCH, 18 * INCH, "imperial", ("1' 5 7/8\"", "1' 6\"")),
        # 300 mm reads as 11 3/4 in to the nearest eighth; so would what just misses it.
        (0.2999, 0.3, "imperial", ('11 3/4"', '11 7/8"')),
        (0.3007, 0.3, "imperial", ('11 7/8"', '11 3/4"')),
    ],
)
def test_a_length_that_misses_reads_so(
    measured: float, required: float, system: str, said: tuple[str, str]
) -> None:
    assert format_miss(measured, required, system) == said


@pytest.mark.parametrize("system", list(UnitSystem))
def test_no_miss_reads_as_a_match(system: UnitSystem) -> None:
    rng = np.random.default_rng(7)
    for required in rng.uniform(0.0, 2.0, 300):
        for by in (1e-8, 1e-5, 1e-3, 0.1):
            for measured in (required - by, required + by):
                shown, asked = format_miss(measured, required, system)
                assert shown != asked
                assert (parse_length(shown) < parse_length(asked)) == (measured < required)


def test_an_angle_that_misses_reads_so() -> None:
    assert format_angle_miss(radians(39.806), radians(10)) == ("39.8 deg", "10 deg")
    assert format_angle_miss(radians(45.01), radians(45)) == ("45.1 deg", "45 deg")
    assert format_angle_miss(radians(-30.01), radians(-30)) == ("-30.1 deg", "-30 deg")
    assert format_angle(radians(45), "up") == format_angle(radians(45), "down") == "45 deg"


def finding(code: str, measured: float, required: float, unit: str = "m") -> Finding:
    verdict = Verdict.FAILS if abs(measured - required) > 0 else Verdict.HOLDS
    where = np.zeros(3)
    return Finding(
        code, verdict, "H1", "roof", measured, required, unit, where, where,
        at_most=measured > required,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("found", "shown"),
    [
        (finding("clearance.end", 0.2999, 0.3), ("299 mm", "300 mm", "-1 mm")),
        (finding("clearance.end", 0.3, 0.3), ("300 mm", "300 mm", "0 mm")),
        (finding("height.most", 3.2001, 3.2), ("3.201 m", "3.200 m", "-1 mm")),
        # To be kept to: 2.4312 m would do, so 2.432 m would not.
        (finding("mount.height", 2.4384, 2.4318), ("2.439 m", "2.431 m", "-7 mm")),
        (finding("mount.hinge", radians(45.01), radians(45), "rad"), ("45.1°", "45°", "-0.1°")),
        (finding("mount.load", 30.01, 30.0, "kg"), ("30.01 kg", "30 kg", "-0.01 kg")),
    ],
)
def test_a_finding_that_fails_shows_it(found: Finding, shown: tuple[str, str, str]) -> None:
    assert figures(found, UnitSystem.METRIC) == shown


@pytest.mark.parametrize(
    ("stacks", "lengths", "said", "can", "must"),
    [
        (((), ()), (0.2, 0.4), "its arms can differ by 50 mm, and must by 200 mm", 0.05, 0.2),
        # 50.2 mm is more than the adjustment takes up, and says so.
        (((), ()), (0.2, 0.2502), "its arms can differ by 50 mm, and must by 51 mm", 0.05, 0.0502),
        (((), (0.3,)), (0.2, 0.3),
         "its arms differ by 250 mm or more, and must by 100 mm", 0.25, 0.1),
        (((), (0.3,)), (0.3, 0.2),
         "its arms differ by 250 mm or more the other way, and must by 100 mm", -0.25, 0.1),
        (((), ()), (0.18, 0.22),
         "its first arm goes from 200 mm to 250 mm, and must be 180 mm", 0.2, 0.18),
        (((), ()), (0.22, 0.2604),
         "its second arm goes from 200 mm to 250 mm, and must be 261 mm", 0.25, 0.2604),
    ],
)  # fmt: skip
def test_what_arms_cannot_do_is_said_in_figures_that_differ(
    stacks: tuple[tuple[float, ...], tuple[float, ...]],
    lengths: tuple[float, float],
    said: str,
    can: float,
    must: float,
) -> None:
    pair = Pair(bracket(arm=0.2, extensions=(0.3,), fine=0.05), *stacks)
    words, *given = Words(UnitSystem.METRIC).level(pair, np.array(lengths))
    assert words == said
    assert given == pytest.approx([can, must], abs=1e-12)


def test_a_pair_of_arms_in_words() -> None:
    kind = bracket(name="arm", arm=0.2, extensions=(0.1, 0.3), stack=2)
    words = Words(UnitSystem.METRIC)
    assert words.pair(Pair(kind, (), ())) == "arm bracket"
    assert words.pair(Pair(kind, (0.1,), (0.1,))) == (
        "arm bracket with an extension of 100 mm on each arm"
    )
    assert words.pair(Pair(kind, (), (0.3, 0.1))) == (
        "arm bracket with no extension on the first arm and extensions of 300 mm and 100 mm on "
        "the second"
    )
