"""The JSON Schemas, by the reference library for JSON Schema in Python (jsonschema)."""

import json
import runpy
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from heatcore.scene.schema import scene_schema, types_schema
from tests.core.scene_texts import MINIMAL, SCENE, TYPES, changed

ROOT = Path(__file__).parents[2]
SCENES = ROOT / "scenes"
SCENE_CHECK = Draft202012Validator(scene_schema())
TYPES_CHECK = Draft202012Validator(types_schema())


def errors(text: str, check: Any = SCENE_CHECK) -> list[str]:
    """Paths at which a text does not keep to a schema."""
    found = check.iter_errors(tomllib.loads(text))
    return sorted(".".join(map(str, error.absolute_path)) for error in found)


@pytest.mark.parametrize("schema", [scene_schema(), types_schema()])
def test_a_schema_is_one(schema: dict[str, Any]) -> None:
    Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize(("name", "schema"), [("scene", scene_schema()), ("types", types_schema())])
def test_the_schemas_are_in_step_with_the_model(name: str, schema: dict[str, Any]) -> None:
    written = json.loads((SCENES / f"{name}.schema.json").read_text(encoding="utf-8"))
    assert written == schema, "run: python -m heatcore.scene.schema scenes"


def test_the_module_writes_both(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "argv", ["schema", str(tmp_path)])
    monkeypatch.delitem(sys.modules, "heatcore.scene.schema")
    runpy.run_module("heatcore.scene.schema", run_name="__main__")
    for path in sorted(tmp_path.iterdir()):
        assert path.read_bytes() == (SCENES / path.name).read_bytes()
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize("text", [SCENE, MINIMAL])
def test_a_right_scene_keeps_to_it(text: str) -> None:
    assert errors(text) == []


def test_right_types_keep_to_it() -> None:
    assert errors(TYPES, TYPES_CHECK) == []


@pytest.mark.parametrize("path", sorted(SCENES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_demo_scene_keeps_to_it_and_names_it(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert errors(text) == []
    assert text.splitlines()[0] == "#:schema scene.schema.json"


@pytest.mark.parametrize(
    "path", sorted((ROOT / "heatcore/scene/data").glob("*.toml")), ids=lambda path: path.stem
)
def test_the_types_that_ship_keep_to_it_and_name_it(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert errors(text, TYPES_CHECK) == []
    named = text.splitlines()[0].removeprefix("#:schema ")
    assert (path.parent / named).resolve() == SCENES / "types.schema.json"


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ('swing = "out"', 'swnig = "out"', "door.0"),
        ('"gable"', '"gabel"', "roof.0.form"),
        ('height = "4 ft"', "height = 1.2", "wall.1.height"),
        ("chairs = 4", "chairs = -4", "furniture.0.chairs"),
        ("chairs = 4", "chairs = 4.5", "furniture.0.chairs"),
        ('underside = "7\' 9"\n', "", "beam.0"),
        ('at = ["15 ft", "4 ft"]', 'at = ["15 ft"]', "seat.0.at"),
        ('humidity = "60 %"', "humidity = 60", "site.climate.humidity"),
        ("combustible = true", 'combustible = "yes"', "furniture.0.combustible"),
        (
            'offset = { from = "house wall"',
            'at = [0, 0]\noffset = { from = "house wall"',
            "heater.1",
        ),
        ('tilt = "20 deg"', 'tilt = "20 deg"\naim_at = "guest"', "heater.1"),
        ('set.site.tolerance = "1 in"', 'set.site.tolerence = "1 in"', "option.0.set.site"),
        ('set.site.tolerance = "1 in"', 'set.sight.tolerance = "1 in"', "option.0.set"),
        ('aim_at = "guest"', "aim_at = 3", "option.1.set.heater.H2.aim_at"),
        ('at = ["4 ft", "4 ft"]\n', "", "option.1.add.heater.0"),
        ("[floor]", "[flor]", ""),
    ],
)
def test_what_is_wrong_is_marked_where_it_is(old: str, new: str, where: str) -> None:
    assert where in errors(changed(old, new))


def test_everything_says_what_it_is() -> None:
    """An editor shows a description for each key and each table."""
    for schema in (scene_schema(), types_schema()):
        for name, table in {"": schema, **schema["$defs"]}.items():
            assert table["description"], name
            for key, value in table["properties"].items():
                assert value["description"], f"{name}.{key}"


def test_defaults_are_what_an_empty_key_means() -> None:
    door = scene_schema()["$defs"]["Door"]["properties"]
    assert door["leaf_thickness"]["default"] == "45 mm"
    assert "default" not in door["wall"]
    # Left out, a door's swing is not 'in': it counts both ways, and as far as a leaf can turn.
    assert "default" not in door["swing"]
    assert "default" not in door["swing_angle"]
    window = scene_schema()["$defs"]["Window"]["properties"]
    assert window["swing"]["default"] == "out"
    assert "default" not in window["kind"]
