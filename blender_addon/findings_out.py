"""The findings of an Evaluation as lines that a panel can show."""

from __future__ import annotations

import bpy

from heatcore.checks.finding import Verdict
from heatcore.evaluate import Evaluation
from heatcore.sheets.terminal import figure

from .properties import settings_of
from .scene_in import fingerprint

ORDER = (Verdict.FAILS, Verdict.MEASURE, Verdict.ADVISORY, Verdict.HOLDS)


def show_findings(scene: bpy.types.Scene, evaluation: Evaluation) -> None:
    """Put the findings into the scene's settings, the worst first."""
    settings, units = settings_of(scene), evaluation.scene.site.units
    settings.findings.clear()
    for finding in sorted(evaluation.findings, key=lambda f: ORDER.index(f.verdict)):
        line = settings.findings.add()
        line.verdict = finding.verdict.value
        measured, required = (
            figure(value, finding.unit, units) for value in (finding.measured, finding.required)
        )
        about = " - ".join(filter(None, (finding.heater, finding.object)))
        line.text = f"{about}: {finding.code} {measured} of {required}"
    settings.evaluated = fingerprint(scene)
