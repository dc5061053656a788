"""A small patio with one heater, for the tests of what clears findings. Invented."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from heatcore.checks import check
from heatcore.checks.finding import Finding, Verdict
from heatcore.errors import InputError
from heatcore.evaluate import Evaluation, evaluate
from heatcore.geometry.build import build
from heatcore.mounting import hang
from heatcore.remedies import FindingAdvice, Fix
from heatcore.scene import choose, parse_scene
from heatcore.scene.model import Heater, Scene

Key = tuple[str, str, str, str]
UNMET = (Verdict.FAILS, Verdict.MEASURE)

# "long linear": 1500 x 200 x 100 mm; to combustible material 500 mm beside, 350 mm at the ends,
# 200 mm above, 1000 mm below.
HEATER = """
[[heater]]
name = "H"
type = "long linear"
at = ["4 m", "3 m"]
heading = "0 deg"
"""
FLAT = """
[[roof]]
name = "roof"
form = "flat"
plate = "2.9 m"
material = "stone"
"""


def site(
    *things: str, units: str = "metric", roof: str = FLAT, heater: str = HEATER, **keys: str
) -> Scene:
    """A patio of 8 m by 6 m, its heater with some keys otherwise."""
    for key, value in keys.items():
        lines = [line for line in heater.splitlines() if not line.startswith(f"{key} =")]
        heater = "\n".join([*lines, f"{key} = {value}", ""])
    return parse_scene(
        f'[site]\nname = "t"\nunits = "{units}"\ntolerance = "0 mm"\nangle_tolerance = "0 deg"\n'
        'confirmed = ["fans", "fittings", "sides", "structure"]\n'
        '[floor]\noutline = [["0 m", "0 m"], ["8 m", "0 m"], ["8 m", "6 m"], ["0 m", "6 m"]]\n'
        f'material = "stone"\n{roof}\n'
        '[[seat]]\nname = "S"\nat = ["4 m", "4 m"]\n' + "\n".join(things) + heater
    )


def wall(name: str, start: tuple[float, float], end: tuple[float, float], rest: str = "") -> str:
    return (
        f'[[wall]]\nname = "{name}"\nfrom = ["{start[0]} m", "{start[1]} m"]\n'
        f'to = ["{end[0]} m", "{end[1]} m"]\nthickness = "100 mm"\nheight = "2.6 m"\n'
        f'material = "timber"\n{rest}'
    )


def key_of(finding: Finding) -> Key:
    return finding.code, finding.heater, finding.object, finding.side


def unmet(findings: tuple[Finding, ...]) -> dict[Key, Verdict]:
    return {key_of(f): f.verdict for f in findings if f.verdict in UNMET}


def proved(
    scene: Scene, before: Evaluation, found: FindingAdvice, known: dict[str, Evaluation]
) -> None:
    """Each fix, chosen as an option and evaluated anew, does what it says and breaks nothing."""
    failed = unmet(before.findings)
    for fix in found.fixes:
        option = fix.change.option
        if option.name not in known:
            chosen = choose(replace(scene, option=(option,)), option.name)
            known[option.name] = evaluate(chosen)
        after = known[option.name]
        now = unmet(after.findings)
        assert key_of(found.finding) not in now
        assert not set(now) - set(failed)
        assert all(now[key] is failed[key] for key in now if now[key] is Verdict.FAILS)
        assert {key_of(f) for f in fix.clears} == set(failed) - set(now)
        assert {key_of(f) for f in fix.leaves} == {k for k in now if k[1] == found.finding.heater}
        changed = {
            a.place.name
            for b, a in zip(before.people, after.people, strict=True)
            if a.comfort is not b.comfort
        }
        assert {e.after.place.name for e in fix.places} == changed
    sizes = [fix.disturbs for fix in found.fixes]
    assert sizes == sorted(sizes)
    assert len(sizes) <= 3


def clear(scene: Scene, heater: Heater, key: Key, failed: dict[Key, Verdict]) -> bool:
    """Whether the checks let pass a heater hung so: the finding is gone, and none is new."""
    changed = replace(
        scene, heater=tuple(heater if h.name == heater.name else h for h in scene.heater)
    )
    model = build(changed)
    try:
        now = unmet(check(changed, model, hang(changed, model)))
    except InputError:
        return False
    return key not in now and not set(now) - set(failed)


def scanned(
    scene: Scene, heaters: Iterator[tuple[float, Heater]], key: Key, failed: dict[Key, Verdict]
) -> float | None:
    """How far the first heater is moved that clears a finding, out of many in a row."""
    return next((far for far, heater in heaters if clear(scene, heater, key, failed)), None)


def moved(fix: Fix) -> tuple[float, float]:
    """Where the heater is wanted with a fix."""
    at = fix.evaluation.scene.heater[0].at
    assert at is not None
    return at
