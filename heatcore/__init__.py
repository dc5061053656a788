"""Overhead infrared heaters in a client's space: placed, checked and explained.

Scene in -> geometry -> mounting -> heat -> checks -> Evaluation. Knows nothing of Blender.
"""

from heatcore._version import __version__

__all__ = ["__version__"]
