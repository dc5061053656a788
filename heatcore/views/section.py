"""Cuts through the model: the poche of a plan or an elevation."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Mesh, Model, Part
from heatcore.geometry.solids import solid_of
from heatcore.views.framing import Framing
from heatcore.views.pane import FINE, Pane
from heatcore.views.view import Tone

# What a cut shows as cut, and what it would only break open.
BUILT = (
    Kind.FLOOR, Kind.ROOF, Kind.RAFTER, Kind.BEAM, Kind.WALL, Kind.POST, Kind.WINDOW, Kind.PLATFORM,
    Kind.SOLID,
)  # fmt: skip
LOOSE = (Kind.FURNITURE, Kind.PERSON, Kind.FITTING, Kind.CABLE, Kind.DOOR, Kind.SCREEN)

NUDGE = 1e-5  # m by which the cut is moved off a face that lies in it
LEAST_AREA = 1e-6  # of the squared frame height; smaller pieces are not seen


def section(parts: Iterable[Part], framing: Framing) -> shapely.Geometry:
    """What the parts leave on the camera's near plane when it cuts them, in frame coordinates."""
    near = framing.clip[0] + NUDGE
    height = float(framing.height_at(near))
    shift = np.array(framing.shift) * framing.aspect
    cuts = []
    for part in parts:
        local = framing.camera.to_local(part.mesh.vertices) + np.array([0.0, 0.0, near])
        if local[:, 2].min() < 0.0 < local[:, 2].max():
            solid = solid_of(Mesh(local, part.mesh.triangles), part.name)
            rings = [np.asarray(ring) for ring in solid.slice(0.0).to_polygons()]
            cuts.append(_even_odd([ring / height - shift for ring in rings]))
    window = shapely.box(-framing.aspect, -1.0, framing.aspect, 1.0)
    return shapely.intersection(shapely.union_all(cuts), window)


def draw_poche(pane: Pane, cut: shapely.Geometry, tone: Tone = Tone.QUIET, sheet: int = 1) -> None:
    """Draw a cut as filled outlines on the pane."""
    for ring in simple_rings(cut):
        pane.draw(ring, FINE, tone, sheet=sheet, closed=True, filled=True)


def cut_open(model: Model, framing: Framing) -> list[str]:
    """Names of the loose things that the near plane goes through: a picture does without them.

    A table goes with its chairs and all who sit there.
    """
    group = {place.name: place.owner for place in model.places}
    loose = [part for part in model.of(*LOOSE) if _cuts(part, framing)]
    owners = {group.get(part.owner, part.owner) for part in loose}
    return [part.name for part in model.of(*LOOSE) if group.get(part.owner, part.owner) in owners]


def _cuts(part: Part, framing: Framing) -> bool:
    box = np.stack(np.meshgrid(*part.mesh.bounds.T), axis=-1).reshape(-1, 3)
    for points in (box, part.mesh.vertices):
        depth = -framing.camera.to_local(points)[:, 2] - framing.clip[0]
        if not depth.min() < 0.0 < depth.max():
            return False
    return True


def simple_rings(area: shapely.Geometry) -> list[Floats]:
    """An area as polygons without holes, each (n, 2); one with a hole is cut through its middle."""
    rings = []
    for piece in shapely.get_parts(area):
        if piece.geom_type != "Polygon" or piece.area < LEAST_AREA:
            continue
        if not piece.interiors:
            rings.append(np.asarray(piece.exterior.coords)[:-1, :2])
            continue
        x0, y0, x1, y1 = piece.bounds
        middle = shapely.Polygon(piece.interiors[0]).centroid.x
        for half in (shapely.box(x0, y0, middle, y1), shapely.box(middle, y0, x1, y1)):
            rings += simple_rings(piece.intersection(half))
    return rings


def _even_odd(rings: list[Floats]) -> shapely.Geometry:
    """The area within an odd number of rings."""
    area: shapely.Geometry = shapely.Polygon()
    for ring in rings:
        area = area.symmetric_difference(shapely.make_valid(shapely.Polygon(ring)))
    return area
