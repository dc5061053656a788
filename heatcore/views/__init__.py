"""The stills: what each shows, from where, and what is written into it."""

from __future__ import annotations

from heatcore.evaluate import Evaluation
from heatcore.views import captions
from heatcore.views.bracket import bracket_view
from heatcore.views.clearance import clearance_view
from heatcore.views.elevation import elevation_views
from heatcore.views.eye import Taste, best_eye
from heatcore.views.pane import Pane
from heatcore.views.plan import plan_view
from heatcore.views.stage import Stage
from heatcore.views.view import Layer, View
from heatcore.views.warmth import warmth_view

__all__ = ["plan_views"]

HERO_LAYERS = (Layer.SPACE, Layer.HEATERS, Layer.PEOPLE)


def plan_views(evaluation: Evaluation, size: tuple[int, int] = (1600, 900)) -> tuple[View, ...]:
    """Frame the stills of a scene: hero, warmth, clearances, plan, two elevations, bracket.

    Parameters
    ----------
    evaluation : what is to be shown
    size : of the pictures, width and height [pixels]

    Returns
    -------
    The views in that order; without a heater there is no bracket to show.
    """
    aspect = size[0] / size[1]
    stage = Stage(evaluation)
    hero = best_eye(stage, aspect, Taste())
    views = (
        Pane.before(hero).view("hero", captions.hero(evaluation), HERO_LAYERS, dusk=0.65),
        warmth_view(stage, hero),
        clearance_view(stage, hero),
        plan_view(stage, aspect),
        *elevation_views(stage, aspect),
        bracket_view(stage, aspect),
    )
    return tuple(view for view in views if view is not None)
