"""Things of very many triangles, such as a scan: not made anew at each corner of the tolerances.

They come out of mesh files, whose shape no dimension of the drawing changes. Wherever their own
dimensions take one of them, no point of it moves farther than all of these added up; so much is
taken off what it leaves. That is more than any corner takes, so nothing holds that should not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from heatcore.checks.clearance import margins
from heatcore.checks.finding import Deciding, Doubt, Finding, Verdict
from heatcore.geometry.parts import Model
from heatcore.geometry.reading import NOISE
from heatcore.mounting.mount import Mount
from heatcore.tolerance.readings import key_of


def taken_off(
    told: Sequence[Finding],
    mount: Mount,
    model: Model,
    off: Mapping[str, float],
    own: float,
) -> list[Finding]:
    """Findings of one heater, with what heavy things may move taken off.

    Parameters
    ----------
    told : of the heater, each with what the other tolerances leave of it
    mount, model : as drawn
    off : how far each heavy thing may move [m]
    own : how far the heater may [m]

    Returns
    -------
    list of Finding
        The same in their order, and after them what only a heavy thing brings into doubt.
    """
    parts = tuple(part for part in model.parts if part.owner in off)
    owners = {part.name: part.owner for part in parts}
    out = [_less(f, off[owners[f.object]], own) if f.object in owners else f for f in told]
    groups = {name: name for name in owners}
    known = {key_of(f, groups) for f in told}
    alone = replace(model, parts=parts)
    for finding in margins(mount, alone, [mount], max(off.values()) + own):
        if finding.object in owners and key_of(finding, groups) not in known:
            less = _less(finding, off[owners[finding.object]], own)
            if less.verdict is Verdict.MEASURE:
                out.append(less)
    return out


def _less(finding: Finding, off: float, own: float) -> Finding:
    if finding.verdict is Verdict.FAILS or finding.unit != "m":
        return finding
    doubt = finding.doubt
    left = (finding.margin - own if doubt is None else doubt.margin) - off
    if left >= -NOISE and doubt is None:
        return finding
    stands = Deciding(
        path=f'"{finding.object}".at',
        words=f"where {finding.object} stands",
        drawn=finding.measured,
        worst=finding.measured - off,
        unit="m",
        effect=off,
    )
    deciding = (stands,) if doubt is None else (stands, *doubt.deciding)
    verdict = Verdict.MEASURE if left < -NOISE else finding.verdict
    return replace(finding, doubt=Doubt(left, deciding), verdict=verdict)
