"""Heatcore in Blender: reads Blender into a Scene and writes an Evaluation back.

Thin on purpose: whatever is computed, `heatcore` computes.
"""

__all__ = ["register", "unregister"]


def register() -> None:
    """Add the add-on's classes to Blender; see `registration`."""
    # Not at the top: a process that renders stills sets Blender's folders before it imports bpy.
    from .registration import register as register_classes

    register_classes()


def unregister() -> None:
    """Take the add-on's classes out of Blender; see `registration`."""
    from .registration import unregister as unregister_classes

    unregister_classes()
