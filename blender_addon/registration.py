"""What the add-on adds to Blender, in the order in which it is added."""

import bpy
from bpy.types import AddonPreferences, Menu, Operator, Panel, PropertyGroup

CLASSES: tuple[type[AddonPreferences | Menu | Operator | Panel | PropertyGroup], ...] = ()
"""A class stands after those it refers to: a property group before the group that holds it."""


def register() -> None:
    """Add the add-on's classes to Blender.

    Raises
    ------
    ValueError, RuntimeError
        From Blender, when a class is registered already or is not well formed.
    """
    for cls in CLASSES:
        bpy.utils.register_class(cls)


def unregister() -> None:
    """Take the add-on's classes out of Blender, in reverse.

    Raises
    ------
    RuntimeError
        From Blender, when a class is not registered.
    """
    for cls in reversed(CLASSES):
        bpy.utils.unregister_class(cls)
