"""The elevations: two cuts square to each other, with heights on one side and distances below."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, pi

import numpy as np

from heatcore.evaluate import Evaluation
from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind
from heatcore.scene.heights import resolve_heights
from heatcore.units import format_length
from heatcore.views import captions
from heatcore.views.candidates import main_direction
from heatcore.views.dimensioning import Rule, Station, draw_stations, gathered, named, wrapped
from heatcore.views.framing import Framing, fitted, level_axes
from heatcore.views.layout import TEXT, Layout, Note, around, box_of, note_size
from heatcore.views.pane import BOLD, FINE, Pane
from heatcore.views.references import reference_at
from heatcore.views.section import BUILT, cut_open, draw_poche, section
from heatcore.views.stage import ROOF_TOP, Stage, Subject
from heatcore.views.view import Layer, Tone, View
from heatcore.views.words import wind

LAYERS = (Layer.SPACE, Layer.HEATERS, Layer.BEAMS, Layer.DIMENSIONS, Layer.PEOPLE)
ROOM = (0.43, 0.1, 0.25, 0.08)  # left, right, bottom, top
# Distances from the cut to the nearest heater [m]: the first that breaks open the least is taken.
BEFORE = (0.06, 0.25, 0.45, 0.65, 0.85, 1.05, 1.3)
BEHIND = 0.02  # frame heights; heaters nearer than this in the picture share a label
SAME = 0.005  # m; heights nearer than this are one
STAND_OFF = 0.035  # from the drawing to the rules beside it [frame heights]
SQUARE = 0.12  # how far a slope may turn from the picture's plane to be shown in it, as a sine
TRIANGLE = 0.085  # frame heights along the level leg of a pitch triangle


@dataclass(frozen=True, eq=False)
class Slope:
    """A roof plane that an elevation sees edge on: a point on its upper side, and its slope."""

    at: Floats
    rise: float
    area: float


def elevation_views(stage: Stage, aspect: float) -> tuple[View, View]:
    """Two elevations: along the ridge, or the level line of the slope, and square to it."""
    axis = _main_axis(stage)
    return (
        _elevation(stage, aspect, "elevation_1", axis),
        _elevation(stage, aspect, "elevation_2", axis + pi / 2),
    )


def _elevation(stage: Stage, aspect: float, name: str, yaw: float) -> View:
    evaluation = stage.evaluation
    framing = max(
        (_framing(stage, aspect, way) for way in (yaw, yaw + pi)), key=lambda f: _worth(stage, f)
    )
    pane, layout = Pane.before(framing), Layout(aspect)
    cut = section([part for part in stage.parts if part.kind in BUILT], framing)
    draw_poche(pane, cut)
    heaters = [box_of(pane.at(mount.body)) for mount in evaluation.mounts]
    look = -framing.camera.z
    for box, subject in zip(heaters, stage.heaters, strict=True):
        if not _seen(stage, framing, subject, look).any():
            x0, y0, x1, y1 = box
            pane.draw([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], FINE, sheet=5, closed=True)
    layout.rather_not(heaters)
    figures = [*_distances(stage, pane, layout), *_heights(stage, pane, layout)]
    pitch = list(_pitch_triangle(stage, pane, layout))
    layout.place_all([*pitch, *figures, *_names(stage, heaters)])
    pane.write(layout)
    bearing = evaluation.scene.site.north - atan2(look[1], look[0])
    caption = captions.elevation(evaluation, wind(bearing))
    return pane.view(
        name, caption, LAYERS, hidden=cut_open(stage.evaluation.model, framing), dusk=0.0
    )


def _main_axis(stage: Stage) -> float:
    """Direction of the first ridge, or of a slope's level line; of the floor where all is flat."""
    for roof in stage.evaluation.scene.roof:
        if roof.form in ("gable", "hip", "valley", "vault"):
            return roof.ridge_direction
        if roof.form == "single_slope":
            return roof.falls_toward + pi / 2
    return main_direction(stage.floor)


def _framing(stage: Stage, aspect: float, yaw: float) -> Framing:
    """The camera that looks level in a direction at all that lies behind the cut."""
    axes = level_axes(yaw)
    points = [part.mesh.vertices for part in stage.parts if part.kind in BUILT]
    framings = [
        fitted(np.concatenate(points), axes, aspect, ROOM, _nearest(stage, axes[2]) + before)
        for before in BEFORE
    ]
    return min(framings, key=lambda framing: len(cut_open(stage.evaluation.model, framing)))


def _nearest(stage: Stage, toward: Floats) -> float:
    """How far the nearest heater reaches toward the camera; without one, the floor's middle."""
    bodies = [float((mount.body @ toward).max()) for mount in stage.evaluation.mounts]
    middle = float(np.array(stage.floor.centroid.coords[0]) @ toward[:2])
    return max(bodies, default=middle)


def _worth(stage: Stage, framing: Framing) -> float:
    """How much a cut shows: heaters and brackets first, then people, and no roof from outside."""
    look = -framing.camera.z
    heaters = [_seen(stage, framing, subject, look).mean() for subject in stage.heaters]
    people = [_seen(stage, framing, subject, look).mean() for subject in stage.people]
    x, y = np.meshgrid(np.linspace(-0.8, 0.8, 32), np.linspace(-0.45, 0.45, 18))
    at = np.column_stack([x.ravel() * framing.aspect / 2, y.ravel()])
    starts = framing.lift(at, framing.clip[0])
    _, which = stage.first(starts, np.broadcast_to(look, starts.shape))
    roof = (stage.classes[which] == ROOF_TOP).mean()
    return float(np.mean(heaters or [0.0]) + 0.5 * np.mean(people or [0.0]) - 2.0 * roof)


def _seen(stage: Stage, framing: Framing, subject: Subject, look: Floats) -> Floats:
    """Which points of a subject an orthographic camera sees."""
    depth = -framing.camera.to_local(subject.points)[:, 2] - framing.clip[0]
    starts = subject.points - depth[:, None] * look
    met, which = stage.first(starts, np.broadcast_to(look, starts.shape))
    return np.asarray((depth >= 0.0) & ((met >= depth - 0.01) | np.isin(which, subject.own)))


def _distances(stage: Stage, pane: Pane, layout: Layout) -> list[Note]:
    """Draw where each heater's centre lies from a named reference, below the floor."""
    evaluation, units = stage.evaluation, stage.evaluation.scene.site.units
    right = pane.framing.camera.x
    start = reference_at(evaluation, right[:2], -1)
    foot = min(float(part.mesh.bounds[0, 2]) for part in stage.parts if part.kind in BUILT)
    begins = float(pane.at([0.0, 0.0, foot])[1])
    centres = {m.name: float(m.frame.origin @ right) for m in evaluation.mounts}
    stations = [Station(float(pane.at(right * start.at)[0]), begins, wrapped(f"0: {start.text}"))]
    for value, names in gathered(centres, SAME):
        text = f"{wrapped(named(names))}\n{format_length(value - start.at, units)}"
        stations.append(Station(float(pane.at(right * value)[0]), begins, text))
    rule = Rule(False, begins - STAND_OFF)
    layout.keep_clear(rule.box([station.along for station in stations]))
    # The figures below stay clear of the heights at the left.
    limits = (_left(stage, pane) - STAND_OFF, layout.limits(upright=False)[1])
    return draw_stations(pane, rule, stations, limits)


def _heights(stage: Stage, pane: Pane, layout: Layout) -> list[Note]:
    """Draw the heights above the floor, at the left."""
    evaluation, units = stage.evaluation, stage.evaluation.scene.site.units
    begins = _left(stage, pane)
    faces = {m.name: float(m.frame.origin[2]) for m in evaluation.mounts}
    levels = [(height, wrapped(named(names))) for height, names in gathered(faces, SAME)]
    levels += list(_roof_levels(evaluation))
    stations = [Station(float(pane.at([0.0, 0.0, 0.0])[1]), begins, "0 floor")]
    for height, name in sorted(levels):
        text = f"{name}  {format_length(height, units)}"
        stations.append(Station(float(pane.at([0.0, 0.0, height])[1]), begins, text))
    rule = Rule(True, begins - STAND_OFF)
    layout.keep_clear(rule.box([station.along for station in stations]))
    return draw_stations(pane, rule, stations, layout.limits(upright=True))


def _left(stage: Stage, pane: Pane) -> float:
    """Where the drawing begins at the left [frame heights]."""
    built = [part.mesh.vertices for part in stage.parts if part.kind in BUILT]
    return float(pane.at(np.concatenate(built))[:, 0].min())


def _roof_levels(evaluation: Evaluation) -> Iterator[tuple[float, str]]:
    """Plate and ridge of each roof, once."""
    scene = evaluation.scene
    levels: dict[tuple[float, str], None] = {}
    for roof in scene.roof:
        heights = resolve_heights(roof, scene.floor, units=scene.site.units)
        if heights.ridge - heights.plate < SAME:
            levels[round(heights.plate, 4), "ceiling"] = None
            continue
        levels[round(heights.plate, 4), "plate"] = None
        levels[round(heights.ridge, 4), "ridge"] = None
    yield from levels


def _names(stage: Stage, boxes: list[Floats]) -> Iterator[Note]:
    """Labels for the heaters, one for those that stand behind each other."""
    groups: list[tuple[Floats, list[str]]] = []
    for mount, box in zip(stage.evaluation.mounts, boxes, strict=True):
        behind = (names for other, names in groups if float(np.abs(other - box).max()) < BEHIND)
        names = next(behind, None)
        if names is None:
            groups.append((box, [mount.name]))
        else:
            names.append(mount.name)
    for box, names in groups:
        text = named(names)
        middle, size = (box[:2] + box[2:]) / 2, note_size(text, 1.1 * TEXT)
        below = middle - np.array([0.0, (box[3] - box[1] + size[1]) / 2 + 0.008])
        # Under the heaters is room; over them is the roof.
        lower = 2 * middle - around(middle, size + (box[2:] - box[:2]))
        yield Note(
            text, np.concatenate([below[None], lower]), height=1.1 * TEXT, anchor=middle, close=1
        )


def _pitch_triangle(stage: Stage, pane: Pane, layout: Layout) -> Iterator[Note]:
    """Draw a pitch triangle on the largest slope that is seen edge on."""
    slope = max(_slopes(stage, pane.framing), key=lambda s: s.area, default=None)
    if slope is None:
        return
    toe = pane.at(slope.at) + np.array([0.0, 0.02])
    level = np.array([np.sign(slope.rise) * TRIANGLE, 0.0])
    rise = np.array([0.0, TRIANGLE * abs(slope.rise)])
    corners = np.array([toe, toe + rise, toe + level + rise])
    pane.draw(corners, BOLD, Tone.MEASURE, closed=True)
    layout.keep_clear(box_of(corners))
    text = captions.slope_figure(atan2(abs(slope.rise), 1.0), stage.evaluation.scene.site.units)
    size, middle = note_size(text), (corners.min(axis=0) + corners.max(axis=0)) / 2
    over = middle + np.array([0.0, (rise[1] + size[1]) / 2 + 0.012])
    spots = np.concatenate([[over], around(middle, size + np.ptp(corners, axis=0))])
    yield Note(text, spots, Tone.MEASURE, anchor=middle, close=1)


def _slopes(stage: Stage, framing: Framing) -> Iterator[Slope]:
    """Roof planes behind the cut that the camera sees edge on."""
    camera = framing.camera
    # A vault has no one pitch.
    vaults = {roof.name for roof in stage.evaluation.scene.roof if roof.form == "vault"}
    for part in stage.parts:
        if part.kind is not Kind.ROOF or part.owner in vaults:
            continue
        normals = part.mesh.normals @ camera.axes.T
        level = np.hypot(normals[:, 0], normals[:, 2])
        edge_on = np.abs(normals[:, 2]) <= SQUARE * np.maximum(level, 1e-9)
        sloping = (normals[:, 1] > 0.2) & (np.abs(normals[:, 0]) > 0.02) & edge_on
        if not sloping.any():
            continue
        corners = part.mesh.corners[sloping]
        rises = -normals[sloping, 0] / normals[sloping, 1]
        areas = np.linalg.norm(
            np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1
        )
        for sign in (1.0, -1.0):
            side = np.sign(rises) == sign
            if side.any():
                middle = np.average(corners[side].mean(axis=1), axis=0, weights=areas[side])
                yield Slope(
                    middle,
                    float(np.average(rises[side], weights=areas[side])),
                    float(areas[side].sum()),
                )
