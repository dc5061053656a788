"""The one writer: an Evaluation and its views become a scene of Blender."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import bpy

from heatcore.evaluate import Evaluation
from heatcore.views.view import View

from .beams import draw_beams
from .cameras import draw_cameras
from .canvas import Canvas
from .clear import clear
from .clearances import draw_clearances
from .dimensions import draw_writing
from .floors import floor_of, show_floor
from .heaters import draw_heaters
from .keys import Keys
from .lights import draw_lights
from .sky import draw_sky
from .space import draw_space
from .surroundings import draw_surroundings
from .switches import set_switches, switches_of
from .visibility import key_visibility, lifted
from .warmth import draw_warmth

__all__ = ["Written", "clear", "floor_of", "show_floor", "write"]


@dataclass(frozen=True)
class Written:
    """What a result came to in Blender.

    Attributes
    ----------
    frames : the frame of each still, by its name
    objects : names of the objects, in the order in which they were made
    """

    frames: dict[str, int]
    objects: tuple[str, ...]


def write(
    evaluation: Evaluation, views: Sequence[View], scene: bpy.types.Scene | None = None
) -> Written:
    """Write an evaluation and its views into a scene, in place of the result that stood there.

    Each layer becomes one collection, each view one frame with its camera bound to it. What the
    add-on did not write stays as it is.

    Parameters
    ----------
    scene : left out, the one that is open
    """
    scene = scene or bpy.context.scene
    before = switches_of(scene)
    clear()
    views = [lifted(view, evaluation.model) for view in views]
    canvas = Canvas(scene)
    draw_space(canvas, evaluation)
    draw_heaters(canvas, evaluation)
    draw_beams(canvas, evaluation)
    draw_warmth(canvas, evaluation)
    draw_clearances(canvas, evaluation)
    for view in views:
        draw_writing(canvas, view)
    draw_surroundings(canvas, evaluation, views)
    show_floor(scene, next((view.floor for view in views if view.floor), floor_of(scene)))
    keys = Keys(len(views))
    draw_lights(canvas, evaluation, views, keys)
    draw_sky(canvas, views, keys)
    frames = draw_cameras(canvas, views)
    key_visibility(canvas, views, keys)
    set_switches(canvas, before, views)
    scene.frame_set(1)
    return Written(frames, tuple(thing.name for thing, _ in canvas.objects))
