"""Scenes written: the text reads back as the same scene, to the last bit of every number."""

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from heatcore.errors import InputError, UnitError
from heatcore.scene import parse_scene, write_scene
from heatcore.scene.document import Document
from heatcore.scene.drafts import Reader
from heatcore.scene.kinds import Number, Quantity, Reference, Word
from heatcore.scene.model import Option, Scene, Site
from heatcore.scene.shapes import (
    Choice,
    Either,
    Fixed,
    Flag,
    Many,
    Raw,
    Shape,
    Table,
    Text,
    fields_of,
    kinds_of,
)
from heatcore.scene.spelling import parse, spell
from heatcore.units import UnitSystem
from tests.core.scene_texts import MINIMAL, SCENE, make_folder

# A fraction no tape measure shows is a warning, and fuzzed text is full of them.
pytestmark = pytest.mark.filterwarnings("ignore::heatcore.units.UnitWarning")


@pytest.fixture
def scene(tmp_path: Path) -> Scene:
    return parse_scene(SCENE, make_folder(tmp_path))


def test_a_scene_reads_back(scene: Scene) -> None:
    assert parse_scene(write_scene(scene), scene.folder) == scene


def test_another_library_reads_the_same_values(scene: Scene) -> None:
    text = write_scene(scene)
    assert tomlkit.parse(text).unwrap() == tomllib.loads(text)


def test_editors_are_shown_the_schema_in_the_first_line(scene: Scene) -> None:
    assert write_scene(scene).startswith("#:schema scene.schema.json\n")


@pytest.mark.parametrize(
    "line",
    [
        'underside = "7\' 9"',
        'climate = { air_temperature = "46 F", wind = "2 mph", humidity = 0.6 }',
        'plate = "8\' 6"',
        'pitch = "4:12"',
        'tilt = "20 deg"',
        'at = ["2 in", "2 in"]',
        'offset = { from = "house wall", by = ["5\' 0", "6 in"] }',
        'set.door."back door".swing = "in"',
        "[[option.add.heater]]",
        '  ["20\' 0", 0],',
    ],
)
def test_values_stand_as_people_write_them(scene: Scene, line: str) -> None:
    assert line in write_scene(scene).splitlines()


def test_what_equals_its_default_is_left_out(scene: Scene) -> None:
    text = write_scene(scene)
    assert "swing_angle" not in text
    assert "overhang" not in text


def test_a_metric_site_is_written_in_metres() -> None:
    text = write_scene(parse_scene(MINIMAL + '[[post]]\nname = "P"\nat = ["3 ft", "450 mm"]\n'))
    assert 'at = ["914.4 mm", "450 mm"]' in text
    assert '["4 m", "3 m"]' in text


@pytest.mark.parametrize(
    ("dimension", "value", "units", "text"),
    [
        ("length", 2.295525, "imperial", "7' 6 3/8"),  # 7 ft 6 3/8 in = 2295.525 mm
        ("length", 2.4384, "imperial", "8' 0"),
        ("length", -0.0254, "imperial", "-1 in"),
        ("length", 0.0127, "imperial", "1/2 in"),
        ("length", 2.345678901, "imperial", "2.345678901 m"),
        ("length", 2.345678901, "metric", "2.345678901 m"),
        ("length", 2.4, "metric", "2.4 m"),
        ("length", 0.45, "metric", "450 mm"),
        ("angle", 1.5707963267948966, "metric", "90 deg"),
        ("angle", 0.3, "metric", "0.3 rad"),
        ("power", 3200.0, "metric", "3.2 kW"),
        ("power", 450.0, "metric", "450 W"),
        ("temperature", 8.0, "imperial", "46.4 F"),
        ("temperature", 8.0, "metric", "8 C"),
        ("speed", 1.5, "metric", "1.5 m/s"),
        ("voltage", 240.0, "metric", "240 V"),
        ("share", 0.6, "metric", 0.6),
    ],
)
def test_spellings(dimension: str, value: float, units: str, text: str | float) -> None:
    assert spell(dimension, value, UnitSystem(units)) == text


UNITS = st.sampled_from(UnitSystem)
# Any float of the range, and those that people write.
LENGTHS = (
    st.floats(-10_000, 10_000)
    | st.integers(-640_000, 640_000).map(lambda sixty_fourths: sixty_fourths * 0.0254 / 64)
    | st.integers(-100_000, 100_000).map(lambda millimetres: millimetres / 1000)
)


@settings(max_examples=200, deadline=None)
@given(LENGTHS, UNITS)
def test_any_length_reads_back_identically(length: float, units: UnitSystem) -> None:
    assert parse("length", spell("length", length, units)) == length


RANGES = {
    "angle": (-7.0, 7.0),
    "pitch": (0.0, 1.3),
    "power": (1e-3, 1e6),
    "temperature": (-60.0, 3000.0),
    "speed": (0.0, 60.0),
    "share": (0.0, 1.0),
    "voltage": (1e-3, 1000.0),
}


@pytest.mark.parametrize("dimension", RANGES)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_quantity_reads_back_identically(dimension: str, data: st.DataObject) -> None:
    low, high = RANGES[dimension]
    value = data.draw(st.floats(low, high) | st.integers(round(low), round(high)).map(float))
    if value or dimension not in ("power", "voltage"):
        assert parse(dimension, spell(dimension, value, data.draw(UNITS))) == value


NAMES = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=8)
TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=12)
SIZES = st.floats(0, 100, exclude_min=True) | st.integers(1, 60_000).map(lambda mm: mm / 1000)
OUTLINES = (
    st.tuples(SIZES, SIZES)
    .filter(lambda size: min(size) > 0.1)
    .map(lambda size: ((0.0, 0.0), (size[0], 0.0), size, (0.0, size[1])))
)
SCRAPS = st.recursive(
    TEXTS | st.booleans() | st.integers(0, 9),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(TEXTS, inner, max_size=2),
)
RAW = st.dictionaries(TEXTS, SCRAPS, max_size=2)


def values(shape: Shape) -> st.SearchStrategy[Any]:
    """Any value of a shape."""
    match shape:
        case Quantity(dimension="length"):
            if shape.at_least == -10_000:
                return LENGTHS
            low, high = shape.at_least or 0.0, shape.at_most
            return SIZES if high == 100.0 else st.floats(low, high)
        case Quantity():
            low = shape.at_least if shape.above is None else shape.above
            return st.floats(low, shape.at_most, exclude_min=shape.above is not None)
        case Number():
            most = 1e6 if shape.at_most is None else shape.at_most
            return st.integers(1, min(20, int(most))) if shape.whole else st.floats(0.1, most)
        case Word() | Reference():
            return NAMES
        case Flag():
            return st.booleans()
        case Text():
            return TEXTS
        case Choice():
            return st.sampled_from(shape.words).map(shape.of or str)
        case Fixed():
            return st.tuples(*map(values, shape.items))
        case Many(polygon=True):
            return OUTLINES
        case Many(item=Table(of=of)):
            return st.lists(tables(of), max_size=2).map(tuple)
        case Many():
            return st.lists(values(shape.item), max_size=3).map(tuple)
        case Table():
            return tables(shape.of)
        case Either():
            return values(shape.text) | values(shape.list)
        case Raw():
            return RAW
    raise AssertionError(shape)


def tables(of: type) -> st.SearchStrategy[Any]:
    """Any value of a dataclass, its keys given or left out."""
    return st.deferred(
        lambda: st.fixed_dictionaries(
            {f.attribute: values(f.shape) for f in fields_of(of) if f.required},
            optional={f.attribute: values(f.shape) for f in fields_of(of) if not f.required},
        ).map(lambda given: of(**given))
    )


def read_values(text: str) -> Scene:
    """Read the values of a text, without the rules for what fits together."""
    reader = Reader()
    draft = reader.table(Scene, tomllib.loads(text), ())
    assert [Document({}).mistake(slip) for slip in reader.slips] == []
    scene: Scene = draft.build()
    return scene


@pytest.mark.parametrize("kind", ["site", "floor", *kinds_of(Scene)])
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_whatever_a_scene_holds_reads_back(kind: str, data: st.DataObject) -> None:
    shapes = {field.key: field.shape for field in fields_of(Scene)}
    drawn = {key: data.draw(values(shapes[key])) for key in {"site", "floor", kind}}
    scene = Scene(**drawn)
    text = write_scene(scene)
    assert read_values(text) == scene
    assert tomlkit.parse(text).unwrap() == tomllib.loads(text)


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_not_finite_cannot_be_written(scene: Scene, value: float) -> None:
    heater = replace(scene.heater[0], at=(value, 0.0))
    with pytest.raises(InputError) as caught:
        write_scene(replace(scene, heater=(heater,)))
    assert caught.value.mistakes[0].where == 'heater "H1".at'
    with pytest.raises(UnitError):
        spell("length", value, UnitSystem.METRIC)


def test_a_name_stays_whatever_it_holds() -> None:
    site = Site(name="Café \"Zur Ecke\" = [1] # \\ 'so' ☀")
    scene = replace(
        parse_scene(MINIMAL), site=site, option=(Option(name="a.b = c", note="\x7f\n"),)
    )
    back = parse_scene(write_scene(scene))
    assert back.site.name == site.name
    assert back.option == scene.option
