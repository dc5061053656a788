"""What would clear findings and make cold places warm, as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from heatcore.checks.cautions import cautions
from heatcore.checks.finding import Finding
from heatcore.checks.said import misses
from heatcore.evaluate import Evaluation
from heatcore.remedies import Advice, FindingAdvice, Fix, Remedy, fixable
from heatcore.remedies.values import Effect
from heatcore.remedies.words import consequences, effect, price, upshot
from heatcore.scene.write import table_data
from heatcore.sheets.layout import listing
from heatcore.sheets.record import FORMAT, finding_record
from heatcore.units import UnitSystem, format_temperature_step

OFFERED = (
    "Each was tried through a whole evaluation: with it no other place's verdict gets worse, and "
    "nothing fails that held before.\n"
)
FIXED = (
    "Each was tried on the whole scene: with it the finding holds, and nothing fails or comes to "
    "be in doubt that held before.\n"
)
BARE = "There are no heaters; `heatcore size` says how many it takes."


def remedies_report(
    evaluation: Evaluation,
    fixes: Sequence[FindingAdvice] | None,
    places: Sequence[Advice] | None,
    option: str | None = None,
) -> str:
    """What clears findings, then what warms places; None where that was not asked for."""
    site = evaluation.scene.site
    parts = [site.name + (f", option {option}" if option else ""), ""]
    if fixes is not None:
        parts += _of_findings(fixes, evaluation)
    if places is not None:
        parts += _of_places(evaluation, places)
    parts.append(listing("Cautions", cautions(evaluation.mounts, evaluation.model.places)) or "")
    return "\n".join(parts)


def _of_places(evaluation: Evaluation, found: Sequence[Advice]) -> list[str]:
    """For each place what helps, the least disturbing first, and what does not."""
    units = evaluation.scene.site.units
    bare = [] if evaluation.mounts else [f"{BARE}\n"]
    if not found:
        said = "Every place is warm." if evaluation.people else "Nobody sits or stands here."
        return [f"{said}\n", *bare]
    parts = bare
    for advice in found:
        gain = format_temperature_step(advice.before.gain, units, "down")
        asked = format_temperature_step(advice.before.needed_gain, units)
        lines = [f"{advice.place}: {advice.before.comfort}, gains {gain} of {asked} asked for"]
        if advice.before.reason is not None:
            lines.append(f"  {advice.before.reason.words}")
        lines += [f"  - {_told(remedy)}" for remedy in advice.remedies]
        lines += [f"  In vain: {words}" for words in advice.tried]
        parts.append("\n".join(lines) + "\n")
    return [*parts, OFFERED] if any(advice.remedies for advice in found) else parts


def _of_findings(found: Sequence[FindingAdvice], evaluation: Evaluation) -> list[str]:
    """For each finding that fails or is in doubt what clears it, the least disturbing first."""
    units = evaluation.scene.site.units
    others = [f for f in evaluation.failures if not fixable(f)]
    beyond = listing("Fails, and no place of a heater clears it", _lines(others, units))
    if not found:
        return [beyond or "Nothing fails or is in doubt that a change here could clear.\n"]
    together: dict[tuple[str, ...], list[FindingAdvice]] = {}
    for advice in found:
        alike = advice.finding.heater, *(fix.title for fix in advice.fixes), *advice.tried
        together.setdefault(alike, []).append(advice)
    parts = []
    for group in together.values():
        first = group[0]
        lines = [f"{misses(a.finding, units)}: {a.finding.verdict}" for a in group]
        asked = dict.fromkeys(a.finding.question for a in group if a.finding.question)
        lines += [f"  To be asked: {question}" for question in asked]
        lines += [f"  - {' '.join((f.change.words, *upshot(f)))}" for f in first.fixes]
        lines += ["  Nothing that was tried clears it."] if not first.fixes else []
        lines += [f"  In vain: {words}" for words in first.tried]
        parts.append("\n".join(lines) + "\n")
    if any(advice.fixes for advice in found):
        parts.append(FIXED)
    return [*parts, beyond] if beyond else parts


def _lines(found: Sequence[Finding], units: UnitSystem) -> list[str]:
    return [". ".join(filter(None, (misses(f, units), f.note))) for f in found]


def remedies_record(
    evaluation: Evaluation,
    fixes: Sequence[FindingAdvice] | None,
    places: Sequence[Advice] | None,
    option: str | None = None,
) -> dict[str, Any]:
    """The same as JSON-ready data; what was not asked for is left out."""
    site = evaluation.scene.site
    data: dict[str, Any] = {
        "format": FORMAT,
        "site": site.name,
        "option": option,
        "units": str(site.units),
    }
    if fixes is not None:
        data["findings"] = [
            {
                "finding": finding_record(advice.finding),
                "fixes": [_fix(fix) for fix in advice.fixes],
                "tried": list(advice.tried),
            }
            for advice in fixes
        ]
    if places is not None:
        data["places"] = [
            {
                "name": advice.place,
                "verdict": str(advice.before.comfort),
                "gain_k": advice.before.gain,
                "needed_gain_k": advice.before.needed_gain,
                "reason": None if advice.before.reason is None else advice.before.reason.words,
                "remedies": [_remedy(remedy) for remedy in advice.remedies],
                "tried": list(advice.tried),
            }
            for advice in places
        ]
    data["cautions"] = list(cautions(evaluation.mounts, evaluation.model.places))
    return data


def _told(remedy: Remedy) -> str:
    said = (remedy.change.words, effect(remedy), price(remedy), *consequences(remedy))
    return " ".join(part for part in said if part)


def _fix(fix: Fix) -> dict[str, Any]:
    return {
        "kind": fix.change.kind.name.lower(),
        "words": fix.change.words,
        "option": table_data(fix.change.option, fix.evaluation.scene.site.units),
        "disturbance_m": fix.change.disturbance_m,
        "verdicts": [_verdict(e) for e in fix.places],
        "clears": [finding_record(f) for f in fix.clears],
        "leaves": [finding_record(f) for f in fix.leaves],
        "adds": [finding_record(f) for f in fix.adds],
    }


def _verdict(seen: Effect) -> dict[str, Any]:
    return {
        "name": seen.after.place.name,
        "before": str(seen.before.comfort),
        "after": str(seen.after.comfort),
        "gain_before_k": seen.before.gain,
        "gain_after_k": seen.after.gain,
    }


def _remedy(remedy: Remedy) -> dict[str, Any]:
    option = table_data(remedy.change.option, remedy.evaluation.scene.site.units)
    circuit = remedy.circuit
    return {
        "kind": remedy.change.kind.name.lower(),
        "words": remedy.change.words,
        "option": option,
        "disturbance_m": remedy.change.disturbance_m,
        "gain_before_k": remedy.effect.before.gain,
        "gain_after_k": remedy.effect.after.gain,
        "verdicts": [_verdict(e) for e in (remedy.effect, *remedy.others)],
        "adds": [finding_record(f) for f in remedy.adds],
        "clears": [finding_record(f) for f in remedy.clears],
        "watts_added": remedy.watts_added,
        "current_added_a": remedy.current_added_a,
        "circuit": None
        if circuit is None
        else {"name": circuit.name, "design_a": circuit.design_a, "rating_a": circuit.rating_a},
    }
