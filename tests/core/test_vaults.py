"""Vaults: a circle's arc over the width, its facets within a millimetre, and what carries it."""

from __future__ import annotations

from math import acos, asin, atan, cos, hypot, radians, sin, sqrt

import numpy as np
import pytest

from heatcore.errors import InputError
from heatcore.geometry.build import build
from heatcore.geometry.overhead import ceiling_height
from heatcore.geometry.parts import Part
from heatcore.geometry.rafters import rafter_parts
from heatcore.geometry.roofs import RoofShape, roof_part, roof_shape
from heatcore.geometry.solids import prism, solid_of
from heatcore.scene.heights import resolve_heights
from heatcore.scene.model import Scene, Site
from heatcore.scene.space import Floor, Rafters, Roof, Wall

FLOOR = Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)))
PLATE = 2.4
CHORD = 0.001


def vault(rise: float = 1.0, floor: Floor = FLOOR, **more: object) -> RoofShape:
    """A vault 4 m wide along X."""
    said = {"name": "vault", "form": "vault", "plate": PLATE, "ridge": PLATE + rise, **more}
    return roof_shape(Roof(**said), floor)  # type: ignore[arg-type]


def radius_of(rise: float, half: float = 2.0) -> float:
    """Of the circle through the springing lines and the crown (sagitta formula)."""
    return (half**2 + rise**2) / (2 * rise)


def arc(y: np.ndarray, rise: float, half: float = 2.0) -> np.ndarray:
    """Height of the arc beside the crown."""
    r = radius_of(rise, half)
    return np.asarray(PLATE + rise - r + np.sqrt(r**2 - y**2))


def volume(part: Part) -> float:
    return float(solid_of(part.mesh, part.name).volume())


@pytest.mark.parametrize("rise", [0.05, 0.4, 1.0, 2.0])
def test_the_underside_is_the_arc_within_a_millimetre(rise: float) -> None:
    shape = vault(rise)
    y = np.linspace(0.0, 4.0, 801)
    found = shape.underside(np.column_stack([np.full(801, 1.3), y]))
    below = arc(y - 2.0, rise) - found
    # A semicircle stands upright at its springing, where a millimetre square to it is more plumb.
    r = radius_of(rise)
    square = r - np.hypot(y - 2.0, found - (PLATE + rise - r))
    assert below.min() > -1e-9
    assert square.max() <= CHORD + 1e-9
    assert found[[0, 400, 800]] == pytest.approx([PLATE, PLATE + rise, PLATE], abs=1e-9)
    inner = np.column_stack([np.full(31, 1.3), np.linspace(0.02, 3.98, 31)])
    assert ceiling_height([roof_part(shape)], inner) == pytest.approx(
        shape.underside(inner), abs=1e-9
    )


@pytest.mark.parametrize("rise", [0.4, 1.0, 2.0])
def test_the_space_under_a_vault_is_a_segment_of_a_circle(rise: float) -> None:
    r = radius_of(rise)
    segment = r**2 * acos((r - rise) / r) - (r - rise) * sqrt(2 * r * rise - rise**2)
    space = vault(rise).below(prism(vault(rise).outline, 0.0, 9.0)).volume()
    most = 6 * (4 * PLATE + segment)
    # Chords cut off less than two thirds of their sagitta times the arc.
    least = most - 6 * 2 / 3 * CHORD * 2 * r * asin(2.0 / r)
    assert least - 1e-9 <= space <= most


def test_it_is_as_thick_as_it_says_square_to_its_arc() -> None:
    r = radius_of(1.0)
    part = roof_part(vault(1.0, thickness=0.2))
    middle = np.array([2.0, PLATE + 1.0 - r])
    away = np.hypot(*(part.mesh.vertices[:, 1:] - middle).T)
    inner, outer = away[away < r + 0.1], away[away > r + 0.1]
    assert inner.max() == pytest.approx(r, abs=1e-9)
    # Chords 0.2 m farther out are parallel: their corners lie 0.2 / cos of half a facet's turn.
    assert outer.min() >= r - CHORD + 0.2
    assert outer.max() <= r + 0.2 + CHORD


def test_it_turns_with_its_crown_and_goes_on_over_its_overhang() -> None:
    turn, at = radians(33.0), np.array([70.0, -40.0])
    axes = np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    floor = Floor(outline=tuple(map(tuple, np.array(FLOOR.outline) @ axes + at)))
    shape = vault(1.0, floor, ridge_direction=turn, overhang=0.3)
    points = np.column_stack([np.linspace(-0.2, 6.2, 9), np.linspace(0.1, 3.9, 9)])
    there = ceiling_height([roof_part(shape)], points @ axes + at)
    assert there == pytest.approx(vault(1.0).underside(points), abs=1e-9)
    # Beside a springing line it goes down in the direction of the last facet.
    eave = vault(1.0, overhang=0.3).underside(np.array([3.0, -0.3]))
    steep = 2 * atan(1.0 / 2.0)
    assert eave == pytest.approx(PLATE - 0.3 * np.tan(steep), abs=0.03)
    assert volume(roof_part(shape)) > 0.0


def test_a_vault_without_rise_is_a_flat_ceiling() -> None:
    shape = vault(0.0)
    assert len(shape.slopes) == 1
    assert volume(roof_part(shape)) == pytest.approx(6 * 4 * 0.15, rel=1e-12)


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({"pitch": 0.3}, "pitch: a vault has no pitch of its own, but pitch says 17.2 deg"),
        ({"ridge": None}, "does not give its heights: plate 2.400 m is not enough"),
        ({"plate": None}, "give plate or beam_underside as well"),
        ({"plate": None, "ridge": None}, "give plate and ridge"),
        ({"ridge": 4.6}, "make the vault rise 2.200 m, more than half its width"),
        ({"ridge": 2.0}, "put the crown below the springing lines; exchange them"),
        ({"ridge": 4.4, "overhang": 0.3}, "overhang: would go on down a vault"),
    ],
)
def test_heights_that_make_no_vault_are_refused(more: dict[str, float], message: str) -> None:
    with pytest.raises(InputError) as caught:
        vault(**more)  # type: ignore[arg-type]
    assert message in str(caught.value)


def test_the_ridge_that_is_offered_for_an_overhang_serves() -> None:
    # By hand: a pitch of 1.3 rad at the springing is a rise of half the width times tan 0.65.
    top = PLATE + 2.0 * np.tan(0.65) - 1e-6
    assert vault(ridge=top, overhang=0.3).slopes
    heights = resolve_heights(
        Roof(name="v", form="vault", beam_underside=2.2, beam_depth=0.2, ridge=3.4), FLOOR
    )
    assert (heights.plate, heights.ridge) == pytest.approx((2.4, 3.4))
    assert heights.pitch == pytest.approx(2 * atan(0.5))


def test_ribs_are_bent_like_the_vault() -> None:
    shape, r = vault(1.0), radius_of(1.0)
    ribs = rafter_parts(
        Rafters(name="ribs", roof="vault", spacing=1.2, first=0.6, width=0.05, depth=0.15), shape
    )
    assert [rib.name for rib in ribs] == [f"ribs {i}" for i in range(1, 6)]
    assert [float(rib.mesh.bounds[:, 0].mean()) for rib in ribs] == pytest.approx(
        [0.6, 1.8, 3.0, 4.2, 5.4], abs=1e-9
    )
    middle = np.array([2.0, PLATE + 1.0 - r])
    for rib in ribs:
        away = np.hypot(*(rib.mesh.vertices[:, 1:] - middle).T)
        assert away.max() <= r + 1e-9
        assert away.min() >= r - 0.15 - 2 * CHORD
        over = shape.underside(rib.mesh.vertices[:, :2]) - rib.mesh.vertices[:, 2]
        assert over.min() == pytest.approx(0.0, abs=1e-9)
    # What two circles leave between them over the width.
    outer = r**2 * asin(2 / r) + 2 * sqrt(r**2 - 4)
    inner = (r - 0.15) ** 2 * asin(2 / (r - 0.15)) + 2 * sqrt((r - 0.15) ** 2 - 4)
    assert volume(ribs[0]) == pytest.approx(0.05 * (outer - inner), rel=0.01)


def test_purlins_are_spaced_along_the_arc_and_touch_it() -> None:
    shape, r = vault(1.0), radius_of(1.0)
    purlins = rafter_parts(
        Rafters(
            name="p", roof="vault", run="across_slope", spacing=0.5, first=0.25, width=0.06,
            depth=0.1,
        ),
        shape,
    )  # fmt: skip
    length = 2 * r * asin(2.0 / r)
    assert len(purlins) == int((length - 0.25) / 0.5) + 1
    for number, purlin in enumerate(purlins):
        vertices = purlin.mesh.vertices
        over = shape.underside(vertices[:, :2]) - vertices[:, 2]
        assert over.min() == pytest.approx(0.0, abs=1e-9)
        angle = (0.25 + 0.5 * number) / r - asin(2.0 / r)
        middle = vertices[:, 1:].mean(axis=0) - [2.0, PLATE + 1.0 - r]
        assert np.arctan2(*middle) == pytest.approx(angle, abs=0.03)
        assert hypot(*middle) == pytest.approx(r - 0.05, abs=0.01)
        assert np.ptp(vertices[:, 0]) == pytest.approx(6.0, abs=1e-9)


def test_an_end_wall_follows_the_arc() -> None:
    scene = Scene(
        site=Site(name="test"),
        floor=FLOOR,
        roof=(Roof(name="vault", form="vault", plate=PLATE, ridge=PLATE + 1.0),),
        wall=(Wall(name="end", from_=(0.0, 0.0), to=(0.0, 4.0)),),
    )
    wall = build(scene).by_name["end"]
    r = radius_of(1.0)
    segment = r**2 * acos((r - 1.0) / r) - (r - 1.0) * sqrt(2 * r - 1.0)
    assert volume(wall) == pytest.approx(0.15 * (4 * PLATE + segment), rel=1e-3)
    assert wall.mesh.bounds[1, 2] == pytest.approx(PLATE + 1.0, abs=1e-9)
