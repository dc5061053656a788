"""A small flat-roofed patio with two heaters and options. Invented for tests."""

from __future__ import annotations

PATIO = """\
[site]
name = "Small patio"
units = "metric"
tolerance = "10 mm"

[site.climate]
air_temperature = "5 C"
wind = "0.5 m/s"
humidity = "50 %"

[site.target]
utci = "20 C"
gain = "3 K"

[site.supply]
electricity_price = 0.25
currency = "$"

[floor]
outline = [["0 m", "0 m"], ["8 m", "0 m"], ["8 m", "4 m"], ["0 m", "4 m"]]
material = "stone"

[[roof]]
name = "roof"
form = "flat"
plate = "2.9 m"
material = "stone"

[[seat]]
name = "west seat"
at = ["2 m", "2 m"]
occupied = false

[[seat]]
name = "east seat"
at = ["6 m", "2 m"]
occupied = false

[[heater]]
name = "H1"
type = "long linear"
at = ["2 m", "2 m"]
heading = "0 deg"

[[heater]]
name = "H2"
type = "long linear"
at = ["6 m", "2 m"]
heading = "0 deg"
"""

OPTIONS = """
[[option]]
name = "both"
note = "As drawn."

[[option]]
name = "sparse"
remove = ["H2"]

[[option]]
name = "shaded"

[[option.add.beam]]
name = "board"
from = ["4.4 m", "2 m"]
to = ["7.6 m", "2 m"]
underside = "1.9 m"
width = "700 mm"
depth = "50 mm"
material = "stone"

[[option]]
name = "moved"
set.heater.H2.at = ["6 m", "3 m"]

[[option]]
name = "dimmed"
set.heater.H2.output = 0.25

[[option]]
name = "seat moved"
set.seat."east seat".at = ["7.5 m", "3.5 m"]

[[option]]
name = "fin beside"

[[option.add.wall]]
name = "fin"
from = ["7 m", "3 m"]
to = ["7 m", "1 m"]
height = "2.9 m"
thickness = "50 mm"
material = "timber"

[[option]]
name = "windy"
set.site.climate.wind = "12 m/s"
"""
