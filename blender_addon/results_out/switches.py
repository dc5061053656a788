"""The layers' switches in the window: the eye beside each layer's collection."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import bpy

from heatcore.views.view import Layer, View

from .canvas import Canvas, is_own

Switches = dict[str, bool]
"""Whether a layer is hidden in the window, by its name."""


def switches_of(scene: bpy.types.Scene) -> Switches:
    """Return how the layers of an earlier result were switched; empty where there is none."""
    layers = set(Layer)
    return {
        each.collection.name: each.hide_viewport
        for each in below(scene.view_layers[0].layer_collection)
        if is_own(each.collection) and each.collection.name in layers
    }


def set_switches(canvas: Canvas, before: Mapping[str, bool], views: Sequence[View]) -> None:
    """Switch the layers as they were before; at first, show what the first view shows."""
    at_first = views[0].layers if views else frozenset(Layer)
    hidden = {
        canvas.layer(layer): before.get(layer.value, layer not in at_first | {Layer.DIMENSIONS})
        for layer in Layer
    }
    for view_layer in canvas.scene.view_layers:
        for each in below(view_layer.layer_collection):
            if each.collection in hidden:
                each.hide_viewport = hidden[each.collection]


def below(layer: bpy.types.LayerCollection) -> Iterator[bpy.types.LayerCollection]:
    """Every collection below one, as a view layer holds it."""
    for child in layer.children:
        yield child
        yield from below(child)
