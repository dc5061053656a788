"""The zip that ships, built as `make extension` builds it, installed into a bare Blender.

Every import is checked to come out of the zip: an environment that has Embree already would hide a
wheel that is missing.
"""

import importlib.metadata
import json
import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement

import heatcore

ROOT = Path(__file__).resolve().parents[2]
PLATFORM = {"linux": "linux-x64", "darwin": "macos-arm64", "win32": "windows-x64"}[sys.platform]

INSTALL = """
import sys
site, zip_file = sys.argv[1:]
sys.path.append(site)

import importlib, json
LIBRARIES = ["contourpy", "embreex.rtcore_scene", "manifold3d", "shapely", "trimesh",
             "heatcore"]

def lacks(name):
    try:
        importlib.import_module(name)
    except ModuleNotFoundError:
        return True
    return False

already_there = [name for name in LIBRARIES if not lacks(name)]

import bpy  # makes addon_utils importable
import addon_utils
numpy_before = importlib.import_module("numpy").__file__
answer = bpy.ops.extensions.package_install_files(
    filepath=zip_file, repo="user_default", enable_on_install=True, overwrite=True)
module = "bl_ext.user_default.heatcore"
found = {"already_there": already_there, "answer": list(answer),
         "enabled": module in bpy.context.preferences.addons}
found["files"] = {name: importlib.import_module(name).__file__ for name in LIBRARIES + [module]}
found["version"] = importlib.import_module("heatcore").__version__
found["numpy"] = [numpy_before, importlib.import_module("numpy").__file__]

def loaded():
    return addon_utils.check(module)[1]

found["loaded"] = [loaded()]
for _ in range(2):
    addon_utils.disable(module)
    found["loaded"].append(loaded())
    addon_utils.enable(module)
    found["loaded"].append(loaded())
addon_utils.disable(module)
print("FOUND", json.dumps(found), flush=True)
"""


@pytest.fixture(scope="module")
def extension_zip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("dist")
    command = [sys.executable, ROOT / ".ci/extension.py", "--platform", PLATFORM, "--out", out]
    done = subprocess.run(command, capture_output=True, text=True, timeout=100)
    assert done.returncode == 0, done.stderr
    (zip_file,) = out.iterdir()
    return zip_file


def bare_site(folder: Path) -> Path:
    """Put a folder together that holds bpy with what it requires itself, and no more."""
    folder.mkdir()
    wanted, seen = ["bpy"], set()
    while wanted:
        name = wanted.pop()
        if name in seen:
            continue
        seen.add(name)
        distribution = importlib.metadata.distribution(name)
        tops = {file.parts[0] for file in distribution.files or ()}
        for top in tops - {"..", "__pycache__"}:
            (folder / top).symlink_to(distribution.locate_file(top))
        for line in distribution.requires or ():
            requirement = Requirement(line)
            if requirement.marker is None or requirement.marker.evaluate({"extra": ""}):
                wanted.append(requirement.name)
    return folder


def test_holds_the_addon_and_its_wheels_but_neither_numpy_nor_tools(extension_zip: Path) -> None:
    names = zipfile.ZipFile(extension_zip).namelist()
    assert {"blender_manifest.toml", "__init__.py", "LICENSE"} <= set(names)
    wheels = [name.removeprefix("wheels/") for name in names if name.startswith("wheels/")]
    core = [wheel for wheel in wheels if wheel.startswith("heatcore-")]
    # The build's mark: Blender unpacks no wheel whose version it has unpacked before.
    assert re.fullmatch(rf"heatcore-{heatcore.__version__}\+[0-9a-f]{{8}}-py3-none-any\.whl", *core)
    compiled = ["contourpy", "embreex", "manifold3d", "shapely"]
    for tag in ("cp311", "cp313"):
        assert sorted(wheel.split("-")[0] for wheel in wheels if f"-{tag}-" in wheel) == compiled
    assert not [name for name in names if "numpy" in name or "__pycache__" in name or "/." in name]


def test_installs_into_a_blender_that_has_nothing_else(extension_zip: Path, tmp_path: Path) -> None:
    settings = tmp_path / "settings"
    settings.mkdir()
    done = subprocess.run(
        # Isolated, without this environment's packages; Blender's are added in the script.
        [sys.executable, "-I", "-S", "-c", INSTALL, bare_site(tmp_path / "site"), extension_zip],
        env=os.environ | {"BLENDER_USER_RESOURCES": str(settings)},
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=100,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    (line,) = [line for line in done.stdout.splitlines() if line.startswith("FOUND ")]
    found = json.loads(line.removeprefix("FOUND "))

    assert found["already_there"] == [], "the environment was not bare"
    assert found["answer"] == ["FINISHED"]
    assert found["enabled"]
    assert found["version"].startswith(heatcore.__version__ + "+")
    for name, file in found["files"].items():
        assert Path(file).is_relative_to(settings), f"{name} does not come out of the zip"
    assert found["numpy"][0] == found["numpy"][1], "numpy is Blender's own"
    # Enabled by the installation, then off and on twice.
    assert found["loaded"] == [True, False, True, False, True]
