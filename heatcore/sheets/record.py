"""An Evaluation as plain data, stable enough for other programs to read.

Lengths are metres, angles degrees, powers watts; a key says so where a bare number stands. Keys are
only ever added, never renamed, within one `format`.
"""

from __future__ import annotations

from math import atan2, degrees, isfinite
from typing import Any

from heatcore.checks.cautions import cautions
from heatcore.checks.finding import Deciding, Finding
from heatcore.evaluate import Evaluation
from heatcore.heat.beams.beam import Beam, PlaceLight
from heatcore.heat.floor.warm_up import WarmUp
from heatcore.heat.people.body import BodyHeat
from heatcore.heat.people.head import HeadHeat
from heatcore.heat.planes.maps import PlaneMap, ZoneHeat, extremes, isolines, levels
from heatcore.mounting.mount import Arm, Mount
from heatcore.sheets import circuits, marking
from heatcore.tolerance import to_measure

FORMAT = 1


def record(evaluation: Evaluation, option: str | None = None) -> dict[str, Any]:
    """The whole evaluation as JSON-ready data.

    Parameters
    ----------
    evaluation : what was found
    option : name of the option that was evaluated; None for the scene as drawn
    """
    site = evaluation.scene.site
    return {
        "format": FORMAT,
        "site": site.name,
        "option": option,
        "units": str(site.units),
        "fails": bool(evaluation.failures),
        "heaters": [_heater(m, site.supply.voltage) for m in evaluation.mounts],
        "beams": [_beam(b) for b in evaluation.beams],
        "maps": [
            _map(field, site.target.irradiance)
            for field in (evaluation.floor_map, evaluation.seat_map)
        ],
        "places": [
            _place(light) | {"warmth": _warmth(person)}
            for light, person in zip(evaluation.places, evaluation.people, strict=True)
        ],
        "zones": [_zone(z) for z in evaluation.zones],
        "heads": [_head(h) for h in evaluation.heads],
        "floor": {
            "area_m2": evaluation.floor.area,
            "threshold_w_m2": evaluation.warmed.threshold_w_m2,
            "warmed": evaluation.warmed.warmed,
            "doubly_warmed": evaluation.warmed.doubly,
            "warm_up": _warm_up(evaluation.warm_up),
            "in_beam": evaluation.floor.beam,
            "in_two_beams": evaluation.floor.doubled,
            "at_edge": evaluation.floor.edge,
            "missed": evaluation.floor.missed,
        },
        "electrical": circuits.record(evaluation),
        "findings": [finding_record(f) for f in evaluation.findings],
        "measure_on_site": [
            {
                **_deciding(item.deciding),
                "heaters": list(item.heaters),
                "findings": [evaluation.findings.index(f) for f in item.findings],
            }
            for item in to_measure(evaluation.findings)
        ],
        "questions": [
            {
                "key": unknown.key,
                "subject": unknown.subject,
                "taken": unknown.taken,
                "question": unknown.question,
                "heaters": list(unknown.heaters),
            }
            for unknown in evaluation.unknowns
        ],
        "assumptions": list(site.assumptions),
        "unknowns": list(site.unknowns),
        "cautions": list(cautions(evaluation.mounts, evaluation.model.places)),
    }


def finding_record(finding: Finding) -> dict[str, Any]:
    """One finding as JSON-ready data."""
    return {
        "code": finding.code,
        "verdict": str(finding.verdict),
        "heater": finding.heater,
        "object": finding.object,
        "side": finding.side,
        "measured": _number(finding.measured),
        "required": _number(finding.required),
        "margin": _number(finding.margin),
        "at_most": finding.at_most,
        "unit": finding.unit,
        "combustible": finding.combustible,
        "point_m": _point(finding.point),
        "heater_point_m": _point(finding.heater_point),
        "offsets_m": None if finding.offsets is None else list(finding.offsets),
        "note": finding.note,
        "source": finding.source,
        "question": finding.question,
        "doubt": None
        if finding.doubt is None
        else {
            "margin": _number(finding.doubt.margin),
            "deciding": [_deciding(d) for d in finding.doubt.deciding],
        },
    }


def _deciding(deciding: Deciding) -> dict[str, Any]:
    return {
        "path": deciding.path,
        "words": deciding.words,
        "drawn": deciding.drawn,
        "worst": deciding.worst,
        "unit": deciding.unit,
        "effect": _number(deciding.effect),
    }


def _heater(mount: Mount, voltage: float | None) -> dict[str, Any]:
    x = mount.frame.x
    return {
        "name": mount.name,
        "type": mount.type.name,
        "input_w": mount.type.input_at(voltage) * mount.heater.output,
        "position_m": _point(mount.frame.origin),
        "x_axis": _point(x),
        "z_axis": _point(mount.frame.z),
        "heading_deg": degrees(atan2(x[1], x[0])) % 360.0,
        "tilt_deg": degrees(mount.tilt),
        "mount": mount.heater.mount,
        "bracket": mount.bracket.name,
        "arms": [_arm(a) for a in mount.arms],
        "gaps_m": [_number(g) for g in mount.gaps],
        "gap_surfaces": list(mount.gap_surface),
        "spare_m": _number(mount.spare),
        "holds": mount.holds,
        "faults": [
            {
                "code": f.code,
                "message": f.message,
                "measured": _number(f.measured),
                "required": _number(f.required),
                "object": f.object,
            }
            for f in mount.faults
        ],
        "passed_over": [
            {
                "bracket": p.bracket,
                "extensions_m": [list(e) for e in p.extensions],
                "reason": p.reason,
                "shortfall": _number(p.shortfall),
            }
            for p in mount.passed
        ],
        "parts": list(mount.parts),
        "answer": marking.record(mount.answer),
    }


def _arm(arm: Arm) -> dict[str, Any]:
    return {
        "surface": arm.surface,
        "foot_m": _point(arm.foot),
        "pivot_m": _point(arm.pivot),
        "length_m": arm.length,
        "drop_m": arm.drop,
        "extensions_m": list(arm.extensions),
        "fine_m": arm.fine,
        "overhang_m": arm.overhang,
        "lean_along_deg": degrees(arm.lean_along),
        "lean_across_deg": degrees(arm.lean_across),
    }


def _beam(beam: Beam) -> dict[str, Any]:
    return {
        "heater": beam.heater,
        "beam_angles_deg": [degrees(a) for a in beam.angles],
        "field_angles_deg": [degrees(a) for a in beam.field_angles],
        "landings": [
            {
                "level_m": landing.level,
                "beam": [[[_point(p) for p in ring] for ring in rings] for rings in landing.beam],
                "edge": [[[_point(p) for p in ring] for ring in rings] for rings in landing.field],
            }
            for landing in beam.landings
        ],
    }


def _map(field: PlaneMap, threshold: float) -> dict[str, Any]:
    found = extremes(field)
    return {
        "level_m": field.level,
        "lowest_w_m2": found.lowest,
        "lowest_at_m": _point(found.lowest_at),
        "highest_w_m2": found.highest,
        "highest_at_m": _point(found.highest_at),
        "isolines": [
            {
                "irradiance_w_m2": line.irradiance_w_m2,
                "lines": [[_point(p) for p in part] for part in line.lines],
            }
            for line in isolines(field, levels(field, threshold=threshold))
        ],
    }


def _place(light: PlaceLight) -> dict[str, Any]:
    return {
        "name": light.place.name,
        "posture": str(light.place.posture),
        "point_m": _point(light.place.point),
        "verdict": str(light.best),
        "by_heater": {name: str(lit) for name, lit in light.by_heater.items()},
        "why": dict(light.why),
    }


def _warmth(person: BodyHeat) -> dict[str, Any]:
    reason = person.reason
    return {
        "verdict": str(person.comfort),
        "gain_k": person.gain,
        "needed_gain_k": person.needed_gain,
        "utci_c": person.utci,
        "utci_without_c": person.utci_without,
        "radiant_temperature_c": person.radiant_temperature,
        "absorbed_w": dict(person.absorbed_w),
        "irradiance_w_m2": person.irradiance_w_m2,
        "head_w_m2": person.head_w_m2,
        "reason": None
        if reason is None
        else {
            "cause": str(reason.cause),
            "words": reason.words,
            "heater": reason.heater,
            "object": reason.object,
        },
        "notes": list(person.notes),
    }


def _zone(zone: ZoneHeat) -> dict[str, Any]:
    return {
        "name": zone.name,
        "level_m": zone.level,
        "coldest_w_m2": zone.coldest,
        "coldest_at_m": _point(zone.coldest_at),
        "typical_w_m2": zone.typical,
        "hottest_w_m2": zone.hottest,
        "evenness": zone.spread,
        "threshold_w_m2": zone.warmed.threshold_w_m2,
        "warmed": zone.warmed.warmed,
        "doubly_warmed": zone.warmed.doubly,
    }


def _head(head: HeadHeat) -> dict[str, Any]:
    return {
        "posture": head.posture,
        "level_m": head.level,
        "point_m": _point(head.point),
        "total_w_m2": head.total_w_m2,
        "eye_w_m2": head.eye_w_m2,
        "heater": head.heater,
        "eye_point_m": _point(head.eye_point),
        "eye_heater": head.eye_heater,
        "utci_c": head.utci,
    }


def _warm_up(found: WarmUp | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "construction": found.construction,
        "after_s": found.seconds,
        "absorbed_w_m2": found.absorbed_w_m2,
        "point_m": _point(found.point),
        "hottest_k": found.hottest_k,
        "typical_k": found.typical_k,
        "lost_share": found.lost_share,
        "seat_gain_k": found.seat_gain_k,
        "notes": list(found.notes),
    }


def _point(point: Any) -> list[float]:
    return [float(c) for c in point]


def _number(value: float) -> float | None:
    """JSON has no infinity: what was not met at all is null."""
    return float(value) if isfinite(value) else None
