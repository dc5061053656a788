"""Where the scene wants a heater, and what carries it there."""

from __future__ import annotations

from dataclasses import replace
from math import atan, atan2, pi, radians, tan

import numpy as np
import pytest

from heatcore.errors import InputError
from heatcore.geometry.parts import Kind, Part, Place
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Furniture, Offset, Person, Seat
from heatcore.scene.space import Beam, Post
from heatcore.scene.types import Distances
from tests.core.mounting_site import (
    Ground,
    beam,
    block,
    bracket,
    heater,
    heater_type,
    hung,
    rafters,
    sheet,
    site,
    slope,
    wall,
)

FLAT = slope(0.0)
WALL = block("house wall", (-4, 3.0, 0), (4, 3.3, 4), Kind.WALL)
BEAM = block("main beam", (-4, -1.06, 2.6), (4, -0.94, 2.85))
ON_WALL = bracket(name="wall", mount="wall", arm=0.001, fine=2.0)
ON_BEAM = bracket(name="clamp", mount="beam", arm=0.001, fine=2.0)


def heading_of(mount: Mount) -> float:
    return atan2(mount.frame.x[1], mount.frame.x[0])


def refusal(*args: object, **kwargs: object) -> InputError:
    with pytest.raises(InputError) as caught:
        hung(*args, **kwargs)
    return caught.value


# --------------------------------------------------------------------------------- offsets


@pytest.mark.parametrize(
    ("name", "by", "expected"),
    [
        ("post", (0.3, -0.2), (1.3, 1.8)),
        ("seat", (0.3, -0.2), (-0.7, 0.3)),
        ("guest", (0.0, 0.5), (2.0, 0.5)),
        ("table", (-1.0, 0.0), (-3.0, 1.0)),
        ("table seat 1", (0.1, 0.1), (-1.9, 0.4)),
        ("main beam", (1.0, 0.25), (-3.0, -0.75)),
        ("house wall", (1.0, 0.5), (3.0, 2.5)),
    ],
)
def test_an_offset_is_measured_from_the_thing_it_names(
    name: str, by: tuple[float, float], expected: tuple[float, float]
) -> None:
    seat = Place("table seat 1", "table", np.array([-2.0, 0.3, 0.0]), 0.0, "upright", 0.45, True)
    mount = hung(
        [FLAT, BEAM, WALL],
        [heater(at=None, offset=Offset(from_=name, by=by))],
        [bracket()],
        places=(seat,),
        post=(Post(name="post", at=(1.0, 2.0)),),
        seat=(Seat(name="seat", at=(-1.0, 0.5)),),
        person=(Person(name="guest", at=(2.0, 0.0)),),
        furniture=(Furniture(name="table", kind="table", at=(-2.0, 1.0)),),
        beam=(beam(BEAM),),
        wall=(wall(WALL),),
    )[0]
    assert mount.frame.origin[:2] == pytest.approx(expected, abs=1e-12)


def test_a_place_is_given_once_and_from_something_that_is_there() -> None:
    both = heater(offset=Offset(from_="post", by=(0.0, 0.0)))
    assert "both" in str(refusal([FLAT], [both]))
    assert "no place" in str(refusal([FLAT], [heater(at=None)]))
    lost = heater(at=None, offset=Offset(from_="tree", by=(0.0, 0.0)))
    assert '"tree"' in str(refusal([FLAT], [lost]))


# -------------------------------------------------------------------------------- headings


def test_left_out_the_heading_is_along_the_wall_with_the_patio_on_its_left() -> None:
    mount = hung([WALL], [heater(at=(1.0, 2.0), mount="wall", height=2.4, tilt=0.4)], [ON_WALL],
                 wall=(wall(WALL),))[0]  # fmt: skip
    # The patio lies toward -Y of this wall, and a positive tilt leans the beam out over it.
    assert mount.frame.y[1] < -0.9
    assert (-mount.frame.z)[1] < -0.3
    assert mount.frame.origin[2] == pytest.approx(2.4, abs=1e-12)
    assert mount.frame.origin[0] == pytest.approx(1.0, abs=1e-12)


def test_left_out_the_heading_is_along_the_beam_or_along_x() -> None:
    turned = Ground(turn=0.7)
    part = turned.part(BEAM)
    line = beam(BEAM, turned)
    under = heater(turned, at=(0.5, -1.0), mount="beam")
    assert heading_of(hung([part], [under], [ON_BEAM], beam=(line,))[0]) == pytest.approx(0.7)
    free = replace(heater(), heading=None)
    assert heading_of(hung([FLAT], [free])[0]) == pytest.approx(0.0)
    close = replace(heater(at=(0.5, -1.0)), heading=None, mounted_on="main beam")
    assert heading_of(hung([BEAM], [close], beam=(beam(BEAM),))[0]) == pytest.approx(0.0)


def test_under_rafters_a_clamp_looks_down_their_slope() -> None:
    rise = tan(radians(20))
    ring = [(0.5, -3, 3 - 3 * rise), (0.62, -3, 3 - 3 * rise), (0.62, 3, 3 + 3 * rise),
            (0.5, 3, 3 + 3 * rise)]  # fmt: skip
    timber = sheet("rafters 1", [ring], 0.15, kind=Kind.RAFTER, owner="rafters")
    mount = hung([timber], [heater(at=(0.56, 0.0), mount="beam", mounted_on="rafters")], [ON_BEAM],
                 rafters=(rafters("rafters", "roof"),))[0]  # fmt: skip
    assert heading_of(mount) == pytest.approx(-pi / 2)
    assert {arm.surface for arm in mount.arms} == {"rafters 1"}
    assert mount.holds


# --------------------------------------------------------------------------- what carries it


def test_the_lowest_roof_overhead_carries_it_unless_another_is_named() -> None:
    low = slope(0.0, height=2.6, half=1.0, name="canopy")
    mounts = hung([FLAT, low], [heater(), heater(name="H2", at=(3.0, 0.0))])
    assert [mount.arms[0].surface for mount in mounts] == ["canopy", "roof"]
    named = hung([FLAT, slope(0.0, 5.0, name="high")], [heater(mounted_on="high")])[0]
    assert named.arms[0].surface == "high"
    assert named.frame.origin[2] > 4.0
    through = hung([FLAT, slope(0.0, 5.0, name="high")], [heater(mounted_on="high", height=2.5)])[0]
    assert [(fault.code, fault.object) for fault in through.faults] == [("surface", "roof")] * 2


def test_between_two_slats_a_bracket_overhead_is_enough() -> None:
    slats = [
        block(f"slats {i}", (x - 0.1, -2, 3), (x + 0.1, 2, 3.1), Kind.ROOF, owner="slats")
        for i, x in enumerate((-0.3, 0.3))
    ]
    mount = hung(slats, [heater()])[0]
    assert [arm.surface for arm in mount.arms] == ["slats 0", "slats 1"]
    assert mount.holds
    assert np.isfinite(mount.gaps).sum() == 0


def test_rafters_carry_it_where_its_feet_meet_them() -> None:
    timbers = [
        block(
            f"rafters {i}", (x - 0.05, -4, 2.85), (x + 0.05, 4, 3.0), Kind.RAFTER, owner="rafters"
        )
        for i, x in enumerate((-0.3, 0.3, 1.0))
    ]
    own = {"rafters": (rafters("rafters", "roof"),)}
    mount = hung([FLAT, *timbers], [heater(mounted_on="rafters")], **own)[0]
    assert mount.holds
    assert [arm.surface for arm in mount.arms] == ["rafters 0", "rafters 1"]
    # Between two of them, square across none: it hangs under their roof, beside them.
    turned = heater(mounted_on="rafters", heading=pi / 2)
    assert [f.code for f in hung([FLAT, *timbers], [turned], **own)[0].faults] == ["surface"] * 2
    error = refusal([FLAT, *timbers], [heater(mounted_on="rafters", at=(20.0, 0.0))], **own)
    assert 'nothing of "rafters"' in str(error)


def test_a_wall_that_its_openings_took_whole_carries_nothing() -> None:
    on = heater(mount="wall", height=2.4)
    error = refusal([FLAT], [on], [ON_WALL], wall=(wall(WALL),))
    assert '"house wall" is left' in str(error)


def test_the_nearest_wall_and_the_nearest_beam_carry_it() -> None:
    other = block("other wall", (-4, -3.3, 0), (4, -3.0, 4), Kind.WALL)
    walls = (wall(WALL), replace(wall(WALL), name="other wall", from_=(-4, -3.0), to=(4, -3.0)))
    kind = {"mount": "wall", "height": 2.4}
    two = [heater(at=(0, 0.5), **kind), heater(name="H2", at=(0, -1), **kind)]
    mounts = hung([WALL, other], two, [ON_WALL], wall=walls)
    assert [m.arms[0].surface for m in mounts] == ["house wall", "other wall"]
    far = block("far beam", (-4, 1.0, 2.6), (4, 1.12, 2.85))
    mount = hung([BEAM, far], [heater(at=(0, -0.98), mount="beam")], [ON_BEAM],
                 beam=(beam(far), beam(BEAM)))[0]  # fmt: skip
    assert mount.arms[0].surface == "main beam"


def test_the_wall_takes_the_place_nearest_to_the_one_given() -> None:
    mount = hung([WALL], [heater(at=(9.0, 1.0), mount="wall", height=2.4)], [ON_WALL],
                 wall=(wall(WALL),))[0]  # fmt: skip
    assert mount.frame.origin[0] == pytest.approx(4.0, abs=1e-12)
    # Half of it then hangs beyond the wall's end: one arm finds nothing to stand on.
    assert "surface" in {fault.code for fault in mount.faults}


@pytest.mark.parametrize(
    ("changes", "parts", "says"),
    [
        ({"at": (20.0, 0.0)}, [FLAT], "no roof"),
        ({"at": (20.0, 0.0), "mounted_on": "roof"}, [FLAT], 'nothing of "roof"'),
        ({"mounted_on": "attic"}, [FLAT], "no such thing"),
        ({"mounted_on": "house wall"}, [FLAT, WALL], "is a wall"),
        ({"mount": "wall", "mounted_on": "roof", "height": 2.4}, [FLAT, WALL], "is a roof"),
        ({"mount": "wall"}, [WALL], "height"),
        ({"mount": "wall", "height": 2.4, "attitude": "slope"}, [WALL], "slope"),
        ({"mount": "beam", "at": (0.0, 0.0)}, [BEAM], "940 mm beside"),
        ({"mount": "beam"}, [FLAT], "no beam"),
        ({"mount": "wall", "height": 2.4}, [FLAT], "no wall"),
        ({"type": "panel"}, [FLAT], "no such heater type"),
        ({"bracket": "hook"}, [FLAT], "no such bracket type"),
        ({"bracket": "clamp"}, [FLAT], "for a beam mount"),
        ({"mount": "stem"}, [FLAT], "no bracket type"),
        ({"type": "low", "mount": "stem"}, [FLAT], "not made for that"),
        ({"aim_at": "nobody"}, [FLAT], "no such seat"),
        ({"aim_at": (0.0, 0.0, 0.0), "tilt": 0.1}, [FLAT], "beside a tilt"),
    ],
)
def test_an_impossible_mount_is_refused_with_its_name_and_a_remedy(
    changes: dict[str, object], parts: list[Part], says: str
) -> None:
    error = refusal(
        parts,
        [heater(**changes)],
        [bracket(), ON_WALL, ON_BEAM],
        [heater_type(), heater_type(name="low", mounts=("ceiling",))],
        wall=tuple(wall(p) for p in parts if p.kind is Kind.WALL),
        beam=tuple(beam(p) for p in parts if p.kind is Kind.BEAM),
    )
    assert says in str(error)
    assert '"H1"' in str(error)
    assert error.remedy


def test_every_heater_that_cannot_be_hung_is_named_in_one_pass() -> None:
    error = refusal([FLAT], [heater(at=(20.0, 0.0)), heater(name="H2", bracket="hook"), heater()])
    assert [mistake.where for mistake in error.mistakes] == [
        'heater "H1".at',
        'heater "H2".bracket',
    ]


def test_a_heater_inside_a_solid_is_refused() -> None:
    inside = block("chimney", (-0.6, -0.4, 0), (0.6, 0.4, 2.95), Kind.POST)
    error = refusal([FLAT, inside], [heater()])
    assert "inside chimney" in str(error)
    swept = replace(inside, swept=True)
    assert hung([FLAT, swept], [heater()])[0].holds
    pillar = block("party wall", (-0.6, -0.4, 0), (0.6, 0.4, 2.95), Kind.WALL)
    assert "inside party wall" in str(refusal([FLAT, pillar], [heater()]))


def test_a_beam_without_length_is_refused() -> None:
    line = Beam(name="main beam", from_=(0.0, -1.0), to=(0.0, -1.0), underside=2.6)
    under = heater(at=(0.0, -1.0), mount="beam")
    assert "no length" in str(refusal([BEAM], [under], [ON_BEAM], beam=(line,)))


# ------------------------------------------------------------------------------------ aiming


@pytest.mark.parametrize("at", [(0.0, 0.0), (1.0, -0.8)])
@pytest.mark.parametrize("point", [(0.4, 1.1, 0.9), (-2.0, -0.7, 0.4), (0.0, 0.0, 0.0)])
def test_an_aimed_axis_passes_through_the_point_as_seen_along_the_body(
    at: tuple[float, float], point: tuple[float, float, float]
) -> None:
    for rise in (0, 5):
        mount = hung([slope(atan(rise / 12))], [heater(at=at, aim_at=point)])[0]
        _, y, z = mount.frame.to_local(point)
        assert y == pytest.approx(0.0, abs=1e-8)
        assert z < 0.0
        assert mount.tilt == pytest.approx(
            atan2(point[1] - at[1], mount.frame.origin[2] - point[2]), abs=1e-8
        )


def test_a_person_is_aimed_at_middle_height() -> None:
    guest = Place("guest", "guest", np.array([0.3, 1.0, 0.0]), 0.0, "standing", 0.0, True)
    seat = Place("sofa 1", "sofa", np.array([0.0, -1.0, 0.0]), 0.0, "upright", 0.45, True)
    aimed = [heater(aim_at="guest"), heater(name="H2", aim_at="sofa 1")]
    for mount, y, z in zip(hung([FLAT], aimed, places=(guest, seat)), (1, -1), (1.1, 0.6),
                           strict=True):  # fmt: skip
        assert mount.frame.to_local([0.0, y, z])[1] == pytest.approx(0.0, abs=1e-8)


def test_an_aim_from_stocked_lengths_settles() -> None:
    """Two pairs that would hand the heater to each other: the longer one keeps it."""
    lengths = tuple(k * 0.01 for k in range(1, 30))
    stock = [bracket(arm=0.15, extensions=lengths, fine=0.0, unequal=False)]
    for y in np.linspace(0.2, 1.8, 25):
        mount = hung([FLAT], [heater(aim_at=(0.0, float(y), 1.0))], stock)[0]
        assert mount.frame.to_local([0.0, y, 1.0])[1] == pytest.approx(0.0, abs=1e-8)
        assert not [fault for fault in mount.faults if fault.code in ("arm", "level")]


def test_an_aim_that_two_brackets_hand_to_each_other_settles_on_the_longer() -> None:
    """Under a slope a lower heater is tilted more, lies more nearly along it, and needs less."""
    point = (0.0, 0.72, 0.93)
    kind = heater_type(
        width=0.37, tilt_to=1.2,
        combustible=Distances(above=0.253, sides=0.927, ends=0.3, below=1.2),
    )  # fmt: skip
    roof = slope(radians(30.37))

    def hang_by(extensions: tuple[float, ...], **how: object) -> Mount:
        stock = bracket(arm=0.27, extensions=extensions, fine=0.0, unequal=False, style="plumb")
        return hung([roof], [heater(**how)], [stock], [kind])[0]

    mount = hang_by((0.27,), aim_at=point)
    assert mount.holds
    assert mount.arms[0].extensions == (0.27,)
    assert mount.frame.to_local(point)[1] == pytest.approx(0.0, abs=1e-8)
    # At that tilt the shorter one would do, but it would not point there; at its own it does not.
    assert hang_by((), tilt=mount.tilt).holds
    assert not hang_by((), aim_at=point).holds


def test_nobody_can_be_aimed_at_from_within_the_swing_of_the_body() -> None:
    """Under a steep slope it would hang lower the more it is tilted, down past the point itself."""
    kind = heater_type(
        width=0.296, tilt_to=1.5, tilt_from=-1.5,
        combustible=Distances(above=0.189, sides=0.422, ends=0.3, below=1.436),
    )  # fmt: skip
    stock = bracket(arm=0.39, extensions=(0.327,), fine=0.02, unequal=False, style="plumb")
    aimed = heater(aim_at=(0.0, 0.059, 2.067))
    assert "too near" in str(refusal([slope(radians(58.6))], [aimed], [stock], [kind]))


def test_a_wall_heater_can_be_aimed() -> None:
    aimed = heater(at=(0.0, 3.0), mount="wall", height=2.4, aim_at=(0.5, 1.2, 0.6))
    mount = hung([WALL], [aimed], [ON_WALL], wall=(wall(WALL),))[0]
    assert mount.frame.to_local([0.5, 1.2, 0.6])[1] == pytest.approx(0.0, abs=1e-8)
    assert mount.tilt > 0.3


def test_nothing_in_the_scene_is_changed() -> None:
    scene, model = site([FLAT], [heater()])
    first, second = hang(scene, model), hang(scene, model)
    assert first[0].frame.origin.tolist() == second[0].frame.origin.tolist()


@pytest.mark.parametrize("tilt", [-0.5, 0.0, 0.35])
def test_a_tilted_heater_keeps_its_clamps_under_the_beam(tilt: float) -> None:
    mount = hung([BEAM], [heater(at=(0.5, -1.0), mount="beam", tilt=tilt)], [ON_BEAM],
                 beam=(beam(BEAM),))[0]  # fmt: skip
    assert mount.holds
    for arm, x in zip(mount.arms, (0.2, 0.8), strict=True):
        assert arm.foot == pytest.approx([x, -1.0, 2.6], abs=1e-9)
    # The body swings about them: its emitting face lies off the beam's line.
    lift = mount.type.height + mount.type.pivot_height
    assert mount.frame.origin[1] == pytest.approx(-1.0 + lift * np.sin(tilt), abs=1e-9)
