"""Posts and beams."""

from __future__ import annotations

from math import cos, hypot, sin

import numpy as np
from shapely import Polygon

from heatcore.errors import InputError
from heatcore.geometry.overhead import Overhead
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.solids import part_of, prism
from heatcore.geometry.walls import OPEN_HEIGHT
from heatcore.scene.plan import where
from heatcore.scene.space import Beam, Post


def beam_plan(beam: Beam) -> Polygon:
    """Return a beam in plan.

    Raises
    ------
    InputError
        If it has no length.
    """
    start, end = np.asarray(beam.from_), np.asarray(beam.to)
    length = hypot(*(end - start))
    if length == 0.0:
        raise InputError(where(beam), "has no length", "give two different ends")
    along = (end - start) / length
    side = beam.width / 2 * np.array([-along[1], along[0]])
    return Polygon([start - side, end - side, end + side, start + side])


def beam_part(beam: Beam) -> Part:
    """Return a beam, its ends square.

    Raises
    ------
    InputError
        If it has no length.
    """
    solid = prism(beam_plan(beam), beam.underside, beam.underside + beam.depth)
    return part_of(solid, beam, Kind.BEAM)


def post_part(post: Post, overhead: Overhead) -> Part:
    """Return a post.

    Without a top it goes up to the lowest underside above it: level under a beam that it stands
    under with any part of its section, cut to the slope under a roof, 2.4 m high in the open.
    """
    x = post.width / 2 * np.array([cos(post.turn), sin(post.turn)])
    y = post.depth / 2 * np.array([-sin(post.turn), cos(post.turn)])
    plan = Polygon([post.at + a * x + b * y for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))])
    solid = None
    if post.top is None:
        solid = overhead.column(plan, 0.0)
    if solid is None:
        solid = prism(plan, 0.0, OPEN_HEIGHT if post.top is None else post.top)
    return part_of(solid, post, Kind.POST)
