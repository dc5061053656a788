"""Walls, openings, timbers and fittings, against sizes and volumes worked out by hand."""

from math import atan, cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from shapely import Point

from heatcore.errors import InputError
from heatcore.geometry.fittings import USUAL_SIZE, fitting_parts
from heatcore.geometry.overhead import Overhead
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.roofs import roof_shape
from heatcore.geometry.solids import prism, solid_of, to_mesh
from heatcore.geometry.timbers import beam_part, beam_plan, post_part
from heatcore.geometry.walls import apart, opening_of, wall_line, wall_part
from heatcore.scene.space import Beam, Door, Fitting, Floor, Post, Roof, Wall, Window
from heatcore.units import UnitSystem
from tests.core.sweeping import plan

FLOOR = Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)))
OPEN = Overhead(())


def under(*roofs, beams=()):
    """Return what is over the floor: roofs by their keywords."""
    shapes = [
        roof_shape(Roof(**{"name": "roof", "plate": 2.5, "pitch": atan(0.5)} | roof), FLOOR)
        for roof in roofs
    ]
    return Overhead(tuple(shapes), tuple((beam_plan(b), b.underside) for b in beams))


GABLE = {"form": "gable"}  # ridge along x at y = 2, 3.5 m high
FLAT = {"form": "flat", "pitch": None}


def wall(start=(0.0, 4.0), end=(6.0, 4.0), overhead=OPEN, holes=(), **given):
    thing = Wall(**{"name": "wall", "from_": start, "to": end, "thickness": 0.2} | given)
    return wall_part(wall_line(thing, FLOOR), overhead, [opening_of(hole) for hole in holes])


def volume(part):
    return solid_of(part.mesh, part.name).volume()


def door(name="door", **given):
    return Door(**{"name": name, "wall": "wall", "at": 1.0, "width": 1.0, "height": 2.0} | given)


def window(name="window", **given):
    size = {"at": 3.0, "width": 1.5, "height": 1.0, "sill": 0.9}
    return Window(**{"name": name, "wall": "wall"} | size | given)


def test_a_wall_stands_outside_its_line():
    part = wall(height=2.2)
    assert (part.name, part.owner, part.kind) == ("wall", "wall", Kind.WALL)
    assert part.mesh.bounds == pytest.approx(np.array([[0, 4, 0], [6, 4.2, 2.2]]))
    # Drawn the other way round it is the same wall.
    assert wall((6.0, 4.0), (0.0, 4.0), height=2.2).mesh.bounds == pytest.approx(part.mesh.bounds)
    # Between floor and floor it stands on the right of its line.
    inner = wall((1.0, 2.0), (5.0, 2.0), height=1.0)
    assert inner.mesh.bounds[:, 1] == pytest.approx([1.8, 2.0])
    assert volume(wall(height=1.1, base=0.3)) == pytest.approx(6 * 0.2 * 0.8)


def test_openings_are_cut_out():
    part = wall(height=2.5, holes=[door(), window()])
    assert volume(part) == pytest.approx((6 * 2.5 - 1 * 2 - 1.5 * 1) * 0.2)
    raised = wall(height=2.5, holes=[door(threshold=0.02)])
    assert volume(raised) == pytest.approx((6 * 2.5 - 1 * 2) * 0.2)
    # An opening up to the end of its wall leaves no skin there.
    corner = wall(height=2.5, holes=[door(at=5.0)])
    assert volume(corner) == pytest.approx((6 * 2.5 - 1 * 2) * 0.2)
    assert len(solid_of(corner.mesh, "wall").decompose()) == 1


@pytest.mark.parametrize(
    ("hole", "words"),
    [
        (door(at=5.5), "5.500 m to 6.500 m along wall"),
        (door(height=2.6), "0 mm to 2.600 m above the floor, but wall .* to 2.500 m"),
        (window(sill=1.6), "1.600 m to 2.600 m above the floor"),
    ],
)
def test_an_opening_outside_its_wall_is_refused(hole, words):
    with pytest.raises(InputError, match=words) as error:
        wall(height=2.5, holes=[hole])
    assert hole.name in error.value.mistakes[0].where


def test_openings_that_meet_are_refused_all_at_once():
    with pytest.raises(InputError) as error:
        wall(height=2.5, holes=[door(), window(at=1.5), window("other", at=9.0)])
    assert [m.where for m in error.value.mistakes] == ['window "window"', 'window "other"']
    assert "cuts into another opening" in error.value.mistakes[0].message


def test_mistakes_are_told_in_the_sites_units():
    line = wall_line(Wall(name="wall", from_=(0.0, 4.0), to=(3.048, 4.0), height=2.5), FLOOR)
    with pytest.raises(InputError, match="which is 10' 0\" long"):
        wall_part(line, OPEN, [opening_of(door(at=2.9))], UnitSystem.IMPERIAL)


def test_a_wall_without_a_height_follows_the_roof():
    # Below the eave: its top slopes on outward, from 2.5 m at the face to 2.4 m at the back.
    eave = wall(overhead=under(GABLE))
    assert volume(eave) == pytest.approx(6 * 0.2 * (2.5 + 2.4) / 2)
    # In the gable: a rectangle and a triangle.
    gable = wall((0.0, 0.0), (0.0, 4.0), under(GABLE))
    assert volume(gable) == pytest.approx((4 * 2.5 + 4 * 1 / 2) * 0.2)
    assert gable.mesh.bounds[:, 0] == pytest.approx([-0.2, 0.0])
    # Under a valley: a rectangle and two triangles.
    valley = wall((0.0, 0.0), (0.0, 4.0), under({"form": "valley"}))
    assert volume(valley) == pytest.approx((4 * 2.5 + 2 * 2 * 1 / 2) * 0.2)


def test_where_no_roof_covers_it_a_wall_ends_level():
    assert volume(wall()) == pytest.approx(6 * 0.2 * 2.4)
    half = {**FLAT, "plate": 3.0, "outline": ((0.0, 0.0), (2.0, 0.0), (2.0, 4.0), (0.0, 4.0))}
    assert volume(wall(overhead=under(half))) == pytest.approx(6 * 0.2 * 3.0)
    steep = {"form": "gable", "ridge_direction": pi / 2, "outline": half["outline"]}
    # Two metres of gable 0.5 m high over 2.5 m, and four metres at the plate.
    assert volume(wall(overhead=under(steep))) == pytest.approx((6 * 2.5 + 2 * 0.5 / 2) * 0.2)


def test_the_lowest_of_two_roofs_counts():
    low = {**FLAT, "plate": 2.2, "outline": ((0.0, 3.0), (3.0, 3.0), (3.0, 4.0), (0.0, 4.0))}
    part = wall(overhead=under({**FLAT, "plate": 3.0}, {"name": "low", **low}))
    assert volume(part) == pytest.approx((3 * 2.2 + 3 * 3.0) * 0.2, rel=1e-3)


def test_an_opening_through_a_sloping_top_is_refused():
    with pytest.raises(InputError, match="sloping top"):
        wall((0.0, 0.0), (0.0, 4.0), under(GABLE), [window(at=0.1, width=1.0, sill=2.0)])


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"height": 1.0, "base": 1.0}, "does not lie above its base"),
        ({"start": (1.0, 1.0), "end": (1.0, 1.0)}, "no length"),
        ({"base": 5.0}, "encloses no space"),
    ],
)
def test_an_impossible_wall_is_refused(given, words):
    with pytest.raises(InputError, match=words):
        wall(**given)


def test_beams_are_boxes():
    beam = beam_part(
        Beam(name="beam", from_=(0, 1), to=(3, 5), underside=2.3, width=0.1, depth=0.2)
    )
    assert volume(beam) == pytest.approx(5 * 0.1 * 0.2)
    assert beam.mesh.bounds[:, 2] == pytest.approx([2.3, 2.5])
    with pytest.raises(InputError, match=r'beam "b": has no length'):
        beam_part(Beam(name="b", from_=(1, 1), to=(1, 1), underside=2.0))


def post(overhead=OPEN, **given):
    return post_part(
        Post(**{"name": "post", "at": (0.1, 0.1), "width": 0.2, "depth": 0.2} | given), overhead
    )


def test_a_post_goes_up_to_what_is_above_it():
    across = Beam(name="beam", from_=(0, 0.1), to=(6, 0.1), underside=2.2, width=0.1)
    beside = Beam(name="beside", from_=(0, 0.25), to=(6, 0.25), underside=2.1, width=0.1)
    assert post(top=1.0).mesh.bounds[1, 2] == pytest.approx(1.0)
    assert post().mesh.bounds[1, 2] == pytest.approx(2.4)
    assert post(under(FLAT)).mesh.bounds[1, 2] == pytest.approx(2.5)
    assert volume(post(under(GABLE, beams=[across]))) == pytest.approx(0.04 * 2.2)
    # A beam that only touches its side does not stop it.
    assert volume(post(under(FLAT, beams=[beside]))) == pytest.approx(0.04 * 2.5)
    # Under the slope its top is cut to it: 2.5 m at y = 0 and 2.6 m at y = 0.2.
    assert volume(post(under(GABLE))) == pytest.approx(0.04 * 2.55)
    # Under the ridge: 3.5 m less 0.1 x 0.5 / 2 on average.
    assert volume(post(under(GABLE), at=(3.0, 2.0))) == pytest.approx(0.04 * 3.475)


def test_a_turned_post():
    part = post(at=(100.0, 50.0), turn=radians(45), top=2.0)
    assert volume(part) == pytest.approx(0.08)
    assert np.ptp(part.mesh.bounds[:, 0]) == pytest.approx(0.2 * np.sqrt(2))


def fitting(kind, overhead=OPEN, **given):
    thing = Fitting(**{"name": "it", "kind": kind, "at": (3.0, 1.0), "height": 2.0} | given)
    return {part.name: part for part in fitting_parts(thing, overhead, FLOOR)}


PARTS = {
    "fan": ["it", "it blades", "it disc"],
    "light": ["it", "it glass"],
    "speaker": ["it", "it grille"],
    "sprinkler": ["it"],
    "television": ["it", "it glass"],
    "fireplace": ["it"],
}


@pytest.mark.parametrize("kind", list(PARTS))
@pytest.mark.parametrize("size", [None, (0.4, 0.3, 0.5)])
def test_fittings_are_as_large_as_they_say(kind, size):
    found = fitting(kind, size=size)
    assert list(found) == PARTS[kind]
    assert {part.owner for part in found.values()} == {"it"}
    box = np.concatenate([p.mesh.bounds for p in found.values() if not p.swept])
    width, depth, height = size or USUAL_SIZE[kind]
    if kind in ("fan", "sprinkler"):  # these are round
        width = depth = min(width, depth)
    low, high = box.min(axis=0), box.max(axis=0)
    assert low == pytest.approx([3 - width / 2, 1 - depth / 2, 2.0], abs=0.01)
    assert high == pytest.approx([3 + width / 2, 1 + depth / 2, 2.0 + height], abs=0.01)
    for part in found.values():
        assert volume(part) > 0.0


@pytest.mark.parametrize("kind", ["fan", "light", "speaker", "sprinkler", "television"])
def test_what_hangs_has_a_rod_up_to_the_roof(kind):
    found = fitting(kind, under(GABLE))
    # Over y = 1 the underside is 3.0 m high; the cup where the rod meets it is 0.13 m wide.
    assert max(p.mesh.bounds[1, 2] for p in found.values()) == pytest.approx(3.0, abs=0.04)
    assert max(p.mesh.bounds[1, 2] for p in found.values()) >= 3.0
    beam = Beam(name="beam", from_=(0, 1), to=(6, 1), underside=2.9)
    hung = fitting(kind, under(GABLE, beams=[beam]))
    assert max(p.mesh.bounds[1, 2] for p in hung.values()) == pytest.approx(2.9)
    fixed = fitting(kind, under(GABLE), hung=False)
    assert max(p.mesh.bounds[1, 2] for p in fixed.values()) < 2.8


def test_no_rod_goes_through_the_roof():
    tall = {"fan": 0.45, "light": 0.45}
    for kind, height in tall.items():
        size = (0.3, 0.3, height)
        found = fitting(kind, under(FLAT), height=2.2, size=size)
        assert max(p.mesh.bounds[1, 2] for p in found.values()) == pytest.approx(2.65)


@pytest.mark.parametrize("size", [None, (0.3, 0.3, 0.2), (2.4, 2.4, 0.4), (1.3, 1.3, 0.05)])
def test_a_fans_disc_is_all_the_room_its_blades_take_and_no_more(size):
    found = fitting("fan", turn=0.4, size=size)
    blades, disc = found["it blades"].mesh, found["it disc"]
    radius = (size or USUAL_SIZE["fan"])[0] / 2
    reach = np.hypot(*(blades.vertices[:, :2] - [3.0, 1.0]).T)
    assert reach.max() == pytest.approx(radius, abs=1e-9)
    # Turned by any angle, a blade's corner stays on its circle: the polygon lies round the circle
    # of the outermost, and nowhere more than a millimetre outside.
    assert disc.swept
    outline = plan(disc)
    assert outline.buffer(1e-9).covers(Point(3.0, 1.0).buffer(radius, quad_segs=2000))
    assert np.hypot(*(disc.mesh.vertices[:, :2] - [3.0, 1.0]).T).max() < radius + 0.001
    # From the lowest edge of the pitched blades to their highest.
    assert disc.mesh.bounds[:, 2] == pytest.approx(blades.bounds[:, 2], abs=1e-12)
    assert disc.mesh.bounds[0, 2] == pytest.approx(2.0)
    if size is None:
        # Blades 0.13 m wide and 14 mm thick, pitched by 13 degrees.
        height = 0.134 * sin(radians(13)) + 0.014 * cos(radians(13))
        assert np.ptp(disc.mesh.bounds[:, 2]) == pytest.approx(height, abs=0.001)


def test_materials_of_fittings_decide_unless_stated():
    fan = fitting("fan")
    assert [p.material for p in fan.values()] == ["painted steel", "timber", "timber"]
    # What is not stated counts as combustible.
    assert [p.combustible for p in fan.values()] == [True, True, True]
    steel = fitting("fan", material="steel")
    assert [p.combustible for p in steel.values()] == [False, True, True]
    assert not any(p.combustible for p in fitting("fan", combustible=False).values())
    assert fitting("television")["it"].combustible


@pytest.mark.parametrize("kind", ["television", "fireplace", "speaker"])
def test_a_front_looks_onto_the_patio(kind):
    for y, sign in ((0.1, 1.0), (3.9, -1.0)):
        found = fitting(kind, at=(3.0, y), hung=False)
        if kind == "fireplace":
            # The firebox takes volume from the front half.
            mesh = found["it"].mesh
            front = mesh.corners[mesh.normals[:, 1] * sign > 0.5].mean(axis=(0, 1))[1]
            assert (front - y) * sign < 0.55 / 2
            middle = solid_of(mesh, "it").trim_by_plane([0.0, sign, 0.0], sign * y)
            assert middle.volume() < volume(found["it"]) / 2
        else:
            face = found["it glass" if kind == "television" else "it grille"]
            assert (face.mesh.bounds[:, 1].mean() - y) * sign > 0.0
    bracket = fitting("television", at=(3.0, 0.1), hung=False)["it bracket"]
    assert bracket.mesh.bounds[1, 1] == pytest.approx(0.07)


def test_a_fitting_turned_and_far_away():
    turn, at = radians(33), np.array([100.0, -60.0])
    axes = np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    corners = tuple(map(tuple, np.array(FLOOR.outline) @ axes + at))
    for kind in PARTS:
        plain = fitting(kind, turn=0.2, size=(0.5, 0.3, 0.4))
        place = tuple(np.array([3.0, 1.0]) @ axes + at)
        thing = Fitting(
            name="it", kind=kind, at=place, height=2.0, turn=0.2 + turn, size=(0.5, 0.3, 0.4)
        )
        for part in fitting_parts(thing, OPEN, Floor(outline=corners)):
            expected = plain[part.name].mesh.vertices[:, :2] @ axes + at
            assert part.mesh.bounds[:, :2] == pytest.approx(
                np.array([expected.min(axis=0), expected.max(axis=0)]), abs=1e-9
            )
            assert volume(part) == pytest.approx(volume(plain[part.name]), rel=1e-9)


def test_two_walls_share_a_corner_once():
    # By hand: the second wall loses the corner, 0.2 m by 0.2 m over its height of 2.5 m.
    def block(name: str, *bounds: float) -> Part:
        mesh = to_mesh(prism(shapely.box(*bounds), 0.0, 2.5))
        return Part(name, name, Kind.WALL, mesh, "stucco", combustible=False)

    first, second = block("a", 0.0, 0.0, 4.0, 0.2), block("b", 3.8, 0.0, 4.0, 3.0)
    left = solid_of(apart(second, [first]).mesh, "b")
    assert left.volume() == pytest.approx(0.2 * 2.8 * 2.5)
    assert apart(first, []) is first
    with pytest.raises(InputError, match="wholly inside"):
        apart(block("c", 1.0, 0.0, 2.0, 0.2), [first])
