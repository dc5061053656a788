"""Furniture: sizes, seats, and that bodies and furniture touch without running into each other."""

from __future__ import annotations

from functools import cache
from itertools import combinations, product
from math import cos, hypot, pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.errors import InputError
from heatcore.geometry.furniture import furniture_parts, seats
from heatcore.geometry.furniture.around import around_round, around_table
from heatcore.geometry.furniture.kinds import HIGHEST, LIMITS, SIZES
from heatcore.geometry.parts import Kind, Part, Place
from heatcore.geometry.people import person_parts
from heatcore.geometry.solids import Solid, solid_of, union
from heatcore.scene.model import Furniture

ALLOWED = 0.02  # m; how far a body and a piece may run into each other, or miss each other
TRIANGLES = {"chair": 4000, "planter": 15_000}

# Kind, chairs, size: each usual piece with people, and the sizes of real places.
SEATED = {
    "chair": ("chair", 0, None),
    "small deep chair": ("chair", 0, (0.45, 0.58, 0.85)),
    "armchair": ("armchair", 0, None),
    "sofa": ("sofa", 0, None),
    "lounger": ("lounger", 0, None),
    "bench": ("bench", 0, None),
    "banquette": ("bench", 0, (1.8, 0.55, 0.85)),
    "stool": ("stool", 0, None),
    "low stool": ("stool", 0, (0.38, 0.38, 0.45)),
    "table": ("table", 6, None),
    "cafe table": ("table", 4, (0.7, 0.7, 0.74)),
    "refectory table": ("table", 12, (3.0, 1.0, 0.75)),
    "coffee table": ("table", 2, (1.1, 0.6, 0.42)),
    "high table": ("table", 4, (0.8, 0.8, 1.05)),
    "round table": ("round_table", 4, None),
    "round table for five": ("round_table", 5, (1.1, 1.1, 0.74)),
    "bar": ("bar", 3, None),
}


def piece(kind: str, chairs: int = 0, size: object = None, **given: object) -> Furniture:
    values = {"name": "F", "kind": kind, "at": (0.0, 0.0), "chairs": chairs, "size": size, **given}
    return Furniture(**values)  # type: ignore[arg-type]


@cache
def seated(case: str) -> tuple[tuple[Part, ...], tuple[tuple[Place, dict[str, Solid]], ...]]:
    """A piece far from the origin and turned, and each place with its figure in solids."""
    kind, chairs, size = SEATED[case]
    parts, places = furniture_parts(piece(kind, chairs, size, at=(40.0, -30.0), facing=0.6), None)
    figures = []
    for variant, place in enumerate(places):
        figure = person_parts(place, variant)
        figures.append((place, {p.name.split()[-1]: solid_of(p.mesh, p.name) for p in figure}))
    return parts, tuple(figures)


# Penetration depth is the least shift that parts two bodies; 26 directions bound it from above.
WAYS = [np.array(d) / np.linalg.norm(d) for d in product((-1, 0, 1), repeat=3) if any(d)]


def deep(a: Solid, b: Solid) -> bool:
    """Whether no shift by what is allowed parts two solids."""
    return (a ^ b).volume() > 1e-9 and all(
        (a.translate(ALLOWED * way) ^ b).volume() > 1e-9 for way in WAYS
    )


def touching_m2(above: Solid, below: Solid) -> float:
    """Plan area over which one solid lies within what is allowed above another [m2]."""
    return float((above.translate((0, 0, -ALLOWED)) ^ below).project().area())


@pytest.mark.parametrize("case", SEATED)
def test_nobody_runs_into_the_furniture(case: str) -> None:
    parts, figures = seated(case)
    solids = {part.name: solid_of(part.mesh, part.name) for part in parts}
    for place, figure in figures:
        for (label, body), (name, solid) in product(figure.items(), solids.items()):
            assert not deep(body, solid), f"{label} of {place.name} in {name}"


def test_the_penetration_check_can_fail() -> None:
    parts, figures = seated("chair")
    lowered = figures[0][1]["trousers"].translate((0, 0, -0.025))
    assert any(deep(lowered, solid_of(part.mesh, part.name)) for part in parts)


@pytest.mark.parametrize("case", SEATED)
def test_nobody_runs_into_a_neighbour(case: str) -> None:
    _, figures = seated(case)
    bodies = [union(figure.values()) for _, figure in figures]
    for (i, a), (j, b) in combinations(enumerate(bodies), 2):
        assert (a ^ b).volume() < 1e-9, f"{figures[i][0].name} in {figures[j][0].name}"


@pytest.mark.parametrize("case", SEATED)
def test_everybody_sits_on_the_seat_with_the_feet_on_something(case: str) -> None:
    parts, figures = seated(case)
    everything = union(solid_of(part.mesh, part.name) for part in parts)
    for place, figure in figures:
        # A few hands' breadths of buttock and thigh; the solids alone, no friend of the builder.
        assert touching_m2(figure["trousers"], everything) > 0.02
        if place.posture == "upright":
            assert figure["shoes"].bounding_box()[2] == pytest.approx(0.0, abs=1e-3)
        else:
            # On the ring of a stool, or the end of a lounger.
            assert touching_m2(figure["shoes"], everything) > 5e-4


@pytest.mark.parametrize("case", ["chair", "armchair", "sofa", "lounger", "banquette", "table"])
def test_backs_are_near_the_back_rest(case: str) -> None:
    parts, figures = seated(case)
    everything = union(solid_of(part.mesh, part.name) for part in parts if " legs" not in part.name)
    for place, figure in figures:
        # Only what lies behind the trunk: two hands' breadths behind the hips and further.
        ahead = np.array([cos(place.facing), sin(place.facing), 0.0])
        behind = everything.trim_by_plane(-ahead, float(-ahead @ place.point) + 0.10)
        assert figure["sweater"].min_gap(behind, 0.05) <= ALLOWED


@pytest.mark.parametrize("case", ["table", "cafe table", "round table", "bar", "high table"])
def test_hands_rest_on_the_top(case: str) -> None:
    parts, figures = seated(case)
    (top,) = (solid_of(part.mesh, part.name) for part in parts if part.name == "F")
    for place, figure in figures:
        assert place.table_height == pytest.approx(top.bounding_box()[5])
        assert touching_m2(figure["skin"], top) > 1e-3


@pytest.mark.parametrize("kind", SIZES)
def test_parts_are_closed_solids_with_names_of_their_own(kind: str) -> None:
    chairs = 3 if kind in ("table", "round_table", "bar") else 0
    parts, places = furniture_parts(piece(kind, chairs), None)
    names = [part.name for part in parts]
    assert names[0] == "F"
    assert len(set(names)) == len(names)
    for part in parts:
        assert (part.owner, part.kind, part.swept) == ("F", Kind.FURNITURE, False)
        assert solid_of(part.mesh, part.name).volume() > 1e-5
    assert all(place.owner == "F" for place in places)
    own = sum(len(part.mesh.triangles) for part in parts if " seat " not in part.name)
    assert own < TRIANGLES.get(kind, 8000)


@settings(max_examples=40)
@given(
    kind=st.sampled_from(sorted(SIZES)),
    larger=st.tuples(*3 * [st.floats(1.0, 6.0)]),
    facing=st.sampled_from([0.0, pi / 2, pi]),
)
def test_a_piece_has_exactly_the_size_it_is_given(
    kind: str, larger: tuple[float, float, float], facing: float
) -> None:
    width, depth, height = (a * b for a, b in zip(LIMITS[kind][0], larger, strict=True))
    size = (width, depth, min(height, HIGHEST * LIMITS[kind][1][2]))
    parts, places = furniture_parts(piece(kind, 0, size, facing=facing, at=(3.0, -2.0)), None)
    low = np.min([part.mesh.bounds[0] for part in parts], axis=0)
    high = np.max([part.mesh.bounds[1] for part in parts], axis=0)
    # Width is across where a piece looks; a table's, along its heading.
    across = (kind in ("table", "round_table")) == (facing == pi / 2)
    x, y = (size[1], size[0]) if across else size[:2]
    np.testing.assert_allclose(high - low, (x, y, size[2]), atol=1e-9)
    np.testing.assert_allclose(low, (3 - x / 2, -2 - y / 2, 0), atol=1e-9)
    for part in parts:
        assert solid_of(part.mesh, part.name).volume() > 0
    for place in places:
        assert (low[:2] <= place.point[:2]).all()
        assert (place.point[:2] <= high[:2]).all()


@pytest.mark.parametrize("kind", SIZES)
def test_a_piece_too_small_to_be_one_is_refused(kind: str) -> None:
    with pytest.raises(InputError, match="too small") as caught:
        furniture_parts(piece(kind, 0, (0.1, 0.1, 0.1)), None)
    (mistake,) = caught.value.mistakes
    assert mistake.where == 'furniture "F".size'
    assert "at least" in mistake.remedy


@pytest.mark.parametrize("kind", [kind for kind in SIZES if kind != "planter"])
def test_a_piece_that_nobody_could_sit_at_is_refused(kind: str) -> None:
    width, depth, _ = SIZES[kind]
    highest = HIGHEST * LIMITS[kind][1][2]
    with pytest.raises(InputError, match="too high") as caught:
        furniture_parts(piece(kind, 0, (width, depth, highest + 0.01)), None)
    assert caught.value.mistakes[0].where == 'furniture "F".size'
    _, places = furniture_parts(piece(kind, 0, (width, depth, highest)), None)
    assert all(person_parts(place, variant) for place in places for variant in range(3))


@pytest.mark.parametrize(
    ("kind", "size", "names", "posture"),
    [
        ("chair", None, ["F"], "upright"),
        ("armchair", None, ["F"], "upright"),
        ("lounger", None, ["F"], "lounging"),
        ("stool", None, ["F"], "perched"),
        ("sofa", (2.1, 0.85, 0.76), ["F 1", "F 2", "F 3"], "upright"),
        ("sofa", (1.5, 0.85, 0.76), ["F 1", "F 2"], "upright"),
        ("bench", (2.4, 0.4, 0.45), ["F 1", "F 2", "F 3", "F 4"], "upright"),
    ],
)
def test_seats_and_their_names(kind: str, size: object, names: list[str], posture: str) -> None:
    _, places = furniture_parts(piece(kind, 0, size, facing=1.0, occupied=False), None)
    assert [place.name for place in places] == names
    for place in places:
        assert (place.posture, place.facing, place.occupied) == (posture, 1.0, False)
        assert place.stature == 1.72


@pytest.mark.parametrize("kind", ["table", "round_table", "bar", "planter"])
def test_what_has_no_chairs_brings_no_seats(kind: str) -> None:
    assert furniture_parts(piece(kind), None)[1] == ()


def test_chairs_stand_over_the_long_sides_first_then_the_ends() -> None:
    sides = {
        n: (
            sum(abs(s.left) > 0.45 for s in around_table(1.6, 0.9, n) or ()),
            sum(abs(s.ahead) > 0.80 for s in around_table(1.6, 0.9, n) or ()),
        )
        for n in range(1, 7)
    }
    assert sides == {1: (1, 0), 2: (2, 0), 3: (3, 0), 4: (4, 0), 5: (4, 1), 6: (4, 2)}
    # A table drawn the other way round has its long sides there.
    assert all(abs(s.ahead) > 0.45 for s in around_table(0.9, 1.6, 4) or ())


@pytest.mark.parametrize("count", range(1, 9))
def test_a_round_table_is_sat_at_evenly_and_faced(count: int) -> None:
    stands = around_round(1.5, 1.5, count)
    assert stands is not None
    turns = np.sort([np.arctan2(s.left, s.ahead) % (2 * pi) for s in stands])
    np.testing.assert_allclose(np.diff(turns), 2 * pi / count, atol=1e-9)
    for stand in stands:
        radius = hypot(stand.ahead, stand.left)
        toward = (radius * cos(stand.turn), radius * sin(stand.turn))
        np.testing.assert_allclose(toward, (-stand.ahead, -stand.left), atol=1e-9)


def test_a_bars_stools_stand_along_its_front() -> None:
    parts, places = furniture_parts(piece("bar", 3, None, facing=pi / 2), None)
    assert [place.name for place in places] == ["F seat 1", "F seat 2", "F seat 3"]
    for place in places:
        assert place.point[1] > 0.65 / 2
        assert sin(place.facing) == pytest.approx(-1.0)
        assert place.posture == "perched"
    assert {"F seat 1", "F seat 1 cushion", "F seat 1 footrest"} <= {part.name for part in parts}
    # On the bar's left first, seen by somebody who looks the way it does.
    assert places[0].point[0] < places[2].point[0]


@pytest.mark.parametrize(
    ("kind", "chairs", "most"), [("table", 20, 8), ("round_table", 9, 6), ("bar", 9, 3)]
)
def test_more_chairs_than_fit_are_refused_with_the_number_that_does(
    kind: str, chairs: int, most: int
) -> None:
    with pytest.raises(InputError, match="do not fit") as caught:
        furniture_parts(piece(kind, chairs), None)
    (mistake,) = caught.value.mistakes
    assert mistake.where == 'furniture "F".chairs'
    assert f"at most {most}," in mistake.remedy
    _, places = furniture_parts(piece(kind, most), None)
    assert len(places) == most


@pytest.mark.parametrize("stated", [True, False])
def test_what_is_stated_of_a_piece_holds_for_all_of_it(stated: bool) -> None:
    parts, _ = furniture_parts(piece("bar", 2, combustible=stated), None)
    assert {part.combustible for part in parts} == {stated}


def test_materials_decide_where_nothing_is_stated() -> None:
    parts, _ = furniture_parts(piece("bar", 1), None)
    burns = {part.name: part.combustible for part in parts}
    assert burns["F"]
    assert not burns["F foot rail"]
    parts, _ = furniture_parts(piece("armchair", material="leather"), None)
    assert [part.material for part in parts] == ["leather", "leather", "timber"]
    parts, _ = furniture_parts(piece("planter", material="concrete"), None)
    assert [part.material for part in parts] == ["concrete", "soil", "bark", "foliage"]


def test_planters_of_different_names_grow_differently() -> None:
    grown = {
        furniture_parts(piece("planter", name=f"P{i}"), None)[0][-1].mesh.vertices.tobytes()
        for i in range(12)
    }
    assert len(grown) == 3


def test_the_same_chair_is_shaped_only_once() -> None:
    furniture_parts(piece("table", 4), None)
    shaped = seats.chair.cache_info().misses
    for name in ("A", "B", "C"):
        furniture_parts(piece("table", 4, None, name=name, facing=1.0), None)
    assert seats.chair.cache_info().misses == shaped
