"""Doors: leaves where they stand, and swept volumes against densely sampled leaves."""

from math import cos, hypot, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate, translate

from heatcore.errors import InputError
from heatcore.geometry.doors import EXCESS, door_parts, folding_sweep, hinged_sweep
from heatcore.geometry.parts import Kind
from heatcore.geometry.solids import solid_of
from heatcore.geometry.walls import wall_line
from heatcore.scene.space import Door, Floor, Wall

INCH = 0.0254
FLOOR = Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)))
# Seen from the patio (from the south), its `from_` end is on the left.
WALL = Wall(name="north wall", from_=(0.0, 4.0), to=(6.0, 4.0), thickness=0.3)
WIDTH, THICK = 0.9, 0.045


def parts_of(wall=WALL, floor=FLOOR, **given_):
    door = Door(name="door", wall=wall.name, at=1.0, width=WIDTH, leaf_thickness=THICK, **given_)
    return {part.name: part for part in door_parts(door, wall_line(wall, floor))}


def plan(part):
    """Return a part seen from above."""
    triangles = [Polygon(t[:, :2]) for t in part.mesh.corners[part.mesh.normals[:, 2] > 0.5]]
    return shapely.union_all(triangles)


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


@settings(max_examples=60, deadline=None)
@given(
    width=st.floats(0.3, 2.0),
    thickness=st.floats(0.01, 0.12),
    angle=st.floats(0.0, radians(250)),
)
def test_no_leaf_leaves_its_sweep_and_the_sweep_is_no_larger(width, thickness, angle):
    sweep = Polygon(hinged_sweep(width, thickness, angle))
    assert sweep.is_valid
    leaf = shapely.box(0.0, -thickness, width, 0.0)
    positions = [
        rotate(leaf, a, origin=(0, 0), use_radians=True) for a in np.linspace(0.0, angle, 200)
    ]
    room = sweep.buffer(1e-9)
    assert all(room.covers(position) for position in positions)
    # Each point of its edge is within a millimetre of the leaf at some angle.
    around = np.array(sweep.exterior.segmentize(0.02).coords)
    turns = np.linspace(0.0, angle, 1500)[:, None]
    x = np.cos(turns) * around[:, 0] + np.sin(turns) * around[:, 1]
    y = np.cos(turns) * around[:, 1] - np.sin(turns) * around[:, 0]
    away = np.hypot(x - np.clip(x, 0.0, width), y - np.clip(y, -thickness, 0.0))
    assert away.min(axis=0).max() < 0.001


@settings(max_examples=20, deadline=None)
@given(panel=st.floats(0.3, 1.0), thickness=st.floats(0.01, 0.1), angle=st.floats(0.0, pi / 2))
def test_a_folding_door_stays_in_its_sweep(panel, thickness, angle):
    sweep = folding_sweep(panel, thickness, angle)
    turns = np.linspace(0.0, angle, 300)
    knuckles = panel * np.column_stack([np.cos(turns), np.sin(turns)])
    ends = np.column_stack([2 * panel * np.cos(turns), np.zeros(300)])
    # Wherever the hinges sit in its thickness, a leaf is no farther than that from its line.
    for start, end in ((np.zeros((300, 2)), knuckles), (knuckles, ends)):
        for share in np.linspace(0.0, 1.0, 21):
            on_leaf = shapely.points(start + share * (end - start))
            assert shapely.distance(sweep.exterior, on_leaf).min() > thickness - 1e-9
            assert sweep.contains(on_leaf).all()
    # Each point of its edge is a thickness, and two millimetres, from a leaf at some angle.
    around = np.array(sweep.exterior.segmentize(0.02).coords)
    away = np.minimum(_away(around, 0 * knuckles, knuckles), _away(around, knuckles, ends))
    assert away.max() < thickness + 0.002


def _away(points, starts, ends):
    """Return how far each point is from the nearest of some lines."""
    along = ends - starts
    share = ((points[:, None] - starts) * along).sum(-1) / np.maximum((along**2).sum(-1), 1e-30)
    nearest = starts + np.clip(share, 0.0, 1.0)[..., None] * along
    return np.linalg.norm(points[:, None] - nearest, axis=-1).min(axis=1)


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
    sweep = plan(parts_of(swing="out", swing_angle=pi / 2)["door swing"])
    reach = hypot(WIDTH, THICK)
    # The outer corner passes the middle of its arc at 45 degrees.
    way = np.array([sin(pi / 4), -cos(pi / 4)])
    touched = shapely.Point(*([1.0, 4.0] + (reach - 1e-6) * way))
    missed = shapely.Point(*([1.0, 4.0] + (reach + EXCESS + 1e-6) * way))
    assert sweep.covers(touched)
    assert not sweep.covers(missed)
    inward = plan(parts_of(swing="in", swing_angle=pi / 2)["door swing"])
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


def test_a_mirrored_door_has_the_other_hand():
    mirrored = Wall(name="north wall", from_=(0.0, 4.0), to=(-6.0, 4.0), thickness=0.3)
    floor = Floor(outline=tuple((-x, y) for x, y in FLOOR.outline))
    for kind in ("hinged", "pair", "sliding", "folding"):
        one = parts_of(kind=kind, hand="left", swing="out")["door swing"]
        other = parts_of(mirrored, floor, kind=kind, hand="right", swing="out")["door swing"]
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
        expected = Polygon(np.asarray(plan(part).exterior.coords) @ axes + at)
        assert plan(turned[name]).symmetric_difference(expected).area < 1e-8


@pytest.mark.parametrize("angle", [-0.1, radians(251)])
def test_an_impossible_swing_is_refused(angle):
    with pytest.raises(InputError, match=r'door "door".swing_angle: is not between 0 and 250'):
        parts_of(swing_angle=angle)
