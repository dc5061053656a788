"""Windows that open: what their sashes sweep, against densely sampled sashes."""

from math import cos, pi, radians, sin

import numpy as np
import pytest

from heatcore.checks.clearance import clearances
from heatcore.checks.finding import Verdict
from heatcore.errors import InputError
from heatcore.geometry.parts import Kind
from heatcore.geometry.solids import solid_of
from heatcore.geometry.walls import wall_line
from heatcore.geometry.windows import window_parts
from heatcore.scene.space import Floor, Wall, Window
from tests.core.checks_site import HEIGHT, floor, model, mount
from tests.core.sweeping import assert_swept, hinged, plan, seen

FLOOR = Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)))
# Seen from the patio (from the south), its `from_` end is on the left.
WALL = Wall(name="north wall", from_=(0.0, 4.0), to=(6.0, 4.0), thickness=0.3)
WIDTH, TALL, SILL, THICK = 1.0, 0.8, 1.1, 0.05


def parts_of(wall=WALL, ground=FLOOR, **given):
    window = Window(
        **{"name": "window", "wall": wall.name, "at": 2.0, "width": WIDTH, "height": TALL}
        | {"sill": SILL, "sash_thickness": THICK, "material": "glass"}
        | given
    )
    return {part.name: part for part in window_parts(window, wall_line(wall, ground))}


def from_the_side(part):
    """A part seen along its wall, from the east: y to the north, z up."""
    return seen(part, (1, 0, 0), ((0, 1, 0), (0, 0, 1)))


def test_a_fixed_pane_fills_its_opening():
    (pane,) = parts_of(kind="fixed").values()
    assert (pane.name, pane.kind, pane.combustible) == ("window", Kind.WINDOW, False)
    assert pane.mesh.bounds[:, [0, 2]] == pytest.approx(np.array([[2.0, SILL], [3.0, 1.9]]))
    assert pane.mesh.bounds[:, 1].mean() == pytest.approx(4.15)
    assert parts_of(material=None)["window"].combustible  # not stated
    assert not parts_of(material=None, combustible=False)["window"].combustible


@pytest.mark.parametrize("swing", ["in", "out"])
@pytest.mark.parametrize("hand", ["left", None])
@pytest.mark.parametrize("angle", [radians(40), None])
def test_a_window_that_may_open_any_way_sweeps_what_each_of_them_would(swing, hand, angle):
    # Narrow, so that an awning reaches farther out than a casement does.
    given = {"swing": swing, "hand": hand, "opening_angle": angle, "width": 0.4}
    unstated = parts_of(**given)
    assert list(unstated) == ["window", "window swing"]
    assert [part.swept for part in unstated.values()] == [False, True]
    pane = parts_of(**given, kind="fixed")["window"]
    assert unstated["window"].mesh.bounds == pytest.approx(pane.mesh.bounds)

    def sweep(**more):
        return solid_of(parts_of(**given | more)["window swing"].mesh, "swing")

    room, sideways, up = sweep(), sweep(kind="casement"), sweep(kind="awning")
    for inside in (sideways, up, sweep(kind="sliding")):
        assert (inside - room).volume() == pytest.approx(0.0, abs=1e-9)
    both = sideways.volume() + up.volume() - (sideways ^ up).volume()
    assert room.volume() == pytest.approx(both, abs=1e-9)
    assert room.volume() > max(sideways.volume(), up.volume()) + 1e-4


@pytest.mark.parametrize("kind", ["casement", "awning", "hopper", "sliding", None])
def test_an_opening_that_is_not_stated_is_one_by_a_right_angle(kind):
    unstated = parts_of(kind=kind)["window swing"]
    stated = parts_of(kind=kind, opening_angle=pi / 2)["window swing"]
    assert unstated.mesh.vertices == pytest.approx(stated.mesh.vertices)


@pytest.mark.parametrize("kind", ["casement", "awning", "hopper", "sliding"])
@pytest.mark.parametrize("swing", ["in", "out"])
def test_a_window_that_opens_has_a_sash_round_its_glass(kind, swing):
    parts = parts_of(kind=kind, swing=swing)
    assert list(parts) == ["window", "window sash", "window swing"]
    assert [part.swept for part in parts.values()] == [False, False, True]
    assert {part.kind for part in parts.values()} == {Kind.WINDOW}
    glass, sash, sweep = (solid_of(part.mesh, part.name) for part in parts.values())
    closed = parts["window sash"].mesh.bounds
    face = {"out": [4.0, 4.0 + THICK], "in": [4.3 - THICK, 4.3]}[swing]
    assert closed[:, 1] == pytest.approx(face)
    assert closed[:, 2] == pytest.approx([SILL, SILL + TALL])
    assert (sash ^ glass).volume() == pytest.approx(0.0, abs=1e-12)
    assert (sash - sweep).volume() == pytest.approx(0.0, abs=1e-12)
    if kind == "sliding":
        # Half as wide as the opening, it passes over all of it and no more.
        assert closed[:, 0] == pytest.approx([2.0, 2.5])
        assert parts["window swing"].mesh.bounds == pytest.approx(
            np.array([[2.0, face[0], SILL], [3.0, face[1], SILL + TALL]])
        )
        assert sweep.volume() == pytest.approx(WIDTH * TALL * THICK)
    else:
        assert closed[:, 0] == pytest.approx([2.0, 3.0])


SHUT = {"out": (4.0, 4.0 + THICK), "in": (4.3 - THICK, 4.3)}


@pytest.mark.parametrize("swing", ["in", "out"])
@pytest.mark.parametrize("angle", [radians(20), pi / 2, pi])
@pytest.mark.parametrize("hand", ["left", "right", None])
def test_a_casement_swings_like_a_door_over_its_own_height(hand, swing, angle):
    sweep = parts_of(kind="casement", hand=hand, swing=swing, opening_angle=angle)["window swing"]
    assert sweep.mesh.bounds[:, 2] == pytest.approx([SILL, SILL + TALL])
    y0, y1 = SHUT[swing]
    # From the patio a sash on the left edge turns clockwise onto it.
    outward = -1.0 if swing == "out" else 1.0
    pivot = 4.0 if swing == "out" else 4.3
    sashes = [
        hinged((2.0, y0, 3.0, y1), (x, pivot), way * angle)
        for one, x, way in (("left", 2.0, outward), ("right", 3.0, -outward))
        if hand in (one, None)
    ]
    assert_swept(plan(sweep), sashes)


@pytest.mark.parametrize("kind", ["awning", "hopper"])
@pytest.mark.parametrize("swing", ["in", "out"])
@pytest.mark.parametrize("angle", [radians(30), pi / 2, radians(150), pi])
def test_an_awning_turns_about_its_upper_edge_and_a_hopper_about_its_lower(kind, swing, angle):
    sweep = parts_of(kind=kind, swing=swing, opening_angle=angle)["window swing"]
    assert sweep.mesh.bounds[:, 0] == pytest.approx([2.0, 3.0])
    y0, y1 = SHUT[swing]
    pivot = 4.0 if swing == "out" else 4.3
    # Seen from the east with the north on the right, the lower edge of an awning goes out to the
    # left, that is clockwise, and the upper edge of a hopper counter-clockwise.
    way = (-1.0 if swing == "out" else 1.0) * (1.0 if kind == "awning" else -1.0)
    edge = SILL + TALL if kind == "awning" else SILL
    sash = hinged((y0, SILL, y1, SILL + TALL), (pivot, edge), way * angle)
    region = from_the_side(sweep)
    assert_swept(region, [sash])
    assert solid_of(sweep.mesh, "swing").volume() == pytest.approx(region.area * WIDTH)


def test_an_open_awnings_lower_edge_stands_out_by_its_height():
    # Opened by 60 degrees, the outer face's lower edge is at (sin 60, cos 60) of its height.
    sweep = parts_of(kind="awning", opening_angle=radians(60))["window swing"]
    tip = np.array([2.5, 4.0 - TALL * sin(radians(60)), SILL + TALL * (1 - cos(radians(60)))])
    assert np.abs(sweep.mesh.vertices[:, 1:] - tip[1:]).max(axis=1).min() < 1e-9


@pytest.mark.parametrize("kind", ["casement", "awning", "hopper", "sliding"])
@pytest.mark.parametrize("turned", [False, True])
def test_a_mirrored_or_redrawn_wall_gives_the_mirrored_sweep(kind, turned):
    one = parts_of(kind=kind, hand="left")["window swing"]
    if turned:  # drawn from its other end, `at` counts from there
        wall = Wall(name="north wall", from_=(6.0, 4.0), to=(0.0, 4.0), thickness=0.3)
        other = parts_of(wall, kind=kind, hand="left", at=3.0)["window swing"]
        flip = np.array([1.0, 1.0, 1.0])
    else:
        wall = Wall(name="north wall", from_=(0.0, 4.0), to=(-6.0, 4.0), thickness=0.3)
        ground = Floor(outline=tuple((-x, y) for x, y in FLOOR.outline))
        other = parts_of(wall, ground, kind=kind, hand="right")["window swing"]
        flip = np.array([-1.0, 1.0, 1.0])
    expected = np.sort(one.mesh.bounds * flip, axis=0)
    assert other.mesh.bounds == pytest.approx(expected, abs=1e-9)
    corners = {tuple(np.round(v, 6) + 0.0) for v in one.mesh.vertices * flip}
    assert {tuple(np.round(v, 6) + 0.0) for v in other.mesh.vertices} == corners


@pytest.mark.parametrize(
    ("material", "combustible", "burns"),
    [("glass", None, False), ("vinyl", None, True), (None, None, True), ("vinyl", False, False)],
)
def test_the_windows_material_decides_for_all_of_it(material, combustible, burns):
    parts = parts_of(kind="casement", material=material, combustible=combustible)
    assert {part.combustible for part in parts.values()} == {burns}


@pytest.mark.parametrize("angle", [-0.1, radians(181)])
def test_an_impossible_opening_is_refused(angle):
    with pytest.raises(InputError, match="is not between 0 and 180 degrees"):
        parts_of(kind="awning", opening_angle=angle)


@pytest.mark.parametrize(("gap", "fails"), [(0.001, False), (-0.001, True)])
def test_an_awning_that_comes_within_a_millimetre_of_a_heaters_side(gap, fails):
    # Opened flat, its lower edge stands out by its height at the level of its hinge, 1.9 m, within
    # the heater's lower volume; the heater's side must be 0.45 m from it.
    heater = mount("H1", (2.5, 4.0 - TALL - 0.45 - 0.1 - gap, HEIGHT))
    parts = parts_of(kind="awning", material="vinyl").values()
    found = clearances(heater, model(floor(), *parts), [heater])
    failing = {(f.code, f.object) for f in found if f.verdict is Verdict.FAILS}
    assert failing == ({("clearance.side", "window swing")} if fails else set())


@pytest.mark.parametrize(("gap", "fails"), [(0.001, False), (-0.001, True)])
def test_a_window_that_may_be_an_awning_counts_as_one_and_a_fixed_one_does_not(gap, fails):
    # As above, so narrow that as a casement it would not reach so far.
    heater = mount("H1", (2.5, 4.0 - TALL - 0.45 - 0.1 - gap, HEIGHT))

    def failing(**kind):
        parts = parts_of(material="vinyl", at=2.35, width=0.3, **kind).values()
        found = clearances(heater, model(floor(), *parts), [heater])
        return {(f.code, f.object) for f in found if f.verdict is Verdict.FAILS}

    assert failing() == failing(kind="awning")
    assert failing() == ({("clearance.side", "window swing")} if fails else set())
    assert not failing(kind="casement")
    assert not failing(kind="fixed")
