"""The clearance view: what stands too near, by how much; or how much everything has to spare."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.intrusion import intrusion
from heatcore.geometry.frames import Floats, locked
from heatcore.units import UnitSystem, format_length
from heatcore.views import captions
from heatcore.views.eye import Taste, best_eye
from heatcore.views.framing import Framing
from heatcore.views.layout import Layout, Note, around, box_of, note_size
from heatcore.views.pane import BOLD, FINE, Pane
from heatcore.views.stage import Stage, Subject
from heatcore.views.view import Layer, Tone, View

LAYERS = (Layer.SPACE, Layer.HEATERS, Layer.CLEARANCES, Layer.DIMENSIONS, Layer.PEOPLE)
TASTE = Taste(extra=70.0, people=6.0, ceiling=10.0)
IN_SIGHT = 0.6  # of the way between the two points of a failing finding
LEAST_ARROW = 0.02  # frame heights; a shorter way is a point
RING = 0.012  # radius of the mark on a point [frame heights]
NOT_IN_SPACE = ("electrical.", "ventilation.", "exposure.")  # findings that no place can show
AWAY = (0.05, 0.08, 0.12, 0.17, 0.24, 0.32)  # frame heights that labels stand off


def clearance_view(stage: Stage, hero: Framing) -> View:
    """The hero's view with the clearances; another one where that would hide what fails."""
    evaluation = stage.evaluation
    failing = worst_of([f for f in evaluation.failures if not f.code.startswith(NOT_IN_SPACE)])
    framing = _framing(stage, hero, failing)
    pane, layout = Pane.before(framing), Layout(framing.aspect)
    for subject in stage.heaters:
        layout.rather_not(
            box_of(pane.at(subject.points)) + np.array([-0.015, -0.025, 0.015, 0.025])
        )
    layout.rather_not(_intrusions(stage, pane, failing))
    units = evaluation.scene.site.units
    if failing:
        notes = [note for finding in failing for note in _alarm(pane, layout, finding, units)]
        layout.place_all(notes, rest="{} more too near: see the findings")
    else:
        layout.place_all(
            [_margin(pane, finding, units) for finding in tightest(evaluation.findings)]
        )
    pane.write(layout)
    return pane.view("clearances", captions.clearances(evaluation), LAYERS, dusk=0.6)


def worst_of(findings: Sequence[Finding]) -> list[Finding]:
    """Of each heater and each thing the worst finding, the worst of all first."""
    worst: dict[tuple[str, str], Finding] = {}
    for finding in sorted(findings, key=_shortfall):
        worst.setdefault((finding.heater, finding.object), finding)
    return list(worst.values())


def tightest(findings: Sequence[Finding]) -> list[Finding]:
    """Of each heater what has the least to spare, the tightest of all first.

    What holds only if the drawing is right comes before what holds anyway, and of the latter only
    clearances count.
    """
    least: dict[str, Finding] = {}
    for finding in sorted(findings, key=_spare):
        doubtful = finding.verdict is Verdict.MEASURE and not finding.code.startswith(NOT_IN_SPACE)
        shown = doubtful or finding.code.startswith("clearance.")
        if shown and finding.heater and np.isfinite(finding.point).all():
            least.setdefault(finding.heater, finding)
    return list(least.values())


def _spare(finding: Finding) -> tuple[bool, float]:
    """What is doubtful first, by how far the drawing's tolerances can take it; then the rest."""
    doubtful = finding.verdict is Verdict.MEASURE
    return not doubtful, finding.doubt.margin if doubtful and finding.doubt else finding.margin


def _shortfall(finding: Finding) -> tuple[bool, float]:
    """Clearances first, then by how far each misses, as a share of what is required."""
    return (
        not finding.code.startswith("clearance."),
        finding.margin / max(abs(finding.required), 1e-9),
    )


def _framing(stage: Stage, hero: Framing, failing: Sequence[Finding]) -> Framing:
    subjects = tuple(_way(stage, finding) for finding in failing)
    if not subjects or all(_in_sight(stage, hero, subject) for subject in subjects):
        return hero
    return best_eye(stage, hero.aspect, TASTE, subjects)


def _way(stage: Stage, finding: Finding) -> Subject:
    """The way from the heater to what fails, for a camera to look at."""
    shares = np.linspace(0.1, 0.95, 6)[:, None]
    points = finding.heater_point + shares * (finding.point - finding.heater_point)
    own = stage.indices([finding.heater, finding.object])
    return Subject(locked(points), own, 1.0)


def _in_sight(stage: Stage, framing: Framing, subject: Subject) -> bool:
    seen = stage.sees(framing.camera.origin[None], subject)[0] & framing.shows(subject.points, 0.04)
    return float(seen.mean()) >= IN_SIGHT


def _intrusions(stage: Stage, pane: Pane, failing: Sequence[Finding]) -> Floats:
    """Boxes (n, 4) in the frame round the pieces that stand too near: they are what it is about."""
    mounts = {mount.name: mount for mount in stage.evaluation.mounts}
    boxes = []
    for finding in failing:
        part = stage.evaluation.model.by_name.get(finding.object)
        mount = mounts.get(finding.heater)
        piece = intrusion(mount, part) if mount and part else None
        if piece is None:
            continue
        at = pane.at(piece.vertices)
        ahead = at[np.isfinite(at).all(axis=1)]
        if len(ahead):
            boxes.append(box_of(ahead))
    return np.reshape(boxes, (-1, 4))


def _alarm(pane: Pane, layout: Layout, finding: Finding, units: UnitSystem) -> list[Note]:
    """Draw the way that is too short, and ask for its label; nothing where it is out of frame."""
    ends = np.array([finding.heater_point, finding.point])
    if not pane.framing.shows(ends, 0.02).all():
        return []
    line = pane.at(ends)
    if float(np.linalg.norm(line[1] - line[0])) > LEAST_ARROW:
        pane.draw(line, BOLD, Tone.ALARM, sheet=5, arrows=True)
    pane.draw(ring(line[1]), BOLD, Tone.ALARM, sheet=6, closed=True)
    layout.keep_clear(box_of(ring(line[1])))
    layout.keep_clear(box_of(line))
    measured, required = captions.figures(finding, units)
    what = f"{finding.heater}: {finding.object}" if finding.object else finding.heater
    text = f"{what}\n{measured}, {required} required"
    middle = line.mean(axis=0)
    return [Note(text, around(middle, note_size(text), AWAY), Tone.ALARM, anchor=line[1])]


def _margin(pane: Pane, finding: Finding, units: UnitSystem) -> Note:
    """A quiet label at a heater with what it has to spare."""
    spare = format_length(max(finding.margin, 0.0), units, rounding="down")
    said = "just at the limit" if spare == format_length(0.0, units) else f"{spare} to spare"
    text = f"{finding.heater}: {said}\nto {finding.object}"
    tone = Tone.QUIET
    if finding.verdict is Verdict.MEASURE:
        about = f"{finding.heater}: {finding.object}" if finding.object else finding.heater
        ask = "ask the client" if finding.question else "holds if drawn right: measure"
        text, tone = f"{about}\n{ask}", Tone.EDGE
    at = pane.at(finding.heater_point)
    if pane.framing.shows(finding.point):
        pane.draw(pane.at([finding.heater_point, finding.point]), FINE, tone, sheet=5)
    return Note(text, around(at, note_size(text), AWAY), tone, anchor=at)


def ring(at: Floats) -> Floats:
    """A small circle round a point (2,) of the frame."""
    turns = np.arange(24) * 2 * np.pi / 24
    return np.asarray(at) + RING * np.column_stack([np.cos(turns), np.sin(turns)])
