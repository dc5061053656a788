"""Where a beam lands on a level plane, and how much of the floor the beams reach."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Model
from heatcore.geometry.rays import Obstacles
from heatcore.heat.beams.beam import Beam, FloorShare, Landing
from heatcore.heat.planes.contours import Contours, Rings, areas
from heatcore.heat.radiation.emitter import Emitter
from heatcore.heat.radiation.pattern import BEAM_SHARE, FIELD_SHARE
from heatcore.heat.radiation.visibility import off_surface

STEP = 0.08  # m between the points of the plane; outlines are interpolated between them
LEAST_AREA = 1e-4  # m2; slivers are no landing
MOST_POINTS = 60_000  # a larger plane is sampled more coarsely
SAMPLES = 32  # rays to each point: half of the aperture is told to 2 %
SEEN = 0.5  # share of the aperture that a lit place sees at least


def landing(
    emitter: Emitter,
    reach: float,
    level: float,
    plane: shapely.Polygon,
    obstacles: Obstacles,
) -> Landing:
    """Where one heater's beam lands on the level plane at `level` [m] within the polygon `plane`.

    A place counts as reached where the heater's intensity toward it is at least the share that
    bounds the beam, at least half of the aperture is in sight, and the beam's reach [m] is not
    passed.
    """
    x, y = _grid(plane)
    points = np.stack([*np.meshgrid(x, y), np.full((len(y), len(x)), level)], axis=-1)
    share = emitter.share(points)
    near = reach / np.maximum(emitter.distance(points), 1e-6)
    seen = np.zeros(share.shape)
    # Sight is only asked for where the rest does not rule the place out already.
    asked = (share >= FIELD_SHARE / 2) & (near >= 0.8)
    seen[asked] = share_seen(emitter, points[asked], obstacles)
    open_to = np.minimum(near, seen / SEEN) - 1.0
    return Landing(
        heater=emitter.name,
        level=level,
        beam=_areas(x, y, np.minimum(open_to, share / BEAM_SHARE - 1.0), plane),
        field=_areas(x, y, np.minimum(open_to, share / FIELD_SHARE - 1.0), plane),
    )


def share_seen(emitter: Emitter, points: Floats, obstacles: Obstacles) -> Floats:
    """Share (n,) of the aperture that points (n, 3) see."""
    targets = obstacles.targets(off_surface(emitter, points))
    hidden = np.zeros(len(points))
    for source in emitter.samples(SAMPLES):
        hidden += obstacles.hidden(source, targets)
    return 1.0 - hidden / SAMPLES


def floor_share(beams: Sequence[Beam], model: Model) -> FloorShare:
    """How much of the floor lies in the beams' landings on it."""
    whole = shapely.Polygon(model.floor_outline)
    on_floor = [next(at for at in beam.landings if at.level == 0.0) for beam in beams]
    inside = [shape(at.beam) for at in on_floor]
    lit = shapely.union_all(inside)
    edge = shapely.union_all([shape(at.field) for at in on_floor]).difference(lit)
    twice = [a.intersection(b) for i, a in enumerate(inside) for b in inside[:i]]
    in_beam, at_edge = lit.area / whole.area, edge.area / whole.area
    return FloorShare(
        beam=in_beam,
        doubled=shapely.union_all(twice).area / whole.area,
        edge=at_edge,
        missed=max(0.0, 1.0 - in_beam - at_edge),
        area=whole.area,
    )


def shape(areas: tuple[Rings, ...]) -> shapely.Geometry:
    """Areas in plan as one shapely geometry."""
    return shapely.union_all([shapely.Polygon(rings[0], rings[1:]) for rings in areas])


def _grid(plane: shapely.Polygon) -> tuple[Floats, Floats]:
    x0, y0, x1, y1 = plane.bounds
    step = max(STEP, float(np.sqrt((x1 - x0) * (y1 - y0) / MOST_POINTS)))
    # One step further out on every side: an outline is closed beyond the plane, and clipped to it.
    return (
        np.arange(x0 - step, x1 + 2 * step, step),
        np.arange(y0 - step, y1 + 2 * step, step),
    )


def _areas(x: Floats, y: Floats, field: Floats, plane: shapely.Polygon) -> tuple[Rings, ...]:
    """The areas of `plane` where the field is not negative."""
    return areas(Contours(x, y, np.clip(field, -1.0, 1.0), plane).at_least(0.0), LEAST_AREA)
