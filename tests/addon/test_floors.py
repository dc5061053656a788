"""The floor in either of its colors: drawn, switched, undone, saved and rewritten."""

from __future__ import annotations

from pathlib import Path

import bpy
import numpy as np
import pytest
import shapely

from blender_addon.properties import settings_of
from blender_addon.quality import FILM, fill
from blender_addon.results_out import floor_of, write
from blender_addon.results_out.inks import RAMP
from heatcore.views.floor import floor_picture
from heatcore.views.ramp import BANDS, DISPLAYED
from heatcore.views.view import FloorShows, Layer
from tests.addon.sample import evaluation, views
from tests.core.colors import lab, srgb

PORCH = Path(__file__).with_name("porch.toml")
IRRADIANCE, LANDING = FloorShows


def settings() -> object:
    return settings_of(bpy.context.scene)


def seen(layer: Layer = Layer.WARMTH) -> set[FloorShows]:
    """What the floor shows, by what would be rendered; the window must agree."""
    found = set()
    for collection in bpy.data.collections[layer.value].children:
        assert collection.hide_render == collection.hide_viewport
        if not collection.hide_render:
            assert collection.objects
            found |= {shows for shows in FloorShows if collection.name.endswith(shows.value)}
    return found


def evaluate_porch() -> None:
    """Evaluate the porch of the file, its heater within reach of the floor."""
    if settings().text is None:
        bpy.ops.heatcore.open(filepath=str(PORCH))
        settings().text.write('\n[site.target]\nirradiance = "20 W/m2"\n')
    assert bpy.ops.heatcore.evaluate() == {"FINISHED"}


def test_one_of_the_two_is_seen_and_the_switch_changes_it_at_once() -> None:
    write(evaluation(), views())
    assert seen() == {IRRADIANCE}
    settings().floor = "landing"
    assert seen() == {LANDING}
    assert settings().floor == "landing"
    settings().floor = "irradiance"
    assert seen() == {IRRADIANCE}


def test_the_window_draws_what_the_floor_shows() -> None:
    write(evaluation(), views())
    top = bpy.context.view_layer.layer_collection.children["Heatcore"]
    top.children[Layer.WARMTH.value].hide_viewport = False
    names = {
        shows: f"{shows}: {floor_picture(evaluation(), shows).patches[0].text}"
        for shows in FloorShows
    }
    for shows, value in ((LANDING, "landing"), (IRRADIANCE, "irradiance")):
        settings().floor = value
        bpy.context.view_layer.update()
        for each, name in names.items():
            assert bpy.data.objects[name].visible_get() == (each is shows)


def test_the_writing_follows_the_floor() -> None:
    written = write(evaluation(), views())
    bpy.context.scene.frame_set(written.frames["plan"])
    label = {"irradiance": "plan: Porch 7.00 m", "landing": "plan: by beams"}
    for value, other in (("irradiance", "landing"), ("landing", "irradiance")):
        settings().floor = value
        top = bpy.context.view_layer.layer_collection.children["Heatcore"]
        top.children[Layer.DIMENSIONS.value].hide_viewport = False
        bpy.context.view_layer.update()
        assert bpy.data.objects[label[value]].visible_get()
        assert not bpy.data.objects[label[other]].visible_get()


def test_outlines_of_beams_on_the_floor_go_with_the_landings() -> None:
    write(evaluation(), views())
    (collection,) = bpy.data.objects["H1 beam outline"].users_collection
    assert collection.hide_render
    settings().floor = "landing"
    assert not collection.hide_render


def test_a_new_result_keeps_what_the_floor_shows() -> None:
    evaluate_porch()
    assert seen() == {IRRADIANCE}
    settings().floor = "landing"
    evaluate_porch()
    assert seen() == {LANDING}
    assert settings().floor == "landing"


def test_chosen_before_there_is_a_result_it_holds_for_the_first() -> None:
    settings().floor = "landing"
    evaluate_porch()
    assert seen() == {LANDING}


def test_the_switch_can_be_undone_and_done_again() -> None:
    write(evaluation(), views())
    bpy.ops.ed.undo_push(message="written")
    settings().floor = "landing"
    bpy.ops.ed.undo_push(message="floor")
    bpy.ops.ed.undo()
    assert seen() == {IRRADIANCE}
    assert settings().floor == "irradiance"
    bpy.ops.ed.redo()
    assert seen() == {LANDING}
    assert settings().floor == "landing"


def test_the_file_keeps_what_the_floor_shows(tmp_path: Path) -> None:
    write(evaluation(), views())
    settings().floor = "landing"
    path = str(tmp_path / "sample.blend")
    bpy.ops.wm.save_as_mainfile(filepath=path)
    bpy.ops.wm.open_mainfile(filepath=path)
    assert floor_of(bpy.context.scene) is LANDING
    assert settings().floor == "landing"
    assert seen() == {LANDING}


def test_views_planned_for_the_landings_show_them() -> None:
    *rest, plan = views()
    assert plan.other is not None
    write(evaluation(), (*rest, plan.other))
    assert seen() == {LANDING}
    assert settings().floor == "landing"


def test_the_bands_are_where_the_irradiance_is() -> None:
    """Against the cones that the sample is made of, at points all over the floor."""
    found = evaluation()
    write(found, views())
    rng = np.random.default_rng(3)
    points = rng.uniform([0.05, 0.05], [6.95, 4.45], (400, 2))
    value = np.zeros(len(points))
    for mount in found.mounts:
        away = np.linalg.norm(points - mount.frame.origin[:2], axis=1)
        value += np.clip(160.0 * (1.0 - away / 2.0), 0.0, None)
    picture = floor_picture(found, IRRADIANCE)
    edges = [0.0, *(contour.irradiance_w_m2 for contour in picture.contours), np.inf]
    for patch, low, high in zip(picture.patches, edges[:-1], edges[1:], strict=True):
        thing = bpy.data.objects[f"{IRRADIANCE}: {patch.text}"]
        inside = filled(thing, points)
        clear = (np.abs(value - low) > 4.0) & (np.abs(value - high) > 4.0)
        assert (inside == ((value >= low) & (value < high)))[clear].all(), patch.text


def filled(thing: bpy.types.Object, points: np.ndarray) -> np.ndarray:
    """Whether points (n, 2) lie on a filled curve, by the faces that Blender makes of it."""
    mesh = thing.to_mesh()
    mesh.calc_loop_triangles()
    corner = np.array([v.co[:2] for v in mesh.vertices])
    faces = [shapely.Polygon(corner[list(t.vertices)]) for t in mesh.loop_triangles]
    thing.to_mesh_clear()
    area = shapely.union_all([face for face in faces if face.area > 0.0])
    return shapely.contains_xy(area, points[:, 0], points[:, 1])


@pytest.mark.parametrize("tone", BANDS)
def test_the_film_shows_each_band_in_the_color_that_is_promised(
    tone: object, tmp_path: Path
) -> None:
    """Through Blender's own color management, as every still goes through it."""
    scene = bpy.context.scene
    fill(scene.view_settings, FILM)
    scene.render.image_settings.file_format = "PNG"
    scene.render.image_settings.color_depth = "16"
    flat = bpy.data.images.new("flat", 4, 4, float_buffer=True)
    flat.colorspace_settings.name = "Linear Rec.709"
    flat.pixels = [*RAMP[tone], 1.0] * 16
    flat.save_render(str(tmp_path / "flat.png"), scene=scene)
    seen_ = bpy.data.images.load(str(tmp_path / "flat.png"))
    seen_.colorspace_settings.name = "Non-Color"
    color = np.array(seen_.pixels[:3])
    # CIE 1976: a difference of 2.3 is just noticeable (Mahy and others, 1994; from memory).
    assert np.linalg.norm(lab(color) - lab(srgb(DISPLAYED[tone]))) < 2.3
