"""Rendering, as small and as short as it can be, in this process and in one of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import bpy
import numpy as np
import pytest

from blender_addon.errand import wanted
from blender_addon.properties import settings_of
from blender_addon.quality import USUAL, Quality
from blender_addon.results_out import show_floor, write
from blender_addon.stills import frames_of, render_stills
from heatcore.errors import InputError
from heatcore.views.view import FloorShows, Layer
from tests.addon.sample import evaluation, views

MAIN = Path(__file__).resolve().parents[2] / "blender_addon" / "__main__.py"
PORCH = Path(__file__).with_name("porch.toml")
SIZE = (160, 90)
SMALL = Quality("cycles", 1, SIZE)


def pixels(path: Path) -> np.ndarray:
    image = bpy.data.images.load(str(path))
    width, height = image.size
    out = np.array(image.pixels[:]).reshape(height, width, -1)[::-1, :, :3]
    bpy.data.images.remove(image)
    return out


def rendered(folder: Path, *names: str) -> dict[str, np.ndarray]:
    written = write(evaluation(), views())
    frames = {name: written.frames[name] for name in names}
    said: list[float] = []
    paths = list(
        render_stills(
            bpy.context.scene, frames, folder, SMALL, lambda *event: said.append(event[3])
        )
    )
    assert said[0] == 0.0
    assert said[-1] == 1.0
    return {path.stem: pixels(path) for path in paths}


def test_stills_are_files_of_their_names_with_something_on_them(tmp_path: Path) -> None:
    pictures = rendered(tmp_path, "hero", "clearances")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["clearances.png", "hero.png"]
    for picture in pictures.values():
        assert picture.shape == (90, 160, 3)
        assert 0.05 < picture.mean() < 0.9
        assert picture.std() > 0.05
    # The red boxes are in the one and not in the other.
    red = {name: (p[..., 0] - p[..., 1:].max(-1) > 0.35).mean() for name, p in pictures.items()}
    assert red["clearances"] > 0.005
    assert red["hero"] < 0.3 * red["clearances"]


def test_a_plan_stands_on_pale_paper(tmp_path: Path) -> None:
    (picture,) = rendered(tmp_path, "plan").values()
    corner = picture[-4:, :4].mean(axis=(0, 1))
    assert np.all(corner > 0.6)
    assert np.ptp(corner) < 0.05


def test_the_quick_look_renders_too(tmp_path: Path) -> None:
    written = write(evaluation(), views())
    quick = Quality("fast", None, SIZE)
    (path,) = render_stills(
        bpy.context.scene, {"hero": written.frames["hero"]}, tmp_path, quick, lambda *_: None
    )
    assert pixels(path).std() > 0.02


def test_the_stills_of_a_written_scene_are_found_again() -> None:
    written = write(evaluation(), views())
    bpy.context.scene.timeline_markers.new("my own", frame=2)
    assert frames_of(bpy.context.scene) == written.frames


def test_a_still_that_is_not_there_is_named() -> None:
    assert wanted({"hero": 1, "plan": 2}, ["plan"]) == {"plan": 2}
    with pytest.raises(InputError, match=r"heroo.*hero, plan"):
        wanted({"hero": 1, "plan": 2}, ["heroo"])


def errand(task: str, folder: Path, **request: object) -> tuple[int, list[dict[str, object]]]:
    """Run the process as the command line does, from a place of its own."""
    wish = folder / "request.json"
    wish.write_text(json.dumps({"scene": str(PORCH), "samples": 1, "size": SIZE, **request}))
    environment = {k: v for k, v in os.environ.items() if k != "BLENDER_USER_RESOURCES"}
    home = folder / "home"
    home.mkdir(exist_ok=True)
    done = subprocess.run(
        [sys.executable, MAIN, task, wish],
        cwd=folder,
        env=environment | {"HOME": str(home), "XDG_CONFIG_HOME": str(home)},
        capture_output=True,
        text=True,
        timeout=100,
    )
    assert "Traceback" not in done.stderr, done.stderr
    assert not list(home.iterdir()), "nothing is written to the user's own settings"
    return done.returncode, [json.loads(line) for line in done.stdout.splitlines()]


def test_the_process_says_what_it_does_and_nothing_else(tmp_path: Path) -> None:
    out = tmp_path / "out"
    status, events = errand("stills", tmp_path, out=str(out), only=["hero"])
    assert status == 0
    files = [Path(str(event["path"])) for event in events if event["event"] == "file"]
    assert files == [out / "porch.blend", out / "hero.png"]
    assert sorted(out.iterdir()) == sorted(files)
    shares = [event["share"] for event in events if event["event"] == "still"]
    assert shares[0] == 0.0
    assert shares[-1] == 1.0
    bpy.ops.wm.open_mainfile(filepath=str(files[0]))
    assert "hero" in frames_of(bpy.context.scene)
    assert bpy.context.scene.render.engine == "CYCLES"


@pytest.mark.parametrize(
    ("request_", "where"),
    [
        ({"option": "Z"}, "Z"),
        ({"only": ["heroo"]}, "heroo"),
        ({"scene": "/nowhere.toml"}, "nowhere"),
    ],
)
def test_bad_input_is_one_event_and_leaves_nothing(
    tmp_path: Path, request_: dict[str, object], where: str
) -> None:
    out = tmp_path / "out"
    status, events = errand("stills", tmp_path, out=str(out), **request_)
    assert status == 2
    assert events[-1]["event"] == "error"
    assert where in json.dumps(events[-1]["mistakes"])
    assert not out.exists()


def test_a_place_that_cannot_be_written_to_is_said(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file, not a folder")
    status, events = errand("build", tmp_path, out=str(taken / "porch.blend"))
    assert status == 2
    assert events[-1]["event"] == "error"


def test_the_floor_of_a_still_is_what_the_command_line_asks_for(tmp_path: Path) -> None:
    seen = {}
    for floor in ("irradiance", "landing"):
        status, _ = errand("build", tmp_path, out=str(tmp_path / f"{floor}.blend"), floor=floor)
        assert status == 0
        bpy.ops.wm.open_mainfile(filepath=str(tmp_path / f"{floor}.blend"))
        assert settings_of(bpy.context.scene).floor == floor
        hidden = {c.name: c.hide_render for c in bpy.data.collections[Layer.WARMTH.value].children}
        seen[floor] = {name for name, hide in hidden.items() if not hide}
    assert seen["irradiance"] == {"Warmth irradiance"}
    assert not seen["landing"] & seen["irradiance"]


def test_each_floor_is_a_picture_of_its_own(tmp_path: Path) -> None:
    written = write(evaluation(), views())
    pictures = []
    for shows in FloorShows:
        show_floor(bpy.context.scene, shows)
        (path,) = render_stills(
            bpy.context.scene, {"plan": written.frames["plan"]}, tmp_path, SMALL, lambda *_: None
        )
        pictures.append(pixels(path))
    # The sample's plan shows 7 of its 9 m, and the floor fills a third of the picture.
    differing = np.abs(pictures[0] - pictures[1]).max(axis=-1) > 0.1
    assert differing.mean() > 0.05


def test_a_drawing_gets_more_samples_than_a_picture(tmp_path: Path) -> None:
    written = write(evaluation(), views())
    scene, taken = bpy.context.scene, []

    def take(scene: bpy.types.Scene, *_: object) -> None:
        taken.append(scene.cycles.samples)

    bpy.app.handlers.render_pre.append(take)
    frames = {name: written.frames[name] for name in ("hero", "plan")}
    list(render_stills(scene, frames, tmp_path, Quality("fast", None, (32, 18)), lambda *_: None))
    bpy.app.handlers.render_pre.remove(take)
    picture, drawing, _ = USUAL["fast"]
    assert drawing > picture
    assert taken == [picture, drawing]
    assert scene.cycles.samples == picture
