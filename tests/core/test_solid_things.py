"""Ceilings, walls and beams out of mesh files."""

from __future__ import annotations

from dataclasses import replace
from math import atan, pi, tan
from pathlib import Path

import numpy as np
import pytest
import trimesh

from heatcore.errors import InputError, MeshError
from heatcore.geometry.build import build
from heatcore.geometry.overhead import ceiling_height
from heatcore.geometry.parts import Kind, Mesh, Part
from heatcore.geometry.sheets import is_closed
from heatcore.geometry.solid_things import solid_parts
from heatcore.geometry.solids import solid_of
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Heater, Scene, Site
from heatcore.scene.space import Floor, Roof, Solid
from heatcore.scene.types import BracketType
from tests.core.mounting_site import LINEAR, bracket, heater

FLOOR = Floor(outline=((-4.0, -4.0), (4.0, -4.0), (4.0, 4.0), (-4.0, 4.0)))
PITCH = atan(4 / 12)


def grid(heights: np.ndarray, half: float = 4.0) -> trimesh.Trimesh:
    """A sheet over a square, from its heights at (n, n) points; its faces look down."""
    n = len(heights)
    x, y = np.meshgrid(np.linspace(-half, half, n), np.linspace(-half, half, n))
    i, j = (a.ravel() for a in np.meshgrid(np.arange(n - 1), np.arange(n - 1), indexing="ij"))
    a = i * n + j
    b, c, d = a + 1, a + n + 1, a + n
    faces = np.concatenate([np.stack([a, c, b], 1), np.stack([a, d, c], 1)])
    points = np.stack([x, y, heights], axis=-1).reshape(-1, 3)
    return trimesh.Trimesh(points, faces, process=False)


def pitched(n: int = 9, pitch: float = PITCH) -> trimesh.Trimesh:
    """A slope that falls toward -Y, 3 m high over the middle."""
    return grid(np.tile(3.0 + tan(pitch) * np.linspace(-4, 4, n)[:, None], (1, n)))


def part(mesh: trimesh.Trimesh, folder: Path, **changes: object) -> Part:
    """What such a file makes of a solid thing."""
    mesh.export(folder / "thing.ply")
    said = {"name": "old ceiling", "mesh": "thing.ply", "role": "ceiling", **changes}
    (made,) = solid_parts(Solid(**said), folder)  # type: ignore[arg-type]
    return made


def volume(mesh: Mesh) -> float:
    """By the divergence theorem over the triangles [m3]."""
    a, b, c = (mesh.corners[:, i] for i in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


@pytest.mark.parametrize("drawn", ["down", "up", "mixed", "twice"])
def test_an_open_ceiling_goes_up_whichever_way_its_faces_look(tmp_path: Path, drawn: str) -> None:
    mesh = pitched()
    if drawn == "up":
        mesh.faces = mesh.faces[:, ::-1]
    elif drawn == "mixed":
        mesh.faces[::3] = mesh.faces[::3, ::-1]
    elif drawn == "twice":
        mesh.faces = np.concatenate([mesh.faces, mesh.faces[:, ::-1]])
    made = part(mesh, tmp_path, thickness=0.1)
    assert made.kind is Kind.ROOF
    assert is_closed(made.mesh)
    # Up means plumb: the volume is the plan's area times the thickness.
    assert volume(made.mesh) == pytest.approx(64 * 0.1, rel=1e-6)
    assert solid_of(made.mesh, "it").volume() == pytest.approx(6.4, rel=1e-6)
    points = np.random.default_rng(1).uniform(-3.9, 3.9, (50, 2))
    found = ceiling_height([made], points)
    # The file holds single precision.
    assert found == pytest.approx(3.0 + points[:, 1] / 3, abs=1e-6)


def test_a_ceiling_with_a_hole_a_step_and_pieces_that_touch_in_a_point(tmp_path: Path) -> None:
    heights = np.full((9, 9), 2.5)
    mesh = grid(heights)
    middles = mesh.triangles_center[:, :2]
    hole = (np.abs(middles) < 1.0).all(axis=1)
    corner = ((middles > 1.0) & (middles < 3.0)).all(axis=1)
    kept = mesh.faces[~hole & ~corner]
    holed = trimesh.Trimesh(mesh.vertices, kept, process=False)
    made = part(holed, tmp_path, thickness=0.2)
    assert volume(made.mesh) == pytest.approx((64 - 4 - 4) * 0.2, rel=1e-6)
    assert ceiling_height([made], np.array([[0.0, 0.0]])) == np.inf
    # A step: the upright face between two levels belongs to the sheet.
    low = np.array([(x, y, 2.5) for y in (0, 2) for x in (0, 2)], dtype=float)
    high = low + np.array([2.0, 0.0, 0.4])
    riser = np.array([low[1], low[3], high[0], high[2]])
    points = np.concatenate([low, high, riser])
    faces = [(0, 2, 1), (1, 2, 3), (4, 6, 5), (5, 6, 7), (8, 9, 10), (10, 9, 11)]
    stepped = trimesh.Trimesh(points, faces, process=False)
    made = part(stepped, tmp_path, thickness=0.1)
    assert is_closed(made.mesh)
    assert volume(made.mesh) == pytest.approx(8 * 0.1, rel=1e-6)
    assert (np.abs(made.mesh.normals[:, 0]) > 0.99).any()


@pytest.mark.parametrize("role", ["wall", "beam", "obstacle"])
def test_another_open_surface_gets_its_thickness_behind_its_faces(
    tmp_path: Path, role: str
) -> None:
    # A wall of two parts at right angles, its faces toward -Y and +X: a corner.
    points = [(0, 0, 0), (3, 0, 0), (3, 2, 0), (0, 0, 2.5), (3, 0, 2.5), (3, 2, 2.5)]
    faces = [(0, 1, 4), (0, 4, 3), (1, 2, 5), (1, 5, 4)]
    sheet = trimesh.Trimesh(points, faces, process=False)
    sheet.faces[1] = sheet.faces[1][::-1]  # one of four the other way round
    made = part(sheet, tmp_path, role=role, thickness=0.2)
    assert made.kind is {"wall": Kind.WALL, "beam": Kind.BEAM, "obstacle": Kind.SOLID}[role]
    solid = solid_of(made.mesh, "it")
    # Mitred at the corner: inside of it, so 3 x 0.2 + 2 x 0.2 less the 0.2 x 0.2 counted twice.
    assert solid.volume() == pytest.approx(2.5 * (0.6 + 0.4 - 0.04), rel=1e-6)
    assert made.mesh.bounds == pytest.approx(np.array([[0, 0, 0], [3, 2, 2.5]]), abs=1e-6)


def test_a_closed_file_is_put_where_the_scene_says(tmp_path: Path) -> None:
    box = trimesh.creation.box(bounds=[(0, 0, 0), (4, 0.2, 0.3)])
    made = part(box, tmp_path, role="beam", at=(1.0, 2.0), base=2.5, turn=pi / 2)
    assert made.mesh.bounds == pytest.approx(np.array([[0.8, 2.0, 2.5], [1.0, 6.0, 2.8]]), abs=1e-6)
    assert volume(made.mesh) == pytest.approx(0.24, rel=1e-5)
    assert (made.name, made.owner, made.combustible) == ("old ceiling", "old ceiling", True)
    assert not part(box, tmp_path, role="wall", material="stone").combustible


def test_what_cannot_be_made_solid_is_refused_with_a_remedy(tmp_path: Path) -> None:
    def refused(mesh: trimesh.Trimesh, **changes: object) -> str:
        with pytest.raises(MeshError) as caught:
            part(mesh, tmp_path, **changes)
        (mistake,) = caught.value.mistakes
        assert mistake.where == 'solid "old ceiling".mesh'
        return str(mistake)

    assert "a thickness" in refused(pitched())
    # An arch that goes on round under itself.
    turn = np.linspace(0, 1.5 * pi, 20)
    rings = [np.stack([2 * np.cos(turn), np.full(20, y), 3 + np.sin(turn)], 1) for y in (0.0, 2.0)]
    i = np.arange(19)
    over = trimesh.Trimesh(
        np.concatenate(rings),
        np.concatenate([np.stack([i, i + 1, i + 20], 1), np.stack([i + 1, i + 21, i + 20], 1)]),
        process=False,
    )
    assert "lies over itself" in refused(over, thickness=0.1)
    # The same rolled as tightly as its thickness: its back cannot be offset that far.
    over.vertices = over.vertices * (0.02, 1.0, 0.04)
    over.faces = over.faces[:, ::-1]
    assert "more tightly" in refused(over, thickness=0.1, role="wall")
    upright = trimesh.Trimesh([(0, 0, 0), (3, 0, 0), (3, 0, 2)], [(0, 1, 2)], process=False)
    assert "no ceiling" in refused(upright, thickness=0.1)
    # A strip whose ends are joined after half a turn (Moebius) has one side.
    turn = np.linspace(0, 2 * pi, 24, endpoint=False)
    edge = [
        np.stack([(2 + s * np.cos(turn / 2)) * np.cos(turn),
                  (2 + s * np.cos(turn / 2)) * np.sin(turn), s * np.sin(turn / 2)], 1)
        for s in (-0.5, 0.5)
    ]  # fmt: skip
    i = np.arange(23)
    strip = [np.stack([i, i + 1, i + 24], 1), np.stack([i + 1, i + 25, i + 24], 1)]
    joint = [(23, 24, 47), (24, 0, 47)]
    one_sided = trimesh.Trimesh(
        np.concatenate(edge), np.concatenate([*strip, joint]), process=False
    )
    assert "one side only" in refused(one_sided, thickness=0.1)
    inverted = trimesh.creation.box()
    inverted.faces = inverted.faces[:, ::-1]
    assert "inside out" in refused(inverted)
    with pytest.raises(MeshError, match=r"holds no surface|cannot be read"):
        part(trimesh.Trimesh(), tmp_path)
    line = trimesh.Trimesh([(0, 0, 0), (1, 0, 0), (2, 0, 0)], [(0, 1, 1)], process=False)
    assert "holds no surface" in refused(line, thickness=0.1)
    with pytest.raises(MeshError, match="no folder"):
        solid_parts(Solid(name="old ceiling", mesh="thing.ply"), None)
    with pytest.raises(MeshError, match="leaving the folder"):
        solid_parts(Solid(name="old ceiling", mesh="../thing.ply"), tmp_path)


# ------------------------------------------------------------------------- hanging from them


def scene(
    folder: Path,
    mesh: trimesh.Trimesh,
    one: Heater,
    brackets: tuple[BracketType, ...] = (bracket(),),
    **changes: object,
) -> Scene:
    """A place with one solid thing out of a file, and one heater."""
    mesh.export(folder / "thing.ply")
    said = {"name": "old", "mesh": "thing.ply", "role": "ceiling", **changes}
    return Scene(
        site=Site(name="test"),
        floor=FLOOR,
        solid=(Solid(**said),),  # type: ignore[arg-type]
        heater=(one,),
        heater_types={"linear": LINEAR},
        bracket_types={b.name: b for b in brackets},
        folder=folder,
    )


def hung(site: Scene) -> Mount:
    return hang(site, build(site))[0]


@pytest.mark.parametrize("named", [False, True])
@pytest.mark.parametrize("style", ["square", "plumb"])
@pytest.mark.parametrize("angle", [0.0, pi / 2, 0.7])
def test_a_ceiling_of_many_triangles_carries_like_a_roof(
    tmp_path: Path, named: bool, style: str, angle: float
) -> None:
    one = heater(heading=angle, mounted_on="old" if named else None)
    site = scene(
        tmp_path, pitched(41), one, (bracket(style=style),), thickness=0.1, material="timber"
    )
    mount = hung(site)
    assert mount.holds, mount.faults
    assert {arm.surface for arm in mount.arms} == {"old"}
    roof = Roof(
        name="roof", form="single_slope", falls_toward=-pi / 2, plate=3.0 - 4 / 3, pitch=PITCH
    )
    plain = replace(site, solid=(), roof=(roof,), heater=(replace(one, mounted_on=None),))
    like = hung(plain)
    # The file holds single precision, a quarter of a micrometre at 3 m.
    assert mount.frame.origin == pytest.approx(like.frame.origin, abs=2e-6)
    assert mount.gaps == pytest.approx(like.gaps, abs=2e-6)
    for arm, other in zip(mount.arms, like.arms, strict=True):
        assert arm.length == pytest.approx(other.length, abs=2e-6)
        assert arm.foot == pytest.approx(other.foot, abs=1e-5)


def test_a_beam_and_a_wall_out_of_a_file_carry_what_suits_them(tmp_path: Path) -> None:
    beam = trimesh.creation.box(bounds=[(-3, -0.1, 2.6), (3, 0.1, 2.9)])
    mount = hung(scene(tmp_path, beam, heater(mounted_on="old"), role="beam"))
    assert mount.holds, mount.faults
    assert mount.frame.x == pytest.approx([1, 0, 0], abs=1e-12)
    assert [arm.foot[2] for arm in mount.arms] == pytest.approx([2.6, 2.6], abs=1e-6)

    wall = trimesh.creation.box(bounds=[(-3, 3.0, 0), (3, 3.3, 2.7)])
    arm = bracket(mount="wall", arm=0.3, fine=0.5)
    for named in (None, "old"):
        one = heater(at=(0.5, 3.0), mount="wall", height=2.0, mounted_on=named)
        mount = hung(scene(tmp_path, wall, one, (arm,), role="wall"))
        assert mount.holds, mount.faults
        # Its +Y looks out over the patio.
        assert mount.frame.y == pytest.approx([0, -1, 0], abs=1e-9)
        assert [a.foot[1] for a in mount.arms] == pytest.approx([3.0, 3.0], abs=1e-6)
        assert mount.frame.origin[0] == pytest.approx(0.5)
    high = heater(at=(0.5, 3.0), mount="wall", height=3.5, mounted_on="old")
    with pytest.raises(InputError, match="no upright face there"):
        hung(scene(tmp_path, wall, high, (arm,), role="wall"))


def test_an_uneven_wall_is_stood_off_square_to_its_run(tmp_path: Path) -> None:
    rough = trimesh.creation.box(bounds=[(-3, 3.0, 0), (3, 3.3, 2.7)])
    for _ in range(5):
        rough = rough.subdivide()
    rough.merge_vertices()
    front = rough.vertices[:, 1] < 3.0 + 1e-9
    rough.vertices[front, 1] += np.random.default_rng(3).uniform(-0.002, 0.002, front.sum())
    one = heater(at=(0.5, 2.9), mount="wall", height=2.0)
    arm = bracket(mount="wall", arm=0.3, fine=0.5)
    mount = hung(scene(tmp_path, rough, one, (arm,), role="wall"))
    assert abs(mount.frame.x[1]) < np.radians(1.0)
    assert mount.frame.y[1] == pytest.approx(-1.0, abs=1e-3)


@pytest.mark.parametrize(
    ("role", "mount"), [("obstacle", "ceiling"), ("wall", "stem"), ("ceiling", "wall")]
)
def test_a_solid_carries_only_what_its_role_says(tmp_path: Path, role: str, mount: str) -> None:
    one = heater(mounted_on="old", mount=mount, height=2.0)
    stock = (bracket(mount=mount),)
    with pytest.raises(InputError, match=f"has the role {role}, and carries no {mount} mount"):
        hung(scene(tmp_path, trimesh.creation.box(), one, stock, role=role))


def test_nothing_but_a_ceiling_overhead_carries_without_being_named(tmp_path: Path) -> None:
    box = trimesh.creation.box(bounds=[(-2, -2, 2.6), (2, 2, 2.8)])
    with pytest.raises(InputError, match="there is no roof above it"):
        hung(scene(tmp_path, box, heater(), role="obstacle"))


def test_a_bad_file_is_one_mistake_among_all(tmp_path: Path) -> None:
    site = scene(tmp_path, pitched(), heater())
    site = replace(site, roof=(Roof(name="roof", form="gable"),))
    with pytest.raises(InputError) as caught:
        build(site)
    assert [m.where for m in caught.value.mistakes] == ['roof "roof"', 'solid "old".mesh']
