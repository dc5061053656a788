"""Random heaters, brackets and roofs: whatever is called good keeps every clearance and fits."""

from __future__ import annotations

from math import isnan, pi
from random import Random

import pytest

from heatcore.errors import InputError
from heatcore.geometry.distance import clearance_margin
from heatcore.geometry.parts import Part
from heatcore.mounting import hang
from heatcore.scene.model import Heater
from heatcore.scene.types import BracketType, Distances, HeaterType
from tests.core.mounting_site import (
    beam,
    bracket,
    heater,
    heater_type,
    rafters,
    sheet,
    site,
    slope,
    wall,
)
from tests.core.test_mounting_anywhere import HOUSE, PURLINS, TIE, hip

MOUNTS = ("ceiling", "stem", "beam", "wall")


def a_roof(random: Random) -> Part:
    if random.random() < 0.4:
        return hip()
    if random.random() < 0.5:
        return slope(random.uniform(0.0, 1.3), height=random.uniform(2.6, 12.0))
    low, high = 2.6, random.uniform(2.6, 7.0)
    fold = [(-6, -5, low), (6, -5, low), (6, 0, high), (-6, 0, high)]
    other = [(-6, 0, high), (6, 0, high), (6, 5, low), (-6, 5, low)]
    return sheet("roof", [fold, other])


def a_type(random: Random) -> HeaterType:
    return heater_type(
        length=random.uniform(0.3, 2.5), width=random.uniform(0.05, 0.5),
        height=random.uniform(0.03, 0.3), pivot_height=random.choice([0.0, 0.03, 0.1]),
        combustible=Distances(
            above=random.choice([0.0, 0.05, 0.3]), sides=random.choice([0.0, 0.2, 0.6]),
            ends=random.choice([0.0, 0.3]), below=random.choice([0.5, 1.2]),
        ),
    )  # fmt: skip


def a_bracket(random: Random, mount: str, name: str) -> BracketType:
    pieces = [0.05, 0.1, 0.15, 0.2, 0.3, 0.5]
    return bracket(
        name=name, mount=mount, style=random.choice(["square", "plumb"]),
        arm=random.uniform(0.02, 0.4), fine=random.choice([0.0, 0.01, 0.06, 0.3]),
        extensions=tuple(random.sample(pieces, random.randint(0, 4))), stack=random.randint(0, 3),
        hinge_along=random.choice([0.2, 1.5]), hinge_across=random.choice([0.2, 1.5]),
        unequal=random.random() < 0.7, structure_only=random.random() < 0.2,
        plate_length=random.uniform(0.03, 0.2), plate_width=random.uniform(0.03, 0.2),
    )  # fmt: skip


def a_heater(random: Random) -> Heater:
    mount = random.choice(MOUNTS)
    across = 0.1 if mount == "beam" else 3.0
    how: dict[str, object] = {
        "mount": mount,
        "at": (random.uniform(-5, 5), random.uniform(-across, across)),
        "heading": random.choice([None, 0.0, pi / 2, random.uniform(-6, 6)]),
    }
    if mount == "wall" or random.random() < 0.2:
        how["height"] = random.uniform(1.0, 3.0)
    turn = random.random()
    if turn < 0.2:
        how["tilt"] = random.uniform(-1.0, 1.0)
    elif turn < 0.4:
        how["aim_at"] = (random.uniform(-5, 5), random.uniform(-3, 3), random.uniform(0, 2))
    if mount != "wall" and random.random() < 0.2:
        how["attitude"] = "slope"
    return heater(**how)


@pytest.mark.parametrize("seed", range(5))
def test_what_is_called_good_keeps_its_clearances_and_fits_its_stock(seed: int) -> None:
    random = Random(seed)
    good = 0
    for _ in range(30):
        roof, kind, wanted = a_roof(random), a_type(random), a_heater(random)
        stock = [a_bracket(random, mount, f"{mount} {i}") for mount in MOUNTS for i in (1, 2)]
        scene, model = site(
            [roof, HOUSE, TIE, *PURLINS], [wanted], stock, [kind],
            beam=(beam(TIE),), wall=(wall(HOUSE),), rafters=(rafters("purlins", "roof"),),
        )  # fmt: skip
        try:
            (mount,) = hang(scene, model)
        except InputError:
            continue
        assert not any(isnan(fault.measured + fault.required) for fault in mount.faults)
        if not mount.holds:
            continue
        good += 1
        size = (kind.length, kind.width, kind.height)
        near = [roof, TIE, *PURLINS, *([HOUSE] if wanted.mount == "wall" else [])]
        for part in near:
            margin = clearance_margin(mount.frame, size, kind.combustible, part.mesh)
            assert margin >= -1e-9, (wanted, part.name)
        for arm in mount.arms:
            made = mount.bracket.arm + sum(arm.extensions) + arm.fine
            assert arm.length == pytest.approx(made, abs=2e-6)
            assert 0.0 <= arm.fine <= mount.bracket.fine + 1e-6
            assert arm.overhang == 0.0
            assert abs(arm.lean_along) <= mount.bracket.hinge_along + 1e-6
            assert abs(arm.lean_across) <= mount.bracket.hinge_across + 1e-6
    assert good
