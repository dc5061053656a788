"""How people fare, as one sentence in the client's words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from heatcore.evaluate import Evaluation
from heatcore.heat.people.body import BodyHeat, Cause, Comfort
from heatcore.units import UnitSystem, format_temperature_step
from heatcore.views.words import counted, number, sentence

FELT = 0.05  # K; a smaller rise is none to anybody
CAUSES = {
    Cause.NO_HEATER: "there is no heater",
    Cause.OUTSIDE: "outside every beam",
    Cause.WIND: "too windy",
    Cause.FAR: "too far from a heater",
}


def comfort_sentence(evaluation: Evaluation) -> str:
    """Say how many are warm and how much warmer they feel; who is not, and why."""
    people, units = evaluation.people, evaluation.scene.site.units
    if not people:
        warmed = evaluation.warmed
        least = f"{warmed.threshold_w_m2:g} W/m\N{SUPERSCRIPT TWO}"
        return sentence(f"{warmed.warmed:.0%} of the floor gets {least} or more")
    if len(people) == 1:
        return sentence(_alone(people[0], units))
    warm, borderline, cold = ([p for p in people if p.comfort is c] for c in Comfort)
    noun = "seat" if all(p.place.seated for p in people) else "place"
    many = counted(len(people), noun)
    if len(warm) == len(people):
        return sentence(f"all {many} are warm{warmer(warm, units)}")
    verb = "is" if len(warm) <= 1 else "are"
    first = f"{number(len(warm))} of {many}" if warm else f"none of {many}"
    text = f"{first} {verb} warm{warmer(warm, units)}"
    if borderline:
        text += f"; {_who(borderline)} borderline"
    if len(cold) == len(people):
        return sentence(f"{text}: {why(cold)}")
    if cold:
        text += f"; {_who(cold)} not: {why(cold)}"
    return sentence(text)


def warmer(people: Sequence[BodyHeat], units: UnitSystem) -> str:
    """How much warmer it feels to people who are warm, as the end of a clause."""
    gains = sorted(p.gain for p in people if p.gain >= FELT)
    if not gains:
        return ""
    low, high = (format_temperature_step(gain, units) for gain in (gains[0], gains[-1]))
    span = high if low == high else f"{low.split()[0]} to {high}"
    return f", feeling {span} warmer"


def why(people: Sequence[BodyHeat]) -> str:
    """Why people are not warm; with how many each cause has where there are several."""
    causes = Counter(_cause(p) for p in people)
    if len(causes) == 1:
        return next(iter(causes))
    return ", ".join(f"{number(count)} {cause}" for cause, count in causes.most_common())


def the(name: str) -> str:
    """A name in a sentence: with an article, but for names that count or are names of people."""
    plain = name[:1].islower() and not name[-1:].isdigit()
    return f"the {name}" if plain and not name.startswith("the ") else name


def _alone(body: BodyHeat, units: UnitSystem) -> str:
    said = {Comfort.WARM: "warm", Comfort.BORDERLINE: "borderline", Comfort.COLD: "not warm"}
    end = warmer([body], units) if body.comfort is Comfort.WARM else f": {_cause(body)}"
    return f"{the(body.place.name)} is {said[body.comfort]}{end}"


def _who(people: Sequence[BodyHeat]) -> str:
    if len(people) == 1:
        return f"{the(people[0].place.name)} is"
    return f"{number(len(people))} are"


def _cause(body: BodyHeat) -> str:
    reason = body.reason
    if reason is None:
        return "the target is met"
    if reason.cause is Cause.SHADED:
        return f"shaded by {the(reason.object)}" if reason.object else "shaded"
    return CAUSES[reason.cause]
