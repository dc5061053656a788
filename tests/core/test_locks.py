"""The lock files: in step with pyproject.toml and each other, naming no place to fetch from."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LOCKS = sorted(ROOT.glob("requirements*.lock"))


def pins(lock: Path) -> dict[str, set[str]]:
    """The versions a lock allows of each package: more than one where the Pythons differ."""
    found: dict[str, set[str]] = {}
    for name, version in re.findall(r"^([\w.-]+)==(\S+)", lock.read_text(encoding="utf-8"), re.M):
        found.setdefault(name, set()).add(version)
    return found


def test_the_extension_bundles_all_but_blenders_numpy_and_the_progress_bar() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = {re.split(r"[<>=!~]", dependency)[0] for dependency in project["dependencies"]}
    assert set(pins(ROOT / "requirements-extension.lock")) == names - {"numpy", "tqdm"}


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_what_is_tested_is_what_is_shipped(lock: Path) -> None:
    tested = pins(ROOT / "requirements.lock")
    for name, versions in pins(lock).items():
        if name in tested:
            assert versions <= tested[name], name


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_names_no_place_to_fetch_from(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    assert not re.search(r"://|index-url|find-links|file:|^\s*#.*\s/", text, re.M)


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_every_pin_has_hashes(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    for pin in re.findall(r"^[\w.-]+==.*(?:\n    --hash.*)*", text, re.M):
        assert "--hash=sha256:" in pin
