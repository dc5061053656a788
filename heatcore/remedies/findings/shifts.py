"""A heater moved in plan: along the axes, along and across itself, or along what carries it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from heatcore.checks.finding import Finding
from heatcore.geometry.compass import compass_point
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind as PartKind
from heatcore.geometry.parts import Part
from heatcore.mounting.landmarks import plan_place
from heatcore.mounting.mount import Mount
from heatcore.remedies.findings.case import Case
from heatcore.remedies.findings.tracks import Track
from heatcore.remedies.values import Change, Kind
from heatcore.scene.model import Heater

FARTHEST = 1.524  # m, five feet
OBLIQUE = np.radians(0.5)
AHEAD = 12.0  # m; a wall farther off gives no way its name
AWAY = 0.3  # cosine from which a way leads away from a thing
LANDMARKS = (PartKind.WALL, PartKind.BEAM, PartKind.POST, PartKind.DOOR, PartKind.WINDOW)


@dataclass(frozen=True, eq=False)
class _Way:
    """A way in plan: a unit vector, the family of ways it is of, and the axis it lies along."""

    vector: Floats
    family: str
    axis: str


def shifts(case: Case, findings: Sequence[Finding]) -> Iterator[Track]:
    """The heater moved either way along each axis that it can go along, away from findings."""
    start = _start(case)
    for way in _ways(case):
        yield _shift(case, start, way, findings)


def _shift(case: Case, start: Floats, way: _Way, findings: Sequence[Finding]) -> Track:
    point = compass_point(way.vector, case.evaluation.scene.site.north)

    def heater(mark: int) -> Heater:
        x, y = start + mark * case.mark * way.vector
        return replace(case.heater, at=(case.tidy(float(x)), case.tidy(float(y))), offset=None)

    def made(mark: int, _: Mount) -> Change:
        far = mark * case.mark
        words = f"Move {case.name} {case.length(far)} {point}{_bound(case, way, far, findings)}."
        return case.made(Kind.MOVE, words, far, heater(mark))

    what = f"Moving {case.name} up to {case.length(FARTHEST)} {point} ({way.axis})"
    return Track(way.family, what, heater, made, case.marks(FARTHEST), case.mark)


def _start(case: Case) -> Floats:
    """From where it is moved, in plan: on a wall from its place on the wall's face."""
    mount = case.mount
    if case.heater.mount != "wall":
        return plan_place(case.heater, case.evaluation.scene, case.evaluation.model)
    arm = mount.arms[0]
    foot = mount.frame.origin - ((mount.frame.origin - arm.foot) @ arm.normal) * arm.normal
    return np.array(foot[:2])


def _ways(case: Case) -> Iterator[_Way]:
    """Both ways along each axis."""
    for axis, family in _axes(case):
        for sign in (1.0, -1.0):
            named = family
            if family in ("X", "Y"):
                named = f"along {'+' if sign > 0.0 else '-'}{family}"
            yield _Way(sign * axis, family, named)


def _axes(case: Case) -> Iterator[tuple[Floats, str]]:
    mount, carrier = case.mount, case.mount.arms[0].surface
    if case.heater.mount == "wall":
        x, y = mount.arms[0].normal[:2]
        yield np.array([-y, x]) / np.hypot(x, y), f"along {carrier}"
        return
    if case.heater.mount == "beam":
        yield _length_of(case.evaluation.model.by_name[carrier]), f"along {carrier}"
        return
    yield np.array([1.0, 0.0]), "X"
    yield np.array([0.0, 1.0]), "Y"
    along = mount.frame.x[:2] / np.linalg.norm(mount.frame.x[:2])
    if np.abs(along).max() < np.cos(OBLIQUE):
        yield along, "along its length"
        yield np.array([-along[1], along[0]]), "across its length"


def _length_of(part: Part) -> Floats:
    """(2,) unit vector in plan along which a part is longest."""
    plan = part.mesh.vertices[:, :2]
    _, _, axes = np.linalg.svd(plan - plan.mean(axis=0), full_matrices=False)
    return np.array(axes[0])


def _bound(case: Case, way: _Way, far: float, findings: Sequence[Finding]) -> str:
    """Where a way leads, as people on site say it."""
    here = case.mount.frame.origin[:2]
    by_name = case.evaluation.model.by_name
    for finding in sorted(findings, key=lambda f: f.margin):
        part = by_name.get(finding.object)
        if part is not None and part.kind not in (PartKind.ROOF, PartKind.FLOOR):
            plan = _plan(part)
            near = np.array(shapely.shortest_line(plan, shapely.Point(here)).coords)[0]
            off = here - near
            if np.hypot(*off) < 1e-6:
                off = here - np.array(plan.centroid.coords)[0]
            if off @ way.vector > AWAY * np.hypot(*off):
                return f" ({way.axis}), away from {part.owner}"
    ahead = shapely.LineString([here, here + AHEAD * way.vector])
    met = [
        (float(plan.distance(shapely.Point(here))), part.owner)
        for part in case.evaluation.model.of(*LANDMARKS)
        if (plan := _plan(part)).intersects(ahead) and not plan.intersects(shapely.Point(here))
    ]
    if not met:
        return f" ({way.axis})"
    distance, name = min(met)
    return f" ({way.axis}), {'toward' if far < distance else 'past'} {name}"


def _plan(part: Part) -> shapely.Geometry:
    """What a part covers in plan, without its hollows."""
    return shapely.convex_hull(shapely.MultiPoint(part.mesh.vertices[:, :2]))
