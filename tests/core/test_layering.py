"""heatcore knows nothing of Blender, and its folders import one way only, down the flow."""

import ast
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted((ROOT / "heatcore").rglob("*.py"))

# Each may import from those before it.
FLOW = (
    "_version",
    "errors",
    "units",
    "scene",
    "geometry",
    "mounting",
    "heat",
    "checks",
    "tolerance",
    "sizing",
    "evaluate",
    "remedies",
    "compare",
    "views",
    "sheets",
    "blender_process",
    "cli",
    "__main__",
)
# The same within the heat; its own __init__ comes last.
HEAT = ("radiation", "planes", "beams", "people", "floor")
# Libraries that a single file speaks for.
SOLE_IMPORTER = {
    "embreex": "heatcore/geometry/rays.py",
    "thermofeel": "heatcore/heat/people/comfort.py",
    "tqdm": "heatcore/blender_process.py",
}


def imported_modules(source: str, package: str) -> Iterator[str]:
    """Every module a source imports: in a function and behind TYPE_CHECKING too."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Import(names=names):
                yield from (alias.name for alias in names)
            case ast.ImportFrom(module=module, names=names, level=level):
                base = package.split(".")[: len(package.split(".")) - level + 1] if level else []
                base = ".".join([*base, *([module] if module else [])])
                # `from heatcore import units` imports a folder by its name in the list.
                yield from (f"heatcore.{a.name}" for a in names) if base == "heatcore" else [base]
            case ast.Call(func=ast.Name(id="__import__") | ast.Attribute(attr="import_module")):
                argument = node.args[0] if node.args else None
                assert isinstance(argument, ast.Constant), "an import not readable off the source"
                yield str(argument.value)


def layer(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def offences(file: Path, source: str, runtime: set[str]) -> list[str]:
    """What a file of heatcore imports that it may not."""
    name = file.as_posix()
    package = ".".join(file.parent.parts)
    own = layer(".".join(file.with_suffix("").parts))
    # The package's own __init__ only says the version.
    rank = 1 if own == "__init__" else FLOW.index(own)
    found = []
    for module in imported_modules(source, package):
        top = module.split(".")[0]
        if top == "heatcore":
            target = layer(module)
            # `from heatcore import __version__`
            if target == own or target.startswith("__"):
                continue
            if target not in FLOW[:rank]:
                found.append(f"{name}: {own} imports {module}, which comes after it in the flow")
        elif top in sys.stdlib_module_names:
            continue
        elif top not in runtime:
            found.append(f"{name} imports {module}, which is no runtime dependency of the core")
        elif SOLE_IMPORTER.get(top, name) != name:
            found.append(f"{name} imports {module}, which only {SOLE_IMPORTER[top]} may")
    return found


@pytest.fixture(scope="module")
def runtime() -> set[str]:
    """The names under which the project's own dependencies are imported."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return {dependency.partition(">")[0] for dependency in project["dependencies"]}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(ROOT).as_posix())
def test_imports_only_from_what_comes_before(file: Path, runtime: set[str]) -> None:
    assert offences(file.relative_to(ROOT), file.read_text(encoding="utf-8"), runtime) == []


@pytest.mark.parametrize(
    "file",
    sorted((ROOT / "heatcore" / "heat").glob("*/*.py")),
    ids=lambda file: file.relative_to(ROOT).as_posix(),
)
def test_the_heat_has_a_flow_of_its_own(file: Path) -> None:
    rooms = [
        module.split(".")[2] if module.count(".") > 1 else ""
        for module in imported_modules(file.read_text(encoding="utf-8"), "heatcore.heat")
        if module.startswith("heatcore.heat")
    ]
    allowed = HEAT[: HEAT.index(file.parent.name) + 1]
    assert [room for room in rooms if room not in allowed] == []


@pytest.mark.parametrize(
    ("file", "source"),
    [
        ("heatcore/heat/cast.py", "import bpy"),
        ("heatcore/heat/cast.py", "def f():\n    from mathutils import Vector"),
        ("heatcore/heat/cast.py", "import importlib\nimportlib.import_module('bpy')"),
        ("heatcore/heat/cast.py", "from heatcore.checks import check"),
        ("heatcore/heat/cast.py", "from heatcore import checks"),
        ("heatcore/heat/cast.py", "from ..checks import check"),
        ("heatcore/heat/cast.py", "from .. import checks"),
        ("heatcore/heat/cast.py", "import heatcore.evaluate"),
        ("heatcore/heat/cast.py", "import scipy.spatial"),
        ("heatcore/heat/cast.py", "import embreex"),
        ("heatcore/cli.py", "import blender_addon"),
        ("heatcore/errors.py", "from heatcore.units import format_length"),
        ("heatcore/__init__.py", "from heatcore.evaluate import evaluate"),
    ],
)
def test_an_import_against_the_flow_is_found(file: str, source: str, runtime: set[str]) -> None:
    assert len(offences(Path(file), source, runtime)) == 1


@pytest.mark.parametrize(
    ("file", "source"),
    [
        (
            "heatcore/heat/cast.py",
            "from heatcore.mounting.mount import Mount\nimport numpy as np",
        ),
        ("heatcore/heat/cast.py", "from heatcore import __version__, geometry"),
        ("heatcore/heat/cast.py", "from .people import Seat\nfrom ..geometry import frames"),
        ("heatcore/geometry/rays.py", "from embreex import rtcore_scene"),
        ("heatcore/units/__init__.py", "from .reading import read\nfrom ..errors import UnitError"),
    ],
)
def test_an_import_down_the_flow_is_let_pass(file: str, source: str, runtime: set[str]) -> None:
    assert offences(Path(file), source, runtime) == []
