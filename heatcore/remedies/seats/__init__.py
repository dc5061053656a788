"""What would make a cold place warm, each change tried through a whole evaluation."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from heatcore.errors import InputError
from heatcore.evaluate import Evaluation
from heatcore.heat.people.body import Comfort
from heatcore.remedies.seats.additions import Additions
from heatcore.remedies.seats.case import Case
from heatcore.remedies.seats.heater_changes import HeaterChanges
from heatcore.remedies.seats.outputs import raised_output
from heatcore.remedies.seats.screen import Screen
from heatcore.remedies.seats.seat_moves import moved_seat
from heatcore.remedies.seats.verdicts import remedy
from heatcore.remedies.trials import MOST_EVALUATIONS, Trials
from heatcore.remedies.values import Advice, Change, Kind, Remedy
from heatcore.scene.document import Guesses, listed, quoted

__all__ = ["remedies"]


def remedies(
    evaluation: Evaluation,
    names: Sequence[str] = (),
    *,
    most: int = MOST_EVALUATIONS,
    progress: Callable[[str], None] | None = None,
) -> tuple[Advice, ...]:
    """Look for what would make places warm.

    Of each kind of change the one that disturbs least is evaluated whole, and offered where the
    place becomes warm, no other place's verdict gets worse, and nothing fails that held.

    Parameters
    ----------
    evaluation : of the scene as it is
    names : the places; none means all that are not warm
    most : whole evaluations that may be spent
    progress : told the name of each place before it is looked at

    Raises
    ------
    InputError
        If there is no such place.
    """
    places = [person.place.name for person in evaluation.people]
    for name in names:
        if name not in places:
            guess = Guesses().guess(name, places)
            meant = f"did you mean {quoted(guess)}? " if guess else ""
            advice = f"{meant}choose from {listed(map(quoted, places))}"
            raise InputError("place", f"there is no place {quoted(name)}", advice)
    screen, trials = Screen(evaluation), Trials(evaluation, most)
    changes, additions = HeaterChanges(Case(0, screen, trials)), Additions()
    out = []
    for index, person in enumerate(evaluation.people):
        if person.place.name not in names if names else person.comfort is Comfort.WARM:
            continue
        if person.comfort is Comfort.WARM:
            out.append(Advice(person, (), ("It is warm as it is.",)))
            continue
        if progress is not None:
            progress(person.place.name)
        case = Case(index, screen, trials)
        out.append(_advice(case, changes, additions))
    return tuple(out)


def _advice(case: Case, changes: HeaterChanges, additions: Additions) -> Advice:
    found: list[Change] = []
    tried: list[str] = []
    for idea in _ideas(case, changes, additions):
        if isinstance(idea, Change):
            found.append(idea)
        elif idea:
            tried.append(idea)
    offered: list[Remedy] = []
    for change in sorted(found, key=lambda c: (c.kind is Kind.ADD, c.disturbance_m)):
        found_whole = remedy(case.trials, change, case.place.name)
        if isinstance(found_whole, Remedy):
            offered.append(found_whole)
        else:
            tried.append(f"{change.words.rstrip('.')}: {found_whole}.")
    return Advice(case.evaluation.people[case.index], tuple(offered), tuple(tried))


def _ideas(case: Case, changes: HeaterChanges, additions: Additions) -> Iterator[Change | str]:
    """Of each kind the change that disturbs least, or what was tried."""
    yield raised_output(case)
    yield moved_seat(case)
    yield changes.find(case, Kind.TURN)
    yield changes.find(case, Kind.MOVE)
    yield additions.find(case)
