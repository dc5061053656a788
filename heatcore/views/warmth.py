"""The warmth view: beams, where they land, and each place's verdict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from heatcore.geometry.frames import Floats, locked
from heatcore.heat.beam import Lit
from heatcore.views import captions
from heatcore.views.eye import Taste, best_eye
from heatcore.views.framing import Framing
from heatcore.views.layout import Layout, Note, around, box_of, note_size
from heatcore.views.marks import TONES, Swatch, draw_legend, mark
from heatcore.views.pane import FINE, Pane
from heatcore.views.stage import Stage, Subject
from heatcore.views.view import Layer, Tone, View

LAYERS = (
    Layer.SPACE, Layer.HEATERS, Layer.BEAMS, Layer.WARMTH, Layer.DIMENSIONS, Layer.PEOPLE,
)  # fmt: skip
TASTE = Taste(heaters=60.0, extra=30.0, people=24.0, floor=14.0, ceiling=8.0)
ENOUGH = 0.7  # of what the best camera shows of the warmth, the hero's must show to be kept
COLD = 3.0  # weight of a cold place: the picture owes it to the client
RADIUS = 0.0125  # of a mark [frame heights]
OVER_HEAD = 0.26  # m
STEM = 0.028  # frame heights by which a mark may be lifted at a time, to clear another
LIFTS = 5
MOST = 5  # labels of cold places; their marks say the rest

LEGEND = (
    Swatch("floor in one beam", Tone.BAND_BEAM),
    Swatch("floor in two or more", Tone.BAND_DOUBLE),
    Swatch("floor at a beam's edge", Tone.BAND_EDGE),
    Swatch("place in a beam", Tone.WARM, lit=Lit.BEAM),
    Swatch("place at its edge", Tone.EDGE, lit=Lit.EDGE),
    Swatch("place outside", Tone.COLD, lit=Lit.OUTSIDE),
)


def warmth_view(stage: Stage, hero: Framing) -> View:
    """The hero's view with the warmth; another one where that would hide it."""
    framing = _framing(stage, hero)
    pane, layout = Pane.before(framing), Layout(framing.aspect)
    for subject in stage.heaters:
        layout.rather_not(box_of(pane.at(subject.points)) + np.array([-0.02, -0.03, 0.02, 0.03]))
    rows = [row for row in LEGEND if row.lit is None or stage.evaluation.places]
    draw_legend(pane, layout, rows)
    layout.place_all(list(_draw_places(stage, pane, layout)), rest="{} more cold places")
    pane.write(layout)
    return pane.view("warmth", captions.warmth(stage.evaluation), LAYERS, dusk=0.75)


def _framing(stage: Stage, hero: Framing) -> Framing:
    places = zip(stage.evaluation.places, stage.people, strict=True)
    cold = [replace(subject, weight=COLD) for light, subject in places if light.best is Lit.OUTSIDE]
    wanted = (*_lit_floor(stage), *cold)
    if not wanted:
        return hero
    best = best_eye(stage, hero.aspect, TASTE, wanted)
    subjects = (*wanted, *stage.people)
    shown, most = (_shown(stage, framing, subjects) for framing in (hero, best))
    return hero if shown >= ENOUGH * most else best


def _shown(stage: Stage, framing: Framing, subjects: tuple[Subject, ...]) -> float:
    """Share of the subjects that a camera shows, by weight."""
    eye = framing.camera.origin[None]
    shares = [
        float(np.mean(framing.shows(s.points, 0.02) & stage.sees(eye, s)[0])) for s in subjects
    ]
    return float(np.average(shares, weights=[s.weight for s in subjects]))


def _lit_floor(stage: Stage) -> tuple[Subject, ...]:
    """Points on the floor where each beam lands."""
    nothing = np.zeros(0, dtype=np.int64)
    out = []
    for beam in stage.evaluation.beams:
        areas = [
            rings for landing in beam.landings if landing.level == 0.0 for rings in landing.beam
        ]
        points = [_inside(shapely.Polygon(rings[0], rings[1:])) for rings in areas]
        if points:
            out.append(Subject(locked(np.concatenate(points)), nothing, 0.5))
    return tuple(out)


def _inside(area: shapely.Polygon, count: int = 6) -> Floats:
    """Points spread over an area on the floor, (n, 3), one at least."""
    x0, y0, x1, y1 = area.bounds
    share = (np.arange(count) + 0.5) / count
    grid = np.stack(np.meshgrid(x0 + share * (x1 - x0), y0 + share * (y1 - y0)), -1).reshape(-1, 2)
    kept = grid[shapely.contains_xy(area, grid[:, 0], grid[:, 1])]
    if not len(kept):
        kept = shapely.get_coordinates(area.representative_point())
    # A hair over the floor, so that the floor itself does not hide it.
    return np.column_stack([kept, np.full(len(kept), 0.02)])


def _draw_places(stage: Stage, pane: Pane, layout: Layout) -> Iterator[Note]:
    """Draw each visible place's mark over its head; the cold ones ask for their names as well."""
    eye = pane.framing.camera.origin[None]
    cold = 0
    places = list(zip(stage.evaluation.places, stage.people, strict=True))
    nearest = sorted(places, key=lambda p: float(pane.framing.project(p[1].points[0])[2]))
    for light, subject in nearest:
        if not (stage.sees(eye, subject)[0] & pane.framing.shows(subject.points, 0.03)).any():
            continue
        head = pane.at(subject.points[0] + [0.0, 0.0, OVER_HEAD])
        at = layout.reserve(
            np.full(2, 2.3 * RADIUS), head + STEM * np.outer(np.arange(LIFTS), [0, 1])
        )
        if at is None:
            continue
        tone = TONES[light.best]
        pane.draw([pane.at(subject.points[0]) + np.array([0.0, 0.02]), at], FINE, tone, sheet=3)
        pane.draw(mark(light.best, at, RADIUS), FINE, tone, sheet=5, closed=True, filled=True)
        if light.best is Lit.OUTSIDE and cold < MOST:
            cold += 1
            text = light.place.name
            yield Note(text, around(at, note_size(text) + RADIUS), Tone.COLD, anchor=at)
