"""The stills: what each shows, from where, and what is written into it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from heatcore.evaluate import Evaluation
from heatcore.views import captions
from heatcore.views.bracket import bracket_view
from heatcore.views.clearance import clearance_view
from heatcore.views.elevation import elevation_views
from heatcore.views.eye import Taste, best_eye
from heatcore.views.floor import FloorPicture, floor_picture
from heatcore.views.pane import Pane
from heatcore.views.plan import plan_framing, plan_view
from heatcore.views.stage import Stage
from heatcore.views.view import FloorShows, Layer, View
from heatcore.views.warmth import warmth_framing, warmth_view

__all__ = ["plan_views"]

HERO_LAYERS = (Layer.SPACE, Layer.HEATERS, Layer.PEOPLE)


def plan_views(
    evaluation: Evaluation,
    size: tuple[int, int] = (1600, 900),
    floor: FloorShows = FloorShows.IRRADIANCE,
) -> tuple[View, ...]:
    """Frame the stills of a scene: hero, warmth, clearances, plan, two elevations, bracket.

    Parameters
    ----------
    evaluation : what is to be shown
    size : of the pictures, width and height [pixels]
    floor : what the colors on the floor say; each view that shows them carries the other as well

    Returns
    -------
    The views in that order; without a heater there is no bracket to show.
    """
    aspect = size[0] / size[1]
    stage = Stage(evaluation)
    hero, above = best_eye(stage, aspect, Taste()), plan_framing(stage, aspect)
    warm = warmth_framing(stage, hero)
    pictures = [floor_picture(evaluation, floor), floor_picture(evaluation, floor.other)]

    def painted(draw: Callable[[FloorPicture], View]) -> View:
        one, other = map(draw, pictures)
        return replace(one, other=other)

    views = (
        Pane.before(hero).view("hero", captions.hero(evaluation), HERO_LAYERS, dusk=0.65),
        painted(lambda picture: warmth_view(stage, warm, picture)),
        clearance_view(stage, hero),
        painted(lambda picture: plan_view(stage, above, picture)),
        *elevation_views(stage, aspect),
        bracket_view(stage, aspect),
    )
    return tuple(view for view in views if view is not None)
