"""Doors: leaves where they stand, and swept volumes against densely sampled leaves."""

from itertools import product
from math import cos, hypot, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate, translate

from heatcore.checks.clearance import clearances
from heatcore.checks.finding import Verdict
from heatcore.errors import InputError
from heatcore.geometry.doors import door_parts
from heatcore.geometry.parts import Kind
from heatcore.geometry.solids import solid_of
from heatcore.geometry.sweeps import EXCESS, folding_sweep, hinged_sweep
from heatcore.geometry.walls import wall_line
from heatcore.scene.space import Door, Floor, Wall
from tests.core.checks_site import HEIGHT, floor, model, mount
from tests.core.sweeping import Moving, assert_swept, hinged, plan, sliding

INCH = 0.0254
FLOOR = Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)))
# Seen from the patio (from the south), its `from_` end is on the left.
WALL = Wall(name="north wall", from_=(0.0, 4.0), to=(6.0, 4.0), thickness=0.3)
WIDTH, THICK = 0.9, 0.045


def parts_of(wall=WALL, floor=FLOOR, **given_):
    door = Door(name="door", wall=wall.name, at=1.0, width=WIDTH, leaf_thickness=THICK, **given_)
    return {part.name: part for part in door_parts(door, wall_line(wall, floor))}


def covers(outer, inner):
    return inner.difference(outer.buffer(1e-9)).area < 1e-12


# A 36 in leaf that turns by 90 degrees sweeps 1017.876 in2; with its hinge at (0, 0) the point
# (20, 20) in lies inside and (30, 30) in outside: geometry, pi 36^2 / 4.
def test_a_door_sweep_is_a_sector_of_the_leafs_width():
    hair = 1e-6
    sweep = Polygon(hinged_sweep(36 * INCH, hair, pi / 2))
    sector = sweep.intersection(shapely.box(0, 0, 9, 9))
    assert sector.area / INCH**2 == pytest.approx(1017.876, abs=0.6)
    assert sector.area / INCH**2 > 1017.8760
    assert sweep.covers(shapely.Point(20 * INCH, 20 * INCH))
    assert not sweep.covers(shapely.Point(30 * INCH, 30 * INCH))


@settings(max_examples=40, deadline=None)
@given(
    width=st.floats(0.3, 2.0),
    thickness=st.floats(0.01, 0.12),
    angle=st.floats(0.0, radians(250)),
)
def test_no_leaf_leaves_its_sweep_and_the_sweep_is_no_larger(width, thickness, angle):
    sweep = Polygon(hinged_sweep(width, thickness, angle))
    assert sweep.is_valid
    assert_swept(sweep, [hinged((0.0, -thickness, width, 0.0), (0.0, 0.0), angle)])


def folding_leaves(panel, thickness, angle):
    """Two leaves linked by pins: at the jamb in (0, 0), between them on the inner face, and at the
    far edge on the outer face, which is held on the line y = 0."""
    arm = hypot(panel, thickness)

    def second(times):
        a = angle * times
        x = panel * np.cos(a) + thickness * np.sin(a)
        y = panel * np.sin(a) - thickness * np.cos(a)
        far = x + np.sqrt(np.maximum(arm**2 - y**2, 0.0))
        turn = np.arctan2(-y, far - x) - np.arctan2(thickness, panel)
        c, s = np.cos(turn), np.sin(turn)
        at = np.array([panel, -thickness])
        turned = np.column_stack([c * at[0] - s * at[1], s * at[0] + c * at[1]])
        return turn, np.column_stack([x, y]) - turned

    return [
        hinged((0.0, -thickness, panel, 0.0), (0.0, 0.0), angle),
        Moving((panel, -thickness, 2 * panel, 0.0), second),
    ]


@settings(max_examples=25, deadline=None)
@given(panel=st.floats(0.3, 1.0), thickness=st.floats(0.01, 0.1), angle=st.floats(0.0, pi / 2))
def test_a_folding_doors_leaves_stay_in_their_sweep_and_it_is_no_larger(panel, thickness, angle):
    assert_swept(folding_sweep(panel, thickness, angle), folding_leaves(panel, thickness, angle))


def test_a_folded_door_stands_two_leaves_wide():
    leaves = folding_leaves(0.45, 0.04, pi / 2)
    corners = np.array([(0.45, -0.04), (0.9, -0.04), (0.9, 0.0), (0.45, 0.0)])
    folded = leaves[1].at(np.ones(4), corners)
    # Face to face with the first, which stands over 0 <= x <= 0.04 and 0 <= y <= 0.45.
    assert folded == pytest.approx(
        np.array([(0.04, 0.45), (0.04, 0.0), (0.08, 0.0), (0.08, 0.45)]), abs=1e-9
    )


@pytest.mark.parametrize(
    ("hand", "swing", "hinge", "open_end", "leaf_y"),
    [
        # Hinged on the left, from the patio, at x = 1; the patio face is y = 4, the other 4.3.
        ("left", "out", (1.0, 4.0), (1.0, 3.1), (4.0, 4.045)),
        ("right", "out", (1.9, 4.0), (1.9, 3.1), (4.0, 4.045)),
        ("left", "in", (1.0, 4.3), (1.0, 5.2), (4.255, 4.3)),
        ("right", "in", (1.9, 4.3), (1.9, 5.2), (4.255, 4.3)),
    ],
)
@pytest.mark.parametrize("reverse", [False, True])
def test_hand_and_swing_as_seen_from_the_patio(hand, swing, hinge, open_end, leaf_y, reverse):
    wall = WALL
    if reverse:
        # Drawn the other way round, `at` counts from the other end: 6 - 1.9 = 4.1.
        wall = Wall(name="north wall", from_=(6.0, 4.0), to=(0.0, 4.0), thickness=0.3)
    door = Door(
        name="door",
        wall="north wall",
        at=4.1 if reverse else 1.0,
        width=WIDTH,
        leaf_thickness=THICK,
        hand=hand,
        swing=swing,
        swing_angle=pi / 2,
        threshold=0.02,
        height=2.0,
    )
    leaf, sweep = door_parts(door, wall_line(wall, FLOOR))
    assert (leaf.name, sweep.name) == ("door leaf", "door swing")
    assert (leaf.swept, sweep.swept) == (False, True)
    assert leaf.kind is sweep.kind is Kind.DOOR
    assert leaf.mesh.bounds == pytest.approx(
        np.array([[1.0, leaf_y[0], 0.02], [1.9, leaf_y[1], 2.02]]), abs=1e-9
    )
    assert sweep.mesh.bounds[:, 2] == pytest.approx([0.02, 2.02])
    room = plan(sweep)
    assert room.distance(shapely.Point(*open_end)) < 1e-9
    assert room.distance(shapely.Point(*hinge)) < 1e-9
    # The far quarter, toward the strike, is swept; behind the hinge nothing is.
    toward = np.array(open_end) - hinge
    strike = np.array([1.9 if hinge[0] == 1.0 else 1.0, hinge[1]])
    diagonal = (toward + strike - hinge) / np.sqrt(2)
    assert room.covers(shapely.Point(*(hinge + 0.99 * diagonal)))
    assert not room.covers(shapely.Point(*(hinge + 1.01 * diagonal)))
    assert not room.covers(shapely.Point(*(hinge - 0.1 * (strike - hinge) + 0.1 * toward)))


@pytest.mark.parametrize("angle", [0.0, 0.3, pi / 2, radians(120), pi, radians(200)])
def test_the_swept_solid_holds_the_leaf_at_every_angle(angle):
    parts = parts_of(swing="out", swing_angle=angle)
    leaf, sweep = plan(parts["door leaf"]), plan(parts["door swing"])
    for turned in np.linspace(0.0, angle, 90):
        position = rotate(leaf, -turned, origin=(1.0, 4.0), use_radians=True)
        assert covers(sweep, position)
    volume = solid_of(parts["door swing"].mesh, "swing").volume()
    assert volume == pytest.approx(sweep.area * 2.032, rel=1e-9)


def test_just_touching_and_just_missing():
    sweep = plan(parts_of(hand="left", swing="out", swing_angle=pi / 2)["door swing"])
    reach = hypot(WIDTH, THICK)
    # The outer corner passes the middle of its arc at 45 degrees.
    way = np.array([sin(pi / 4), -cos(pi / 4)])
    touched = shapely.Point(*([1.0, 4.0] + (reach - 1e-6) * way))
    missed = shapely.Point(*([1.0, 4.0] + (reach + EXCESS + 1e-6) * way))
    assert sweep.covers(touched)
    assert not sweep.covers(missed)
    inward = plan(parts_of(hand="left", swing="in", swing_angle=pi / 2)["door swing"])
    assert inward.bounds[1] > 4.25


def test_a_pair_sweeps_with_both_leaves():
    parts = parts_of(kind="pair", swing="out", hand="left")
    assert list(parts) == ["door leaf left", "door leaf right", "door swing"]
    assert parts["door leaf left"].mesh.bounds[:, 0] == pytest.approx([1.0, 1.45])
    assert parts["door leaf right"].mesh.bounds[:, 0] == pytest.approx([1.45, 1.9])
    sweep = plan(parts["door swing"])
    for hinge, turn, name in ((1.0, -1, "left"), (1.9, 1, "right")):
        leaf = plan(parts[f"door leaf {name}"])
        for angle in np.linspace(0, pi / 2, 40):
            assert covers(sweep, rotate(leaf, turn * angle, origin=(hinge, 4.0), use_radians=True))
    assert sweep.bounds[1] > 4.0 - hypot(0.45, THICK) - 0.001
    assert list(parts_of(kind="pair", hand="right")) == list(parts)


@pytest.mark.parametrize(("hand", "way"), [("left", -1.0), ("right", 1.0)])
def test_a_sliding_leaf_goes_to_its_hand_along_the_wall(hand, way):
    parts = parts_of(kind="sliding", hand=hand, swing="out")
    leaf, sweep = plan(parts["door leaf"]), plan(parts["door swing"])
    assert leaf.bounds == pytest.approx((1.0, 4.0 - THICK, 1.9, 4.0))
    both = leaf.union(translate(leaf, way * WIDTH))
    assert sweep.symmetric_difference(both).area < 1e-9


def test_a_folding_door_folds_to_its_hand():
    parts = parts_of(kind="folding", hand="right", swing="out")
    assert list(parts) == ["door leaf left", "door leaf right", "door swing"]
    sweep = plan(parts["door swing"])
    assert covers(sweep, plan(parts["door leaf left"]))
    assert covers(sweep, plan(parts["door leaf right"]))
    # Folded, it stands out by one panel beside the right edge; on the left it reaches out little.
    assert sweep.covers(shapely.Point(1.88, 4.0 - 0.45))
    assert not sweep.covers(shapely.Point(1.02, 4.0 - 0.2))
    # From its right edge on the patio's face, across to the left and out toward the patio.
    across = shapely.affinity.affine_transform(sweep, [-1, 0, 0, -1, 1.9, 4.0])
    assert_swept(across, folding_leaves(WIDTH / 2, THICK, pi / 2))


# The two edges of the opening, and the wall's two faces, on which a leaf may be hinged: which way
# it turns about each.
WAYS = {
    ("left", "out"): ((1.0, 4.0), (1.0, 4.0, 1.9, 4.0 + THICK), -1.0),
    ("right", "out"): ((1.9, 4.0), (1.0, 4.0, 1.9, 4.0 + THICK), 1.0),
    ("left", "in"): ((1.0, 4.3), (1.0, 4.3 - THICK, 1.9, 4.3), 1.0),
    ("right", "in"): ((1.9, 4.3), (1.0, 4.3 - THICK, 1.9, 4.3), -1.0),
}


@pytest.mark.parametrize("hand", ["left", "right", None])
@pytest.mark.parametrize("swing", ["in", "out", None])
@pytest.mark.parametrize("angle", [pi / 2, radians(135), pi])
def test_what_is_not_stated_counts_both_ways(hand, swing, angle):
    parts = parts_of(hand=hand, swing=swing, swing_angle=angle)
    leaves = [
        hinged(box, hinge, way * angle)
        for (one, side), (hinge, box, way) in WAYS.items()
        if hand in (one, None) and swing in (side, None)
    ]
    assert_swept(plan(parts["door swing"]), leaves)
    # Drawn as hinged on the left, and swinging in.
    drawn = parts_of(hand=hand or "left", swing=swing or "in")["door leaf"]
    assert parts["door leaf"].mesh.bounds == pytest.approx(drawn.mesh.bounds)


def test_a_pair_and_a_sliding_door_of_which_nothing_is_stated():
    pair = plan(parts_of(kind="pair")["door swing"])
    half = WIDTH / 2
    leaves = []
    for (one, _), (hinge, (_, y0, _, y1), way) in WAYS.items():
        x0 = 1.0 if one == "left" else 1.0 + half
        leaves.append(hinged((x0, y0, x0 + half, y1), hinge, way * pi))
    assert_swept(pair, leaves)
    slid = plan(parts_of(kind="sliding")["door swing"])
    faces = [(4.0 - THICK, 4.0), (4.3, 4.3 + THICK)]
    assert_swept(
        slid,
        [sliding((1.0, y0, 1.9, y1), (way, 0)) for y0, y1 in faces for way in (-WIDTH, WIDTH)],
    )
    folded = plan(parts_of(kind="folding", hand="left")["door swing"])
    both = [
        plan(parts_of(kind="folding", hand="left", swing=s)["door swing"]) for s in ("in", "out")
    ]
    assert folded.symmetric_difference(shapely.union_all(both)).area < 1e-9


@pytest.mark.parametrize(
    ("kind", "angle"), [("hinged", pi), ("pair", pi), ("folding", pi / 2), ("sliding", 1.0)]
)
def test_a_leaf_that_nothing_is_known_to_stop_turns_as_far_as_it_can(kind, angle):
    unstated, stated = parts_of(kind=kind), parts_of(kind=kind, swing_angle=angle)
    assert list(unstated) == list(stated)
    for name, part in stated.items():
        assert plan(unstated[name]).symmetric_difference(plan(part)).area < 1e-12


def test_a_mirrored_door_has_the_other_hand():
    mirrored = Wall(name="north wall", from_=(0.0, 4.0), to=(-6.0, 4.0), thickness=0.3)
    floor = Floor(outline=tuple((-x, y) for x, y in FLOOR.outline))
    hands = {"left": "right", "right": "left", None: None}
    ways = product(("hinged", "pair", "sliding", "folding"), hands.items(), ("in", "out", None))
    for kind, (hand, other_hand), swing in ways:
        one = parts_of(kind=kind, hand=hand, swing=swing)["door swing"]
        other = parts_of(mirrored, floor, kind=kind, hand=other_hand, swing=swing)["door swing"]
        flipped = shapely.affinity.scale(plan(other), -1, 1, origin=(0, 0))
        assert plan(one).symmetric_difference(flipped).area < 1e-9


@pytest.mark.parametrize("kind", ["hinged", "pair", "sliding", "folding"])
def test_doors_turned_and_far_away(kind):
    turn, at = radians(33), np.array([100.0, -60.0])
    axes = np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])

    def image(points):
        return tuple(map(tuple, np.array(points) @ axes + at))

    start, end = image((WALL.from_, WALL.to))
    wall = Wall(name="north wall", from_=start, to=end, thickness=0.3)
    floor = Floor(outline=image(FLOOR.outline))
    plain, turned = parts_of(kind=kind), parts_of(wall, floor, kind=kind)
    for name, part in plain.items():
        (a, b), (c, d) = axes.T
        expected = shapely.affinity.affine_transform(plan(part), [a, b, c, d, *at])
        assert plan(turned[name]).symmetric_difference(expected).area < 1e-8


@pytest.mark.parametrize("angle", [-0.1, radians(251)])
def test_an_impossible_swing_is_refused(angle):
    with pytest.raises(InputError, match=r'door "door".swing_angle: is not between 0 and 250'):
        parts_of(swing_angle=angle)


# The lower volume of the heater of these tests goes from 0.9 m under its lower face, 1.5 m above
# the floor, up to its top. Sides: 0.45 m from combustible material.
def near_a_door(gap=0.0, at=None, **given):
    """Findings of a heater whose side is 0.45 m, and a gap, out of the leaf's farthest reach.

    Open at a right angle the leaf reaches out by its width. Opened farther, its outer corner has
    passed straight before its hinge.
    """
    given = {"swing": "out", "hand": "left", "swing_angle": pi / 2, "material": "timber"} | given
    right_angle = given["swing_angle"] is not None and given["swing_angle"] <= pi / 2
    reach = WIDTH if right_angle else hypot(WIDTH, THICK)
    heater = mount("H1", (*(at or (1.45, 4.0 - reach - 0.45 - 0.1 - gap)), HEIGHT))
    parts = tuple(parts_of(**given).values())
    found = clearances(heater, model(floor(), *parts), [heater])
    return [finding for finding in found if finding.combustible]


def failing(findings):
    return {(f.code, f.object) for f in findings if f.verdict is Verdict.FAILS}


@pytest.mark.parametrize("angle", [pi / 2, radians(120)])
def test_a_leaf_that_grazes_a_heaters_lower_volume_by_a_millimetre_either_way(angle):
    grazed = near_a_door(-0.001, swing_angle=angle)
    assert ("clearance.side", "door swing") in failing(grazed)
    held = near_a_door(0.001, swing_angle=angle)
    assert not failing(held)
    (side,) = (f for f in held if f.code == "clearance.side")
    assert side.object == "door swing"
    # 1 mm to spare, of which the polygon round the arc takes 0.5 mm at most.
    assert 0.0005 - 1e-9 <= side.margin <= 0.001 + 1e-9


def test_a_door_that_swings_away_keeps_clear_and_one_that_may_swing_either_way_does_not():
    assert not failing(near_a_door(-0.001, swing="in"))
    assert failing(near_a_door(-0.001, swing=None))


def test_the_other_hand_of_a_door_meets_a_heater_that_this_one_misses():
    # Its nearer end at x = 2.12 and its side at y = 3.05 keep clear what lies beyond x = 1.77 and
    # below y = 3.5: the leaf on the right edge opens to x = 1.9 there, the one on the left edge has
    # drawn back to x = 1 + sqrt(0.9^2 - 0.5^2) = 1.75.
    beside = {"at": (2.72, 2.95)}
    assert failing(near_a_door(hand="right", **beside)) == {("clearance.corner", "door swing")}
    assert not failing(near_a_door(hand="left", **beside))
    assert failing(near_a_door(hand=None, **beside))


def test_a_leaf_that_may_open_farther_meets_a_heater_beside_its_hinge():
    # Before the wall, its end 0.35 m and a millimetre from the hinge at x = 1: at a right angle the
    # leaf stands there and comes no nearer; opened to the wall it passes under the heater's end.
    beside = {"at": (1.0 - 0.35 - 0.001 - 0.6, 3.6)}
    held = near_a_door(**beside)
    assert not failing(held)
    (end,) = (f for f in held if f.code == "clearance.end")
    assert (end.object, end.margin) == ("door swing", pytest.approx(0.001))
    unstated = failing(near_a_door(swing_angle=None, **beside))
    assert ("clearance.below", "door swing") in unstated
    assert unstated == failing(near_a_door(swing_angle=pi, **beside))


@pytest.mark.parametrize(("threshold", "fails"), [(0.099, False), (0.101, True)])
def test_a_threshold_step_lifts_a_low_leaf_into_the_lower_volume(threshold, fails):
    # Right before the door; the leaf's 1.4 m and the step reach 1.5 m, or do not.
    found = near_a_door(at=(1.45, 3.6), height=1.4, threshold=threshold)
    assert bool(failing(found)) is fails
