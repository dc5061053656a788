"""Advisories about heads and eyes, how they read, and the cautions. All figures invented."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from heatcore.checks import check
from heatcore.checks.cautions import USUAL, cautions
from heatcore.checks.exposure import exposures
from heatcore.checks.finding import Finding, Verdict
from heatcore.cli import status
from heatcore.geometry.frames import Frame, locked
from heatcore.geometry.parts import Place
from heatcore.heat.people.body import BodyHeat, Comfort
from heatcore.heat.people.head import HeadHeat
from heatcore.heat.radiation.emitter import Emitter
from heatcore.scene.model import Climate, Site, Target
from heatcore.scene.types import Pattern
from heatcore.sheets.terminal import figures, findings
from heatcore.units import UnitSystem
from tests.core.checks_site import SCENE, floor, model, mount

EMITTERS = [
    Emitter(name, Frame((x, 0.0, 2.4), np.eye(3)), 1.0, 0.15, 1800.0, Pattern(), 850.0)
    for name, x in (("A", 0.0), ("B", 2.0))
]
SITE = Site(name="test", climate=Climate(air_temperature=12.0))
METRIC, IMPERIAL = UnitSystem.METRIC, UnitSystem.IMPERIAL


def head(posture: str = "standing", total: float = 200.0, **changes: object) -> HeadHeat:
    mild = HeadHeat(
        posture=posture,
        point=locked([0.1, 0.0, 1.7 if posture == "standing" else 1.1]),
        total_w_m2=total,
        heater="A",
        utci=14.0,
        eye_point=locked([0.6, 0.0, 1.7]),
        eye_w_m2=60.0,
        eye_heater="B",
    )
    return replace(mild, **changes)


def one(code: str, *heads: HeadHeat, site: Site = SITE, people: tuple[BodyHeat, ...] = ()):
    found = [f for f in exposures(heads, EMITTERS, site, people) if f.code == f"exposure.{code}"]
    assert len(found) == 1
    return found[0]


def test_mild_heads_hold() -> None:
    found = exposures([head(), head("seated")], EMITTERS, SITE)
    assert {f.verdict for f in found} == {Verdict.HOLDS}
    assert [f.code for f in found] == 2 * [
        "exposure.eye", "exposure.head", "exposure.heat_stress"
    ] + ["exposure.ceiling"]  # fmt: skip
    assert all(f.at_most and f.margin >= 0.0 and not f.combustible for f in found)


@pytest.mark.parametrize(
    ("code", "changes", "measured", "required", "unit"),
    [
        ("eye", {"eye_w_m2": 130.0}, 130.0, 100.0, "W/m2"),
        ("head", {"total_w_m2": 300.0}, 300.0, 240.0, "W/m2"),
        ("heat_stress", {"utci": 27.0}, 27.0, 26.0, "C"),
        ("pain", {"total_w_m2": 1500.0}, 1500.0, 1000.0, "W/m2"),
        ("ceiling", {"total_w_m2": 1600.0}, 1600.0, 1580.0, "W/m2"),
    ],
)
def test_more_than_a_limit_is_an_advisory(code, changes, measured, required, unit) -> None:
    found = one(code, head(**changes))
    assert found.verdict is Verdict.ADVISORY
    assert (found.measured, found.required, found.unit) == (measured, required, unit)
    assert found.margin == pytest.approx(required - measured)


@pytest.mark.parametrize(
    ("code", "changes", "source"),
    [
        ("eye", {"eye_w_m2": 130.0}, "Directive 2006/25/EC"),
        ("eye", {"eye_w_m2": 130.0}, "ICNIRP 2013"),
        ("head", {"total_w_m2": 300.0}, "common practice, no confirmed source"),
        ("heat_stress", {"utci": 27.0}, "UTCI's own scale"),
        ("pain", {"total_w_m2": 1500.0}, "FEMA"),
        ("ceiling", {}, "API Std 521"),
    ],
)
def test_each_names_its_source(code: str, changes: dict[str, float], source: str) -> None:
    assert source in one(code, head(**changes)).source


def test_where_the_eye_is_and_which_heater() -> None:
    found = one("eye", head())
    assert (found.heater, found.object) == ("B", "eye, standing")
    assert found.point == pytest.approx([0.6, 0.0, 1.7])
    assert found.heater_point == pytest.approx([2.0, 0.0, 2.4])
    below = one("head", head())
    assert (below.heater, below.object) == ("A", "head, standing")
    assert below.heater_point == pytest.approx([0.0, 0.0, 2.4])


def test_an_eye_is_told_how_long() -> None:
    """18000 t**-0.75: at 180 W/m2 464 s (Directive 2006/25/EC, Annex I, Table 1.1, m)."""
    assert "for 8 min" in one("eye", head(eye_w_m2=180.0)).note
    assert "within the limit for" not in one("eye", head(eye_w_m2=99.0)).note


def test_pain_is_spoken_of_from_1_kw_m2_on() -> None:
    codes = [f.code for f in exposures([head(total=999.0)], EMITTERS, SITE)]
    assert "exposure.pain" not in codes
    found = one("pain", head(total=1000.0))
    assert found.verdict is Verdict.ADVISORY
    assert "115 s" in found.note


@pytest.mark.parametrize(("units", "said"), [(METRIC, "5 °C"), (IMPERIAL, "41 °F")])
def test_what_hurts_depends_on_the_air_and_says_so(units: UnitSystem, said: str) -> None:
    site = replace(SITE, climate=Climate(air_temperature=5.0), units=units)
    assert said in one("pain", head(total=1200.0), site=site).note
    assert said in one("heat_stress", head(), site=site).note


def test_the_sites_own_limit_for_heads_goes() -> None:
    lax = replace(SITE, target=Target(head_irradiance=500.0))
    assert one("head", head(total=300.0), site=lax).verdict is Verdict.HOLDS
    assert one("head", head(total=300.0)).verdict is Verdict.ADVISORY


def test_the_ceiling_is_held_against_the_hottest_only() -> None:
    found = one("ceiling", head(), head("seated", total=1700.0))
    assert (found.object, found.measured) == ("head, seated", 1700.0)


def person(name: str, utci: float, posture: str) -> BodyHeat:
    place = Place(name, name, locked([3.0, 1.0, 0.0]), 0.0, posture, 0.45, occupied=True)
    return BodyHeat(place, {"A": 1.0}, 0.0, 0.0, 20.0, 10.0, utci, 3.0, Comfort.WARM, None)


def test_a_guest_may_be_hotter_than_whoever_has_the_hottest_head() -> None:
    people = (person("P1", 28.0, "upright"), person("P2", 27.0, "upright"))
    found = one("heat_stress", head("seated"), people=people)
    assert (found.object, found.measured) == ("P1", 28.0)
    assert found.point == pytest.approx([3.0, 1.0, 1.1])
    assert one("heat_stress", head("standing"), people=people).object == "head, standing"
    assert one("heat_stress", head("seated", utci=30.0), people=people).object == "head, seated"


def test_no_heads_no_advisories() -> None:
    assert exposures([], EMITTERS, SITE) == []


def test_an_advisory_fails_no_scene() -> None:
    mounts = [mount("A"), mount("B", at=(2.0, 0.0, 2.4))]
    hot = head(total=2000.0, eye_w_m2=400.0, utci=40.0)
    found = check(SCENE, model(floor()), mounts, EMITTERS, [hot])
    advised = [f for f in found if f.verdict is Verdict.ADVISORY]
    assert len(advised) == 5
    assert found[-5:] == tuple(advised)
    alone = SimpleNamespace(findings=tuple(advised))
    assert status(alone, strict=False) == status(alone, strict=True) == 0
    assert len(check(SCENE, model(floor()), mounts)) == len(found) - 5


def advisory(measured: float, required: float, unit: str) -> Finding:
    where = np.zeros(3)
    verdict = Verdict.ADVISORY if measured > required else Verdict.HOLDS
    return Finding("exposure.eye", verdict, "A", "eye", measured, required, unit, where, where,
                   at_most=True)  # fmt: skip


@pytest.mark.parametrize(
    ("found", "system", "shown"),
    [
        (advisory(851.2, 240.0, "W/m2"), METRIC, ("852 W/m2", "240 W/m2", "-612 W/m2")),
        (advisory(1327.3, 1000.0, "W/m2"), IMPERIAL, ("1,328 W/m2", "1,000 W/m2", "-328 W/m2")),
        # Rounding never hides an advisory.
        (advisory(100.01, 100.0, "W/m2"), METRIC, ("101 W/m2", "100 W/m2", "-1 W/m2")),
        (advisory(99.6, 100.0, "W/m2"), METRIC, ("100 W/m2", "100 W/m2", "0 W/m2")),
        (advisory(26.01, 26.0, "C"), METRIC, ("26.1 °C", "26 °C", "-0.1 K")),
        (advisory(26.01, 26.0, "C"), IMPERIAL, ("78.9 °F", "78.8 °F", "-0.1 °F")),
        (advisory(10.0, 26.0, "C"), METRIC, ("10 °C", "26 °C", "16 K")),
        (advisory(10.0, 26.0, "C"), IMPERIAL, ("50 °F", "78.8 °F", "28.8 °F")),
    ],
)
def test_how_advisories_read(
    found: Finding, system: UnitSystem, shown: tuple[str, str, str]
) -> None:
    assert figures(found, system) == shown


def test_the_table_puts_advisories_after_what_fails_and_before_what_holds() -> None:
    rows = [advisory(1.0, 2.0, "C"), advisory(3.0, 2.0, "C")]
    rows += [replace(rows[0], verdict=v) for v in (Verdict.FAILS, Verdict.MEASURE)]
    lines = findings(rows, METRIC).splitlines()[2:]
    assert [line.split()[0] for line in lines] == ["FAILS", "MEASURE", "ADVISORY", "holds"]


def test_the_usual_cautions_stand_without_heaters() -> None:
    assert cautions((), [person("P", 1.0, "upright").place]) == USUAL


def test_cautions_about_people_who_cannot_move_away() -> None:
    said = cautions([mount()], [])
    assert said[: len(USUAL)] == USUAL
    for words in ("small children", "asleep", "burn"):
        assert any(words in line for line in said)
    assert not any("high chair" in line for line in said)


def test_cautions_name_those_who_cannot_and_those_who_lie() -> None:
    places = [
        replace(person("high chair", 1.0, "upright").place, can_move_away=False),
        person("chair", 1.0, "upright").place,
        person("lounger 1", 1.0, "lounging").place,
    ]
    said = cautions([mount()], places)
    assert [line for line in said if "high chair" in line and "help" in line]
    assert [line for line in said if "lounger 1" in line and "asleep" in line]
    assert not any(" chair" in line.replace("high chair", "") for line in said)


def test_ten_thousand_places_fit_a_sentence() -> None:
    places = [
        replace(person(f"s{i}", 1.0, "lounging").place, can_move_away=False) for i in range(10_000)
    ]
    said = cautions([mount()], places)
    assert sum("and 9992 more" in line for line in said) == 2
    assert max(map(len, said)) < 300


def test_types_add_their_own_cautions_once() -> None:
    own = ("Gas piping is work for a licensed gas fitter.",)
    said = cautions([mount(cautions=own), mount("H2", cautions=own)], [])
    assert said[-1:] == own
    assert len(set(said)) == len(said)
