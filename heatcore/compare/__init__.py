"""Options side by side, and why one is worse: every figure, its cause, and a sentence for each."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

from heatcore.compare.checks import checks
from heatcore.compare.effort import appearance, effort
from heatcore.compare.values import DRAWN, Comparison, Difference, Pair, Side, Topic
from heatcore.compare.warmth import warmth
from heatcore.errors import InputError
from heatcore.evaluate import evaluate
from heatcore.scene import choose
from heatcore.scene.model import Option, Scene

__all__ = ["DRAWN", "Comparison", "Difference", "Pair", "Side", "Topic", "compare", "compared"]


def compare(scene: Scene, names: Sequence[str] = ()) -> Comparison:
    """Set options of a scene side by side.

    Parameters
    ----------
    scene : the scene as drawn
    names : options, the first of which is held against each of the others; one alone is held
        against the scene as drawn; none means all of them, and before them the scene as drawn
        unless an option that changes nothing stands for it

    Raises
    ------
    InputError
        If there is no such option, nothing to compare, or an option cannot be evaluated.
    """
    options = {option.name: option for option in scene.option}
    wanted: list[str | None] = list(names) or list(options)
    as_drawn = not names and not any(_changes_nothing(o) for o in scene.option)
    if as_drawn or len(names) == 1:
        wanted.insert(0, None)
    if len(wanted) < 2:
        raise InputError(
            "option", "there is one way to do it only", "add an option to compare it with"
        )
    scenes = [choose(scene, name) for name in wanted]
    return compared(
        [
            Side.of(evaluate(chosen), *((name, options[name].note) if name else ()))
            for name, chosen in zip(wanted, scenes, strict=True)
        ]
    )


def compared(sides: Sequence[Side]) -> Comparison:
    """Set evaluated options side by side, the first against each of the others."""
    first, *others = sides
    return Comparison(tuple(sides), tuple(_pair(first, other) for other in others))


def _pair(first: Side, second: Side) -> Pair:
    found = chain(
        checks(first, second),
        warmth(first, second),
        effort(first, second),
        appearance(first, second),
    )
    order = list(Topic)
    differences = tuple(
        sorted(found, key=lambda d: (order.index(d.topic), -d.weight, d.object, d.lead))
    )
    better = _better(differences, 0), _better(differences, 1)
    return Pair(
        first.name, second.name, _verdict((first.name, second.name), better, differences),
        better, differences,
    )  # fmt: skip


def _better(differences: Sequence[Difference], which: int) -> tuple[Topic, ...]:
    """What one is better on: what goes either way goes to neither."""
    mine = {d.topic for d in differences if d.better == which}
    theirs = {d.topic for d in differences if d.better == 1 - which}
    counted = Topic.WARM in mine | theirs
    return tuple(
        topic
        for topic in Topic
        if topic in mine - theirs and not (counted and topic is Topic.PLACES)
    )


def _verdict(
    names: tuple[str, str],
    better: tuple[tuple[Topic, ...], tuple[Topic, ...]],
    differences: Sequence[Difference],
) -> str:
    """Which is better on what, in one sentence."""
    if not differences:
        return f"No difference that matters between {names[0]} and {names[1]}."
    told = [
        f"{name} is better on {_listed(topics)}" if topics else f"{name} is better on nothing"
        for name, topics in zip(names, better, strict=True)
    ]
    if not any(better):
        return f"{names[0]} and {names[1]} differ, and neither is better."
    return f"{told[0]}; {told[1]}."


def _listed(topics: Sequence[Topic]) -> str:
    *others, last = map(str, topics)
    return f"{', '.join(others)} and {last}" if others else last


def _changes_nothing(option: Option) -> bool:
    return not (option.remove or option.set or option.add)
