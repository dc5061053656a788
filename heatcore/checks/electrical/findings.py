"""What the electrical calculation found, as findings.

A calculation for planning. A licensed electrician decides on circuits, conductors and protection,
and the maker's listing says at which voltages a heater may work.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from heatcore.checks.electrical.circuits import Circuit, Electrical
from heatcore.checks.electrical.loads import Load
from heatcore.checks.electrical.practice import (
    NOISE,
    OFF,
    RATINGS,
    RULES,
    SHARED,
    SHARED_ELSEWHERE,
)
from heatcore.checks.finding import Finding, Verdict
from heatcore.geometry.frames import Floats
from heatcore.mounting.mount import Mount
from heatcore.scene.model import Practice

_LISTING = "the listing must allow that voltage"
_OFF_SOURCE = (
    "a supply may be 10 % off the nominal voltage: IEC 60038, from memory; the power of a "
    "resistance goes with the square of the voltage (Ohm and Joule)"
)
_SHARED_SOURCE = (
    "circuits with several fixed heaters: NEC 424.4(A) (424.3(A) up to 2017), second-hand, not "
    "checked against the printed code"
)
_ONE_VOLTAGE = "a circuit has one voltage; the heaters' own are their types'"


def electrical_findings(fed: Electrical, mounts: Sequence[Mount]) -> list[Finding]:
    """Hold circuits against their ratings, and heaters against their voltages.

    Parameters
    ----------
    fed : what the heaters draw
    mounts : the same heaters, hung

    Returns
    -------
    list of Finding
        ``electrical.circuit`` of every circuit: what its protection must be rated for, against the
        rating that is stated; where none is, against the smallest standard rating that is enough,
        or where none is so high against the highest, which fails.
        ``electrical.mixed`` of a circuit that feeds heaters of different voltages: it fails.
        ``electrical.shared`` of a circuit for several heaters that, in North American practice, is
        rated higher than one in a dwelling may be: an advisory.
        ``electrical.voltage`` of a heater on another voltage than its own: an advisory, but where
        that is more than 10 % higher it fails.
    """
    origins = {mount.name: mount.frame.origin for mount in mounts}
    practice = fed.supply.practice
    findings = []
    for circuit in fed.circuits:
        findings.append(_rated(circuit, practice, origins[circuit.heaters[0]]))
        if len(circuit.voltages) > 1:
            findings.append(_mixed(circuit, fed.loads, origins[circuit.heaters[0]]))
        if practice == "north_american" and len(circuit.heaters) > 1:
            findings += _shared(circuit, origins[circuit.heaters[0]])
    findings += [_off(load, origins[load.heater]) for load in fed.loads if load.off]
    return findings


def electrical_said(finding: Finding) -> str:
    """What one of these findings says where it does not hold, as a clause."""
    circuit = f"circuit {finding.object}"
    match finding.code:
        case "electrical.circuit":
            design = ceil(finding.measured * 100.0 - 1e-6) / 100.0
            return (
                f"{circuit} asks for a protection of {design:.2f} A or more and has "
                f"{finding.required:g} A"
            )
        case "electrical.mixed":
            return (
                f"{circuit} feeds heaters for {finding.required:g} V and for {finding.measured:g} V"
            )
        case "electrical.shared":
            return (
                f"{circuit} feeds several heaters and is rated {finding.measured:g} A where at "
                f"most {finding.required:g} A is usual"
            )
    allowed = "allowed at most" if finding.verdict is Verdict.FAILS else "made for"
    return f"{finding.heater} is {allowed} {finding.required:g} V and is on {finding.measured:g} V"


def electrical_subject(finding: Finding) -> str:
    """What one of these findings is about."""
    match finding.code:
        case "electrical.circuit":
            return f"what circuit {finding.object} asks of its protection"
        case "electrical.mixed":
            return f"the voltage of circuit {finding.object}"
        case "electrical.shared":
            return f"the rating of circuit {finding.object}"
    return f"the voltage of {finding.heater}"


def _rated(circuit: Circuit, practice: Practice, point: Floats) -> Finding:
    ratings = RATINGS[practice]
    stated = circuit.stated_a
    if stated is not None:
        allowed, of_rating = stated, f"its rating is stated as {stated:g} A"
        if stated not in ratings:
            of_rating += ", which is no standard rating"
    elif circuit.rating_a is not None:
        allowed = circuit.rating_a
        of_rating = f"no rating is stated: {allowed:g} A is the smallest standard one that will do"
    else:
        allowed = ratings[-1]
        of_rating = f"no standard rating is so high, {allowed:g} A being the highest: divide it"
    legs = f" on {circuit.legs}" if circuit.legs else ""
    draw = f"it feeds {_listed(circuit.heaters)}{legs}, {circuit.current_a:.2f} A at full output"
    return Finding(
        code="electrical.circuit",
        verdict=Verdict.HOLDS if circuit.holds else Verdict.FAILS,
        heater="",
        object=circuit.name,
        measured=circuit.design_a,
        required=allowed,
        unit="A",
        point=point,
        heater_point=point,
        combustible=False,
        note=f"{draw}; {of_rating}",
        source=RULES[practice],
        at_most=True,
    )


def _mixed(circuit: Circuit, loads: Sequence[Load], point: Floats) -> Finding:
    volts: Mapping[float, list[str]] = {
        v: [x.heater for x in loads if x.heater in circuit.heaters and x.voltage == v]
        for v in circuit.voltages
    }
    said = " and ".join(f"{_listed(names)} for {v:g} V" for v, names in volts.items())
    return Finding(
        code="electrical.mixed",
        verdict=Verdict.FAILS,
        heater="",
        object=circuit.name,
        measured=max(circuit.voltages),
        required=min(circuit.voltages),
        unit="V",
        point=point,
        heater_point=point,
        combustible=False,
        note=f"it feeds {said}: separate them",
        source=_ONE_VOLTAGE,
        at_most=True,
    )


def _shared(circuit: Circuit, point: Floats) -> list[Finding]:
    """Advise where a circuit that several heaters share is rated higher than it may be."""
    rating = circuit.stated_a or circuit.rating_a or circuit.design_a
    if rating <= SHARED:
        return []
    most = SHARED if rating <= SHARED_ELSEWHERE else SHARED_ELSEWHERE
    where = "in a dwelling" if most == SHARED else "even in other than a dwelling"
    note = (
        f"it feeds {_listed(circuit.heaters)}: {where} a circuit for several infrared heaters is "
        f"rated for at most {most:g} A; divide it, unless the local code allows more"
    )
    return [
        Finding(
            code="electrical.shared",
            verdict=Verdict.ADVISORY,
            heater="",
            object=circuit.name,
            measured=rating,
            required=most,
            unit="A",
            point=point,
            heater_point=point,
            combustible=False,
            note=note,
            source=_SHARED_SOURCE,
            at_most=True,
        )
    ]


def _off(load: Load, point: Floats) -> Finding:
    too_high = load.off > OFF + NOISE
    amps = load.current_a or 0.0
    note = (
        f"made for {load.rated_voltage:g} V, on {load.voltage:g} V it takes {load.full_w:.0f} W, "
        f"{load.full_w / load.rated_w:.1%} of its rated input, and {amps:.2f} A"
    )
    return Finding(
        code="electrical.voltage",
        verdict=Verdict.FAILS if too_high else Verdict.ADVISORY,
        heater=load.heater,
        object=load.circuit,
        measured=load.voltage,
        required=load.rated_voltage * (1.0 + OFF) if too_high else load.rated_voltage,
        unit="V",
        point=point,
        heater_point=point,
        combustible=False,
        note=f"{note}; {_LISTING}",
        source=_OFF_SOURCE,
        at_most=load.off > 0.0,
    )


def _listed(names: Sequence[str]) -> str:
    *some, last = names
    return f"{', '.join(some)} and {last}" if some else last
