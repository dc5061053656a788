"""Every name that Blender knows the add-on by, written once.

Classes, panels and other files take their ids from here, so that no two can differ by a letter.
"""

from typing import Final

ID: Final = "heatcore"
"""The extension's id in its manifest, and the first half of its operators' ids."""

ROOT: Final = "Heatcore"
"""The collection that holds everything the add-on writes."""

OWN: Final = "heatcore"
"""The custom key on every datablock that the add-on wrote, and may replace."""

BEFORE: Final = "heatcore_before"
"""The custom key under which the add-on's sky keeps the world that was there before it."""

METRES: Final = "metres"
"""The UV map that lays a part's faces out in metres; every material goes by it."""

FLOOR: Final = "heatcore_floor"
"""The custom key under which a scene keeps what its floor shows, and a collection what it is of."""
