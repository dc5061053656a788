"""Figures against published body measures, and their contact with what they sit and stand on."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Part, Place
from heatcore.geometry.people import person_parts, seat_place, standing_place
from heatcore.geometry.people.pose import pose_of
from heatcore.geometry.solids import solid_of
from heatcore.scene.model import Person, Seat

STATURE = 1.72
# S. Pheasant, Bodyspace, British adults aged 19 to 65, men, 50th percentile, in mm of a stature of
# 1740 mm. From memory.
PHEASANT = {
    "sitting height": 910,
    "buttock to knee": 595,
    "knee height": 545,
    "thigh thickness": 160,
    "shoulder breadth": 465,
    "hip breadth": 360,
    "head length": 195,
    "head breadth": 155,
    "foot length": 265,
}
# R. Drillis and R. Contini, Body segment parameters, 1966, as reproduced in D. A. Winter,
# Biomechanics and motor control of human movement: lengths as shares of stature. From memory.
WINTER = {"upper arm": 0.186, "forearm": 0.146, "thigh": 0.245, "shank": 0.246}

POSTURES = [("upright", 0.45), ("upright", 0.40), ("perched", 0.75), ("lounging", 0.36)]
SHOE = 0.025  # m; thickness of its sole and room at its toe: the measures are taken unshod


def somebody(posture: str, seat_height: float = 0.0, **given: object) -> Place:
    values = {
        "name": "A",
        "owner": "A",
        "point": np.zeros(3),
        "facing": 0.0,
        "posture": posture,
        "seat_height": seat_height,
        "occupied": True,
        **given,
    }
    return Place(**values)  # type: ignore[arg-type]


def named(parts: tuple[Part, ...], label: str) -> Floats:
    """Vertices of one part of a figure."""
    (part,) = (part for part in parts if part.name == f"A person {label}")
    return part.mesh.vertices


def measured() -> dict[str, float]:
    """The published measures, taken from the figures as an anthropometer would [m]."""
    stands = person_parts(somebody("standing"), 0)
    sits = person_parts(somebody("upright", 0.45), 0)
    upright = person_parts(somebody("perched", 0.75), 0)
    skin, sweater = named(stands, "skin"), named(stands, "sweater")
    trousers, shoes = named(sits, "trousers"), named(stands, "shoes")
    head = skin[skin[:, 2] > 1.55]
    left_shoe = shoes[shoes[:, 1] > 0]
    thigh = trousers[(trousers[:, 0] > 0.1) & (trousers[:, 0] < 0.3)]
    return {
        "sitting height": named(upright, "skin")[:, 2].max() - 0.75,
        "buttock to knee": np.ptp(trousers[:, 0]),
        "knee height": trousers[trousers[:, 0] > 0.38][:, 2].max() - SHOE,
        "thigh thickness": thigh[:, 2].max() - 0.45,
        "shoulder breadth": np.ptp(sweater[sweater[:, 2] > 1.31][:, 1]),
        "hip breadth": np.ptp(trousers[trousers[:, 0] < 0.05][:, 1]),
        "head length": np.ptp(head[np.abs(head[:, 2] - 1.66) < 0.03][:, 0]),
        "head breadth": np.ptp(head[head[:, 2] > 1.64][:, 1]),
        "foot length": np.linalg.norm(np.ptp(left_shoe[:, :2], axis=0)) - SHOE,
    }


@pytest.mark.parametrize("measure", PHEASANT)
def test_proportions_are_those_of_the_published_tables(measure: str) -> None:
    published = PHEASANT[measure] / 1740 * STATURE
    # 8 %: between the 5th and the 95th percentile man, with clothes on.
    assert measured()[measure] == pytest.approx(published, rel=0.08)


@pytest.mark.parametrize(("posture", "seat_height"), [*POSTURES, ("standing", 0.0)])
@pytest.mark.parametrize("table", [0.0, 0.29])
@pytest.mark.parametrize("variant", range(6))
def test_no_bone_changes_its_length_between_postures(
    posture: str, seat_height: float, table: float, variant: int
) -> None:
    pose = pose_of(posture, seat_height, table and seat_height + table, variant)
    for limbs, upper, lower in ((pose.arms, "upper arm", "forearm"), (pose.legs, "thigh", "shank")):
        for limb in limbs:
            lengths = (
                np.linalg.norm(limb.middle - limb.root),
                np.linalg.norm(limb.tip - limb.middle),
            )
            expected = (WINTER[upper] * STATURE, WINTER[lower] * STATURE)
            # A knee is a hand's breadth off the plane of its thigh: 2 %.
            np.testing.assert_allclose(lengths, expected, rtol=0.02)
            np.testing.assert_allclose(limb.end @ limb.end.T, np.eye(3), atol=1e-9)
            assert np.linalg.det(limb.end) == pytest.approx(1.0)


@pytest.mark.parametrize("stature", [1.55, 1.72, 1.95])
def test_somebody_standing_is_as_tall_as_said_and_on_the_floor(stature: float) -> None:
    place = standing_place(Person(name="A", at=(2.0, 3.0), facing=1.0, stature=stature))
    assert (place.posture, place.seat_height, place.occupied) == ("standing", 0.0, True)
    assert not place.seated
    for variant in range(3):
        parts = person_parts(place, variant)
        # Stature is measured unshod; the soles add 20 mm.
        crown = named(parts, "skin")[:, 2].max()
        assert crown == pytest.approx(stature + 0.02, abs=0.01 * stature)
        assert named(parts, "shoes")[:, 2].min() == pytest.approx(0.0, abs=1e-3)
        middle = named(parts, "sweater")[:, :2].mean(axis=0)
        np.testing.assert_allclose(middle, (2.0, 3.0), atol=0.06)


@pytest.mark.parametrize(("posture", "seat_height"), POSTURES)
@pytest.mark.parametrize("variant", range(3))
def test_seated_people_touch_seat_and_floor(posture: str, seat_height: float, variant: int) -> None:
    parts = person_parts(somebody(posture, seat_height), variant)
    trousers, shoes = named(parts, "trousers"), named(parts, "shoes")
    thighs = trousers[(trousers[:, 0] < 0.25) & (trousers[:, 2] > seat_height - 0.05)]
    assert thighs[:, 2].min() == pytest.approx(seat_height, abs=1e-3)
    sat_on = thighs[thighs[:, 2] < seat_height + 0.004]
    assert np.ptp(sat_on[:, 0]) > 0.10
    assert np.ptp(sat_on[:, 1]) > 0.20
    if posture == "lounging":
        # The legs lie on the seat too, heels within 2 cm of it.
        assert shoes[:, 2].min() == pytest.approx(seat_height, abs=0.02)
        assert trousers[:, 0].max() > 0.75
    else:
        footing = seat_height - 0.45 if posture == "perched" else 0.0
        assert shoes[:, 2].min() == pytest.approx(footing, abs=1e-3)


@pytest.mark.parametrize(
    ("posture", "seat_height", "table"),
    [*((p, s, 0.0) for p, s in POSTURES), ("standing", 0.0, 0.0), ("upright", 0.45, 0.74)],
)
def test_every_part_is_a_closed_solid_of_its_own_name(
    posture: str, seat_height: float, table: float
) -> None:
    for variant in range(0, 6, 2):
        parts = person_parts(somebody(posture, seat_height, table_height=table), variant)
        assert len({part.name for part in parts}) == len(parts) == 5
        for part in parts:
            assert (part.owner, part.kind, part.swept) == ("A", Kind.PERSON, False)
            assert solid_of(part.mesh, part.name).volume() > 1e-4
        assert sum(len(part.mesh.triangles) for part in parts) < 12_000


def test_a_body_has_a_bodys_volume() -> None:
    # Mean body density is near 1.0 kg/l (Winter, from memory), so a person of 1.72 m and a body
    # mass index of 20 to 30 takes up 59 to 89 l; clothes add to it, parts overlap a little.
    for variant in range(6):
        parts = person_parts(somebody("standing"), variant)
        litres = 1000 * sum(solid_of(part.mesh, part.name).volume() for part in parts)
        assert 59 < litres < 100


def test_variants_differ_and_come_round_again() -> None:
    seat = somebody("upright", 0.45)
    looks = [tuple(part.material for part in person_parts(seat, v)) for v in range(6)]
    assert len(set(looks)) == 6
    for part, again in zip(person_parts(seat, 2), person_parts(seat, 2), strict=True):
        np.testing.assert_array_equal(part.mesh.vertices, again.mesh.vertices)
    assert person_parts(seat, 8)[2].material == person_parts(seat, 2)[2].material


def test_a_figure_goes_where_its_place_is() -> None:
    seat = Seat(name="A", at=(100.0, -40.0), facing=pi / 2, posture="perched", height=0.7)
    place = seat_place(seat)
    assert (place.owner, place.seat_height, place.facing) == ("A", 0.7, pi / 2)
    moved = person_parts(place, 1)
    home = person_parts(somebody("perched", 0.7), 1)
    for there, here in zip(moved, home, strict=True):
        x, y, z = here.mesh.vertices.T
        turned = np.stack([100 - y, -40 + x, z], axis=1)
        np.testing.assert_allclose(there.mesh.vertices, turned, atol=1e-12)


def test_hands_rest_on_the_table_where_there_is_one() -> None:
    for variant in range(3):
        parts = person_parts(somebody("upright", 0.45, table_height=0.74), variant)
        skin = named(parts, "skin")
        hands = skin[(skin[:, 0] > 0.30) & (skin[:, 2] < 0.9)]
        assert hands[:, 2].min() == pytest.approx(0.74, abs=0.02)
