"""Scene files read: each value where the model wants it, in SI."""

from math import atan, pi, radians
from pathlib import Path

import pytest

from heatcore.errors import InputError
from heatcore.scene import parse_scene, read_scene, read_types, shipped
from heatcore.scene.model import Scene
from heatcore.scene.shapes import fields_of, kinds_of
from heatcore.units import UnitSystem
from tests.core.scene_texts import MINIMAL, SCENE, TYPES, make_folder

# The international foot and inch: 0.3048 m and 0.0254 m exactly (1959).
FOOT, INCH = 0.3048, 0.0254


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return make_folder(tmp_path)


@pytest.fixture
def scene(folder: Path) -> Scene:
    return parse_scene(SCENE, folder)


def test_values_arrive_in_si(scene: Scene) -> None:
    assert scene.site.units is UnitSystem.IMPERIAL
    assert scene.site.tolerance == pytest.approx(INCH / 2, abs=1e-15)
    assert scene.site.climate.air_temperature == pytest.approx((46 - 32) / 1.8)
    assert scene.site.climate.wind == pytest.approx(2 * 1609.344 / 3600)
    assert scene.site.climate.humidity == 0.6
    assert scene.floor.outline[2] == pytest.approx((20 * FOOT, 14 * FOOT))
    assert scene.roof[0].plate == pytest.approx(8.5 * FOOT)
    assert scene.roof[0].pitch == pytest.approx(atan(4 / 12))
    assert scene.heater[1].tilt == pytest.approx(radians(20))
    assert scene.heater[2].aim_at == pytest.approx((15 * FOOT, 9 * FOOT, 2 * FOOT))


def test_what_is_left_out_has_its_default(scene: Scene) -> None:
    assert scene.site.north == pi / 2
    assert scene.door[0].height == 2.032
    assert scene.heater[0].tilt is None
    assert scene.heater[0].offset is None


def test_reserved_words_lose_their_underscore(scene: Scene) -> None:
    assert scene.wall[0].from_ == pytest.approx((20 * FOOT, 14 * FOOT))
    assert scene.heater[1].offset is not None
    assert scene.heater[1].offset.from_ == "house wall"


def test_order_is_that_of_the_file(scene: Scene) -> None:
    assert [wall.name for wall in scene.wall] == ["house wall", "side wall"]
    assert [heater.name for heater in scene.heater] == ["H1", "H2", "H3"]


def test_the_sample_has_something_of_every_kind(scene: Scene) -> None:
    assert [kind for kind in kinds_of(Scene) if not getattr(scene, kind)] == []


def test_a_seat_that_furniture_brings_can_be_aimed_at(scene: Scene) -> None:
    assert scene.heater[0].aim_at == "table seat 2"


def test_the_scene_knows_its_folder_and_types(scene: Scene, folder: Path) -> None:
    assert scene.folder == folder
    assert scene.heater_types["bar"].combustible.below == 0.8
    assert scene.bracket_types["short arm"].extensions == pytest.approx((2 * INCH, 6 * INCH))
    assert set(shipped().heaters) < set(scene.heater_types)


def test_a_file_reads_as_its_text(folder: Path, scene: Scene) -> None:
    path = folder / "porch.toml"
    path.write_text(SCENE)
    assert read_scene(path) == scene


@pytest.mark.parametrize("content", ["\ufeff" + SCENE, SCENE.replace("\n", "\r\n")])
def test_windows_text_reads_the_same(folder: Path, scene: Scene, content: str) -> None:
    path = folder / "porch.toml"
    path.write_bytes(content.encode())
    assert read_scene(path) == scene


def test_a_scene_needs_only_a_name_and_a_floor() -> None:
    scene = parse_scene(MINIMAL)
    assert scene.folder is None
    assert scene.heater == ()


@pytest.mark.parametrize("zero", ["0", "0.0", '"0"', '"0 m"', '"0 in"'])
def test_zero_needs_no_unit(zero: str) -> None:
    scene = parse_scene(MINIMAL.replace("[[0, 0]", f"[[{zero}, 0]"))
    assert scene.floor.outline[0] == (0.0, 0.0)


def test_a_types_file_given_by_the_user_goes_over_all_others(folder: Path) -> None:
    own = folder / "maker.toml"
    own.write_text(TYPES.replace('"3 kW"', '"4 kW"'))
    assert parse_scene(SCENE, folder).heater_types["bar"].input_power == 3000.0
    assert parse_scene(SCENE, folder, [own]).heater_types["bar"].input_power == 4000.0


def test_types_that_ship_are_there_and_say_that_they_are_typical() -> None:
    heaters, brackets, _ = shipped()
    assert heaters
    assert brackets
    for own in (*heaters.values(), *brackets.values()):
        assert "typical" in own.note


def test_a_bracket_ships_for_every_mount_of_every_heater() -> None:
    heaters, brackets, _ = shipped()
    mounts = {mount for heater in heaters.values() for mount in heater.mounts}
    assert mounts <= {bracket.mount for bracket in brackets.values()}


def test_types_read_by_themselves(folder: Path) -> None:
    heaters, brackets, keep_outs = read_types(folder / "types.toml")
    assert list(heaters) == ["bar"]
    assert list(brackets) == ["short arm", "wall arm"]
    assert keep_outs == {}


def test_keep_outs_ship_and_each_says_where_it_comes_from() -> None:
    keep_outs = shipped().keep_outs
    assert keep_outs
    assert all(keep_out.source for keep_out in keep_outs.values())


def test_every_demo_scene_reads() -> None:
    scenes = sorted((Path(__file__).parents[2] / "scenes").glob("*.toml"))
    assert scenes
    for path in scenes:
        assert read_scene(path).heater


def test_every_key_is_described() -> None:
    todo: list[type] = [Scene, *kinds_of(Scene).values()]
    for table in todo:
        for field in fields_of(table):
            assert field.description, f"{table.__name__}.{field.attribute}"


def test_an_error_holds_every_mistake_and_reads_as_one_line_each(folder: Path) -> None:
    broken = SCENE.replace('"gable"', '"gabel"').replace("chairs = 4", "chairs = -4")
    with pytest.raises(InputError) as caught:
        parse_scene(broken, folder)
    assert len(caught.value.mistakes) == 2
    assert len(str(caught.value).splitlines()) == 2
