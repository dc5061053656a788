"""What the designer can do in the window, on the real Blender."""

from __future__ import annotations

from pathlib import Path

import bpy
import pytest

import blender_addon
from blender_addon import registration
from blender_addon.declarations import ID
from blender_addon.properties import settings_of
from blender_addon.scene_in import fingerprint, read
from heatcore.errors import InputError
from heatcore.evaluate import evaluate
from heatcore.heat.people.body import Comfort
from heatcore.views.view import Layer

PORCH = Path(__file__).with_name("porch.toml")


def settings() -> object:
    return settings_of(bpy.context.scene)


def test_everything_registered_is_unregistered_and_comes_back() -> None:
    for _ in range(2):
        blender_addon.unregister()
        assert not hasattr(bpy.types.Scene, ID)
        assert not any(cls.is_registered for cls in registration.CLASSES)
        blender_addon.register()
        assert all(cls.is_registered for cls in registration.CLASSES)
        assert hasattr(bpy.types.Scene, ID)


def test_a_scene_file_is_kept_in_the_blend(tmp_path: Path) -> None:
    assert bpy.ops.heatcore.open(filepath=str(PORCH)) == {"FINISHED"}
    path = str(tmp_path / "porch.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    bpy.ops.wm.open_mainfile(filepath=path)
    assert settings().text.as_string() == PORCH.read_text()
    assert read(bpy.context.scene).site.name == "Small porch"


def test_opened_again_it_takes_the_place_of_the_text() -> None:
    for _ in range(2):
        bpy.ops.heatcore.open(filepath=str(PORCH))
    assert len(bpy.data.texts) == 1
    assert settings().text.as_string() == PORCH.read_text()


def test_evaluating_shows_the_scene_and_its_findings() -> None:
    bpy.ops.heatcore.open(filepath=str(PORCH))
    assert bpy.ops.heatcore.evaluate() == {"FINISHED"}
    assert "H1" in bpy.data.collections[Layer.HEATERS.value].objects
    assert len(settings().findings) > 0
    assert not [line for line in settings().findings if line.verdict == "fails"]
    settings().option = "close"
    bpy.ops.heatcore.evaluate()
    assert settings().findings[0].verdict == "fails"
    assert settings().findings[0].text.startswith("H1")


def test_results_are_stale_once_the_description_changes() -> None:
    scene = bpy.context.scene
    bpy.ops.heatcore.open(filepath=str(PORCH))
    bpy.ops.heatcore.evaluate()
    assert settings().evaluated == fingerprint(scene)
    settings().text.write(" ")
    assert settings().evaluated != fingerprint(scene)
    bpy.ops.heatcore.evaluate()
    assert settings().evaluated == fingerprint(scene)
    settings().option = "close"
    assert settings().evaluated != fingerprint(scene)


def test_evaluating_can_be_undone_and_done_again() -> None:
    # Undo steps are only kept where the file has been pushed once.
    bpy.ops.heatcore.open(filepath=str(PORCH))
    bpy.ops.ed.undo_push(message="opened")
    bpy.ops.heatcore.evaluate()
    bpy.ops.ed.undo_push(message="evaluated")
    assert "Heatcore" in bpy.data.collections
    bpy.ops.ed.undo()
    assert "Heatcore" not in bpy.data.collections
    assert settings().evaluated == ""
    bpy.ops.ed.redo()
    assert "Heatcore" in bpy.data.collections


def test_bad_input_is_an_error_of_the_operator(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="no scene is loaded"):
        bpy.ops.heatcore.evaluate()
    with pytest.raises(RuntimeError, match="cannot be read"):
        bpy.ops.heatcore.open(filepath=str(tmp_path / "nowhere.toml"))
    broken = tmp_path / "broken.toml"
    broken.write_text(PORCH.read_text().replace("pitch", "pich"))
    bpy.ops.heatcore.open(filepath=str(broken))
    with pytest.raises(RuntimeError, match="pich"):
        bpy.ops.heatcore.evaluate()
    assert "Heatcore" not in bpy.data.collections
    with pytest.raises(InputError):
        read(bpy.context.scene)


def test_there_is_no_still_before_there_is_a_result() -> None:
    assert not bpy.ops.heatcore.stills.poll()
    bpy.ops.heatcore.open(filepath=str(PORCH))
    bpy.ops.heatcore.evaluate()
    assert bpy.ops.heatcore.stills.poll()


def test_the_tab_draws() -> None:
    """Every property and operator the tab names must be there."""
    bpy.ops.heatcore.open(filepath=str(PORCH))
    bpy.ops.heatcore.evaluate()
    for name in (
        "text",
        "option",
        "out",
        "engine",
        "findings",
        "finding",
        "seats",
        "seat",
        "floor",
    ):
        assert name in settings().bl_rna.properties
    for name in ("open", "evaluate", "stills"):
        assert getattr(bpy.ops.heatcore, name).get_rna_type().name


def test_the_seats_are_listed_the_coldest_first_with_what_they_get() -> None:
    bpy.ops.heatcore.open(filepath=str(PORCH))
    bpy.ops.heatcore.evaluate()
    evaluation = evaluate(read(bpy.context.scene))
    lines = settings().seats
    assert sorted(line.text.split(":")[0] for line in lines) == sorted(
        body.place.name for body in evaluation.people
    )
    by_name = {body.place.name: body for body in evaluation.people}
    gains = []
    for line in lines:
        body = by_name[line.text.split(":")[0]]
        assert line.comfort == body.comfort.value
        assert f"+{body.gain:.1f}".removesuffix(".0") in line.text
        assert line.text.endswith(f", {body.total_w:.0f} W")
        assert line.reason == (body.reason.words if body.reason else "")
        gains.append(body.gain)
    order = [Comfort.COLD.value, Comfort.BORDERLINE.value, Comfort.WARM.value]
    ranks = [order.index(line.comfort) for line in lines]
    assert ranks == sorted(ranks)
    assert gains == sorted(gains)
    bpy.ops.heatcore.evaluate()
    assert len(settings().seats) == len(evaluation.people)
