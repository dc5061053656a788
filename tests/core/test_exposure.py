"""The hottest head and the most irradiated eye over a floor. Rooms and heaters are invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from heatcore.geometry.frames import Frame, heading_axes, locked
from heatcore.geometry.parts import Kind, Model, Part, Place
from heatcore.geometry.rays import Obstacles
from heatcore.heat.people.exposure import eye_irradiances, head_heats
from heatcore.heat.people.head import HeadHeat
from heatcore.heat.people.warmth import body_heats
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.irradiance import irradiances
from heatcore.heat.radiation.surroundings import Surroundings, surroundings
from heatcore.scene.model import Climate, Target
from heatcore.scene.types import Pattern
from tests.core.checks_site import block, part

SQUARE = np.array([(-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0)])
EVENING = Climate(air_temperature=10.0, wind=1.0)
UP = np.array([0.0, 0.0, 1.0])


def heater(name: str = "H", at=(0.0, 0.0, 2.4), tilt: float = 0.0, power: float = 1800.0, **more):
    kind = {"pattern": Pattern(kind="uniform"), "length": 1.0, "width": 0.15} | more
    return Emitter(name, Frame(at, heading_axes(0.0, tilt)), radiant_power_w=power,
                   element_temperature=826.85, **kind)  # fmt: skip


def room(*parts: Part, places: tuple[Place, ...] = (), outline=SQUARE) -> Model:
    return Model(parts, places, np.asarray(outline, dtype=float))


def found(emitters, model: Model | None = None, climate: Climate = EVENING, around=None):
    space = model or room()
    heads = head_heats(emitters, space, around or surroundings((), space), climate)
    return {head.posture: head for head in heads}


def levels(emitters, points: np.ndarray, model: Model | None = None) -> np.ndarray:
    space = surroundings((), model or room()).space
    return np.sum(list(irradiances(emitters, points, UP, space).values()), axis=0)


def test_the_hottest_head_is_right_below_a_level_heater() -> None:
    """1800 W from 1.0 x 0.15 m at 2.4 m: 888.75 W/m2 at 1.7 m (Howell's catalogue, B-3)."""
    heads = found([heater()])
    standing, seated = heads["standing"], heads["seated"]
    assert standing.total_w_m2 == pytest.approx(888.75, rel=1e-3)
    assert standing.point == pytest.approx([0.0, 0.0, 1.7], abs=0.02)
    assert seated.point == pytest.approx([0.0, 0.0, 1.1], abs=0.02)
    assert (standing.level, seated.level) == (1.7, 1.1)
    assert standing.heater == seated.heater == standing.eye_heater == "H"
    assert seated.total_w_m2 < standing.total_w_m2
    assert not standing.point.flags.writeable
    assert not standing.eye_point.flags.writeable


@pytest.mark.parametrize("tilt", [0.0, 0.4, -0.6])
def test_no_other_head_is_hotter(tilt: float) -> None:
    """Every place on a grid ten times as fine, of both ranks."""
    emitters = [heater(tilt=tilt), heater("G", at=(1.1, 0.7, 2.2), power=900.0)]
    heads = found(emitters)
    plan = np.stack(np.meshgrid(*2 * [np.arange(-3.0, 3.0, 0.04)]), axis=-1).reshape(-1, 2)
    for head in heads.values():
        points = np.column_stack([plan, np.full(len(plan), head.level)])
        assert head.total_w_m2 >= 0.998 * levels(emitters, points).max()
        eyes = eye_irradiances(emitters, points, Obstacles(())).sum(axis=1)
        assert head.eye_w_m2 >= 0.98 * eyes.max()


def test_a_tilted_heater_is_hottest_off_to_its_side() -> None:
    """A positive tilt leans the beam toward +Y (design, section 3)."""
    left, right = (found([heater(tilt=t)])["seated"].point for t in (0.5, -0.5))
    axis = 1.3 * np.tan(0.5)  # where it passes; nearer to the heater it is hotter
    assert 0.1 < left[1] < axis
    assert right[1] == pytest.approx(-left[1], abs=0.03)


def test_an_eye_gets_most_some_way_off() -> None:
    """Upright at the eye: nothing much right below, most to the side."""
    head = found([heater()])["standing"]
    off = float(np.hypot(*(head.eye_point - head.point)[:2]))
    assert 0.1 < off < 1.0
    below = eye_irradiances([heater()], head.point[None], Obstacles(()), 256).sum()
    assert 0.0 < below < head.eye_w_m2 < head.total_w_m2


def test_only_the_band_enters_the_eye() -> None:
    """3.934 % of a blackbody at 600 K lies below 3 um (1800 um K), 34.006 % at 1100 K (Planck)."""
    bright, dark = (
        eye_irradiances(
            [replace(heater(), element_temperature=t)], np.array([[0.5, 0.0, 1.7]]), Obstacles(())
        ).sum()
        for t in (826.85, 326.85)
    )
    assert dark / bright == pytest.approx(0.03934 / 0.34006, rel=1e-3)


def test_eyes_take_the_gaze_that_is_worst_for_all_heaters_together() -> None:
    left, right = heater("L", at=(-1.5, 0.0, 2.4)), heater("R", at=(1.5, 0.0, 2.4))
    eye = np.array([[0.0, 0.0, 1.7]])
    alone = eye_irradiances([left], eye, Obstacles(()))[0]
    both = eye_irradiances([left, right], eye, Obstacles(()))[0]
    # Looking at one, the other is behind.
    assert both.sum() == pytest.approx(alone.sum(), rel=1e-9)
    near = heater("N", at=(-1.5, 0.3, 2.4))
    assert eye_irradiances([left, near], eye, Obstacles(())).sum() > 1.9 * alone.sum()


def test_the_answer_moves_and_turns_with_the_room() -> None:
    c, s = np.cos(0.7), np.sin(0.7)
    turn, away = np.array([[c, -s], [s, c]]), np.array([40.0, -25.0])
    outline = SQUARE @ turn.T + away
    axes = heading_axes(0.7, 0.4)
    there = replace(heater(), frame=Frame((*(turn @ [0.5, -0.4] + away), 2.4), axes))
    here = found([heater(at=(0.5, -0.4, 2.4), tilt=0.4)])["standing"]
    moved = found([there], room(outline=outline))["standing"]
    assert moved.total_w_m2 == pytest.approx(here.total_w_m2, rel=2e-3)
    assert moved.eye_w_m2 == pytest.approx(here.eye_w_m2, rel=2e-2)
    assert moved.point[:2] == pytest.approx(turn @ here.point[:2] + away, abs=0.03)


def test_power_scales_irradiance() -> None:
    once, twice = found([heater()])["standing"], found([heater(power=3600.0)])["standing"]
    assert twice.total_w_m2 == pytest.approx(2 * once.total_w_m2)
    assert twice.eye_w_m2 == pytest.approx(2 * once.eye_w_m2)
    assert twice.utci > once.utci


def test_the_heater_that_brings_most_is_named() -> None:
    emitters = [heater("weak", power=400.0), heater("strong", at=(1.0, 1.0, 2.4)), heater("off")]
    emitters[2] = replace(emitters[2], radiant_power_w=0.0)
    head = found(emitters)["standing"]
    assert head.heater == head.eye_heater == "strong"


def test_no_heater_at_work_no_heads() -> None:
    assert head_heats([], room(), surroundings((), room()), EVENING) == ()
    assert head_heats([heater(power=0.0)], room(), surroundings((), room()), EVENING) == ()


def test_a_head_inside_a_solid_does_not_count() -> None:
    """A pier below the heater, through which the radiation would go if it were not looked for."""
    pier = part("pier", block((-0.3, -0.3, 0.0), (0.3, 0.3, 2.0)))
    clear = Surroundings(Obstacles(()), Obstacles(()), Obstacles(()), {})
    head = found([heater()], room(pier), around=clear)["standing"]
    assert max(abs(head.point[:2])) >= 0.3
    free = levels([heater()], np.array([[0.301, 0.0, 1.7], [0.0, 0.301, 1.7]])).max()
    assert head.total_w_m2 == pytest.approx(free, rel=0.05)
    swept = replace(pier, swept=True)
    assert found([heater()], room(swept), around=clear)["standing"].total_w_m2 > head.total_w_m2


def test_no_room_for_any_head() -> None:
    solid = part("rock", block((-9, -9, 0.0), (9, 9, 1.5)))
    clear = Surroundings(Obstacles(()), Obstacles(()), Obstacles(()), {})
    assert set(found([heater()], room(solid), around=clear)) == {"standing"}


@pytest.mark.parametrize("removed", ["shelf", "screen"])
def test_taking_something_away_never_lowers_a_value(removed: str) -> None:
    shelf = part("shelf", block((-0.2, -0.2, 2.0), (0.2, 0.2, 2.02)))
    screen = part("screen", block((0.6, -3.0, 0.0), (0.62, 3.0, 2.3)))
    with_both = found([heater()], room(shelf, screen))
    without = found([heater()], room(*(p for p in (shelf, screen) if p.name != removed)))
    for posture, head in with_both.items():
        assert without[posture].total_w_m2 >= 0.999 * head.total_w_m2
        assert without[posture].eye_w_m2 >= 0.995 * head.eye_w_m2


def test_heads_stay_over_the_floor() -> None:
    """The heater hangs beyond the edge of an L; the hottest head is at the edge that is nearest."""
    corner = [(-3, -3), (3, -3), (3, -1), (-1, -1), (-1, 3), (-3, 3)]
    head = found([heater(at=(1.0, 0.0, 2.4))], room(outline=corner))["standing"]
    assert head.point[1] == pytest.approx(-1.0, abs=0.03)
    assert head.point[1] <= -1.0


def test_a_sliver_of_a_floor_has_a_head() -> None:
    sliver = [(0.0, 0.0), (0.05, 0.0), (0.05, 0.05), (0.0, 0.05)]
    assert found([heater()], room(outline=sliver))["standing"].total_w_m2 > 800.0


def test_a_large_floor_is_searched_in_bounded_time() -> None:
    field = np.array([(-100, -100), (100, -100), (100, 100), (-100, 100)])
    emitters = [heater(at=(31.37, -47.11, 2.4))]
    assert found(emitters, room(outline=field))["standing"].total_w_m2 == pytest.approx(
        888.75, rel=1e-3
    )


def place(name: str, posture: str, at=(0.0, 0.0), seat: float = 0.45, **more) -> Place:
    return Place(
        name, more.pop("owner", name), locked([*at, 0.0]), 0.0, posture, seat, True, **more
    )


def test_a_head_over_a_platform_is_nearer_to_the_heater() -> None:
    """On a step of 0.3 m the head comes to 2.0 m, and only there: Howell's B-3 again."""
    step = part("step", block((-0.5, -0.5, 0.0), (0.5, 0.5, 0.3)), kind=Kind.PLATFORM)
    higher = found([heater(at=(0.0, 0.0, 2.7))], room(step))["standing"]
    level = found([heater()])["standing"]
    assert higher.point == pytest.approx([0.0, 0.0, 2.0], abs=0.02)
    assert higher.total_w_m2 == pytest.approx(level.total_w_m2, rel=1e-3)
    beside = part("step", block((2.0, 2.0, 0.0), (2.9, 2.9, 0.3)), kind=Kind.PLATFORM)
    assert found([heater()], room(beside))["standing"].point[2] == pytest.approx(1.7)


def test_a_head_on_a_bar_stool_counts_at_its_own_height() -> None:
    stool = place("stool", "perched", at=(0.1, 0.0), seat=0.75)
    head = found([heater()], room(places=(stool,)))["seated"]
    assert head.level == pytest.approx(1.4)
    assert head.total_w_m2 >= levels([heater()], stool.points[2][None])[0]
    assert found([heater()], room())["seated"].level == 1.1


def test_somebody_tall_counts_at_their_own_height() -> None:
    tall = place("Tall", "standing", seat=0.0, stature=2.0)
    head = found([heater()], room(places=(tall,)))["standing"]
    assert head.level == pytest.approx(2.0 / 1.72 * 1.7)


def test_nobody_at_a_place_gets_more_than_the_hottest_head() -> None:
    seats = tuple(place(f"s{i}", "upright", at=(0.37 * i - 1.0, 0.21 * i)) for i in range(6))
    model = room(places=seats)
    around = surroundings((), model)
    head = found([heater()], model)["seated"]
    people = body_heats([heater()], model, around, EVENING, Target())
    assert max(person.head_w_m2 for person in people) <= 1.01 * head.total_w_m2


def test_the_utci_is_that_of_a_body_there() -> None:
    """The same body as a person at a place; guests and furniture that could move shade nobody."""
    head: HeadHeat = found([heater()])["standing"]
    there = place("P", "standing", at=tuple(head.point[:2]), seat=0.0)
    heats = []
    for turn in range(8):
        model = room(places=(replace(there, facing=turn * np.pi / 4),))
        heats += body_heats([heater()], model, surroundings((), model), EVENING, Target())
    assert head.utci == pytest.approx(max(person.utci for person in heats), abs=0.05)
    table = part("table", block((-0.5, -0.5, 0.7), (0.5, 0.5, 0.74)), kind=Kind.FURNITURE)
    guest = part("guest", block((-0.1, -0.1, 0.5), (0.1, 0.1, 1.2)), kind=Kind.PERSON)
    assert found([heater()], room(table, guest))["standing"].utci == pytest.approx(head.utci)
    shelf = part("shelf", block((-0.5, -0.5, 1.3), (0.5, 0.5, 1.32)))
    assert found([heater()], room(shelf))["standing"].utci < head.utci - 0.3


def test_warm_air_is_told_by_the_utci_only() -> None:
    cold, warm = (found([heater()], climate=Climate(air_temperature=t))["seated"] for t in (5, 30))
    assert warm.total_w_m2 == cold.total_w_m2
    assert cold.utci < 26.0 < warm.utci
