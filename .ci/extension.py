"""Build the extension: one zip a platform, its wheels inside, validated by Blender's own script.

Run by `make extension`, and by the test that installs the zip. Needs the project's environment:
Blender's packaging script comes in the bpy wheel, and plain Python runs it.
"""

import argparse
import hashlib
import importlib.util
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import tomlkit

ROOT = Path(__file__).resolve().parent.parent
LOCK = ROOT / "requirements-extension.lock"
PYTHONS = ("3.11", "3.13")  # Blender 4.2 to 5.0, and from 5.1 on

# The oldest systems served: glibc 2.28 as Blender itself; macOS 13, which Embree's wheel asks for.
PLATFORM_TAGS = {
    "linux-x64": [
        *(f"manylinux_2_{minor}_x86_64" for minor in range(28, 16, -1)),
        "manylinux2014_x86_64",
    ],
    "windows-x64": ["win_amd64"],
    "macos-arm64": ["macosx_13_0_arm64"],
}


def run(*command: str | Path) -> None:
    """Run a command quietly; show what it said only when it fails."""
    done = subprocess.run([*map(str, command)], capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{' '.join(map(str, command))}\n{done.stdout}{done.stderr}")


def pip(*arguments: str | Path) -> None:
    """Run this environment's pip."""
    run(sys.executable, "-m", "pip", "-qq", "--disable-pip-version-check", "--no-input", *arguments)


def third_party_wheels(platform: str) -> list[Path]:
    """Fetch a platform's locked wheels for each Python of Blender's; next time from the cache."""
    lock_id = hashlib.sha256(LOCK.read_bytes()).hexdigest()[:16]
    folder = ROOT / ".cache" / "wheels" / lock_id / platform
    if not folder.exists():
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent) as scratch:
            target = Path(scratch, "wheels")
            tags = [f"--platform={tag}" for tag in PLATFORM_TAGS[platform]]
            for python in PYTHONS:
                pip("download", "--no-deps", "--require-hashes", "--only-binary=:all:",
                    "--implementation=cp", f"--python-version={python}", *tags,
                    "--dest", target, "-r", LOCK)  # fmt: skip
            target.rename(folder)  # whole or not at all
    return sorted(folder.glob("*.whl"))


def heatcore_wheel(folder: Path) -> Path:
    """Build the core as a wheel, without the add-on: that is the rest of the zip.

    Its version says what it was made of (0.1.0+1f3a5c7e). Blender unpacks no wheel whose version it
    has already: without the mark a rebuilt extension would go on with the old core.
    """
    source = folder / "heatcore-source"
    shutil.copytree(ROOT / "heatcore", source / "heatcore", ignore=skip_caches)
    for name in ("pyproject.toml", "LICENSE"):
        shutil.copy2(ROOT / name, source)

    content = hashlib.sha256()
    for file in sorted(source.rglob("*")):
        if file.is_file():
            content.update(file.relative_to(source).as_posix().encode() + b"\0" + file.read_bytes())
    version = source / "heatcore/_version.py"
    text, count = re.subn(
        r'^(__version__ = ".+)"$',
        rf'\1+{content.hexdigest()[:8]}"',
        version.read_text(encoding="utf-8"),
        flags=re.M,
    )
    if count != 1:
        sys.exit(f"{version.relative_to(source)} does not say __version__ = once.")
    version.write_text(text, encoding="utf-8")

    pip("wheel", "--no-deps", "--no-index", "--no-build-isolation", "--wheel-dir", folder, source)
    (wheel,) = folder.glob("heatcore-*.whl")
    return wheel


skip_caches = shutil.ignore_patterns("__pycache__")


def stage(platforms: list[str], folder: Path) -> Path:
    """Lay out what the zips are made of: the add-on, the wheels, and a manifest that lists them."""
    staged = folder / "extension"
    shutil.copytree(ROOT / "blender_addon", staged, ignore=skip_caches)
    shutil.copy2(ROOT / "LICENSE", staged)
    wheels = {heatcore_wheel(folder)}.union(*map(third_party_wheels, platforms))
    (staged / "wheels").mkdir()
    for wheel in wheels:
        shutil.copy2(wheel, staged / "wheels")

    path = staged / "blender_manifest.toml"
    manifest = tomlkit.parse(path.read_text(encoding="utf-8"))
    manifest["platforms"] = platforms
    names = sorted({wheel.name for wheel in wheels})
    permissions, build = manifest.pop("permissions"), manifest.pop("build")
    manifest["wheels"] = [f"./wheels/{name}" for name in names]
    manifest["permissions"], manifest["build"] = permissions, build
    path.write_text(tomlkit.dumps(manifest), encoding="utf-8")
    return staged


def packaging_script() -> Path:
    """Find Blender's packaging script, without starting the Blender that it comes with."""
    spec = importlib.util.find_spec("bpy")
    if spec is None or spec.origin is None:
        sys.exit("bpy is not installed here: run this by `make extension`.")
    (script,) = Path(spec.origin).parent.glob("*/scripts/addons_core/bl_pkg/cli/blender_ext.py")
    return script


def build(platforms: list[str], out: Path) -> list[Path]:
    """Build and validate the zips.

    Parameters
    ----------
    platforms
        Some of the keys of `PLATFORM_TAGS`.
    out
        The folder that the zips go to; made if need be. Zips of earlier builds in it are removed.

    Returns
    -------
    list of Path
        One zip a platform.
    """
    script = packaging_script()
    out.mkdir(parents=True, exist_ok=True)
    for old in out.glob("heatcore-*.zip"):
        old.unlink()
    with tempfile.TemporaryDirectory() as scratch:
        staged = stage(platforms, Path(scratch))
        run(sys.executable, script, "validate", staged)
        run(sys.executable, script, "build", "--split-platforms",
            "--source-dir", staged, "--output-dir", out)  # fmt: skip
    zips = sorted(out.glob("heatcore-*.zip"))
    for zip_file in zips:
        run(sys.executable, script, "validate", zip_file)
    return zips


def main() -> None:
    """Build what the command line asks for and say what came out."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--platform", action="append", choices=PLATFORM_TAGS, dest="platforms",
                        help="only this platform; may be given more than once")  # fmt: skip
    parser.add_argument("--out", type=Path, default=ROOT / "dist", help="default: dist/")
    arguments = parser.parse_args()
    for zip_file in build(arguments.platforms or list(PLATFORM_TAGS), arguments.out):
        print(f"{zip_file.stat().st_size / 1e6:6.1f} MB  {zip_file}")


if __name__ == "__main__":
    main()
