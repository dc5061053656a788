"""The plan: seen from above with the roof lifted, walls cut, heaters as outlines, dimensions."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from heatcore.geometry.frames import Floats
from heatcore.geometry.parts import Kind, Part
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.mounting.mount import Mount
from heatcore.units import format_length
from heatcore.views import captions
from heatcore.views.candidates import main_direction
from heatcore.views.dimensioning import (
    Rule,
    Station,
    box_ends,
    draw_dimension,
    draw_stations,
    gathered,
    named,
    wrapped,
)
from heatcore.views.floor import FloorPicture
from heatcore.views.framing import Framing, fitted, plan_axes
from heatcore.views.layout import MARGIN, TEXT, Layout, Note, around, box_of, note_size
from heatcore.views.legend import (
    Legend,
    Row,
    draw_legend,
    floor_rows,
    place_rows,
    threshold_rows,
)
from heatcore.views.marks import draw_mark
from heatcore.views.numbers import number_contours
from heatcore.views.pane import BOLD, FINE, MEDIUM, Pane
from heatcore.views.places import cold_notes
from heatcore.views.references import reference_at
from heatcore.views.section import draw_poche, section
from heatcore.views.sheet import draw_north, draw_scale_bar
from heatcore.views.stage import Stage
from heatcore.views.view import Layer, Tone, View

LAYERS = (Layer.SPACE, Layer.HEATERS, Layer.WARMTH, Layer.DIMENSIONS, Layer.PEOPLE)
ROOM = (0.36, 0.53, 0.24, 0.12)  # for dimensions and legend: left, right, bottom, top
STAND_OFF = 0.035  # from the drawing to the rules beside it [frame heights]
OVERALL = 0.055  # from the drawing to the dimension over all [frame heights]
CUT = 2.0  # m above the floor; lower where heads of doors or anything overhead ask for it
LEAST_CUT = 1.35  # m, over the heads of those who sit
BELOW = 0.03  # m by which the cut stays below what it must not cut
SOLID = (
    Kind.WALL, Kind.POST, Kind.DOOR, Kind.WINDOW, Kind.SCREEN, Kind.PLATFORM, Kind.SOLID,
)  # fmt: skip
OPENING = (Kind.DOOR, Kind.WINDOW)
OVERHEAD = (Kind.ROOF, Kind.RAFTER, Kind.BEAM, Kind.FITTING, Kind.CABLE)
UPRIGHT_WORTH = 1.15  # how much larger the drawing must come out to be turned on the sheet
SAME = 0.005  # m; heaters nearer to one line than this share a station
MARK = 0.0105  # frame heights


def plan_view(stage: Stage, framing: Framing, floor: FloorPicture) -> View:
    """The plan of a scene, the floor painted as is asked for."""
    aspect = framing.aspect
    pane, layout = Pane.before(framing), Layout(aspect)
    parts = [part for part in stage.parts if part.kind in SOLID]
    draw_poche(pane, section(parts, framing))
    _draw_swings(stage, pane)
    failing = {finding.heater for finding in stage.evaluation.failures}
    tones = [Tone.ALARM if m.name in failing else Tone.MEASURE for m in stage.evaluation.mounts]
    heaters = [
        _draw_heater(pane, mount, tone)
        for mount, tone in zip(stage.evaluation.mounts, tones, strict=True)
    ]
    layout.rather_not(heaters)
    marks = _draw_places(stage, pane)
    layout.keep_clear(marks)
    rows = [Row("heater and its heading", Tone.MEASURE, outline=True)]
    if failing:
        rows.append(Row("heater with a finding", Tone.ALARM, outline=True))
    rows += [*floor_rows(floor), *threshold_rows(floor), *place_rows(stage.evaluation)]
    legend = Legend.columns([rows])
    edge = np.array([aspect / 2, 0.5]) - MARGIN
    draw_legend(pane, layout, legend, edge - legend.size / 2)
    draw_scale_bar(pane, layout, stage.evaluation.scene.site.units)
    draw_north(pane, layout, stage.evaluation.scene.site.north)
    names = list(_names(stage, heaters, tones))
    figures = [
        *_dimensions(stage, pane, layout, upright=False),
        *_dimensions(stage, pane, layout, upright=True),
    ]
    layout.place_all([*names, *figures])
    for note in cold_notes(stage.evaluation, _cold(stage, pane)):
        layout.place(note)  # where there is no room for it the mark says as much
    number_contours(stage, pane, layout, floor)
    pane.write(layout)
    plan = stage.evaluation.model.floor_outline @ framing.camera.axes[:2, :2].T
    caption = captions.plan(
        stage.evaluation, (float(np.ptp(plan[:, 0])), float(np.ptp(plan[:, 1])))
    )
    hidden = _straddling(stage, framing)
    return pane.view("plan", caption, LAYERS, hidden=hidden, dusk=0.0, floor=floor.shows)


def plan_framing(stage: Stage, aspect: float) -> Framing:
    """The camera above, turned so that the floor's sides lie along the picture's."""
    axes, cut = plan_axes(_turn(stage.floor, aspect)), cut_height(stage)
    return fitted(_extent(stage, cut), axes, aspect, ROOM, cut)


def cut_height(stage: Stage) -> float:
    """Height of the cut: as high as nothing overhead and no door's head is cut [m]."""
    heights = [CUT]
    for part in stage.evaluation.model.parts:
        low, high = part.mesh.bounds[:, 2]
        if part.kind is Kind.DOOR:
            heights.append(float(high) - BELOW)
        elif part.kind in OVERHEAD and low > LEAST_CUT:
            heights.append(float(low) - BELOW)
    heights += [float(mount.body[:, 2].min()) - BELOW for mount in stage.evaluation.mounts]
    return max(LEAST_CUT, min(heights))


def _turn(floor: shapely.Polygon, aspect: float) -> float:
    """World direction to the picture's right: of the floor's own, the one that fits best [rad]."""
    room = np.array([aspect - ROOM[0] - ROOM[1], 1.0 - ROOM[2] - ROOM[3]])
    corners = shapely.get_coordinates(floor.exterior)
    best, most = 0.0, 0.0
    # The turn nearest to the world's own X comes first, and is given up only for a good reason.
    turns = main_direction(floor) + np.arange(4) * np.pi / 2
    turns = (turns + np.pi) % (2 * np.pi) - np.pi
    for turn in sorted(turns, key=lambda t: (round(abs(t), 6), -t)):
        plan = corners @ plan_axes(turn)[:2, :2].T
        scale = float((room / np.ptp(plan, axis=0)).min())
        if scale > most * (UPRIGHT_WORTH if most else 1.0):
            best, most = float(turn), scale
    return best


def _extent(stage: Stage, cut: float) -> Floats:
    """(n, 3) what the plan must show: the floor, what is cut, heaters and places [m]."""
    model = stage.evaluation.model
    points = [np.column_stack([model.floor_outline, np.zeros(len(model.floor_outline))])]
    standing = [part for part in stage.parts if part.kind in SOLID]
    standing += model.of(*OPENING, swept=True)
    points += [part.mesh.vertices for part in standing if part.mesh.bounds[0, 2] < cut]
    points += [mount.body for mount in stage.evaluation.mounts]
    points += [place.point[None] for place in model.places]
    return np.concatenate(points)


def _draw_swings(stage: Stage, pane: Pane) -> None:
    """Draw the room that doors and windows take while they open, as outlines."""
    swings = list(stage.evaluation.model.of(*OPENING, swept=True))
    for ring in _rings(section(swings, pane.framing)):
        pane.draw(ring, FINE, Tone.QUIET, sheet=2, closed=True)


def _rings(area: shapely.Geometry) -> Iterator[Floats]:
    for piece in shapely.get_parts(area):
        if piece.geom_type == "Polygon":
            yield np.asarray(piece.exterior.coords)[:-1, :2]


def _draw_heater(pane: Pane, mount: Mount, tone: Tone) -> Floats:
    """Draw a heater's outline and its heading; return the box round them in the frame."""
    outline = pane.at(mount.body[:4])
    # A tilted body's plan is that of all its corners.
    hull = shapely.MultiPoint(pane.at(mount.body)).convex_hull
    ring = np.asarray(hull.exterior.coords)[:-1] if hull.geom_type == "Polygon" else outline
    pane.draw(ring, BOLD, tone, sheet=5, closed=True)
    middle, end = (
        pane.at(mount.frame.origin),
        pane.at(mount.frame.to_world([mount.type.length / 2, 0, 0])),
    )
    way = (end - middle) / max(float(np.linalg.norm(end - middle)), 1e-9)
    side = np.array([-way[1], way[0]])
    tip = end + 0.022 * way
    pane.draw([middle, end + 0.008 * way], MEDIUM, tone, sheet=5)
    head = [tip, end + 0.004 * way + 0.008 * side, end + 0.004 * way - 0.008 * side]
    pane.draw(head, FINE, tone, sheet=5, closed=True, filled=True)
    return box_of(np.concatenate([ring, [tip]]))


def _draw_places(stage: Stage, pane: Pane) -> Floats:
    """Draw each place's mark behind its head; return the boxes round them in the frame."""
    boxes = []
    for body in stage.evaluation.people:
        place = body.place
        back = np.array([np.cos(place.facing), np.sin(place.facing), 0.0]) * -0.16
        boxes.append(box_of(draw_mark(pane, body.comfort, pane.at(place.point + back), MARK)))
    return np.reshape(boxes, (-1, 4))


def _cold(stage: Stage, pane: Pane) -> list[tuple[BodyHeat, Floats]]:
    """The cold places with where they lie in the frame."""
    cold = [body for body in stage.evaluation.people if body.comfort is Comfort.COLD]
    return [(body, pane.at(body.place.point)) for body in cold]


def _names(stage: Stage, boxes: list[Floats], tones: list[Tone]) -> Iterator[Note]:
    sides = np.array([(0.0, 1.12), (0.0, -1.12), (1.08, 0.0), (-1.08, 0.0)])
    for mount, box, tone in zip(stage.evaluation.mounts, boxes, tones, strict=True):
        middle, size = (box[:2] + box[2:]) / 2, note_size(mount.name, 1.1 * TEXT)
        beside = middle + (box[2:] - box[:2] + size) / 2 * sides
        spots = np.concatenate([beside, around(middle, size + (box[2:] - box[:2]))])
        tone = Tone.QUIET if tone is Tone.MEASURE else tone
        yield Note(mount.name, spots, tone, height=1.1 * TEXT, anchor=middle, close=len(beside))


def _dimensions(stage: Stage, pane: Pane, layout: Layout, *, upright: bool) -> list[Note]:
    """Draw where each heater's centre lies from a named reference, and the floor's whole size.

    The figure over all has its place at once; the others are returned.
    """
    evaluation, units = stage.evaluation, stage.evaluation.scene.site.units
    direction = pane.framing.camera.axes[1 if upright else 0, :2]
    along, across = (1, 0) if upright else (0, 1)
    low, high = box_ends(pane.at(_extent(stage, LEAST_CUT)))
    begins = float(low[across])
    start = reference_at(evaluation, direction, -1)
    zero = direction @ pane.framing.camera.origin[:2]
    height = float(pane.framing.height_at(1.0))
    shift = pane.at(pane.framing.camera.origin - [0.0, 0.0, 1.0])[along]

    def to_frame(value: float) -> float:
        return float((value - zero) / height + shift)

    stations = [Station(to_frame(start.at), begins, wrapped(f"0: {start.text}"))]
    centres = {m.name: float(m.frame.origin[:2] @ direction) for m in evaluation.mounts}
    for value, names in gathered(centres, SAME):
        text = f"{wrapped(named(names))}\n{format_length(value - start.at, units)}"
        stations.append(Station(to_frame(value), begins, text))
    rule = Rule(upright, begins - STAND_OFF)
    # The figures below stay clear of those at the left.
    limits = layout.limits(upright=upright)
    limits = limits if upright else (float(low[0]) - STAND_OFF, limits[1])
    figures = draw_stations(pane, rule, stations, limits)
    layout.keep_clear(rule.box([station.along for station in stations]))
    outline = evaluation.model.floor_outline @ direction
    ends = (to_frame(float(outline.min())), to_frame(float(outline.max())))
    size = format_length(float(np.ptp(outline)), units)
    over_all = Rule(upright, float(high[across]) + OVERALL)
    layout.place(draw_dimension(pane, over_all, ends, float(high[across]), size))
    layout.keep_clear(over_all.box(ends))
    return figures


def _straddling(stage: Stage, framing: Framing) -> list[str]:
    """Names of what is overhead and still comes below the cut: the picture does without it."""

    def cut(part: Part) -> bool:
        depth = -framing.camera.to_local(part.mesh.vertices)[:, 2]
        return bool(depth.max() > framing.clip[0])

    return [part.name for part in stage.parts if part.kind in OVERHEAD and cut(part)]
