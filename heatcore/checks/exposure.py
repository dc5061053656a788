"""What reaches heads and eyes, held against published limits: advisories, never failures.

No limit here was made for guests on a patio. Each finding says whose it is, and leaves the weighing
to people.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import isinf

import numpy as np

from heatcore.checks.finding import Finding, Verdict
from heatcore.checks.limit import Limit
from heatcore.geometry.frames import Floats
from heatcore.heat.people.body import BodyHeat
from heatcore.heat.people.head import HeadHeat
from heatcore.heat.radiation.emitter import Emitter
from heatcore.scene.model import Site
from heatcore.units import format_temperature

EYE = Limit(
    100.0,
    "Directive 2006/25/EC, Annex I, Table 1.1, m and n, and ICNIRP 2013, Health Phys. 105:74-96: "
    "for cornea and lens, 780 to 3000 nm, beyond 1000 s, at work; where infrared warms people in "
    "the cold, ICNIRP lets pass some 300 W/m2 at 10 C and 400 W/m2 at 0 C (from memory)",
)
HEAT_STRESS = Limit(
    26.0,
    "moderate heat stress begins at 26 C on UTCI's own scale: Broede et al. 2012, Int. J. "
    "Biometeorol. 56:481-494",
)
PAIN = Limit(
    1000.0,
    "time to pain of bare skin: Handbook of Chemical Hazard Analysis Procedures, FEMA, DOT and EPA "
    "1989, Table 4.2; about 1 kW/m2 is comfortably warming in air of 5 C, and painful with severe "
    "heat strain at 30 C: ICNIRP 2006, Health Phys. 91(6)",
)
CEILING = Limit(
    1580.0,
    "the most for clothed personnel without end in industry: API Std 521, 1.58 kW/m2; an absolute "
    "ceiling, no limit of comfort or for the public",
)
HEAD_SOURCE = "the site's own limit for heads; common practice, no confirmed source"

# Table 4.2 of the same handbook: irradiance [W/m2], and after how long bare skin hurts [s].
_HURTING = np.array([1e3, 2e3, 3e3, 4e3, 5e3, 6e3, 8e3, 1e4, 1.2e4])
_HURTS_AFTER = np.array([115.0, 45.0, 27.0, 18.0, 13.0, 11.0, 7.0, 5.0, 4.0])


def eye_seconds(irradiance_w_m2: float) -> float:
    """How long an eye may be exposed to infrared between 780 and 3000 nm [s]; infinite for ever.

    18000 t**-0.75 W/m2 for up to 1000 s, 100 W/m2 for ever (see `EYE`).
    """
    if irradiance_w_m2 <= EYE.value:
        return float("inf")
    return float(min((18000.0 / irradiance_w_m2) ** (4 / 3), 1000.0))


def pain_seconds(irradiance_w_m2: float) -> float:
    """After how long bare skin hurts [s].

    Between the table's entries on straight lines of the logarithms; beyond its end as at its end.

    Parameters
    ----------
    irradiance_w_m2 : of the skin, 1 kW/m2 or more (see `PAIN`)
    """
    of = np.log(irradiance_w_m2)
    return float(np.exp(np.interp(of, np.log(_HURTING), np.log(_HURTS_AFTER))))


def exposures(
    heads: Iterable[HeadHeat],
    emitters: Iterable[Emitter],
    site: Site,
    people: Sequence[BodyHeat] = (),
) -> list[Finding]:
    """Hold what reaches heads and eyes against the limits.

    Parameters
    ----------
    heads : the hottest head at each height
    emitters : of the heaters that the heads name
    site : its air temperature, its own limit for heads, and its units for the words
    people : what the people at their places get; one of them may be hotter than whoever has the
        hottest head
    """
    faces = {emitter.name: emitter.frame.origin for emitter in emitters}
    found = tuple(heads)
    out = [finding for head in found for finding in _of_head(head, faces, site, people)]
    if found:
        worst = max(found, key=lambda head: head.total_w_m2)
        out.append(_finding("ceiling", worst, faces, CEILING, "more than anybody should stay in"))
    return out


def _of_head(
    head: HeadHeat, faces: Mapping[str, Floats], site: Site, people: Iterable[BodyHeat]
) -> Iterator[Finding]:
    air = format_temperature(site.climate.air_temperature, site.units)
    eye = _finding("eye", head, faces, EYE, _of_eye(head.eye_w_m2), head.eye_w_m2)
    yield replace(
        eye,
        object=f"eye, {head.posture}",
        heater=head.eye_heater,
        point=head.eye_point,
        heater_point=faces[head.eye_heater],
    )
    own = Limit(site.target.head_irradiance, HEAD_SOURCE)
    yield _finding("head", head, faces, own, "from above, on the head")
    said = f"with the heaters on, in air of {air}: dim them or switch them off"
    stress = _finding("heat_stress", head, faces, HEAT_STRESS, said, head.utci, "C")
    alike = [person for person in people if person.place.seated is (head.posture == "seated")]
    hottest = max(alike, key=lambda person: person.utci, default=None)
    if hottest is not None and hottest.utci > head.utci:
        stress = _finding("heat_stress", head, faces, HEAT_STRESS, said, hottest.utci, "C")
        stress = replace(stress, object=hottest.place.name, point=hottest.place.points[2])
    yield stress
    if head.total_w_m2 >= PAIN.value:
        after = _lasting(pain_seconds(head.total_w_m2))
        said = f"bare skin hurts after about {after}; here the air has {air}"
        pain = _finding("pain", head, faces, PAIN, said)
        yield replace(pain, verdict=Verdict.ADVISORY)


def _finding(
    code: str,
    head: HeadHeat,
    faces: Mapping[str, Floats],
    limit: Limit,
    said: str,
    measured: float | None = None,
    unit: str = "W/m2",
) -> Finding:
    """One advisory about a head; of the irradiance from above unless told otherwise."""
    shown = head.total_w_m2 if measured is None else measured
    return Finding(
        code=f"exposure.{code}",
        verdict=Verdict.HOLDS if shown <= limit.value else Verdict.ADVISORY,
        heater=head.heater,
        object=f"head, {head.posture}",
        measured=shown,
        required=limit.value,
        unit=unit,
        point=head.point,
        heater_point=faces[head.heater],
        combustible=False,
        note=said,
        source=limit.source,
        at_most=True,
    )


def _of_eye(irradiance_w_m2: float) -> str:
    said = "infrared into an eye that looks level, the worst way round"
    seconds = eye_seconds(irradiance_w_m2)
    return said if isinf(seconds) else f"{said}: within the limit for {_lasting(seconds)}"


def _lasting(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 120.0 else f"{seconds / 60.0:.0f} min"
