"""The version is written in heatcore/_version.py; what repeats it says the same."""

import re
import tomllib
from pathlib import Path

import heatcore

ROOT = Path(__file__).resolve().parents[2]


def read(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def test_manifest_agrees() -> None:
    manifest = tomllib.loads(read("blender_addon/blender_manifest.toml"))
    assert manifest["version"] == heatcore.__version__


def test_project_takes_it_from_the_one_place() -> None:
    pyproject = tomllib.loads(read("pyproject.toml"))
    assert "version" not in pyproject["project"]
    assert pyproject["tool"]["hatch"]["version"]["path"] == "heatcore/_version.py"


def test_changelog_speaks_of_it() -> None:
    headings = re.findall(r"^## \[(.+?)\]", read("CHANGELOG.md"), re.M)
    assert headings[0] in ("Unreleased", heatcore.__version__)
