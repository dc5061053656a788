"""A scene file with something of every kind in it, and the types it names; all invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from heatcore.errors import InputError, Mistake
from heatcore.scene import parse_scene

TYPES = """\
[[heater_type]]
name = "bar"
label = "Bar heater"
note = "invented"
input_power = "3 kW"
voltage = "240 V"
radiant_fraction = "60 %"
element_temperature = "850 C"
length = "1.2 m"
width = "200 mm"
height = "100 mm"
aperture_length = "1 m"
aperture_width = "150 mm"
pattern = { along = 1.5, across = 2.5 }
combustible = { above = "150 mm", sides = "400 mm", ends = "300 mm", below = "800 mm" }
noncombustible = { above = "100 mm", sides = "200 mm", ends = "150 mm", below = "500 mm" }
mounts = ["ceiling", "wall"]
spacing = "600 mm"
least_spacing = "450 mm"
most_spacing = "750 mm"
tilt_from = "-30 deg"
tilt_to = "30 deg"
least_height = "2.1 m"
most_height = "3.2 m"
mass = 8
cautions = ["Hot."]

[[bracket_type]]
name = "short arm"
label = "Short arm"
note = "invented"
mount = "ceiling"
arm = "6 in"
extensions = ["2 in", "6 in"]

[[bracket_type]]
name = "wall arm"
label = "Wall arm"
note = "invented"
mount = "wall"
arm = "10 in"
"""

SCENE = """\
#:schema scene.schema.json
# The porch of the tests.
types = ["types.toml"]

[site]
name = "Test porch"       # as the client calls it
units = "imperial"
tolerance = "1/2 in"
climate = { air_temperature = "46 F", wind = "2 mph", humidity = "60 %" }
assumptions = ["The plate is level."]

[floor]
outline = [
  [0, 0],             # the corner by the steps
  ["20 ft", 0],
  ["20 ft", "14 ft"],
  [0, "14 ft"],
]

[[roof]]
name = "porch roof"
form = "gable"
plate = "8' 6"
pitch = "4:12"

[[rafters]]
name = "rafters"
roof = "porch roof"
spacing = "16 in"

[[post]]
name = "P1"
at = ["2 in", "2 in"]

# The house stands behind.
[[wall]]
name = "house wall"
from = ["20 ft", "14 ft"]
to = [0, "14 ft"]
height = "9 ft"

[[door]]
name = "back door"
wall = "house wall"
at = "2 ft"
width = "36 in"
swing = "out"  # onto the porch

[[window]]
name = "kitchen window"
wall = "house wall"
at = "10 ft"
kind = "fixed"

# The side wall is half as high.
[[wall]]
name = "side wall"
from = [0, "14 ft"]
to = [0, 0]
height = "4 ft"

[[beam]]
name = "front beam"
from = [0, "2 in"]
to = ["20 ft", "2 in"]
underside = "7' 9"

[[screen]]
name = "screen"
from = ["1 ft", "4 in"]
to = ["19 ft", "4 in"]
top = "8 ft"

[[fitting]]
name = "fan"
kind = "fan"
at = ["10 ft", "7 ft"]
height = "8 ft"

[[cable]]
name = "string lights"
from = ["1 ft", "2 ft", "7' 6"]
to = ["19 ft", "2 ft", "7' 6"]
sag = "6 in"

[[platform]]
name = "door step"
outline = [["14 ft", "12 ft"], ["18 ft", "12 ft"], ["18 ft", "14 ft"], ["14 ft", "14 ft"]]
height = "7 in"

[[solid]]
name = "bell"
mesh = "bell.obj"
at = ["2 ft", "12 ft"]
base = "7 ft"

[[furniture]]
name = "table"
kind = "table"
at = ["10 ft", "7 ft"]
chairs = 4
combustible = true

[[furniture]]
name = "sofa"
kind = "sofa"
at = ["4 ft", "10 ft"]
facing = "-90 deg"
mesh = "sofa.obj"

[[seat]]
name = "S1"
at = ["15 ft", "4 ft"]

[[person]]
name = "guest"
at = ["17 ft", "7 ft"]

[[zone]]
name = "corner"
outline = [["15 ft", "2 ft"], ["19 ft", "2 ft"], ["19 ft", "8 ft"], ["15 ft", "8 ft"]]
level = "18 in"

[[heater]]
name = "H1"
type = "bar"
at = ["10 ft", "4 ft"]
bracket = "short arm"
mounted_on = "rafters"
aim_at = "table seat 2"

[[heater]]
name = "H2"
type = "bar"
offset = { from = "house wall", by = ["5 ft", "6 in"] }
mount = "wall"
height = "7' 3"
tilt = "20 deg"
circuit = "C1"

[[heater]]
name = "H3"
type = "bar"
at = ["15 ft", "10 ft"]
aim_at = ["15 ft", "9 ft", "2 ft"]

[[circuit]]
name = "C1"
rating = 20

[[option]]
name = "A"
note = "nearer to the table"
set.heater.H1.at = ["10 ft", "6 ft"]
set.site.tolerance = "1 in"
set.door."back door".swing = "in"

[[option]]
name = "B"
remove = ["H3", "screen"]

[option.set.heater.H2]
aim_at = "guest"

[[option.add.heater]]
name = "H4"
type = "bar"
at = ["4 ft", "4 ft"]
"""

MINIMAL = """\
[site]
name = "Deck"

[floor]
outline = [[0, 0], ["4 m", 0], ["4 m", "3 m"], [0, "3 m"]]
"""


def make_folder(folder: Path) -> Path:
    """Put the files that the scene names into a folder."""
    (folder / "types.toml").write_text(TYPES)
    (folder / "sofa.obj").write_text("o sofa\n")
    (folder / "bell.obj").write_text("o bell\n")
    return folder


def changed(old: str, new: str, text: str = SCENE) -> str:
    """The scene's text with one passage changed, which must stand there once."""
    assert text.count(old) == 1, f"{text.count(old)} times: {old}"
    return text.replace(old, new)


def mistakes(text: str, folder: Path | None = None) -> tuple[Mistake, ...]:
    """All mistakes of a text."""
    with pytest.raises(InputError) as caught:
        parse_scene(text, folder)
    return caught.value.mistakes


def line_of(text: str, passage: str) -> int:
    """Line on which a passage stands."""
    return text[: text.index(passage)].count("\n") + 1
