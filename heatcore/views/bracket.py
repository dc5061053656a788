"""The bracket close-up: seen along the slope's level line, so that the slope reads as a line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import acos, atan2, degrees, pi
from textwrap import fill

import numpy as np

from heatcore.geometry.frames import Floats, Frame
from heatcore.mounting.mount import Arm, Mount
from heatcore.units import format_length
from heatcore.views import captions
from heatcore.views.framing import SENSOR, Framing, level_axes
from heatcore.views.layout import Layout, Note, around, box_of, note_size
from heatcore.views.pane import FINE, MEDIUM, Pane
from heatcore.views.section import BUILT, cut_open, draw_poche, section
from heatcore.views.stage import Stage, body_line
from heatcore.views.view import Layer, Tone, View
from heatcore.views.words import first_sentence

LAYERS = (Layer.SPACE, Layer.HEATERS, Layer.DIMENSIONS)
LENS = 70.0  # mm
FILL = np.array([1.0, 0.5])  # frame heights that the mount takes at the most, across and up
LEAST_HEIGHT = 0.7  # m that the frame shows at least
BEFORE = 0.1  # m from the cut to the mount
MOST_GAP = 0.8  # m of a gap that must be in the picture
FLAT = 0.02  # rad; a ceiling less steep is seen from the body's side
PLUMB = 0.2  # a surface whose normal rises less than this is a wall
END_ON = 0.9  # of the body's direction along the line of sight, to be seen end on
UNEQUAL = 0.02  # m by which the arms of a pair differ at least
ASIDE = 0.035  # frame heights from an arm to its dimension line
UPHILL = 0.07  # frame heights from the upper foot to the angle that shows the slope
ARC = 0.16  # radius of the arc that shows a slope [frame heights]
LINE_LENGTH = 30  # characters of a message before it goes on below


def bracket_view(stage: Stage, aspect: float) -> View | None:
    """The close-up of the mount that has most to show; None where there is no heater."""
    mounts = stage.evaluation.mounts
    if not mounts:
        return None
    return close_up(stage, max(mounts, key=interest), aspect)


def interest(mount: Mount) -> tuple[bool, bool, float]:
    """What a mount has to show: a fault first, then an unequal pair, then the steepest ceiling."""
    lengths = [arm.length for arm in mount.arms] or [0.0]
    return bool(mount.faults), max(lengths) - min(lengths) > UNEQUAL, slope_of(mount)


def slope_of(mount: Mount) -> float:
    """Slope of the surface that a mount hangs from [rad]; a wall's is a right angle."""
    return max((acos(min(1.0, abs(float(arm.normal[2])))) for arm in mount.arms), default=0.0)


def close_up(stage: Stage, mount: Mount, aspect: float) -> View:
    """The close-up of one mount."""
    yaw = _level_line(mount)
    framing = max(
        (_framing(mount, aspect, way) for way in (yaw, yaw + pi)),
        key=lambda f: _in_sight(stage, mount, f),
    )
    pane, layout = Pane.before(framing), Layout(aspect)
    draw_poche(pane, section([part for part in stage.parts if part.kind in BUILT], framing))
    layout.keep_clear(box_of(pane.at(mount.body)))
    notes = [
        *_gap(stage, mount, pane, layout),
        *_arms(stage, mount, pane, layout),
        *_slope(stage, mount, pane),
        *_tilt(mount, pane),
        *_words(mount, pane),
    ]
    for note in notes:
        layout.place(note)
    pane.write(layout)
    caption = captions.bracket(mount, slope_of(mount), stage.evaluation.scene.site.units)
    hidden = cut_open(stage.evaluation.model, framing)
    return pane.view("bracket", caption, LAYERS, hidden=hidden, dusk=0.4, heaters=(mount.name,))


def _level_line(mount: Mount) -> float:
    """Direction of the level line of the surface [rad]; across the body where it is level."""
    normal = np.mean([arm.normal for arm in mount.arms] or [mount.frame.z], axis=0)
    if slope_of(mount) < FLAT:
        return float(atan2(mount.frame.y[1], mount.frame.y[0]))
    return float(atan2(normal[0], -normal[1]))


def _points(mount: Mount) -> Floats:
    """(n, 3) what the close-up must show: the body, the arms, their plates [m]."""
    corner = int(np.argmin(mount.gaps))
    gap = min(float(mount.gaps[corner]), MOST_GAP)
    above = mount.body[4 + corner] + np.array([0.0, 0.0, gap])
    ends = [np.concatenate([[arm.pivot, arm.foot], arm.plate]) for arm in mount.arms]
    return np.concatenate([mount.body, [above], *ends])


def _framing(mount: Mount, aspect: float, yaw: float) -> Framing:
    axes = level_axes(yaw)
    local = _points(mount) @ axes.T
    low, high = local.min(axis=0), local.max(axis=0)
    height = max(float(((high - low)[:2] / FILL).max()), LEAST_HEIGHT)
    distance = height * aspect * LENS / SENSOR + (high[2] - low[2]) / 2
    middle = (low + high) / 2
    camera = Frame((middle + np.array([0.0, 0.0, distance])) @ axes, axes)
    near = distance - (high[2] - low[2]) / 2 - BEFORE
    return Framing(camera, aspect, lens=LENS, clip=(near, near + 300.0))


def _in_sight(stage: Stage, mount: Mount, framing: Framing) -> float:
    """Share of the mount that is in sight from the cut."""
    arms = [0.3 * arm.pivot + 0.7 * arm.foot for arm in mount.arms]
    points = np.concatenate([body_line(mount), np.reshape(arms, (-1, 3))])
    starts = framing.lift(framing.project(points)[:, :2], framing.clip[0])
    way = points - starts
    far = np.linalg.norm(way, axis=1)
    met, which = stage.first(starts, way / far[:, None])
    own = stage.indices([mount.name])
    return float(np.mean((met >= far - 0.01) | np.isin(which, own)))


def _gap(stage: Stage, mount: Mount, pane: Pane, layout: Layout) -> Iterator[Note]:
    """Draw the vertical gap at the corner that comes nearest to what is above it."""
    corner = int(np.argmin(mount.gaps))
    gap = float(mount.gaps[corner])
    if not np.isfinite(gap):
        return
    units = stage.evaluation.scene.site.units
    low = mount.body[4 + corner]
    line = pane.at([low, low + np.array([0.0, 0.0, gap])])
    pane.draw(line, MEDIUM, Tone.MEASURE, sheet=5, arrows=True)
    layout.keep_clear(box_of(line))
    part = stage.evaluation.model.by_name.get(mount.gap_surface[corner])
    need = mount.type.noncombustible if part and not part.combustible else mount.type.combustible
    text = (
        f"gap {format_length(gap, units, rounding='down')}\n"
        f"{format_length(need.above, units, rounding='up')} required above"
    )
    middle = line.mean(axis=0)
    yield Note(text, around(middle, note_size(text)), Tone.MEASURE, anchor=middle)


@dataclass(frozen=True, eq=False)
class _Drawn:
    """An arm as the picture shows it: its line (2, 2), and what it is."""

    arm: Arm
    line: Floats


def _arms(stage: Stage, mount: Mount, pane: Pane, layout: Layout) -> Iterator[Note]:
    """Draw each arm's length beside it; two that cover each other are written once."""
    units = stage.evaluation.scene.site.units
    drawn = [_Drawn(arm, pane.at([arm.pivot, arm.foot])) for arm in mount.arms]
    for number, this in enumerate(drawn):
        layout.keep_clear(box_of(this.line))
        text = f"arm {format_length(this.arm.length, units)}"
        before = [d for d in drawn[:number] if np.abs(d.line - this.line).max() < 2 * ASIDE]
        if any(abs(d.arm.length - this.arm.length) < 0.001 for d in before):
            continue
        way = this.line[1] - this.line[0]
        across = np.array([-way[1], way[0]]) / max(float(np.linalg.norm(way)), 1e-9)
        # Outward, away from the body's middle; the second of two that cover each other goes inward.
        middle = pane.at(mount.frame.origin)
        outward = np.sign(across @ (this.line.mean(axis=0) - middle)) or 1.0
        line = this.line + across * outward * ASIDE * (-1.0 if before else 1.0)
        pane.draw(line, FINE, Tone.MEASURE, sheet=5, arrows=True)
        layout.keep_clear(box_of(line))
        anchor = line.mean(axis=0)
        yield Note(text, around(anchor, note_size(text)), Tone.MEASURE, anchor=anchor)


def _slope(stage: Stage, mount: Mount, pane: Pane) -> Iterator[Note]:
    """Draw the slope's angle to the level, uphill of the upper foot."""
    if not mount.arms or slope_of(mount) < FLAT:
        return
    arm = max(mount.arms, key=lambda a: float(a.foot[2]))
    if abs(float(arm.normal[2])) < PLUMB:
        return
    uphill = np.cross(arm.normal, pane.framing.camera.z)
    uphill = uphill if uphill[2] > 0 else -uphill
    along = pane.at(arm.foot + 0.1 * uphill) - pane.at(arm.foot)
    along = along / np.linalg.norm(along)
    toe = pane.at(arm.foot) + UPHILL * along
    level = np.array([np.sign(along[0]), 0.0])
    pane.draw([toe, toe + 1.25 * ARC * level], FINE, Tone.MEASURE, sheet=5)
    turns = np.linspace(0.0, atan2(along[1], abs(along[0])), 13)
    arc = toe + ARC * np.column_stack([level[0] * np.cos(turns), np.sin(turns)])
    pane.draw(arc, FINE, Tone.MEASURE, sheet=5)
    text = captions.slope_figure(slope_of(mount), stage.evaluation.scene.site.units)
    anchor = arc[len(arc) // 2]
    beyond = around(anchor, note_size(text), (0.02, 0.05, 0.1, 0.16))
    yield Note(text, beyond, Tone.MEASURE, anchor=anchor)


def _tilt(mount: Mount, pane: Pane) -> Iterator[Note]:
    """Draw how far a heater leans, between its axis and the plumb line."""
    if abs(mount.tilt) < FLAT or abs(float(mount.frame.x @ pane.framing.camera.z)) < END_ON:
        return
    start = pane.at(mount.frame.origin)
    axis = pane.at(mount.frame.to_world([0.0, 0.0, -0.1])) - start
    lean = float(atan2(axis[0], -axis[1]))
    pane.draw([start, start - np.array([0.0, 1.25 * ARC])], FINE, Tone.MEASURE, sheet=5)
    pane.draw(
        [start, start + 1.25 * ARC * axis / np.linalg.norm(axis)], FINE, Tone.MEASURE, sheet=5
    )
    turns = np.linspace(0.0, lean, 13)
    arc = start + ARC * np.column_stack([np.sin(turns), -np.cos(turns)])
    pane.draw(arc, FINE, Tone.MEASURE, sheet=5)
    text, anchor = f"{degrees(abs(mount.tilt)):.0f}° tilt", arc[len(arc) // 2]
    yield Note(text, around(anchor, note_size(text)), Tone.MEASURE, anchor=anchor)


def _words(mount: Mount, pane: Pane) -> Iterator[Note]:
    """The heater's name, how it hangs, what its plate is on, and what is wrong."""
    body = pane.at(mount.body)
    below = np.array([body[:, 0].mean(), body[:, 1].min()])
    text = f"{mount.name}, level" if mount.frame.z[2] > 1.0 - 1e-9 else mount.name
    size = note_size(text)
    spots = [below - np.array([0.0, size[1] / 2 + 0.015]), *around(below, size)]
    yield Note(text, spots, anchor=below, close=1)
    for arm in mount.arms[:1]:
        foot = pane.at(arm.foot)
        text = f"plate on\n{arm.surface}"
        yield Note(text, around(foot, note_size(text)), anchor=foot)
    for fault in mount.faults[:1]:
        text = fill(first_sentence(fault.message), LINE_LENGTH)
        half = note_size(text) / 2
        edge = np.array([pane.framing.aspect / 2, 0.5]) - 0.03 - half
        yield Note(text, edge * [(1, -1), (-1, -1), (1, 1), (-1, 1)], Tone.ALARM)
