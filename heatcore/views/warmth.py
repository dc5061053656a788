"""The warmth view: beams, the warmed floor, and how each person fares."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from heatcore.geometry.frames import Floats, locked
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.views.comfort import comfort_sentence
from heatcore.views.eye import Taste, best_eye
from heatcore.views.floor import FloorPicture
from heatcore.views.framing import Framing
from heatcore.views.layout import Layout, box_of
from heatcore.views.legend import floor_rows, place_legend, place_rows, threshold_rows
from heatcore.views.marks import RIM, TONES, draw_mark
from heatcore.views.numbers import number_contours
from heatcore.views.pane import FINE, Pane
from heatcore.views.places import cold_notes
from heatcore.views.stage import Stage, Subject
from heatcore.views.view import Layer, View

LAYERS = (
    Layer.SPACE, Layer.HEATERS, Layer.BEAMS, Layer.WARMTH, Layer.DIMENSIONS, Layer.PEOPLE,
)  # fmt: skip
TASTE = Taste(heaters=60.0, extra=60.0, people=24.0, floor=24.0, ceiling=4.0, size=4.0)
ENOUGH = 0.7  # of what the best camera shows of the warmth, the hero's must show to be kept
COLD = 3.0  # weight of a cold place: the picture owes it to the client
EDGE = 0.02  # frame heights within which a heater counts as cut
BRIGHT = 0.5  # of a heater's best irradiance, from which its floor is worth showing
MOST_POINTS = 40  # of such a floor that are looked at
RADIUS = 0.0125  # of a mark [frame heights]
OVER_HEAD = 0.26  # m
# Round the points of a heater and of a person [frame heights].
BODY, FIGURE = np.array([-0.02, -0.03, 0.02, 0.03]), np.array([-0.05, -0.06, 0.05, 0.05])
STEM = 0.028  # frame heights by which a mark may be lifted at a time, to clear another
LIFTS = 5


def warmth_framing(stage: Stage, hero: Framing) -> Framing:
    """The hero's camera; another one where that would hide the warmth."""
    people = zip(stage.evaluation.people, stage.people, strict=True)
    cold = [replace(who, weight=COLD) for body, who in people if body.comfort is Comfort.COLD]
    wanted = (*_warm_floor(stage), *cold)
    if not wanted:
        return hero
    best = best_eye(stage, hero.aspect, TASTE, wanted)
    if _least_framed(stage, best) < _least_framed(stage, hero):
        return hero
    subjects = (*wanted, *stage.people)
    shown, most = (_shown(stage, framing, subjects) for framing in (hero, best))
    return hero if shown >= ENOUGH * most else best


def warmth_view(stage: Stage, framing: Framing, floor: FloorPicture) -> View:
    """What a camera sees of the warmth, the floor painted as is asked for."""
    pane, layout = Pane.before(framing), Layout(framing.aspect)
    heaters = np.reshape([box_of(pane.at(s.points)) + BODY for s in stage.heaters], (-1, 4))
    layout.rather_not(heaters)
    names = cold_notes(stage.evaluation, _draw_people(stage, pane, layout), RADIUS)
    marks = [*place_rows(stage.evaluation), *threshold_rows(floor)]
    place_legend(pane, layout, [floor_rows(floor), marks], clear_of=heaters)
    for name in names:
        layout.place(name)  # where there is no room for it the mark says as much
    number_contours(stage, pane, layout, floor)
    pane.write(layout)
    caption = comfort_sentence(stage.evaluation)
    return pane.view("warmth", caption, LAYERS, dusk=0.75, floor=floor.shows)


def _least_framed(stage: Stage, framing: Framing) -> float:
    """Share of that heater that the frame cuts most."""
    shares = [float(framing.shows(s.points, EDGE).mean()) for s in stage.heaters]
    return min(shares, default=1.0)


def _shown(stage: Stage, framing: Framing, subjects: tuple[Subject, ...]) -> float:
    """Share of the subjects that a camera shows, by weight."""
    eye = framing.camera.origin[None]
    shares = [
        float(np.mean(framing.shows(s.points, 0.02) & stage.sees(eye, s)[0])) for s in subjects
    ]
    return float(np.average(shares, weights=[s.weight for s in subjects]))


def _warm_floor(stage: Stage) -> tuple[Subject, ...]:
    """Points on the floor that each heater warms most."""
    field, nothing = stage.evaluation.floor_map, np.zeros(0, dtype=np.int64)
    out = []
    for values in field.by_heater.values():
        best = float(np.max(values, where=field.inside, initial=0.0))
        rows, columns = np.nonzero(field.inside & (values >= BRIGHT * best) & (values > 0.0))
        if not len(rows):
            continue
        kept = np.linspace(0, len(rows) - 1, min(len(rows), MOST_POINTS)).astype(np.int64)
        plan = np.column_stack([field.x[columns[kept]], field.y[rows[kept]]])
        # A hair over the floor, so that the floor itself does not hide it.
        points = np.column_stack([plan, np.full(len(plan), 0.02)])
        out.append(Subject(locked(points), nothing, 0.5))
    return tuple(out)


def _draw_people(stage: Stage, pane: Pane, layout: Layout) -> list[tuple[BodyHeat, Floats]]:
    """Draw each visible person's mark over the head; return the cold ones with their marks."""
    evaluation, eye = stage.evaluation, pane.framing.camera.origin[None]
    cold = []
    people = list(zip(evaluation.people, stage.people, strict=True))
    nearest = sorted(people, key=lambda p: float(pane.framing.project(p[1].points[0])[2]))
    for body, subject in nearest:
        if not (stage.sees(eye, subject)[0] & pane.framing.shows(subject.points, 0.03)).any():
            continue
        at = _mark_spot(pane, layout, subject)
        if at is None:
            continue
        layout.rather_not(box_of(pane.at(subject.points)) + FIGURE)
        stem = [pane.at(subject.points[0]) + np.array([0.0, 0.02]), at]
        pane.draw(stem, FINE, TONES[body.comfort], sheet=3)
        draw_mark(pane, body.comfort, at, RADIUS)
        if body.comfort is Comfort.COLD:
            cold.append((body, at))
    return cold


def _mark_spot(pane: Pane, layout: Layout, subject: Subject) -> Floats | None:
    """Room for a mark over a head, lifted where another one stands there already."""
    head = pane.at(subject.points[0] + [0.0, 0.0, OVER_HEAD])
    size = np.full(2, 2.0 * (1.1 + RIM) * RADIUS)
    return layout.reserve(size, head + STEM * np.outer(np.arange(LIFTS), [0, 1]))
