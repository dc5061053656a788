"""Materials by name: a recipe where there is one, a calm color where there is none."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import bpy

from ..declarations import OWN
from .nodes import Graph
from .overlay import camera_only
from .recipes import recipe_for

__all__ = ["camera_only", "made", "material"]


def material(name: str, *, floor: bool = False) -> bpy.types.Material:
    """Return the material of that name, made on first use.

    Parameters
    ----------
    name : what a part looks like ('timber boards', 'stone'); a name without a recipe gives a plain
        matte whose color comes from the name
    floor : whether it is walked on: stone then lies in slabs instead of standing in courses
    """
    recipe, seen = recipe_for(name, floor=floor)
    return made(f"{name} floor" if floor else name, recipe, seen)


def made(
    name: str, recipe: Callable[..., None], seen: tuple[float, ...], **values: Any
) -> bpy.types.Material:
    """Return the add-on's material of that name, built by a recipe on first use.

    Parameters
    ----------
    seen : its color, with or without cover, where a window shows no materials
    values : what the recipe takes besides the graph
    """
    full = f"Heatcore {name}"
    found: bpy.types.Material | None = bpy.data.materials.get(full)
    if found is not None and found.get(OWN):
        return found
    new: Any = bpy.data.materials.new(full)
    new[OWN] = True
    if bpy.app.version < (5, 0):
        new.use_nodes = True
    recipe(Graph(new.node_tree, (seen[0], seen[1], seen[2])), **values)
    cover = seen[3] if len(seen) == 4 else 1.0
    new.diffuse_color = (*seen[:3], cover)
    if cover < 1.0:
        new.surface_render_method = "BLENDED"
    finished: bpy.types.Material = new
    return finished
