"""Mesh files cut, garbled, huge, recursive and misnamed, as furniture and as parts of the place."""

from __future__ import annotations

import json
import random
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
import trimesh

from tests.soak.mutate import garbled

# How each form is written, and the ending that its files have.
FORMS = {
    "obj": "obj", "stl": "stl", "stl_ascii": "stl", "ply": "ply", "ply_ascii": "ply",
    "glb": "glb", "gltf": "gltf",
}  # fmt: skip
ENDINGS = ("obj", "stl", "ply", "glb", "gltf", "3mf", "txt", "OBJ", "")
CUTS = 50
ROLES = ("furniture", "ceiling", "beam", "wall", "obstacle")


@dataclass(frozen=True)
class MeshCase:
    """One mesh file, and what it is used for.

    Attributes
    ----------
    form : of the file
    way : what was done to it
    number : which one of that
    """

    form: str
    way: str
    number: int

    @property
    def name(self) -> str:
        """What a report calls it, and by which it is made again."""
        return f"{self.form}:{self.way}:{self.number}"


def cases(garbles: int) -> Iterator[MeshCase]:
    """Every case, with so many garbled files of each form."""
    for form in FORMS:
        for way, count in (("whole", 10), ("cut", CUTS), ("ending", len(ENDINGS))):
            yield from (MeshCase(form, way, number) for number in range(count))
        yield from (MeshCase(form, "garbled", number) for number in range(garbles))
    for form, made in (("obj", OBJS), ("stl", STLS), ("ply", PLYS), ("glb", GLBS)):
        for way in made:
            yield from (MeshCase(form, way, number) for number in range(2))


def files(case: MeshCase) -> dict[str, bytes]:
    """The files of a case, by name: the scene, the mesh, and what it refers to."""
    rng = random.Random(case.name)
    ending = FORMS[case.form]
    beside: dict[str, bytes] = {}
    special = {"obj": OBJS, "stl": STLS, "ply": PLYS, "glb": GLBS}.get(case.form, {})
    if case.way in special:
        content = special[case.way]()
    else:
        content, beside = whole(case.form)
        if case.way == "cut":
            content = content[: len(content) * case.number // CUTS]
        elif case.way == "garbled":
            content = garbled(content, rng)
        elif case.way == "ending":
            ending = ENDINGS[case.number]
    mesh = f"mesh.{ending}" if ending else "mesh"
    return {"scene.toml": scene(mesh, rng).encode(), mesh: content, **beside}


def scene(mesh: str, rng: random.Random) -> str:
    """A scene that uses a mesh file: as furniture, or as a part of the place."""
    role = rng.choice(ROLES)
    text = '[site]\nname = "Soak"\n[floor]\n'
    text += 'outline = [[0, 0], ["4 m", 0], ["4 m", "4 m"], [0, "4 m"]]\n'
    if role != "ceiling":
        text += '[[roof]]\nname = "roof"\nform = "flat"\nplate = "3 m"\n'
    if role == "furniture":
        kind = rng.choice(("bench", "table", "planter", "chair"))
        text += f'[[furniture]]\nname = "thing"\nkind = "{kind}"\nat = ["2 m", "2 m"]\n'
        text += f'mesh = "{mesh}"\n'
        text += rng.choice(("", 'size = ["2 m", "1 m", "0.5 m"]\n'))
    else:
        base = "3 m" if role == "ceiling" else rng.choice(("0 m", "2 m", "2.4 m"))
        text += f'[[solid]]\nname = "thing"\nrole = "{role}"\nmesh = "{mesh}"\nbase = "{base}"\n'
        text += f'at = ["2 m", "2 m"]\nturn = "{rng.choice((0, 30, 90))} deg"\n'
        text += rng.choice(("", 'thickness = "50 mm"\n'))
    heater = '[[heater]]\nname = "H1"\ntype = "short linear"\nat = ["2.1 m", "1.9 m"]\n'
    if role == "wall":
        heater += 'mount = "wall"\nmounted_on = "thing"\nheight = "2.3 m"\n'
    elif role == "beam":
        heater += 'mount = "beam"\n'
    return text + heater


@cache
def slab() -> trimesh.Trimesh:
    """A closed slab of 192 triangles, a little bent."""
    mesh = trimesh.creation.box(extents=(3.5, 3.0, 0.2)).subdivide().subdivide()
    x, y, z = mesh.vertices.T
    mesh.vertices = np.stack([x, y, z + 0.1 + 0.02 * x * x], axis=1)
    return mesh


@cache
def whole(form: str) -> tuple[bytes, dict[str, bytes]]:
    """A right file, and what stands beside it."""
    if form == "gltf":
        made = trimesh.Scene(slab()).export(file_type="gltf")
        return made["model.gltf"], {k: v for k, v in made.items() if k != "model.gltf"}
    if form == "ply_ascii":
        content = slab().export(file_type="ply", encoding="ascii")
    elif form == "glb":
        content = trimesh.Scene(slab()).export(file_type="glb")
    else:
        content = slab().export(file_type=form)
    return (content.encode() if isinstance(content, str) else content), {}


# ---------------------------------------------------------------------- huge, and out of joint


def _obj(faces: str, vertices: str = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\n") -> bytes:
    return (vertices + faces).encode()


_TETRAHEDRON = "f 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4\n"

OBJS: dict[str, Callable[[], bytes]] = {
    "a corner far away": lambda: _obj(_TETRAHEDRON, "v 0 0 0\nv 1e300 0 0\nv 0 1 0\nv 0 0 1\n"),
    "corners at the limit": lambda: _obj(
        _TETRAHEDRON, "v 0 0 0\nv 9e9 0 0\nv 0 9e9 0\nv 0 0 9e9\n"
    ),
    "tiny": lambda: _obj(_TETRAHEDRON, "v 0 0 0\nv 1e-9 0 0\nv 0 1e-9 0\nv 0 0 1e-9\n"),
    "nan": lambda: _obj(_TETRAHEDRON, "v nan 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\n"),
    "inf": lambda: _obj(_TETRAHEDRON, "v inf 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\n"),
    "flat": lambda: _obj(_TETRAHEDRON, "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 1 1 0\n"),
    "a huge number": lambda: _obj("f 1 2 999999999999\n"),
    "a negative number": lambda: _obj("f -1 -2 -3\nf -9 -8 -7\n"),
    "a huge polygon": lambda: _obj("f " + " ".join(["1", "2", "3"] * 100_000)),
    "a library outside": lambda: _obj("mtllib ../../../etc/passwd\nusemtl a\n" + _TETRAHEDRON),
    "the library of everything": lambda: _obj("mtllib /dev/zero\nusemtl a\n" + _TETRAHEDRON),
    "itself as library": lambda: _obj("mtllib mesh.obj\nusemtl a\n" + _TETRAHEDRON),
    "many groups": lambda: _obj("".join(f"g {i}\nf 1 3 2\n" for i in range(20_000))),
    "one long line": lambda: _obj("# " + "x" * 30_000_000),
    "a million corners": lambda: _obj("", "v 0 0 0\n" * 1_000_000),
    "a million of one face": lambda: _obj("f 1 3 2\n" * 1_000_000),
    "a solid many times over": lambda: _obj(_TETRAHEDRON * 100_000),
    "a number of many digits": lambda: _obj(_TETRAHEDRON, "v " + "1" * 100_000 + " 0 0\n"),
}


def _stl(count: int, triangles: int = 4) -> bytes:
    return b"\0" * 80 + struct.pack("<I", count) + b"\x11" * 50 * triangles


STLS: dict[str, Callable[[], bytes]] = {
    "a huge count": lambda: _stl(0xFFFFFFFF),
    "a large count": lambda: _stl(50_000_000),
    "none": lambda: _stl(0, 0),
    "fewer than there are": lambda: _stl(1),
    "half a word": lambda: b"solid",
    "words without end": lambda: b"solid x\n" + b"facet normal 0 0 1\nouter loop\n" * 300_000,
    "empty": lambda: b"",
    "zeros": lambda: b"\0" * 1_000_000,
}


def _ply(header: str, body: bytes = b"", form: str = "binary_little_endian") -> bytes:
    return f"ply\nformat {form} 1.0\n{header}end_header\n".encode() + body


_XYZ = "property float x\nproperty float y\nproperty float z\n"
_FACES = "property list uchar int vertex_indices\n"

PLYS: dict[str, Callable[[], bytes]] = {
    "huge counts": lambda: _ply(
        f"element vertex 4000000000\n{_XYZ}element face 4000000000\n{_FACES}", b"\1" * 999
    ),
    "a negative count": lambda: _ply(f"element vertex -1\n{_XYZ}element face -1\n{_FACES}"),
    "a count of many digits": lambda: _ply(f"element vertex {'9' * 5000}\n{_XYZ}"),
    "huge lists": lambda: _ply(
        f"element vertex 3\n{_XYZ}element face 1\nproperty list uint int vertex_indices\n",
        b"\0" * 36 + b"\xff" * 8,
    ),
    "huge counts in words": lambda: _ply(
        f"element vertex 4000000000\n{_XYZ}element face 1\n{_FACES}", b"0 0 0\n", "ascii"
    ),
    "no end of the header": lambda: b"ply\nformat ascii 1.0\n" + b"comment x\n" * 300_000,
    "unknown kinds": lambda: _ply("element vertex 3\nproperty quad x\nelement face 1\n"),
    "many elements": lambda: _ply("".join(f"element e{i} 1\n{_XYZ}" for i in range(5_000))),
    "numbers that are none": lambda: _ply(
        f"element vertex 3\n{_XYZ}element face 1\n{_FACES}", b"x y z\n" * 4, "ascii"
    ),
}


def _glb(tree: str, binary: bytes = b"", length: int | None = None) -> bytes:
    text = tree.encode()
    text += b" " * (-len(text) % 4)
    binary += b"\0" * (-len(binary) % 4)
    size = len(text) if length is None else length
    body = struct.pack("<II", size, 0x4E4F534A) + text
    body += struct.pack("<II", len(binary), 0x004E4942) + binary
    return struct.pack("<III", 0x46546C67, 2, 12 + len(body)) + body


def _tree(**more: object) -> str:
    usual: dict[str, object] = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1, "mode": 4}]}],
        "buffers": [{"byteLength": 72}],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": 48},
            {"buffer": 0, "byteOffset": 48, "byteLength": 24},
        ],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": 4, "type": "VEC3"},
            {"bufferView": 1, "componentType": 5123, "count": 12, "type": "SCALAR"},
        ],
    }
    return json.dumps({**usual, **more})


_CORNERS = np.array([(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1)], "<f4").tobytes()
_NUMBERS = np.array([0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3], "<u2").tobytes()
_BINARY = _CORNERS + _NUMBERS


def _chain(length: int) -> list[dict[str, object]]:
    return [{"children": [i + 1]} for i in range(length)] + [{"mesh": 0}]


def _accessor(**more: object) -> list[dict[str, object]]:
    usual: dict[str, object] = {"componentType": 5126, "type": "VEC3", "bufferView": 0, "count": 4}
    second: dict[str, object] = {"bufferView": 1, "componentType": 5123, "count": 12}
    return [{**usual, **more}, {**second, "type": "SCALAR"}]


def _doubling(levels: int) -> list[dict[str, object]]:
    """Each node has the next one twice: two to the power of the levels, when written out."""
    return [{"children": [i + 1, i + 1]} for i in range(levels)] + [{"mesh": 0}]


GLBS: dict[str, Callable[[], bytes]] = {
    "right": lambda: _glb(_tree(), _BINARY),
    "a huge count": lambda: _glb(_tree(accessors=_accessor(count=4_000_000_000)), _BINARY),
    "a huge count of nothing": lambda: _glb(
        _tree(accessors=[{"componentType": 5126, "type": "VEC3", "count": 2_000_000_000}]), _BINARY
    ),
    "a sparse one": lambda: _glb(
        _tree(accessors=_accessor(sparse={"count": 9, "indices": {}, "values": {}})), _BINARY
    ),
    "a huge offset": lambda: _glb(_tree(accessors=_accessor(byteOffset=4_000_000_000)), _BINARY),
    "a negative count": lambda: _glb(_tree(accessors=_accessor(count=-4)), _BINARY),
    "a node in itself": lambda: _glb(_tree(nodes=[{"children": [0], "mesh": 0}]), _BINARY),
    "two nodes in each other": lambda: _glb(
        _tree(nodes=[{"children": [1]}, {"children": [0], "mesh": 0}]), _BINARY
    ),
    "a deep chain": lambda: _glb(_tree(nodes=_chain(5_000)), _BINARY),
    "doubling nodes": lambda: _glb(_tree(nodes=_doubling(30)), _BINARY),
    "deep brackets": lambda: _glb("[" * 200_000 + "]" * 200_000),
    "a wrong length": lambda: _glb(_tree(), _BINARY, length=0xFFFFFFF0),
    "no node there": lambda: _glb(_tree(scenes=[{"nodes": [99]}]), _BINARY),
    "a file outside": lambda: _glb(
        _tree(buffers=[{"uri": "../../../etc/passwd", "byteLength": 72}])
    ),
    "a file of the network": lambda: _glb(
        _tree(buffers=[{"uri": "http://localhost:9/x.bin", "byteLength": 72}])
    ),
    "a device": lambda: _glb(_tree(buffers=[{"uri": "/dev/zero", "byteLength": 72}])),
    "a matrix of none": lambda: _glb(_tree(nodes=[{"mesh": 0, "matrix": [0.0] * 16}]), _BINARY),
    "a huge matrix": lambda: _glb(_tree(nodes=[{"mesh": 0, "matrix": [1e38] * 16}]), _BINARY),
    "a mirror": lambda: _glb(_tree(nodes=[{"mesh": 0, "scale": [-1.0, 1.0, 1.0]}]), _BINARY),
    "not a tree": lambda: _glb('"text"'),
    "nothing": lambda: _glb("{}"),
}
