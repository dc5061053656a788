"""Furniture from mesh files: what is read, and how what cannot be used is refused."""

from __future__ import annotations

import json
import resource
import struct
from pathlib import Path
from time import process_time

import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from heatcore.errors import MeshError
from heatcore.geometry import mesh_files
from heatcore.geometry.furniture import furniture_parts
from heatcore.geometry.mesh_files import furniture_mesh, load_mesh_file
from heatcore.geometry.parts import Mesh
from heatcore.geometry.sheets import is_closed
from heatcore.geometry.solid_things import solid_parts
from heatcore.scene.model import Furniture, FurnitureKind
from heatcore.scene.space import Solid

NAME = 'furniture "settee".mesh'
CORNERS = [(x, y, z) for z in (0, 3) for y in (0, 2) for x in (0, 1)]
FACES = [
    (0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5),
]  # fmt: skip


def obj(corners: object = None, faces: object = None, start: int = 1) -> str:
    """An OBJ text, its quads counter-clockwise seen from outside."""
    rows = [f"v {x} {y} {z}" for x, y, z in corners or CORNERS]
    rows += ["f " + " ".join(str(i + start) for i in face) for face in faces or FACES]
    return "\n".join(rows) + "\n"


def volume(mesh: Mesh) -> float:
    """The divergence theorem over the triangles [m3]."""
    a, b, c = (mesh.corners[:, i] for i in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


def box_file(path: Path) -> Path:
    """A box of 1 x 2 x 3 m as a reference library writes it."""
    trimesh.creation.box(extents=(1, 2, 3)).export(path)
    return path


@pytest.mark.parametrize("suffix", [".obj", ".stl", ".ply", ".STL"])
def test_z_up_formats_keep_their_axes(tmp_path: Path, suffix: str) -> None:
    mesh = load_mesh_file(box_file(tmp_path / f"box{suffix}"), NAME)
    np.testing.assert_allclose(np.ptp(mesh.vertices, axis=0), [1, 2, 3], atol=1e-6)
    assert volume(mesh) == pytest.approx(6.0)
    assert not mesh.vertices.flags.writeable


@pytest.mark.parametrize("suffix", [".glb", ".gltf"])
def test_gltf_has_y_up_by_its_standard_and_is_turned(tmp_path: Path, suffix: str) -> None:
    # glTF 2.0, section 3.4: right-handed, +Y is up, the front faces +Z. A wedge tells the sides.
    wedge = trimesh.convex.convex_hull([(0, 0, 0), (1, 0, 0), (0, 2, 0), (0, 0, 3)])
    if suffix == ".glb":
        wedge.export(tmp_path / "wedge.glb")
    else:
        for name, content in trimesh.exchange.gltf.export_gltf(trimesh.Scene(wedge)).items():
            (tmp_path / name.replace("model", "wedge")).write_bytes(content)
    mesh = load_mesh_file(tmp_path / f"wedge{suffix}", NAME)
    there = {tuple(np.round(v, 6) + 0.0) for v in mesh.vertices}
    assert there == {(0, 0, 0), (1, 0, 0), (0, 0, 2), (0, -3, 0)}
    assert volume(mesh) == pytest.approx(1.0)


def test_an_obj_by_hand_with_a_material_library_that_is_not_there(tmp_path: Path) -> None:
    path = tmp_path / "box.obj"
    path.write_text("mtllib ../../elsewhere.mtl\nusemtl oak\n" + obj())
    assert volume(load_mesh_file(path, NAME)) == pytest.approx(6.0)


def test_several_pieces_become_one_mesh(tmp_path: Path) -> None:
    path = tmp_path / "two.obj"
    apart = [(x + 5, y, z) for x, y, z in CORNERS]
    path.write_text("o one\n" + obj() + "o two\n" + obj(apart, start=9))
    assert volume(load_mesh_file(path, NAME)) == pytest.approx(12.0)


def test_a_hollow_piece_is_no_inverted_one(tmp_path: Path) -> None:
    path = tmp_path / "hollow.obj"
    inner = [(0.25 + x / 2, 0.5 + y / 2, 0.75 + z / 2) for x, y, z in CORNERS]
    path.write_text(obj() + obj(inner, [face[::-1] for face in FACES], start=9))
    assert volume(load_mesh_file(path, NAME)) == pytest.approx(6.0 - 6.0 / 8)


BROKEN = {
    "empty.obj": (b"", "cannot be read|holds no surface"),
    "garbage.obj": (bytes(range(256)) * 40, "cannot be read|holds no surface"),
    "garbage.stl": (bytes(range(256)) * 40, "cannot be read|holds no surface"),
    "garbage.ply": (bytes(range(256)) * 40, "cannot be read"),
    "garbage.glb": (bytes(range(256)) * 40, "cannot be read"),
    "garbage.gltf": (b"{]", "cannot be read"),
    "points.ply": (
        b"ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\n"
        b"property float z\nend_header\n0 0 0\n",
        "cannot be read|holds no surface",
    ),
    "open.obj": (obj(faces=FACES[1:]).encode(), "not closed"),
    "one face turned.obj": (obj(faces=[FACES[0][::-1], *FACES[1:]]).encode(), "not closed"),
    "inverted.obj": (obj(faces=[face[::-1] for face in FACES]).encode(), "inside out"),
    "flat.obj": (obj([(x, y, 0) for x, y, _ in CORNERS]).encode(), "encloses no space"),
    "nan.obj": (obj().replace("v 1 2 3", "v 1 nan 3").encode(), "finite|cannot be read"),
    "infinite.obj": (obj().replace("v 1 2 3", "v 1 1e999 3").encode(), "finite|cannot be read"),
    "one piece inverted.obj": (
        (
            obj() + obj([(x + 5, y, z) for x, y, z in CORNERS], [f[::-1] for f in FACES], start=9)
        ).encode(),
        "inside out|encloses no space",
    ),
    "small piece inverted.obj": (
        (
            obj()
            + obj([(x / 9 + 5, y / 9, z) for x, y, z in CORNERS], [f[::-1] for f in FACES], start=9)
        ).encode(),
        "a piece that is turned inside out",
    ),
    "picture.png": (b"\x89PNG", "no mesh file"),
}


@pytest.mark.parametrize("file", BROKEN)
def test_what_cannot_be_used_is_refused_by_name_with_a_remedy(tmp_path: Path, file: str) -> None:
    content, message = BROKEN[file]
    (tmp_path / file).write_bytes(content)
    with pytest.raises(MeshError, match=message) as caught:
        load_mesh_file(tmp_path / file, NAME)
    (mistake,) = caught.value.mistakes
    assert mistake.where == NAME
    assert mistake.remedy
    assert "\n" not in str(mistake)


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(MeshError, match="cannot be opened"):
        load_mesh_file(tmp_path / "none.obj", NAME)
    (tmp_path / "folder.obj").mkdir()
    with pytest.raises(MeshError, match="cannot be read"):
        load_mesh_file(tmp_path / "folder.obj", NAME)


def test_a_file_too_large_is_not_even_read(tmp_path: Path) -> None:
    with (tmp_path / "large.stl").open("wb") as file:
        file.truncate(mesh_files.LARGEST_FILE + 1)
    with pytest.raises(MeshError, match="more than the 200 MB"):
        load_mesh_file(tmp_path / "large.stl", NAME)


def gltf(path: Path, uri: str, nodes: int = 1) -> Path:
    """One triangle whose buffer is said to be at `uri`, repeated by many nodes."""
    path.write_text(
        json.dumps(
            {
                "asset": {"version": "2.0"},
                "scene": 0,
                "scenes": [{"nodes": list(range(nodes))}],
                "nodes": [{"mesh": 0}] * nodes,
                "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
                "buffers": [{"uri": uri, "byteLength": 36}],
                "bufferViews": [{"buffer": 0, "byteLength": 36}],
                "accessors": [{"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"}],
            }
        )
    )
    return path


TRIANGLE = struct.pack("<9f", 0, 0, 0, 1, 0, 0, 0, 1, 0)


@pytest.mark.parametrize("uri", ["../secret.bin", "/etc/passwd", "https://example.org/a.bin"])
def test_a_mesh_file_reaches_nothing_outside_its_folder(tmp_path: Path, uri: str) -> None:
    (tmp_path / "secret.bin").write_bytes(TRIANGLE)
    inside = tmp_path / "inside"
    inside.mkdir()
    with pytest.raises(MeshError, match=r"outside its folder|cannot be read"):
        load_mesh_file(gltf(inside / "a.gltf", uri), NAME)
    # The same triangle from beside it is read, and is then found open.
    (inside / "near.bin").write_bytes(TRIANGLE)
    with pytest.raises(MeshError, match="not closed"):
        load_mesh_file(gltf(inside / "b.gltf", "near.bin"), NAME)


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.bin").write_bytes(TRIANGLE)
    inside = tmp_path / "inside"
    inside.mkdir()
    (inside / "near.bin").symlink_to(tmp_path / "secret.bin")
    with pytest.raises(MeshError, match="outside its folder"):
        load_mesh_file(gltf(inside / "a.gltf", "near.bin"), NAME)


def test_triangles_are_counted_before_they_are_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mesh_files, "MOST_TRIANGLES", 50)
    (tmp_path / "near.bin").write_bytes(TRIANGLE)
    with pytest.raises(MeshError, match="51 triangles, more than the 50"):
        load_mesh_file(gltf(tmp_path / "a.gltf", "near.bin", nodes=51), NAME)


def _samples() -> dict[str, bytes]:
    box = trimesh.creation.box()
    return {kind: box.export(file_type=kind) for kind in ("stl", "ply", "glb")} | {
        "obj": obj().encode()
    }


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    kind=st.sampled_from(["stl", "ply", "glb", "obj"]),
    keep=st.floats(0.0, 1.0),
    at=st.floats(0.0, 0.999),
    put=st.binary(max_size=6),
)
@example(kind="obj", keep=1.0, at=0.5, put=b"\t")  # a corner with two coordinates
def test_any_damage_gives_a_mesh_or_one_clear_error(
    tmp_path: Path, kind: str, keep: float, at: float, put: bytes
) -> None:
    sample = _samples()[kind]
    content = bytearray(sample[: round(keep * len(sample))])
    start = int(at * len(content))
    content[start : start + len(put)] = put
    path = tmp_path / f"damaged.{kind}"
    path.write_bytes(content)
    mesh, where = None, NAME
    try:
        mesh = load_mesh_file(path, NAME)
    except MeshError as error:
        where = error.mistakes[0].where
    assert where == NAME
    assert mesh is None or volume(mesh) > 0


def settee(**given: object) -> Furniture:
    """A sofa from a mesh file."""
    values = {"name": "settee", "kind": "sofa", "at": (4.0, 5.0), "mesh": "box.obj", **given}
    return Furniture(**values)  # type: ignore[arg-type]


def test_a_mesh_piece_stands_on_the_floor_centred_with_its_front_ahead(tmp_path: Path) -> None:
    # A box 2 m wide and 1 m deep, a ledge at its front, which is toward -Y.
    trimesh.util.concatenate(
        [
            trimesh.creation.box(bounds=[(7, 3, -2), (9, 4, -1)]),
            trimesh.creation.box(bounds=[(7, 2.5, -2), (9, 2.9, -1.8)]),
        ]
    ).export(tmp_path / "box.obj")
    mesh = furniture_mesh(settee(), tmp_path)
    np.testing.assert_allclose(mesh.bounds, [(-0.75, -1, 0), (0.75, 1, 1)], atol=1e-9)
    assert mesh.vertices[mesh.vertices[:, 0] > 0.5][:, 2].max() == pytest.approx(0.2)
    parts, places = furniture_parts(settee(size=(1.8, 0.9, 0.8), facing=np.pi / 2), tmp_path)
    (part,) = parts
    assert part.name == "settee"
    np.testing.assert_allclose(
        part.mesh.bounds, [(4 - 0.9, 5 - 0.45, 0), (4 + 0.9, 5 + 0.45, 0.8)], atol=1e-9
    )
    # 1.8 m less two arms of 0.13 m hold two people of 0.6 m each.
    assert [place.name for place in places] == ["settee 1", "settee 2"]


@pytest.mark.parametrize(("kind", "extent"), [("table", (2.0, 1.0, 0.7)), ("bar", (1.0, 2.0, 0.7))])
def test_a_tables_length_lies_along_its_heading(
    tmp_path: Path, kind: FurnitureKind, extent: tuple[float, float, float]
) -> None:
    trimesh.creation.box(extents=(2, 1, 0.7)).export(tmp_path / "box.obj")
    mesh = furniture_mesh(settee(kind=kind), tmp_path)
    np.testing.assert_allclose(np.ptp(mesh.vertices, axis=0), extent)


def test_chairs_stand_around_the_table_that_the_file_holds(tmp_path: Path) -> None:
    trimesh.creation.box(extents=(2, 1, 0.74)).export(tmp_path / "box.obj")
    _, places = furniture_parts(settee(kind="table", chairs=6, at=(0.0, 0.0)), tmp_path)
    assert len(places) == 6
    assert all(abs(place.point[1]) > 0.5 for place in places)


@pytest.mark.parametrize("file", ["../box.obj", "/tmp/box.obj", "none.obj"])
def test_a_mesh_must_be_in_the_scenes_folder(tmp_path: Path, file: str) -> None:
    with pytest.raises(MeshError, match=r"leaving the folder|cannot be opened"):
        furniture_parts(settee(mesh=file), tmp_path)
    with pytest.raises(MeshError, match="no folder"):
        furniture_parts(settee(mesh=file), None)


# ------------------------------------------------------------------------ cut, garbled, huge


def _ceiling(kind: str) -> bytes:
    """A pitched sheet of 200 triangles as a reference library writes it."""
    n = 10
    x, y = np.meshgrid(np.linspace(-3, 3, n + 1), np.linspace(-3, 3, n + 1))
    i, j = (a.ravel() for a in np.meshgrid(np.arange(n), np.arange(n), indexing="ij"))
    a = i * (n + 1) + j
    b, c, d = a + 1, a + n + 2, a + n + 1
    faces = np.concatenate([np.stack([a, c, b], 1), np.stack([a, d, c], 1)])
    height = 3.0 + y / 3
    # glTF has Y up.
    points = (x, height, -y) if kind == "glb" else (x, y, height)
    mesh = trimesh.Trimesh(np.stack(points, axis=-1).reshape(-1, 3), faces, process=False)
    content = mesh.export(file_type=kind)
    return content.encode() if isinstance(content, str) else bytes(content)


KINDS_OF_FILE = ("obj", "stl", "ply", "glb")


def _ceiling_or_words(folder: Path, kind: str, content: bytes) -> None:
    """A damaged ceiling becomes a solid or one clear error, in time."""
    (folder / f"old.{kind}").write_bytes(content)
    solid = Solid(name="old", mesh=f"old.{kind}", role="ceiling", thickness=0.1)
    start = process_time()
    try:
        (part,) = solid_parts(solid, folder)
    except MeshError as error:
        (mistake,) = error.mistakes
        assert mistake.where == 'solid "old".mesh'
        assert mistake.remedy
    else:
        assert np.isfinite(part.mesh.vertices).all()
        assert is_closed(part.mesh)
        assert volume(part.mesh) > 0.0
    assert process_time() - start < 5.0


@pytest.mark.parametrize("kind", KINDS_OF_FILE)
def test_a_ceiling_cut_short_anywhere_is_a_solid_or_words(tmp_path: Path, kind: str) -> None:
    whole = _ceiling(kind)
    for part in range(51):
        _ceiling_or_words(tmp_path, kind, whole[: len(whole) * part // 50])


@pytest.mark.parametrize("kind", KINDS_OF_FILE)
def test_a_ceiling_with_bytes_turned_over_is_a_solid_or_words(tmp_path: Path, kind: str) -> None:
    whole, draw = _ceiling(kind), np.random.default_rng(11)
    for count in (1, 3, 30, 300):
        for _ in range(12):
            content = np.frombuffer(whole, dtype=np.uint8).copy()
            at = draw.integers(0, len(content), count)
            content[at] ^= draw.integers(1, 256, count, dtype=np.uint8)
            _ceiling_or_words(tmp_path, kind, content.tobytes())


def _huge() -> dict[str, bytes]:
    """Small files that say that they hold thousands of millions of things."""
    glb = bytearray(_ceiling("glb"))
    length = struct.unpack_from("<I", glb, 12)[0]
    tree = json.loads(bytes(glb[20 : 20 + length]))
    for accessor in tree["accessors"]:
        accessor["count"] = 4_000_000_000
    said = json.dumps(tree).encode()
    said += b" " * (-len(said) % 4)
    rest = bytes(glb[20 + length :])
    header = struct.pack("<4sIIII", b"glTF", 2, 20 + len(said) + len(rest), len(said), 0x4E4F534A)
    words = (
        "ply\nformat {} 1.0\nelement vertex 4000000000\nproperty float x\nproperty float y\n"
        "property float z\nelement face 4000000000\n"
        "property list uchar int vertex_indices\nend_header\n"
    )
    return {
        "binary.stl": b" " * 80 + struct.pack("<I", 0xFFFFFFFF) + bytes(500),
        "text.ply": words.format("ascii").encode() + b"0 0 0\n3 0 0 0\n",
        "binary.ply": words.format("binary_little_endian").encode() + bytes(500),
        "said.glb": header + said + rest,
        "far.obj": b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4000000000\nf 1 2 -4000000000\n",
        "wide.obj": b"v 0 0 0\nv 1e300 0 0\nv 0 1e300 1e300\nv 0 0 1\nf 1 2 3\nf 1 2 4\n",
    }


@pytest.mark.parametrize("file", ["binary.stl", "text.ply", "binary.ply", "said.glb", "far.obj",
                                  "wide.obj"])  # fmt: skip
def test_what_says_to_be_huge_is_refused_without_making_room_for_it(
    tmp_path: Path, file: str
) -> None:
    (tmp_path / file).write_bytes(_huge()[file])
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(MeshError):
        solid_parts(Solid(name="old", mesh=file, role="ceiling", thickness=0.1), tmp_path)
    # Kilobytes on Linux.
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 300_000
