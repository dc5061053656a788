"""Rain: whether it falls on a heater whose type may not get wet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf, radians, tan

import numpy as np
import shapely

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.limit import Limit
from heatcore.geometry.clip import clip
from heatcore.geometry.frames import Floats
from heatcore.geometry.overhead import SLIP, ceiling_height
from heatcore.geometry.parts import Kind, Mesh, Model, Part
from heatcore.geometry.plan_gaps import plan_of
from heatcore.geometry.rays import Obstacles
from heatcore.geometry.reading import NOISE
from heatcore.geometry.shadow import shadow
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Scene

STRAIGHT = (
    "a type that may not get wet has a closed roof straight above all of it: its own protection "
    "against weather; its listing and the maker's instructions decide"
)
DRIVEN = Limit(
    radians(30.0),
    "rain in a fresh wind falls 30 degrees from the vertical: common practice, no source; spraying "
    "water is tested up to 60 degrees from the vertical, IEC 60529 IPX3, read second-hand",
)
SLATTED = "slats keep no rain off"  # as a finding's note
STOPS_RAIN = (Kind.ROOF, Kind.BEAM, Kind.WALL, Kind.DOOR, Kind.WINDOW, Kind.SOLID)
WINDOW = 5.0  # m; roofs farther off in plan than this are not looked at
AZIMUTHS = 36


@dataclass(frozen=True, eq=False)
class Cover:
    """What keeps rain off a heater, as far as `WINDOW` about it.

    Attributes
    ----------
    plan : where it lies, be it higher there than the heater's lowest part or not
    above : where it lies above the heater's lowest part
    parts : the roofs that it is made of
    """

    plan: shapely.Geometry
    above: shapely.Geometry
    parts: tuple[Part, ...]

    def name_at(self, point: Floats) -> str:
        """Name of the roof that lies nearest in plan to a point (3,); '' where there is none."""
        at = shapely.Point(point[:2])
        apart = {part.name: shapely.distance(_underside(part.mesh), at) for part in self.parts}
        return min(apart, key=apart.__getitem__, default="")


def weather(mount: Mount, scene: Scene, model: Model) -> list[Finding]:
    """Hold a heater against the rain, by its type's protection.

    Returns
    -------
    list of Finding
        'weather.rain': how far in from the roof's edge the body hangs in plan [m], negative by how
        far it stands out, for a type that must hang under a roof; 'weather.driven_rain' where that
        holds: the same in the direction from which rain in the wind comes nearest, against how far
        it comes in under the edge there. For a type that may get wet both figures of the first are
        0 and there is no second. Slatted roofs, fabric and furniture keep no rain off.
    """
    if mount.type.outdoor == "exposed":
        return [_straight(mount, "", 0.0, mount.frame.origin, mount.frame.origin, "it may get wet")]
    plan = plan_of(mount.body)
    cover = cover_over(mount, scene, model)
    out = shapely.difference(plan, cover.above)
    if out.area > NOISE:
        return [_in_the_rain(mount, cover, out, _slats(mount, scene, model))]
    edge = shapely.boundary(cover.plan)
    own, its = shapely.get_coordinates(shapely.shortest_line(plan, edge))
    depth = float(np.hypot(*(its - own)))
    point, low = _lifted(its, cover, mount), float(mount.body[:, 2].min())
    straight = _straight(mount, cover.name_at(point), depth, point, np.array([*own, low]), "")
    return [straight, _driven(mount, cover, _obstacles(model, _slatted(scene)))]


def cover_over(mount: Mount, scene: Scene, model: Model) -> Cover:
    """What keeps rain off a heater: the roofs, and the ceilings out of mesh files, above it.

    A crack of a millimetre at most is closed.
    """
    slatted = _slatted(scene)
    ceilings = {solid.name for solid in scene.solid if solid.role == "ceiling"}
    parts = [
        part
        for part in model.parts
        if (part.kind is Kind.ROOF or part.owner in ceilings) and part.owner not in slatted
    ]
    low, high = mount.body.min(axis=0), mount.body.max(axis=0)
    window = shapely.box(*(low[:2] - WINDOW), *(high[:2] + WINDOW))
    over = []
    for part in parts:
        lowest, highest = part.mesh.bounds
        near = (lowest[:2] < high[:2] + WINDOW).all() and (highest[:2] > low[:2] - WINDOW).all()
        if near and highest[2] > low[2]:
            over.append(part)
    whole = [_underside(part.mesh) for part in over]
    above = [
        plan if part.mesh.bounds[0, 2] >= low[2] else _above(part.mesh, low[2])
        for part, plan in zip(over, whole, strict=True)
    ]
    return Cover(_closed(whole, window), _closed(above, window), tuple(over))


def _closed(plans: Sequence[shapely.Geometry], window: shapely.Geometry) -> shapely.Geometry:
    """Several plans as one within a window, cracks of a millimetre closed."""
    together = shapely.union_all([shapely.intersection(plan, window) for plan in plans])
    wider = together.buffer(SLIP / 2, join_style="mitre")
    return wider.buffer(-SLIP / 2, join_style="mitre")


def _in_the_rain(mount: Mount, cover: Cover, out: shapely.Geometry, slats: str) -> Finding:
    """The finding of a heater of whose plan some is out in the open, by all its width at most."""
    corners = shapely.points(shapely.get_coordinates(out))
    inner = np.array([shapely.point_on_surface(piece) for piece in shapely.get_parts(out)])
    candidates = np.concatenate([corners, inner])
    width = min(mount.type.length, mount.type.width)
    if cover.above.is_empty:
        apart = np.full(len(candidates), width)
    else:
        apart = shapely.distance(cover.above, candidates)
    far = candidates[int(apart.argmax())]
    heater_point = np.array([far.x, far.y, float(mount.body[:, 2].max())])
    point = heater_point
    if not cover.above.is_empty:
        edge = shapely.shortest_line(cover.above, far).interpolate(0.0)
        point = _lifted(np.array([edge.x, edge.y]), cover, mount)
    name = slats or cover.name_at(point)
    note = SLATTED if slats else "open sky straight above it"
    stands_out = min(float(apart.max()), width)
    return _straight(mount, name, -stands_out, point, heater_point, note)


def _straight(
    mount: Mount, name: str, depth: float, point: Floats, heater_point: Floats, note: str
) -> Finding:
    return Finding(
        code="weather.rain",
        verdict=Verdict.HOLDS if depth >= 0.0 else Verdict.FAILS,
        heater=mount.name,
        object=name,
        measured=depth,
        required=0.0,
        unit="m",
        point=point,
        heater_point=heater_point,
        combustible=False,
        note=note,
        source=STRAIGHT,
    )


def _driven(mount: Mount, cover: Cover, obstacles: Obstacles) -> Finding:
    """Hold how deep under the roof's edge a heater hangs against how far rain in the wind comes in.

    Seen from the corners of its emitting face and the middles of its edges, all round.
    """
    lower = mount.body[:4]
    points = np.concatenate([lower, (lower + np.roll(lower, 1, axis=0)) / 2])
    ways = _azimuths(mount, cover)
    starts = np.repeat(points, len(ways), axis=0)
    ahead = np.tile(ways, (len(points), 1))
    depth = _to_the_edge(starts[:, :2], ahead, cover.plan)
    ends = starts[:, :2] + np.maximum(depth - SLIP / 10, 0.0)[:, None] * ahead
    edges = (
        starts[:, 2]
        + _roofs(cover.parts).first(
            np.column_stack([ends, starts[:, 2]]), np.tile([0.0, 0.0, 1.0], (len(ends), 1))
        )[0]
    )
    slope = tan(DRIVEN.value)
    comes_in = np.where(np.isfinite(edges), (edges - starts[:, 2]) * slope, 0.0)
    rays = np.column_stack([slope * ahead, np.ones(len(ahead))])
    rays /= np.linalg.norm(rays, axis=1, keepdims=True)
    stopped = np.isfinite(obstacles.first(starts, rays)[0])
    margin = depth - comes_in
    wet = ~stopped & (margin < -NOISE)
    # Where a wall or a beam stops the rain, the edge beyond it does not matter.
    counts = wet if wet.any() else margin >= -NOISE
    k = int(np.where(counts, margin, inf).argmin())
    point = np.array([*ends[k], edges[k] if np.isfinite(edges[k]) else starts[k, 2]])
    return Finding(
        code="weather.driven_rain",
        verdict=Verdict.ADVISORY if wet.any() else Verdict.HOLDS,
        heater=mount.name,
        object=cover.name_at(point),
        measured=float(depth[k]),
        required=float(comes_in[k]) if counts.any() else 0.0,
        unit="m",
        point=point,
        heater_point=starts[k],
        combustible=False,
        note="rain in the wind reaches it under the roof's edge" if wet.any() else "",
        source=DRIVEN.source,
    )


def _azimuths(mount: Mount, cover: Cover) -> Floats:
    """(n, 2) directions in plan all round, and the one to the nearest edge."""
    turns = 2.0 * np.pi * np.arange(AZIMUTHS) / AZIMUTHS
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    edge = shapely.boundary(cover.plan)
    own, its = shapely.get_coordinates(shapely.shortest_line(plan_of(mount.body), edge))
    length = float(np.hypot(*(its - own)))
    return ways if length < NOISE else np.vstack([ways, (its - own) / length])


def _to_the_edge(starts: Floats, ways: Floats, cover: shapely.Geometry) -> Floats:
    """(n,) distances in plan from points (n, 2) on to where the cover ends [m]."""
    lines = shapely.linestrings(np.stack([starts, starts + 3.0 * WINDOW * ways], axis=1))
    crossings = shapely.intersection(lines, shapely.boundary(cover))
    apart = shapely.distance(shapely.points(starts), crossings)
    # A body that hangs right at the edge meets it where it starts.
    out: Floats = np.where(np.isfinite(apart), apart, 0.0)
    return out


def _lifted(at: Floats, cover: Cover, mount: Mount) -> Floats:
    """(3,) the place over a point of the plan (2,) on the cover's underside."""
    top = float(mount.body[:, 2].max())
    height = float(ceiling_height(cover.parts, at, float(mount.body[:, 2].min())))
    return np.array([*at, height if np.isfinite(height) else top])


def _slatted(scene: Scene) -> frozenset[str]:
    return frozenset(roof.name for roof in scene.roof if roof.form == "slatted")


def _slats(mount: Mount, scene: Scene, model: Model) -> str:
    """Name of a slatted roof over a heater; '' where there is none."""
    slatted, (low, high) = _slatted(scene), (mount.body.min(axis=0), mount.body.max(axis=0))
    over: Iterator[str] = (
        part.name
        for part in model.of(Kind.ROOF)
        if part.owner in slatted
        and (part.mesh.bounds[0, :2] < high[:2]).all()
        and (part.mesh.bounds[1] > low).all()
    )
    return next(over, "")


@lru_cache(maxsize=2)  # a model never changes, and a heater may be dragged through it
def _obstacles(model: Model, slatted: frozenset[str]) -> Obstacles:
    stops: Sequence[Part] = [p for p in model.of(*STOPS_RAIN) if p.owner not in slatted]
    return Obstacles((part.name, part.mesh) for part in stops)


@lru_cache(maxsize=4)
def _roofs(parts: tuple[Part, ...]) -> Obstacles:
    return Obstacles((part.name, part.mesh) for part in parts)


@lru_cache(maxsize=64)
def _underside(mesh: Mesh) -> shapely.Geometry:
    """Plan of the faces of a closed surface that look down."""
    return shadow(mesh.corners[mesh.normals[:, 2] < -NOISE])


def _above(mesh: Mesh, level: float) -> shapely.Geometry:
    """Plan of what of the faces that look down lies at a level or above it [m]."""
    faces = mesh.corners[mesh.normals[:, 2] < -NOISE]
    return shadow(clip(faces, level - faces[..., 2])[0])
