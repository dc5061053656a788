"""Every name that Blender knows the add-on by, written once.

Classes, panels and other files take their ids from here, so that no two can differ by a letter.
"""

from typing import Final

ID: Final = "heatcore"
"""The extension's id in its manifest, and the first half of its operators' ids."""
