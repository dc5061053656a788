"""The piece of an object inside the clearance volumes, against volumes worked out by hand."""

import numpy as np
import pytest
import trimesh

from heatcore.checks.intrusion import intrusion
from heatcore.geometry.frames import Frame, heading_axes
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater
from heatcore.scene.types import BracketType, Distances, HeaterType

# Invented: a body of 1.0 x 0.2 x 0.1 m, so that every volume below is a product of round figures.
TYPE = HeaterType(
    name="test",
    label="test",
    note="invented",
    input_power=1000.0,
    voltage=230.0,
    radiant_fraction=0.5,
    element_temperature=900.0,
    length=1.0,
    width=0.2,
    height=0.1,
    aperture_length=0.9,
    aperture_width=0.1,
    combustible=Distances(above=0.3, sides=0.4, ends=0.5, below=0.6),
    noncombustible=Distances(above=0.1, sides=0.1, ends=0.1, below=0.1),
    spacing=0.5,
    least_spacing=0.4,
    most_spacing=0.6,
    least_height=2.0,
    most_height=3.0,
    mass=5.0,
)
BRACKET = BracketType(name="test", label="test", note="invented", mount="ceiling", arm=0.1)


def hung(origin=(0.0, 0.0, 2.5), heading: float = 0.0, tilt: float = 0.0) -> Mount:
    frame = Frame(np.array(origin), heading_axes(heading, tilt))
    heater = Heater(name="H1", type="test", at=(0.0, 0.0))
    four = np.full(4, np.inf)
    return Mount(heater, TYPE, frame, tilt, BRACKET, (), four, ("",) * 4, 0.0, (), (), ())


def box(low, high, mount: Mount, *, combustible: bool = True) -> Part:
    """A box given in the heater's own frame."""
    low, high = np.array(low), np.array(high)
    solid = trimesh.creation.box(bounds=[low, high])
    mesh = Mesh(mount.frame.to_world(solid.vertices), solid.faces)
    return Part("thing", "thing", Kind.FITTING, mesh, "timber", combustible)


def volume(mesh: Mesh) -> float:
    solid = trimesh.Trimesh(mesh.vertices, mesh.triangles)
    assert solid.is_watertight
    return float(solid.volume)


def test_volumes_stand_where_the_design_says() -> None:
    upper, lower = clearance_volumes(TYPE)
    np.testing.assert_allclose(upper, [[-0.5, -0.1, 0.1], [0.5, 0.1, 0.4]])
    np.testing.assert_allclose(lower, [[-1.0, -0.5, -0.6], [1.0, 0.5, 0.1]])


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        ((-2, -2, 0.3), (2, 2, 1.0), 1.0 * 0.2 * 0.1),  # a ceiling 0.2 m over the top
        ((0.9, -2, -2), (1.2, 2, 2), 0.1 * 1.0 * 0.7),  # a wall 0.4 m off the end
        ((-3, -3, -3), (3, 3, 3), 1.0 * 0.2 * 0.3 + 2.0 * 1.0 * 0.7),  # all of both
    ],
)
@pytest.mark.parametrize(
    "place", [{}, {"origin": (100.0, -80.0, 2.5), "heading": 0.6, "tilt": 0.4}]
)
def test_the_piece_inside_has_the_volume_it_should(low, high, expected, place) -> None:
    mount = hung(**place)
    piece = intrusion(mount, box(low, high, mount))
    assert piece is not None
    assert volume(piece) == pytest.approx(expected, rel=1e-6)


def test_what_only_touches_or_is_beside_it_does_not_intrude() -> None:
    mount = hung()
    assert intrusion(mount, box((1.0, -1, -1), (2, 1, 1), mount)) is None
    assert intrusion(mount, box((-0.5, 0.2, 0.11), (0.5, 0.6, 0.4), mount)) is None  # over the side


def test_other_material_has_its_own_smaller_volumes() -> None:
    mount = hung()
    place = (0.7, -0.05, 0.0), (0.9, 0.05, 0.05)
    assert intrusion(mount, box(*place, mount)) is not None
    assert intrusion(mount, box(*place, mount, combustible=False)) is None


def test_an_open_surface_gives_the_surface_inside() -> None:
    mount = hung()
    sheet = np.array([[-3.0, -3.0, 0.0], [3.0, -3.0, 0.0], [3.0, 3.0, 0.0], [-3.0, 3.0, 0.0]])
    mesh = Mesh(mount.frame.to_world(sheet), np.array([[0, 1, 2], [0, 2, 3]]))
    piece = intrusion(mount, Part("sheet", "sheet", Kind.SCREEN, mesh, "fabric", True))
    assert piece is not None
    area = trimesh.Trimesh(piece.vertices, piece.triangles).area
    assert area == pytest.approx(2.0 * 1.0)
