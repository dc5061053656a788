"""Heatcore in Blender: reads Blender into a Scene and writes an Evaluation back.

Thin on purpose: whatever is computed, `heatcore` computes.
"""

from .registration import register, unregister

__all__ = ["register", "unregister"]
