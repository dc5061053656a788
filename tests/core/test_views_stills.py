"""The seven stills: names and order, labels and cameras, for one heater and for thirty."""

from __future__ import annotations

import time
from math import radians
from pathlib import Path

import numpy as np
import pytest
import shapely

from heatcore.evaluate import Evaluation, evaluate
from heatcore.geometry.parts import Kind
from heatcore.geometry.rays import Obstacles
from heatcore.scene import choose, read_scene
from heatcore.units import UnitSystem
from heatcore.views import plan_views
from heatcore.views.framing import Framing
from heatcore.views.layout import overlaps
from heatcore.views.lettering import plate_size
from heatcore.views.view import Layer, Tone, View
from tests.core.porch import Porch

SCENES = Path(__file__).resolve().parents[2] / "scenes"
NAMES = ("hero", "warmth", "clearances", "plan", "elevation_1", "elevation_2", "bracket")
TURNED = {"turn": radians(33.0), "at": (-100.0, 60.0), "units": UnitSystem.IMPERIAL}


def views_of(porch: Porch, size: tuple[int, int] = (1600, 900)) -> dict[str, View]:
    return {view.name: view for view in plan_views(porch.evaluation(), size)}


def plates(view: View) -> np.ndarray:
    """The labels' plates as the camera sees them: (n, 4) boxes in frame heights."""
    framing = Framing.of(view)
    boxes = []
    for label in view.labels:
        width, height = plate_size(label)
        c, s = np.cos(label.turn), np.sin(label.turn)
        right, up = framing.camera.x, framing.camera.y
        across, high = c * right + s * up, c * up - s * right
        corners = [
            label.at + a * width / 2 * across + b * height / 2 * high
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        at = framing.project(np.array(corners))[:, :2]
        boxes.append(np.concatenate([at.min(axis=0), at.max(axis=0)]))
    return np.reshape(boxes, (-1, 4))


def assert_readable(view: View) -> None:
    """No label overlaps another or is cut."""
    boxes = plates(view)
    assert int(overlaps(boxes, boxes).sum()) == len(boxes), view.name
    assert (np.abs(boxes[:, [0, 2]]) <= view.aspect / 2).all(), view.name
    assert (np.abs(boxes[:, [1, 3]]) <= 0.5).all(), view.name


def visible_share(evaluation: Evaluation, view: View, points: np.ndarray) -> float:
    """Share of points (n, 3) in the frame with nothing but a heater's own body before them."""
    obstacles = Obstacles((p.name, p.mesh) for p in evaluation.model.parts if not p.swept)
    eye = np.broadcast_to(view.camera.origin, points.shape)
    seen = obstacles.sees(eye, points) & Framing.of(view).shows(points)
    return float(seen.mean())


@pytest.fixture(scope="module")
def four() -> tuple[Evaluation, dict[str, View]]:
    evaluation = Porch(4).evaluation()
    return evaluation, {view.name: view for view in plan_views(evaluation)}


def test_seven_stills_in_the_storys_order(four: tuple[Evaluation, dict[str, View]]) -> None:
    assert tuple(four[1]) == NAMES


@pytest.mark.parametrize("count", range(1, 31))
def test_labels_are_disjoint_and_inside_the_frame(count: int) -> None:
    porch = Porch(count, failing=count % 2 == 0, **(TURNED if count % 3 == 0 else {}))
    for view in views_of(porch).values():
        assert_readable(view)


@pytest.mark.parametrize("size", [(1600, 900), (1000, 1000)])
def test_very_long_names_are_no_excuse(size: tuple[int, int]) -> None:
    for count in (1, 7):
        porch = Porch(count, prefix="long linear heater over the refectory table no. ")
        for view in views_of(porch, size).values():
            assert_readable(view)


@pytest.mark.parametrize("scene", ["lodge_porch", "cafe_terrace", "courtyard_pergola"])
@pytest.mark.parametrize("option", ["A", "B"])
def test_the_demo_scenes_are_told_whole(scene: str, option: str) -> None:
    evaluation = evaluate(choose(read_scene(SCENES / f"{scene}.toml"), option))
    for view in plan_views(evaluation):
        assert_readable(view)
        said = [label.text for label in view.labels]
        if view.name in ("plan", "elevation_1", "elevation_2"):
            assert not [text for text in said if "more: see" in text]
            text = " ".join(said)
            assert all(mount.name in text for mount in evaluation.mounts)
        if view.name == "clearances":
            alarms = [label for label in view.labels if label.tone is Tone.ALARM]
            assert bool(alarms) == bool(evaluation.failures)
        if view.name == "hero":
            ends = [m.frame.to_world([[0, 0, -0.01]]) for m in evaluation.mounts]
            assert visible_share(evaluation, view, np.concatenate(ends)) == 1.0


@pytest.mark.parametrize("size", [(1600, 900), (1080, 1080), (1920, 800)])
def test_letters_are_a_fiftieth_of_the_frame_high_at_least(size: tuple[int, int]) -> None:
    for view in views_of(Porch(5), size).values():
        framing = Framing.of(view)
        for label in view.labels:
            depth = framing.project(label.at)[2]
            assert label.height / framing.height_at(depth) >= 0.02
            assert depth >= view.clip[0]
        for line in view.lines:
            assert (framing.project(line.points)[:, 2] >= view.clip[0]).all()


def test_nothing_that_the_camera_shows_hides_a_label(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    evaluation, views = four
    for view in views.values():
        kept = [p for p in evaluation.model.parts if not p.swept and p.name not in view.hidden]
        obstacles = Obstacles((p.name, p.mesh) for p in kept)
        framing = Framing.of(view)
        for label in view.labels:
            x, y, _ = framing.project(label.at)
            start = framing.lift(np.array([x, y]), view.clip[0] + 0.002)
            assert obstacles.sees(start[None], label.at[None])[0], (view.name, label.text)


@pytest.mark.parametrize("kind", ["plain", "turned"])
@pytest.mark.parametrize("count", [1, 3, 6, 12])
def test_the_hero_stands_at_eye_level_and_shows_the_heaters(count: int, kind: str) -> None:
    porch = Porch(count, **(TURNED if kind == "turned" else {}))
    evaluation = porch.evaluation()
    hero = plan_views(evaluation)[0]
    assert 1.5 <= hero.camera.origin[2] <= 1.7
    assert hero.camera.y == pytest.approx([0.0, 0.0, 1.0])
    assert 20.0 <= hero.lens <= 28.0
    assert hero.labels == ()
    local = [(-0.4, 0.0, -0.01), (0.0, 0.0, -0.01), (0.4, 0.0, -0.01)]
    faces = np.concatenate([mount.frame.to_world(local) for mount in evaluation.mounts])
    assert visible_share(evaluation, hero, faces) >= (1.0 if count <= 6 else 0.8)
    heads = np.array(
        [place.point + np.array([0.0, 0.0, 1.28]) for place in evaluation.model.places]
    )
    assert visible_share(evaluation, hero, heads) >= 0.7


def test_the_ceiling_fills_the_upper_third_of_the_hero(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    evaluation, views = four
    hero = views["hero"]
    framing = Framing.of(hero)
    x, y = np.meshgrid(np.linspace(-0.85, 0.85, 40), np.linspace(0.18, 0.48, 16))
    at = np.column_stack([x.ravel(), y.ravel()])
    way = framing.lift(at, 1.0) - hero.camera.origin
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    parts = [p for p in evaluation.model.parts if not p.swept]
    obstacles = Obstacles((p.name, p.mesh) for p in parts)
    distance, which = obstacles.first(np.broadcast_to(hero.camera.origin, way.shape), way)
    kinds = np.array([*(p.kind for p in parts), "sky"])[which]
    assert np.isin(kinds, [Kind.ROOF, Kind.BEAM, Kind.RAFTER]).mean() >= 0.5
    assert distance.min() > 0.5


@pytest.mark.parametrize("count", [2, 4, 9])
def test_what_fails_is_in_sight_with_both_figures(count: int) -> None:
    evaluation = Porch(count).evaluation()
    view = plan_views(evaluation)[2]
    said = [label.text for label in view.labels if label.tone is Tone.ALARM]
    assert any("200 mm, 350 mm required" in text for text in said)
    assert any("120 mm, 200 mm required" in text for text in said)
    worst = evaluation.failures[1]
    between = (worst.point + worst.heater_point)[None] / 2
    assert visible_share(evaluation, view, between) == 1.0
    arrows = [line for line in view.lines if line.arrows and line.tone is Tone.ALARM]
    assert arrows


def test_where_all_is_well_the_margins_are_written_quietly() -> None:
    view = views_of(Porch(3, failing=False))["clearances"]
    assert not [label for label in view.labels if label.tone is Tone.ALARM]
    assert sorted(label.text for label in view.labels) == [
        f"H{i}: 100 mm to spare\nto roof" for i in (1, 2, 3)
    ]


def test_the_plan_dimensions_each_heater_from_named_references(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    view = four[1]["plan"]
    said = {label.text for label in view.labels}
    assert {"8.000 m", "5.000 m", "H1", "H2", "H3", "H4", "N"} <= said
    # Three columns at 1/6, 1/2 and 5/6 of 8 m; two rows at 1/4 and 3/4 of 5 m.
    assert {"H1, H4\n1.333 m", "H2\n4.000 m", "H3\n6.667 m"} <= said
    assert {"H1, H2, H3\n1.250 m", "H4\n3.750 m"} <= said
    assert {"0: floor edge"} <= said


def test_the_plan_lifts_the_roof_and_keeps_the_furniture(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    evaluation, views = four
    plan = views["plan"]
    framing = Framing.of(plan)
    for part in evaluation.model.parts:
        nearest = framing.project(part.mesh.vertices)[:, 2].min()
        if part.kind in (Kind.ROOF, Kind.BEAM):
            assert nearest < plan.clip[0]
        if part.kind in (Kind.FURNITURE, Kind.PERSON):
            assert nearest > plan.clip[0]
    outline = np.column_stack([evaluation.model.floor_outline, np.zeros(4)])
    assert framing.shows(outline, 0.03).all()


def test_the_poche_of_the_plan_is_what_the_cut_goes_through(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    plan = four[1]["plan"]
    filled = [
        shapely.Polygon(line.points[:, :2])
        for line in plan.lines
        if line.filled and line.tone is Tone.QUIET
    ]
    cut = shapely.union_all(filled)
    # The back wall 8 x 0.2 m, two posts 0.14 x 0.14 m, the closed leaf 0.9 x 0.05 m.
    assert cut.area == pytest.approx(8 * 0.2 + 2 * 0.14**2 + 0.9 * 0.05, rel=1e-3)


def test_the_elevations_stand_square_to_each_other_and_say_the_heights(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    evaluation, views = four
    one, two = views["elevation_1"], views["elevation_2"]
    assert one.camera.z @ two.camera.z == pytest.approx(0.0, abs=1e-9)
    assert abs(one.camera.z[2]) < 1e-9
    heights = {m.name: m.frame.origin[2] for m in evaluation.mounts}
    for view in (one, two):
        said = {label.text for label in view.labels}
        assert f"H4  {heights['H4']:.3f} m" in said
        assert f"H1, H2, H3  {heights['H1']:.3f} m" in said
        assert {
            "0 floor",
            "plate  2.600 m",
            f"ridge  {2.6 + 5 * np.tan(radians(12)):.3f} m",
        } <= said
        for mount in evaluation.mounts:
            assert (Framing.of(view).project(mount.body)[:, 2] > view.clip[0]).all()
    assert "12°" in {label.text for label in one.labels}


def test_the_pitch_triangle_has_the_roofs_own_slope(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    view = four[1]["elevation_1"]
    triangles = [line for line in view.lines if len(line.points) == 3 and line.closed]
    assert len(triangles) == 1
    sides = np.diff(np.concatenate([triangles[0].points, triangles[0].points[:1]]), axis=0)
    rises = np.abs(sides[:, 2])
    runs = np.linalg.norm(sides[:, :2], axis=1)
    assert np.sort(np.arctan2(rises, runs)) == pytest.approx(
        [0.0, radians(12.0), np.pi / 2], abs=1e-6
    )


def test_the_bracket_is_seen_along_the_slopes_level_line(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    evaluation, views = four
    view = views["bracket"]
    mount = next(m for m in evaluation.mounts if m.name == view.heaters[0])
    assert mount.arms[0].normal @ view.camera.z == pytest.approx(0.0, abs=1e-9)
    assert 60.0 <= view.lens <= 85.0
    framing = Framing.of(view)
    shown = np.concatenate([mount.body, *[np.stack([a.pivot, a.foot]) for a in mount.arms]])
    assert framing.shows(shown, 0.05).all()
    said = {label.text for label in view.labels}
    length = f"arm {mount.arms[0].length * 1000:.0f} mm"
    assert {"12°", "H1, level", "plate on\nroof", length} <= said
    gap = f"gap {np.floor(mount.gaps.min() * 1000):.0f} mm"
    assert any(text.startswith(gap) for text in said)


def test_no_camera_stands_in_a_solid(four: tuple[Evaluation, dict[str, View]]) -> None:
    evaluation, views = four
    for name in ("hero", "warmth", "clearances"):
        eye = views[name].camera.origin
        for part in evaluation.model.parts:
            low, high = part.mesh.bounds
            if not part.swept and part.kind is not Kind.ROOF:
                assert not ((eye > low) & (eye < high)).all(), (name, part.name)


def test_layers_and_captions_say_what_each_view_is_about(
    four: tuple[Evaluation, dict[str, View]],
) -> None:
    views = four[1]
    assert Layer.WARMTH in views["warmth"].layers
    assert Layer.CLEARANCES in views["clearances"].layers
    assert Layer.BEAMS in views["elevation_1"].layers
    assert Layer.DIMENSIONS not in views["hero"].layers
    for view in views.values():
        assert view.caption.endswith(".")
        assert "\n" not in view.caption
        assert bool(view.labels) == (Layer.DIMENSIONS in view.layers)
    assert "Four heaters" in views["hero"].caption
    assert views["warmth"].caption == (
        "Three of eight seats are warm, feeling 4.2 K warmer; three are borderline; "
        "two are not: outside every beam."
    )
    assert "200 mm" in views["clearances"].caption
    assert "8.000 m by 5.000 m" in views["plan"].caption


def test_feet_and_inches_where_the_site_asks_for_them() -> None:
    views = views_of(Porch(4, units=UnitSystem.IMPERIAL, pitch=np.arctan(4 / 12)))
    assert "26' 3\"" in {label.text for label in views["plan"].labels}
    assert "4:12" in {label.text for label in views["elevation_1"].labels}


def test_a_place_without_heaters_still_has_its_pictures() -> None:
    views = views_of(Porch(0))
    assert tuple(views) == NAMES[:-1]
    for view in views.values():
        boxes = plates(view)
        assert int(overlaps(boxes, boxes).sum()) == len(boxes)


def test_far_away_and_turned_the_pictures_are_the_same() -> None:
    here, there = views_of(Porch(4)), views_of(Porch(4, turn=radians(33.0), at=(100.0, -70.0)))
    for name in NAMES:
        if name == "plan":
            assert here[name].width == pytest.approx(there[name].width)
        a, b = (sorted(label.text for label in views[name].labels) for views in (here, there))
        assert a == b, name
        assert here[name].lens == there[name].lens, name


def test_thirty_heaters_are_framed_within_three_seconds() -> None:
    evaluation = Porch(30).evaluation()
    start = time.process_time()
    plan_views(evaluation)
    assert time.process_time() - start < 3.0
