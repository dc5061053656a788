"""The clearances: what must stay free around each heater, and what stands in it."""

from __future__ import annotations

from typing import Any

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.intrusion import intrusion
from heatcore.evaluate import Evaluation
from heatcore.geometry.parts import Part
from heatcore.geometry.volumes import clearance_volumes
from heatcore.mounting.mount import Mount
from heatcore.views.view import Layer

from ..materials import camera_only, made
from ..materials.overlay import film, hatched
from .canvas import Canvas, Shown
from .edges import draw_lines, true_edges
from .forms import box
from .shapes import solid

RED = (0.85, 0.03, 0.02)
EDGE = 0.008  # m
PROUD = (
    0.003  # m by which an intruding piece is swollen, so that it covers the object's own surface
)


def draw_clearances(canvas: Canvas, evaluation: Evaluation) -> None:
    """Draw each heater's two clearance volumes, and the pieces of objects that stand in them."""
    face = made("clearance", film, (*RED, 0.12), color=RED, cover=0.045, strength=1.0)
    edge = made("clearance edge", film, (*RED, 0.9), color=RED, cover=0.85, strength=1.1)
    for mount in evaluation.mounts:
        shown = Shown(Layer.CLEARANCES, heater=mount.name)
        for name, (low, high) in zip(
            ("above", "around"), clearance_volumes(mount.type), strict=True
        ):
            volume = box(low, high, mount.frame)
            body = solid(canvas, f"{mount.name} clearance {name}", volume, face, shown)
            lines = draw_lines(
                canvas,
                f"{mount.name} clearance {name} edges",
                true_edges(volume),
                EDGE,
                edge,
                shown,
            )
            for thing in (body, lines):
                camera_only(thing)
    mounts = {mount.name: mount for mount in evaluation.mounts}
    for heater, part in intruders(evaluation):
        draw_intruder(canvas, mounts[heater], part)


def intruders(evaluation: Evaluation) -> list[tuple[str, Part]]:
    """Each heater that fails a clearance, with the part that decides it, once."""
    found: dict[tuple[str, str], Part] = {}
    for finding in evaluation.findings:
        part = evaluation.model.by_name.get(finding.object)
        if part is not None and is_intrusion(finding):
            found[finding.heater, part.name] = part
    return [(heater, part) for (heater, _), part in found.items()]


def is_intrusion(finding: Finding) -> bool:
    """Whether a finding says that something stands too near."""
    return finding.verdict is Verdict.FAILS and finding.code.startswith("clearance.")


def draw_intruder(canvas: Canvas, mount: Mount, part: Part) -> None:
    """Draw the piece of a part that stands in a clearance volume, so that the eye goes to it."""
    piece = intrusion(mount, part)
    if piece is None:
        return
    red = made(
        "intrusion", hatched, (1.0, 0.05, 0.03), color=(1.0, 0.025, 0.012), dark=(0.22, 0.0, 0.0),
        pitch=0.13 * canvas.per_metre, strength=0.9,
    )  # fmt: skip
    shown = Shown(Layer.CLEARANCES, heater=mount.name)
    name = f"{part.name} too near {mount.name}"
    body = solid(canvas, name, piece, red, shown)
    skin: Any = body.modifiers.new("proud", "DISPLACE")
    skin.strength, skin.mid_level = PROUD * canvas.per_metre, 0.0
    camera_only(body)
