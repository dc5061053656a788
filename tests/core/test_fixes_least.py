"""A shift is within an eighth of an inch of the least that a scan by sixteenths finds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from heatcore.evaluate import evaluate
from heatcore.remedies import FindingAdvice, Kind, fixes
from heatcore.scene.model import Heater, Scene
from tests.core.fixes_site import FLAT, key_of, scanned, site, unmet, wall

SIXTEENTH = 0.0254 / 16  # m
EIGHTH = 0.0254 / 8  # m
WAYS = {"+X": (1, 0), "-X": (-1, 0), "+Y": (0, 1), "-Y": (0, -1)}
PURLINS = """
[[roof]]
name = "roof"
form = "single_slope"
falls_toward = "-90 deg"
plate = "2.7 m"
pitch = "3:12"
material = "timber"

[[rafters]]
name = "purlins"
roof = "roof"
run = "across_slope"
spacing = "900 mm"
first = "300 mm"
material = "timber"
"""
POST = '[[post]]\nname = "post"\nat = ["5.12 m", "3.35 m"]\ntop = "2.6 m"\nmaterial = "timber"\n'


def shifted(
    heater: Heater, way: tuple[int, int], least: float, most: float
) -> Iterator[tuple[float, Heater]]:
    assert heater.at is not None
    for far in np.arange(max(round(least / SIXTEENTH), 1), round(most / SIXTEENTH) + 1) * SIXTEENTH:
        at = (heater.at[0] + far * way[0], heater.at[1] + far * way[1])
        yield float(far), replace(heater, at=at)


def lowered(heater: Heater, start: float, most: float) -> Iterator[tuple[float, Heater]]:
    for far in np.arange(1, round(most / SIXTEENTH) + 1) * SIXTEENTH:
        yield float(far), replace(heater, height=start - float(far))


def offered(found: FindingAdvice) -> dict[str, float]:
    """How far the offered shifts go, by their axis."""
    return {
        way: fix.change.disturbance_m
        for fix in found.fixes
        for way in WAYS
        if f"(along {way})" in fix.change.words
    }


@pytest.mark.parametrize(
    "scene",
    [
        site(wall("side wall", (0, 2.75), (8, 2.75)), units="imperial", at='["4 m", "3.31 m"]'),
        site(POST, units="imperial"),
        site(POST, roof=PURLINS, units="imperial", heading='"20 deg"'),
    ],
    ids=["wall", "post beside a corner", "oblique under purlins"],
)
def test_a_shift_is_the_least_of_its_way(scene: Scene) -> None:
    before = evaluate(scene)
    failed = unmet(before.findings)
    found = fixes(before)
    assert found
    for one in found[:1]:
        far = offered(one)
        assert far
        least = min(far.values())
        for way, vector in WAYS.items():
            # Of a way that is offered its last two inches are scanned, of another as much as the
            # least that is offered: it would have disturbed less.
            most = far.get(way, least)
            ways = shifted(scene.heater[0], vector, most - 0.05, most)
            scan = scanned(scene, ways, key_of(one.finding), failed)
            if way in far:
                assert scan is not None
                assert far[way] - EIGHTH <= scan <= far[way] + 1e-9
            else:
                assert scan is None or scan > least - EIGHTH


@pytest.mark.parametrize("top", ["2.9 m", "2.937 m"])
def test_a_height_is_the_least_lower_one(top: str) -> None:
    """Under a timber ceiling, asked to hang too high."""
    roof = FLAT.replace('"stone"', '"timber"').replace("2.9 m", top)
    scene = site(roof=roof, units="imperial", height='"2.66 m"')
    before = evaluate(scene)
    one = fixes(before)[0]
    (fix,) = [f for f in one.fixes if f.change.kind in (Kind.HEIGHT, Kind.BRACKET)]
    height = fix.evaluation.scene.heater[0].height
    assert height is not None
    scan = scanned(
        scene, lowered(scene.heater[0], 2.66, 0.2), key_of(one.finding), unmet(before.findings)
    )
    assert scan is not None
    # The scan's steps and the marks do not coincide.
    assert 2.66 - height - EIGHTH <= scan <= 2.66 - height + SIXTEENTH
