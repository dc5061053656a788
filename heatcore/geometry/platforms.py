"""Platforms, and what stands on them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from shapely import Point, Polygon

from heatcore.geometry.frames import locked
from heatcore.geometry.parts import Kind, Part, Place
from heatcore.geometry.shapes import placed
from heatcore.geometry.solids import part_of, prism
from heatcore.scene.plan import polygon_of, where
from heatcore.scene.space import Platform


def platform_plan(platform: Platform) -> Polygon:
    """Return a platform in plan.

    Raises
    ------
    InputError
        If its outline is no simple polygon.
    """
    return polygon_of(platform.outline, where(platform, "outline"))


def platform_part(platform: Platform) -> Part:
    """Return a platform, from the floor up to its height.

    Raises
    ------
    InputError
        If its outline is no simple polygon.
    """
    return part_of(prism(platform_plan(platform), 0.0, platform.height), platform, Kind.PLATFORM)


def standing_height(platforms: Iterable[tuple[Polygon, float]], at: tuple[float, float]) -> float:
    """Return the height of what a plan point stands on [m]: the highest platform, or the floor.

    Parameters
    ----------
    platforms : each one in plan, its edge included, with its height [m]
    at : in plan [m]
    """
    here = Point(*at)
    return max((height for plan, height in platforms if plan.covers(here)), default=0.0)


def raised(part: Part, by: float) -> Part:
    """Return a part, raised [m]."""
    return replace(part, mesh=placed(part.mesh, (0.0, 0.0, by))) if by else part


def raised_place(place: Place, by: float) -> Place:
    """Return a place, raised [m]."""
    return replace(place, point=locked(place.point + np.array([0.0, 0.0, by]))) if by else place
