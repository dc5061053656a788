"""Rafters and purlins: timbers under a roof, plane by plane."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from heatcore.errors import InputError
from heatcore.geometry.frames import Floats, Frame
from heatcore.geometry.parts import Kind, Part
from heatcore.geometry.roofs import RoofShape, Slope
from heatcore.geometry.solids import Solid, box, part_of, pieces, prism
from heatcore.scene.plan import where
from heatcore.scene.space import Rafters

_MOST = 1000
_EDGE = 1e-6  # m; a timber that touches its place by less than this is not there


def rafter_parts(rafters: Rafters, shape: RoofShape) -> tuple[Part, ...]:
    """Return the timbers under a roof, named 'NAME 1', 'NAME 2' and so on.

    Each has its upper face on the underside of one plane of the roof and ends, plumb, at the edges
    of the roof (overhang included) and at the ridge, hip or valley where its plane ends. Under a
    vault the rafters are ribs from one side to the other, bent like it.

    Rafters are set out from the start of the ridge or valley; under one plane, from the end of the
    roof where its outline's first corner lies; under a hipped end, from the ridge line to both
    sides. Purlins are set out up the slope from the eaves: the lower edge of the roof, or of a
    valley roof its outer edges; under a vault along its arc, from one side over the crown to the
    other. They are numbered plane by plane in that order; a timber that a jog
    of the roof cuts in two counts as two. What would be shorter than it is deep, as in the corner
    of a hip, is left out.

    Raises
    ------
    InputError
        If there are more timbers than can be meant.
    """
    if shape.roof.form == "vault" and len(shape.slopes) > 1:
        made = _ribs if rafters.run == "down_slope" else _along_a_vault
        solids = list(made(rafters, shape))
    else:
        solids = [piece for slope in shape.slopes for piece in _under(rafters, shape, slope)]
    return tuple(
        part_of(solid, rafters, Kind.RAFTER, f"{rafters.name} {number}")
        for number, solid in enumerate(solids, start=1)
    )


def _under(rafters: Rafters, shape: RoofShape, slope: Slope) -> Iterator[Solid]:
    """Yield the timbers under one plane."""
    along = np.array([*slope.inward, slope.inward @ slope.gradient])
    along = along / np.linalg.norm(along)
    up = slope.upward / slope.steepness
    frame = Frame(shape.on(slope), np.stack([np.cross(along, up), along, up]))
    over = shape.corners - shape.center
    reach = 2.0 + 2.0 * slope.steepness * float(np.abs(over).sum(axis=1).max() + rafters.depth)
    cell = shape.cell(slope)
    half = rafters.width / 2
    if rafters.run == "down_slope":
        # The frame's X may run against `across`, from which the rafters are counted.
        turned = float(np.sign(frame.x[:2] @ slope.across))
        centers = turned * _set_out(rafters, slope, over)
        spans = [((x - half, -reach), (x + half, reach)) for x in centers]
    else:
        spans = [((-reach, y - half), (reach, y + half)) for y in _courses(rafters, slope, over)]
    axis = 1 if rafters.run == "down_slope" else 0
    for low, high in spans:
        timber = box(frame, (*low, -rafters.depth), (*high, 0.0)) ^ cell
        worth = (p for p in pieces(timber) if _length(p, frame, axis) >= rafters.depth)
        yield from sorted(worth, key=lambda p: _place(p, slope))


def _ribs(rafters: Rafters, shape: RoofShape) -> Iterator[Solid]:
    """Yield bent rafters, from the start of the crown on."""
    across = shape.slopes[0].inward
    along = np.array([across[1], -across[0]])
    along *= np.sign(along @ shape.slopes[0].across)
    frame = Frame(
        np.array([*shape.center, 0.0]),
        np.stack([[*along, 0.0], [-along[1], along[0], 0.0], [0.0, 0.0, 1.0]]),
    )
    over = shape.corners - shape.center
    reach = 1.0 + float(np.abs(over).sum(axis=1).max())
    top = shape.highest(shape.corners) + 1.0
    bottom = float(shape.underside(shape.corners).min()) - rafters.depth - 1.0
    half = rafters.width / 2
    inside = prism(shape.outline, bottom, top)
    for x in _set_out(rafters, shape.slopes[0], over):
        rib = box(frame, (x - half, -reach, bottom), (x + half, reach, top)) ^ inside
        rib = shape.below(rib) - shape.below(rib, -rafters.depth)
        yield from sorted(pieces(rib), key=lambda piece: _place(piece, shape.slopes[0]))


def _along_a_vault(rafters: Rafters, shape: RoofShape) -> Iterator[Solid]:
    """Yield purlins under a vault, from one side over the crown to the other."""
    slope = shape.slopes[0]
    over = shape.corners - shape.center
    ends = over @ slope.inward
    # Corners of the arc that the facets make, in plan across the vault and in height.
    breaks = [
        (a.level - b.level) / float((b.gradient - a.gradient) @ slope.inward)
        for a, b in pairwise(shape.slopes)
    ]
    y = np.array([float(ends.min()), *breaks, float(ends.max())])
    z = shape.underside(shape.center + y[:, None] * slope.inward)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(y), np.diff(z)))])
    count = _counted(rafters, (run[-1] - rafters.first) / rafters.spacing)
    reach = 1.0 + float(np.abs(over).sum(axis=1).max())
    half = rafters.width / 2
    low = float(z.min()) - rafters.depth - 1.0
    inside = prism(shape.outline, low, float(z.max()) + 1.0)
    for at in rafters.first + rafters.spacing * np.arange(count + 1):
        facet = shape.slopes[min(int(np.searchsorted(run, at, side="right")), len(y) - 1) - 1]
        up = facet.upward / facet.steepness
        along = np.array([*slope.inward, slope.inward @ facet.gradient]) / facet.steepness
        here = shape.center + np.interp(at, run, y) * slope.inward
        frame = Frame(
            np.array([*here, np.interp(at, run, z)]), np.stack([np.cross(along, up), along, up])
        )
        # It reaches up past its facet, and is cut back to those that it lies under.
        timber = box(frame, (-reach, -half, -rafters.depth), (reach, half, rafters.depth))
        yield from pieces(shape.below(timber) ^ inside)


def _set_out(rafters: Rafters, slope: Slope, over: Floats) -> Floats:
    """Return where the rafters of a plane lie across the slope, from the roof's center [m]."""
    across = over @ slope.across
    low, high = float(across.min()), float(across.max())
    if slope.hipped:
        sides = _counted(rafters, high / rafters.spacing), _counted(rafters, -low / rafters.spacing)
        return rafters.spacing * np.arange(-sides[1], sides[0] + 1)
    count = _counted(rafters, (high - low - rafters.first) / rafters.spacing)
    return low + rafters.first + rafters.spacing * np.arange(count + 1)


def _courses(rafters: Rafters, slope: Slope, over: Floats) -> Floats:
    """Return where the purlins of a plane lie up the slope, from over the roof's center [m]."""
    inward = (over @ slope.inward) * slope.steepness
    low, high = float(inward.min()), float(inward.max())
    count = _counted(rafters, (high - low - rafters.first) / rafters.spacing)
    return low + rafters.first + rafters.spacing * np.arange(count + 1)


def _counted(rafters: Rafters, spaces: float) -> int:
    if spaces > _MOST:
        raise InputError(
            where(rafters, "spacing"),
            f"so small a spacing makes {int(spaces)} timbers",
            f"give a spacing that makes {_MOST} at most",
        )
    return int(np.floor(spaces + _EDGE))


def _length(solid: Solid, frame: Frame, axis: int) -> float:
    """Return how long a timber's upper face is along an axis of its plane's frame [m]."""
    local = frame.to_local(solid.to_mesh64().vert_properties[:, :3])
    upper = local[local[:, 2] > -_EDGE, axis]
    return float(np.ptp(upper)) if len(upper) else 0.0


def _place(solid: Solid, slope: Slope) -> tuple[float, float]:
    """Return where a piece of a timber starts, along and across its slope."""
    corners = solid.to_mesh64().vert_properties[:, :2]
    return (
        round(float((corners @ slope.inward).min()), 6),
        round(float((corners @ slope.across).min()), 6),
    )
