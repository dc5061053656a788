"""The scene: what the designer describes, its file, and the types it names."""

from heatcore.scene.library import Types, read_types, shipped
from heatcore.scene.options import choose
from heatcore.scene.read import parse_scene, read_scene
from heatcore.scene.save import save_scene
from heatcore.scene.write import write_scene

__all__ = [
    "Types",
    "choose",
    "parse_scene",
    "read_scene",
    "read_types",
    "save_scene",
    "shipped",
    "write_scene",
]
