"""Patterns of heater types: what is refused, where, and what is read."""

from math import pi

import pytest

from heatcore.errors import InputError
from heatcore.scene.library import read_types
from heatcore.scene.types import Pattern

TYPE = """
[[heater_type]]
name = "t"
label = "t"
note = "made up for this test"
input_power = "1 kW"
voltage = "240 V"
radiant_fraction = 0.6
element_temperature = "850 C"
length = "1 m"
width = "200 mm"
height = "100 mm"
aperture_length = "800 mm"
aperture_width = "100 mm"
pattern = {}
combustible = {{ above = "1 m", sides = "1 m", ends = "1 m", below = "1 m" }}
noncombustible = {{ above = "1 m", sides = "1 m", ends = "1 m", below = "1 m" }}
spacing = "600 mm"
least_spacing = "500 mm"
most_spacing = "700 mm"
least_height = "2 m"
most_height = "3 m"
mass = 5.0
"""
LINE = 15  # of the pattern
ANGLES = 'angles_along = ["0 deg", "40 deg"], angles_across = ["-30 deg", "0 deg", "30 deg"]'
GOOD = f'{{ kind = "table", {ANGLES}, intensities = [[1, 2, 1], [0, 0.5, 0]] }}'


@pytest.fixture
def read(tmp_path):
    def read_pattern(pattern: str) -> Pattern:
        path = tmp_path / "types.toml"
        path.write_text(TYPE.format(pattern))
        return read_types(path).heaters["t"].pattern

    return read_pattern


def test_a_table_is_read(read) -> None:
    pattern = read(GOOD)
    assert pattern.angles_along == pytest.approx((0.0, 40 * pi / 180))
    assert pattern.intensities == ((1, 2, 1), (0, 0.5, 0))


@pytest.mark.parametrize(
    ("pattern", "where", "words"),
    [
        (GOOD.replace("[[1, 2, 1], [0, 0.5, 0]]", "[[0, 0, 0], [0, 0, 0]]"),
         "intensities", "the pattern vanishes"),
        (GOOD.replace(", [0, 0.5, 0]", ""), "intensities", "has 1 rows, and angles_along 2"),
        (GOOD.replace("[0, 0.5, 0]", "[0, 0.5]"), "intensities[2]", "has 2 entries"),
        (GOOD.replace("[0, 0.5, 0]", "[0, -0.5, 0]"), "intensities[2][2]", "too small"),
        (GOOD.replace("[1, 2, 1]", "[1, nan, 1]"), "intensities[1][2]", "a number"),
        (GOOD.replace('"0 deg", "40 deg"', '"40 deg", "0 deg"'), "angles_along[2]",
         "comes after"),
        (GOOD.replace('"0 deg", "40 deg"', '"0 deg", "0 deg"'), "angles_along[2]", "comes after"),
        (GOOD.replace('"40 deg"', '"95 deg"'), "angles_along[2]", "behind the heater's face"),
        (GOOD.replace('"0 deg", "40 deg"', '"10 deg", "40 deg"'), "angles_along[1]",
         "begins at"),
        (GOOD.replace('"0 deg", "40 deg"', '"0 deg"'), "angles_along", "at least 2"),
        ('{ kind = "table" }', "intensities", "is missing, and a table needs it"),
        (f'{{ kind = "cosine", {ANGLES} }}', "angles_along", "does not go with a cosine"),
        ('{ kind = "uniform", along = 2.0 }', "along", 'kind = "cosine"'),
        ('{ kind = "cosine", along = 0 }', "along", "too small"),
        ('{ kind = "cosine", across = 1e9 }', "across", "it vanishes"),
    ],
)  # fmt: skip
def test_what_is_no_pattern_is_refused_where_it_stands(read, pattern, where, words) -> None:
    with pytest.raises(InputError) as error:
        read(pattern)
    said = [m for m in error.value.mistakes if m.where.endswith(f"pattern.{where}")]
    assert said, str(error.value)
    assert words in str(said[0])
    assert f"line {LINE}: " in said[0].where
