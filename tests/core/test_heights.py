"""A roof's heights from any sufficient part of them."""

from dataclasses import replace
from math import atan, cos, degrees, hypot, pi, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heatcore.errors import InputError
from heatcore.scene import materials, model
from heatcore.scene.heights import resolve_heights, run_of, support_of
from heatcore.scene.materials import is_combustible
from heatcore.scene.plan import patio_side, polygon_of
from heatcore.scene.space import Floor, Roof, Wall
from heatcore.units import UnitSystem

FOOT = 0.3048
FLOOR = Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)))


def roof(form="gable", **given):
    return Roof(name="porch roof", form=form, **given)


def mistakes(roof_, units=UnitSystem.METRIC, floor=FLOOR, **more):
    with pytest.raises(InputError) as error:
        resolve_heights(roof_, floor, units=units, **more)
    return error.value.mistakes


@pytest.mark.parametrize(
    ("form", "more", "run"),
    [
        ("gable", {}, 2.0),
        ("gable", {"ridge_direction": pi / 2}, 3.0),
        ("valley", {}, 2.0),
        ("hip", {}, 2.0),
        ("hip", {"ridge_direction": pi / 2}, 2.0),
        ("hip", {"hip_ends": "first"}, 2.0),
        ("hip", {"ridge_direction": pi / 2, "hip_ends": "last"}, 3.0),
        ("single_slope", {}, 6.0),
        ("single_slope", {"falls_toward": pi / 2}, 4.0),
        ("single_slope", {"falls_toward": radians(30)}, 6 * 0.75**0.5 + 4 * 0.5),
        ("slatted", {"falls_toward": -pi / 2}, 4.0),
        ("flat", {}, 0.0),
    ],
)
def test_the_run_comes_from_form_and_directions(form, more, run):
    shelter = roof(form, plate=2.5, **more)
    assert run_of(shelter, support_of(shelter, FLOOR)) == pytest.approx(run, abs=1e-12)


# Rise in 12 of run and its angle: arithmetic, atan(x / 12), as roof tables print it.
@pytest.mark.parametrize(("rise", "angle"), [(3, 14.0362), (4, 18.4349), (8, 33.6901)])
def test_a_pitch_in_twelve(rise, angle):
    found = resolve_heights(roof(plate=8 * FOOT, ridge=8 * FOOT + 2.0 * rise / 12), FLOOR)
    assert degrees(found.pitch) == pytest.approx(angle, abs=5e-5)


def test_the_plate_lies_on_the_beam():
    found = resolve_heights(roof(beam_underside=2.3, beam_depth=0.2, pitch=atan(0.5)), FLOOR)
    assert found.beam_underside == 2.3
    assert found.plate == pytest.approx(2.5, abs=1e-12)
    assert found.ridge == pytest.approx(3.5, abs=1e-12)


FORMS = st.sampled_from(["single_slope", "gable", "hip", "valley", "slatted"])
HEIGHTS = st.floats(2.0, 6.0)


@given(form=FORMS, plate=HEIGHTS, pitch=st.floats(0.01, 1.2), depth=st.floats(0.05, 0.5))
def test_every_sufficient_pair_gives_the_same(form, plate, pitch, depth):
    given_ = resolve_heights(roof(form, plate=plate, pitch=pitch, beam_depth=depth), FLOOR)
    beam = given_.beam_underside
    for pair in (
        {"plate": plate, "ridge": given_.ridge},
        {"pitch": pitch, "ridge": given_.ridge},
        {"beam_underside": beam, "pitch": pitch},
        {"beam_underside": beam, "ridge": given_.ridge},
        {"beam_underside": beam, "plate": plate, "pitch": pitch, "ridge": given_.ridge},
    ):
        found = resolve_heights(roof(form, beam_depth=depth, **pair), FLOOR)
        assert (found.plate, found.ridge, found.pitch, found.beam_underside) == pytest.approx(
            (given_.plate, given_.ridge, given_.pitch, beam), abs=1e-9
        )


def test_a_contradiction_shows_both_values():
    # 4' over 9' of run is 5.33 in 12.
    floor = Floor(outline=((0.0, 0.0), (30 * FOOT, 0.0), (30 * FOOT, 18 * FOOT), (0, 18 * FOOT)))
    said = roof(plate=8 * FOOT, ridge=12 * FOOT, pitch=atan(4 / 12))
    (found,) = mistakes(said, UnitSystem.IMPERIAL, floor)
    assert found.where == 'roof "porch roof".pitch'
    assert found.message == (
        "plate 8' 0\" and ridge 12' 0\" make the pitch 5.33:12, but pitch says 4:12"
    )
    assert "11' 0\"" in found.remedy


def test_contradictions_are_reported_together():
    said = roof(beam_underside=2.4, beam_depth=0.3, plate=2.5, ridge=3.5, pitch=0.3)
    found = mistakes(said)
    assert [m.where for m in found] == ['roof "porch roof".plate', 'roof "porch roof".pitch']
    assert "2.700 m, but plate says 2.500 m" in found[0].message
    assert "make the pitch 26.6 deg, but pitch says 17.2 deg" in found[1].message


@pytest.mark.parametrize("off", [0.0009, -0.0009])
def test_a_millimetre_is_no_contradiction(off):
    resolve_heights(roof(plate=2.5, ridge=3.5 + off, pitch=atan(0.5)), FLOOR)
    resolve_heights(roof(beam_underside=2.265 + off, plate=2.5, pitch=0.5), FLOOR)


@pytest.mark.parametrize("off", [0.0011, -0.0011])
def test_more_than_a_millimetre_is(off):
    assert mistakes(roof(plate=2.5, ridge=3.5 + off, pitch=atan(0.5)))
    assert mistakes(roof(beam_underside=2.265 + off, plate=2.5, pitch=0.5))
    resolve_heights(roof(plate=2.5, ridge=3.5 + off, pitch=atan(0.5)), FLOOR, tolerance=0.002)


@pytest.mark.parametrize(
    ("given_", "words"),
    [
        ({}, ["does not give its heights; give plate and pitch"]),
        ({"pitch": 0.3}, ["pitch 17.2 deg is not enough", "plate, beam_underside or ridge"]),
        ({"ridge": 3.0}, ["ridge 3.000 m is not enough", "pitch or plate"]),
        ({"plate": 2.5}, ["plate 2.500 m is not enough", "pitch or ridge"]),
        ({"beam_underside": 2.3}, ["beam_underside 2.300 m and beam_depth 235 mm is not", "pitch"]),
        ({"plate": 3.0, "ridge": 2.0}, ["put the ridge below the plate"]),
        ({"plate": 2.0, "ridge": 90.0}, ["88.7 deg", "steeper"]),
        ({"ridge": 2.0, "pitch": 1.2}, ["not above the floor"]),
    ],
)
def test_too_little_and_the_impossible_say_so(given_, words):
    (found,) = mistakes(roof(**given_))
    for word in words:
        assert word in str(found)


def test_a_flat_roof_needs_one_height():
    for given_ in ({"plate": 3.0}, {"ridge": 3.0}, {"beam_underside": 2.765}):
        found = resolve_heights(roof("flat", **given_), FLOOR)
        assert (found.plate, found.ridge, found.pitch) == pytest.approx((3.0, 3.0, 0.0))
    assert "pitch says 17.2 deg" in str(mistakes(roof("flat", plate=3.0, pitch=0.3))[0])
    assert "3.200 m differ" in str(mistakes(roof("flat", plate=3.0, ridge=3.2))[0])
    assert "give plate" in str(mistakes(roof("flat"))[0])


def test_a_slatted_roof_with_one_height_is_level():
    found = resolve_heights(roof("slatted", plate=3.0), FLOOR)
    assert (found.ridge, found.pitch) == (3.0, 0.0)


@given(
    turn=st.floats(-pi, pi),
    shift=st.tuples(st.floats(-100, 100), st.floats(-100, 100)),
    mirrored=st.booleans(),
)
def test_the_support_moves_turns_and_mirrors_with_the_plan(turn, shift, mirrored):
    sign = -1.0 if mirrored else 1.0

    def image(point):
        x, y = point[0], sign * point[1]
        return (
            cos(turn) * x - sin(turn) * y + shift[0],
            sin(turn) * x + cos(turn) * y + shift[1],
        )

    corners = ((0.5, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
    plain = support_of(roof(plate=2.5, ridge_direction=0.3), Floor(outline=corners))
    moved = support_of(
        roof(plate=2.5, ridge_direction=sign * 0.3 + turn),
        Floor(outline=tuple(map(image, corners))),
    )
    assert moved.center == pytest.approx(image(plain.center), abs=1e-9)
    origin = image((0.0, 0.0))
    for name in ("along", "across"):
        x, y = image(getattr(plain, name))
        assert getattr(moved, name) == pytest.approx((x - origin[0], y - origin[1]), abs=1e-9)
    assert (moved.half_length, moved.half_width) == pytest.approx(
        (plain.half_length, plain.half_width)
    )


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        (((0.0, 0.0), (1.0, 1.0)), "three corners"),
        (((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)), "touches itself"),
        (((0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)), "crosses"),
        (((0.0, 0.0), (float("nan"), 0.0), (1.0, 1.0)), "finite"),
    ],
)
def test_a_bad_outline_is_refused(outline, words):
    with pytest.raises(InputError, match=words):
        polygon_of(outline, "floor.outline")


def test_the_patio_lies_on_the_side_with_floor():
    def side(start, end):
        return patio_side(Wall(name="w", from_=start, to=end), FLOOR)

    assert side((0.0, 4.0), (6.0, 4.0)) == pytest.approx((0.0, -1.0))
    assert side((6.0, 4.0), (0.0, 4.0)) == pytest.approx((0.0, -1.0))
    # Longer than the floor, a millimetre into it, and a millimetre off it.
    assert side((-9.0, 4.0), (15.0, 4.0)) == pytest.approx((0.0, -1.0))
    assert side((0.0, 3.999), (6.0, 3.999)) == pytest.approx((0.0, -1.0))
    assert side((0.0, 4.001), (6.0, 4.001)) == pytest.approx((0.0, -1.0))
    # Floor on both sides, or on neither: the patio is on the left.
    assert side((1.0, 2.0), (5.0, 2.0)) == pytest.approx((0.0, 1.0))
    assert side((1.0, 9.0), (5.0, 9.0)) == pytest.approx((0.0, 1.0))
    assert hypot(*side((0.0, 0.0), (1.0, 3.0))) == pytest.approx(1.0)
    with pytest.raises(InputError, match="no length"):
        side((1.0, 1.0), (1.0, 1.0))


@pytest.mark.parametrize(
    ("material", "burns"),
    [
        ("timber boards", True),
        ("  Timber  Boards ", True),
        ("oak", True),
        ("screen fabric", True),
        ("gypsum board", True),
        ("stone", False),
        ("painted steel", False),
        ("something nobody listed", True),
        ("", True),
    ],
)
def test_materials_burn_unless_they_are_known_not_to(material, burns):
    assert is_combustible(material) is burns
    assert is_combustible(material, False) is False
    assert is_combustible(material, True) is True


def test_what_is_not_stated_burns_whatever_it_looks_like():
    for cls in (model.Floor, model.Roof, model.Wall, model.Window, model.Fitting):
        assert cls.__dataclass_fields__["material"].default is None
    assert is_combustible(None)
    assert not is_combustible(None, False)
    for looks in materials.USUAL.values():
        assert materials.is_known(looks)


def test_the_outline_of_its_own_counts_before_the_floors():
    own = replace(roof(plate=2.5), outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)))
    assert run_of(own, support_of(own, FLOOR)) == pytest.approx(0.5)
