"""The writer, on the real Blender: what stands in the Evaluation stands in the scene, once."""

from __future__ import annotations

from dataclasses import replace

import bpy
import numpy as np
import pytest

from blender_addon.declarations import OWN
from blender_addon.results_out import clear, write
from heatcore.geometry.parts import Kind
from heatcore.views.floor import FloorPicture, floor_picture
from heatcore.views.view import FloorShows, Layer
from tests.addon.sample import evaluation, views

KINDS = (
    "objects",
    "collections",
    "meshes",
    "curves",
    "cameras",
    "lights",
    "materials",
    "worlds",
    "actions",
)


def counts() -> dict[str, int]:
    return {kind: len(getattr(bpy.data, kind)) for kind in KINDS}


def in_layer(layer: Layer) -> set[str]:
    return {thing.name for thing in bpy.data.collections[layer.value].all_objects}


def at(thing: bpy.types.Object) -> np.ndarray:
    """World coordinates of an object's own vertices, before its modifiers."""
    points = np.empty(3 * len(thing.data.vertices), dtype=np.float32)
    thing.data.vertices.foreach_get("co", points)
    matrix = np.array(thing.matrix_basis)  # none of those asked for has a parent
    return points.reshape(-1, 3) @ matrix[:3, :3].T + matrix[:3, 3]


def painted(picture: FloorPicture) -> set[str]:
    """What is drawn of a picture of the floor: its colors and lines that lie anywhere."""
    lines = {f"isoline {c.irradiance_w_m2:g} W/m2" for c in picture.contours if c.lines}
    return {patch.text for patch in picture.patches if patch.areas} | lines


def shown(frame: int) -> set[str]:
    bpy.context.scene.frame_set(frame)
    return {
        thing.name
        for thing in bpy.data.objects
        if not (thing.hide_render or any(c.hide_render for c in thing.users_collection))
    }


def test_each_layer_is_one_collection_under_the_root() -> None:
    write(evaluation(), views())
    children = set(bpy.data.collections["Heatcore"].children.keys())
    assert {layer.value for layer in Layer} <= children


def test_every_solid_part_is_one_object_where_the_core_put_it() -> None:
    found = evaluation()
    write(found, views())
    solid = [part for part in found.model.parts if not part.swept]
    people = {part.name for part in solid if part.kind is Kind.PERSON}
    assert in_layer(Layer.PEOPLE) == people
    assert in_layer(Layer.SPACE) == {part.name for part in solid} - people
    for part in solid:
        points = at(bpy.data.objects[part.name])
        np.testing.assert_allclose([points.min(0), points.max(0)], part.mesh.bounds, atol=1e-5)
        (material,) = bpy.data.objects[part.name].data.materials
        assert part.material in material.name


def test_each_heater_has_its_body_its_glow_and_real_brackets() -> None:
    found = evaluation()
    write(found, views())
    for mount in found.mounts:
        points = at(bpy.data.objects[mount.name])
        np.testing.assert_allclose(
            [points.min(0), points.max(0)], [mount.body.min(0), mount.body.max(0)], atol=1e-5
        )
        assert f"{mount.name} element" in in_layer(Layer.HEATERS)
        for number, arm in enumerate(mount.arms, start=1):
            plate = at(bpy.data.objects[f"{mount.name} bracket {number} plate"])
            nearest = np.linalg.norm(plate[:, None] - arm.plate[None], axis=2).min(axis=0)
            assert nearest.max() < 1e-5
            bar = at(bpy.data.objects[f"{mount.name} bracket {number} arm"])
            along = (bar - arm.pivot) @ arm.direction
            assert along.max() == pytest.approx(arm.length - 0.006, abs=1e-4)


def test_beams_warmth_and_clearances_are_there_once_for_each() -> None:
    found = evaluation()
    write(found, views())
    assert in_layer(Layer.BEAMS) == {
        f"{beam.heater} beam{end}" for beam in found.beams for end in ("", " on paper", " outline")
    }
    assert in_layer(Layer.WARMTH) == {
        f"{shows}: {what}" for shows in FloorShows for what in painted(floor_picture(found, shows))
    }
    ends = [f"clearance {which}{end}" for which in ("above", "around") for end in ("", " edges")]
    boxes = {f"{mount.name} {end}" for mount in found.mounts for end in ends}
    assert in_layer(Layer.CLEARANCES) == boxes | {"door leaf too near H1"}


def test_the_intruding_piece_lies_inside_the_object_and_the_clearance() -> None:
    found = evaluation()
    write(found, views())
    piece = at(bpy.data.objects["door leaf too near H1"])
    low, high = found.model.by_name["door leaf"].mesh.bounds
    assert np.all(piece >= low - 1e-5)
    assert np.all(piece <= high + 1e-5)
    box = at(bpy.data.objects["H1 clearance around"])
    assert np.all(piece >= box.min(0) - 1e-5)
    assert np.all(piece <= box.max(0) + 1e-5)


def test_each_view_is_a_frame_with_its_camera_bound() -> None:
    framed = views()
    written = write(evaluation(), framed)
    scene = bpy.context.scene
    assert list(written.frames) == [view.name for view in framed]
    assert (scene.frame_start, scene.frame_end) == (1, len(framed))
    for view in framed:
        scene.frame_set(written.frames[view.name])
        markers = [m for m in scene.timeline_markers if m.frame == scene.frame_current]
        assert [m.name for m in markers] == [view.name]
        camera = markers[0].camera
        assert scene.camera == camera
        np.testing.assert_allclose(camera.matrix_world.translation, view.camera.origin, atol=1e-5)
        axes = np.array(camera.matrix_world)[:3, :3].T
        np.testing.assert_allclose(axes, view.camera.axes, atol=1e-6)
        assert camera.data.type == ("PERSP" if view.lens else "ORTHO")


def test_a_point_is_seen_where_the_view_says() -> None:
    """Against Blender's own projection, the shift and both kinds of camera included."""
    from bpy_extras.object_utils import world_to_camera_view
    from mathutils import Vector

    framed = views()
    write(evaluation(), framed)
    scene = bpy.context.scene
    scene.render.resolution_x, scene.render.resolution_y = 1600, 900
    point = np.array([3.0, 2.0, 1.2])
    for view in framed:
        thing = bpy.data.objects[view.name]
        bpy.context.view_layer.update()
        x, y, depth = world_to_camera_view(scene, thing, Vector(point))
        local = view.camera.to_local(point)
        width = view.width or 36.0 / view.lens * -local[2]
        expected = local[:2] / width - view.shift
        assert depth == pytest.approx(-local[2], abs=1e-4)
        assert x - 0.5 == pytest.approx(expected[0], abs=1e-5)
        assert (y - 0.5) / view.aspect == pytest.approx(expected[1], abs=1e-5)


def test_a_frame_shows_its_own_layers_and_writing_and_hides_what_it_does_without() -> None:
    found, framed = evaluation(), views()
    written = write(found, framed)
    hero, clearances, plan = (shown(written.frames[v.name]) for v in framed)
    drawn = {name for name in in_layer(Layer.BEAMS) if name.endswith(" on paper")}
    beams, writing = in_layer(Layer.BEAMS) - drawn, in_layer(Layer.DIMENSIONS)
    assert not (hero | clearances) & drawn
    assert not hero & (beams | writing | in_layer(Layer.CLEARANCES) | in_layer(Layer.WARMTH))
    landings = {name for name in beams if name.endswith(" outline")}
    warmth = {name for name in in_layer(Layer.WARMTH) if name.startswith("irradiance:")}
    assert clearances >= (beams - landings) | in_layer(Layer.CLEARANCES) | warmth
    assert not clearances & (landings | (in_layer(Layer.WARMTH) - warmth))
    assert "post 2" in hero & plan
    assert "post 2" not in clearances
    assert writing & clearances == {name for name in writing if name.startswith("clearances:")}
    other = {name for name in writing if name.startswith("plan: by beams")}
    assert writing & plan >= {name for name in writing if name.startswith("plan: Porch")}
    assert other
    assert not other & plan
    assert "ground" in hero
    assert "ground" not in plan


def test_a_layer_is_one_switch_in_the_window_and_stays_as_it_was_set() -> None:
    def switch(layer: Layer) -> bpy.types.LayerCollection:
        top = bpy.context.view_layer.layer_collection
        return top.children["Heatcore"].children[layer.value]

    write(evaluation(), views())
    beam = bpy.data.objects["H1 beam"]
    assert switch(Layer.BEAMS).hide_viewport
    assert not beam.visible_get()
    switch(Layer.BEAMS).hide_viewport = False
    switch(Layer.SPACE).hide_viewport = True
    bpy.context.view_layer.update()
    assert beam.visible_get()
    write(evaluation(), views())
    assert bpy.data.objects["H1 beam"].visible_get()
    assert not bpy.data.objects["table"].visible_get()
    assert not bpy.data.objects["table"].hide_render


def test_a_plan_lifts_the_roof_off_but_the_other_views_keep_it() -> None:
    framed = views()
    written = write(evaluation(), framed)
    assert "roof" in shown(written.frames["hero"])
    assert "roof" not in shown(written.frames["plan"])
    assert "back wall" in shown(written.frames["plan"])


def test_writing_says_what_the_view_says_and_faces_its_camera() -> None:
    framed = views()
    write(evaluation(), framed)
    bpy.context.view_layer.update()
    for view in framed:
        for label in view.labels:
            text = bpy.data.objects[f"{view.name}: {label.text}"]
            assert text.data.body == label.text
            axes = np.array(text.matrix_world)[:3, :3].T
            axes /= np.linalg.norm(axes, axis=1, keepdims=True)
            np.testing.assert_allclose(axes, view.camera.axes, atol=1e-5)


def test_writing_stands_before_everything_but_looks_as_if_it_stood_in_its_place() -> None:
    framed = views()
    written = write(evaluation(), framed)
    for view in framed[1:]:
        bpy.context.scene.frame_set(written.frames[view.name])
        label = view.labels[0]
        plate = bpy.data.objects[f"{view.name}: {label.text} plate"]
        local = view.camera.to_local(np.array(plate.matrix_world.translation, dtype=float))
        meant = view.camera.to_local(label.at)
        assert view.clip[0] < -local[2] < max(-meant[2], view.clip[0] + 0.06)
        scale = local[2] / meant[2] if view.lens else 1.0
        np.testing.assert_allclose(local[:2], meant[:2] * scale, atol=1e-5)


def test_overlays_are_for_the_camera_alone() -> None:
    write(evaluation(), views())
    overlays = [in_layer(layer) for layer in
                (Layer.BEAMS, Layer.WARMTH, Layer.CLEARANCES, Layer.DIMENSIONS)]  # fmt: skip
    for name in set().union(*overlays):
        thing = bpy.data.objects[name]
        if thing.type == "EMPTY":
            continue
        assert thing.visible_camera
        rays = ("diffuse", "glossy", "transmission", "volume_scatter", "shadow")
        assert not any(getattr(thing, f"visible_{ray}") for ray in rays), name


def test_written_twice_it_stands_there_once() -> None:
    write(evaluation(), views())
    once = counts()
    names = {thing.name for thing in bpy.data.objects}
    write(evaluation(), views())
    assert counts() == once
    assert {thing.name for thing in bpy.data.objects} == names


def test_cleared_it_leaves_nothing_behind() -> None:
    before = counts()
    write(evaluation(), views())
    clear()
    assert counts() == before
    assert not bpy.context.scene.timeline_markers


def test_what_others_made_stays() -> None:
    scene = bpy.context.scene
    mesh = bpy.data.meshes.new("mine")
    mine = bpy.data.objects.new("mine", mesh)
    scene.collection.objects.link(mine)
    scene.timeline_markers.new("my marker", frame=7)
    write(evaluation(), views())
    # Somebody puts an object into a layer, and takes one of the materials for it.
    guest = bpy.data.objects.new("visitor", mesh)
    bpy.data.collections["Space"].objects.link(guest)
    mesh.materials.append(bpy.data.objects["table"].data.materials[0])
    write(evaluation(), views())
    assert {"mine", "visitor"} <= set(scene.collection.objects.keys())
    assert mesh.materials[0] is not None
    assert "my marker" in scene.timeline_markers
    assert OWN not in mine


def test_the_users_own_world_comes_back() -> None:
    world = bpy.data.worlds.new("my sky")
    bpy.context.scene.world = world
    write(evaluation(), views())
    assert bpy.context.scene.world != world
    write(evaluation(), views())
    clear()
    assert bpy.context.scene.world == world


@pytest.mark.parametrize("scale", [0.01, 0.3048])
def test_other_unit_scales_give_the_same_place_in_metres(scale: float) -> None:
    scene = bpy.context.scene
    scene.unit_settings.scale_length = scale
    found, framed = evaluation(), views()
    write(found, framed)
    for name in ("roof", "table"):
        points = at(bpy.data.objects[name]) * scale
        bounds = found.model.by_name[name].mesh.bounds
        np.testing.assert_allclose([points.min(0), points.max(0)], bounds, rtol=1e-5, atol=1e-5)
    plan = bpy.data.objects["plan"].data
    assert plan.ortho_scale * scale == pytest.approx(framed[2].width, rel=1e-6)
    assert plan.clip_start * scale == pytest.approx(framed[2].clip[0], rel=1e-6)


def test_no_view_and_no_heater_still_make_a_scene() -> None:
    bare = replace(evaluation(), mounts=(), beams=(), findings=())
    written = write(bare, ())
    assert written.frames == {}
    assert not in_layer(Layer.HEATERS)
    assert in_layer(Layer.SPACE)


def test_the_saved_file_opens_with_its_frames(tmp_path: object) -> None:
    written = write(evaluation(), views())
    before = [shown(frame) for frame in written.frames.values()]
    path = f"{tmp_path}/sample.blend"
    bpy.ops.wm.save_as_mainfile(filepath=path)
    bpy.ops.wm.open_mainfile(filepath=path)
    assert [shown(frame) for frame in written.frames.values()] == before
