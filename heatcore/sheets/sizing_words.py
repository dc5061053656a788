"""What the proposals for seats and floor mean, a plain sentence each."""

from __future__ import annotations

from collections.abc import Iterator

from heatcore.scene.model import Site
from heatcore.sheets.terminal import figure
from heatcore.sizing import Answer, Layout, Sizing, Way
from heatcore.units import UnitSystem, format_irradiance, format_length

SQUARE_FOOT = 0.3048**2  # m2
NAMED = 8  # places that a sentence carries
OPEN_FOR_GAS = 0.5  # least open share of the perimeter (common practice, no source)
THINNED = 1.5  # m; positions farther apart than this leave seats between them out


def thinned(sizing: Sizing) -> bool:
    """Whether a large floor left the positions too far apart for more than a rough answer."""
    return sizing.step > THINNED


def seats_met(answer: Answer) -> bool:
    """Whether every place is warm."""
    return answer.layout is not None and not answer.layout.cold


def floor_met(answer: Answer) -> bool:
    """Whether the floor is warm wherever somebody can be."""
    return answer.layout is not None and answer.layout.floor >= 1.0


def gas_first(sizing: Sizing) -> Iterator[str]:
    """What a gas heater asks of a place that is mostly closed."""
    share = sizing.rule.open_share
    if sizing.kind.fuel == "gas" and share < OPEN_FOR_GAS:
        yield (
            "An unvented gas heater needs open sides: ask the maker's instructions and the local "
            f"code. Here {share:.0%} of the perimeter is open, less than half (common practice, "
            "no source)."
        )


def rough(sizing: Sizing) -> Iterator[str]:
    """That the positions lie too far apart to find what would do best."""
    if thinned(sizing):
        apart = format_length(sizing.step, sizing.scene.site.units)
        yield (
            f"The floor is so large that the positions tried under the ceiling lie {apart} apart: "
            "the figures for seats and floor are rough, and positions between them may do better. "
            "Size one part of the floor at a time."
        )


def spot(sizing: Sizing) -> Iterator[str]:
    """Why it takes fewer heaters to warm seats than a floor."""
    seats, floor = sizing.of(Way.SEATS), sizing.of(Way.FLOOR)
    if not sizing.places:
        yield "Nobody is to be warmed: the scene has no seats and nobody who stands."
    if not (seats and floor and seats.layout and floor.layout and sizing.places):
        return
    few, many = (
        f"{heaters(answer.heaters)} ({power(answer.electrical.input_w)})"
        if answer.heaters
        else "no heaters"
        for answer in (seats, floor)
    )
    warm = f"{seats.layout.warm} of {count(len(sizing.places), 'place')}"
    yield (
        f"Just the seats: {few} for {warm}. The whole floor: {many} for {floor.layout.floor:.0%} "
        f"of the {area(sizing.room, sizing.scene.site.units)} on which somebody can be."
    )
    if not seats_met(seats):
        rest = "no choice among the positions that were tried was found to warm the rest"
        if thinned(sizing):
            rest = "the positions tried lie too far apart to say that none warms the rest"
        have = (
            f"{_these(seats.heaters)} {verb(seats.heaters)} {seats.layout.warm} of "
            f"{count(len(sizing.places), 'place')}"
        )
        yield f"{have if seats.heaters else 'No heaters are proposed for the seats'}; {rest}."
    elif seats.heaters < floor.heaters:
        yield (
            "Spot heating takes fewer since radiation warms only where it lands: people sit on a "
            "small part of the floor, and the rest is left cold."
        )
    elif floor_met(floor):
        yield "Spot heating saves none here: the seats lie all over the floor."


def drawn_beside(sizing: Sizing) -> Iterator[str]:
    """That the heaters as drawn warm more places than the proposals, where they do."""
    drawn, seats, floor = (sizing.of(way) for way in (Way.DRAWN, Way.SEATS, Way.FLOOR))
    if not (drawn and drawn.layout):
        return
    has, places = drawn.layout.warm, len(drawn.layout.people)
    less = [
        f"{answer.layout.warm} with {heaters(answer.heaters) if answer.heaters else 'no heaters'} "
        f"for {answer.way}"
        for answer in (seats, floor)
        if answer and answer.layout and answer.layout.warm < has
    ]
    if less:
        yield (
            f"As drawn, {heaters(drawn.heaters)} already {verb(drawn.heaters)} {has} of "
            f"{count(places, 'place')}, more than what is proposed here: {' and '.join(less)}."
        )


def given_up(sizing: Sizing) -> Iterator[str]:
    """What it costs to warm the seats only, and what that costs."""
    seats, floor = sizing.of(Way.SEATS), sizing.of(Way.FLOOR)
    if seats and seats.layout and seats.heaters:
        cold = 1.0 - seats.layout.floor
        yield (
            f"With heaters for the seats only, {cold:.0%} of the floor stays cold: somebody who "
            "walks about, or a seat that is moved, leaves the warmth."
        )
    if not (floor and floor.heaters):
        return
    if floor.layout and floor.layout.coldest is not None and floor.layout.floor < 1.0:
        x, y = (format_length(float(c), sizing.scene.site.units) for c in floor.layout.coldest)
        more = "no choice among the positions that were tried was found to warm more"
        if thinned(sizing):
            more = "the positions tried lie too far apart to say that none warms more"
        yield (
            f"For the whole floor, {heaters(floor.heaters)} {verb(floor.heaters)} "
            f"{floor.layout.floor:.0%} of the floor; {more}; it is coldest at {x}, {y}."
        )


def heads(sizing: Sizing) -> Iterator[str]:
    """What it does to heads."""
    floor, seats = sizing.of(Way.FLOOR), sizing.of(Way.SEATS)
    advised = sizing.scene.site.target.head_irradiance
    if not (floor and seats and floor.layout and seats.layout and floor.heaters):
        return
    site = sizing.scene.site
    most, few = head(floor.layout, site), head(seats.layout, site)
    beside = f", those for the seats {few}" if seats.heaters else ""
    yield (
        f"Heaters for the whole floor bring {most} on the hottest head anywhere{beside}; from "
        f"{format_irradiance(advised, UnitSystem.METRIC)} on an advisory is given (common "
        "practice, no confirmed source)."
    )


def head(layout: Layout, site: Site) -> str:
    """Irradiance of the hottest head, rounded as `heatcore check` rounds it: up, once advised."""
    advised = layout.head_w_m2 > site.target.head_irradiance
    return figure(layout.head_w_m2, "W/m2", site.units, "up" if advised else "nearest")


def left(sizing: Sizing) -> Iterator[str]:
    """Which places no choice of positions warms, and why."""
    seats = sizing.of(Way.SEATS)
    left = seats.layout.left if seats and seats.layout else ()
    for place in left[:NAMED]:
        if place.most < 1.0:
            yield (
                f"{place.place} stays cold: heaters at all {sizing.held} positions together would "
                f"bring it {place.most:.0%} of what it needs."
            )
        else:
            yield (
                f"{place.place} stays cold: the positions that reach it are too near to each other "
                "or to those that other places need."
            )
    if len(left) > NAMED:
        yield f"{len(left) - NAMED} more places stay cold."


def power(watts: float) -> str:
    """Input as people compare it: to a tenth of a kilowatt."""
    return f"{watts / 1000.0:.1f} kW"


def heaters(number: int) -> str:
    """So many heaters, in words."""
    return count(number, "heater")


def verb(number: int) -> str:
    """What they do to places."""
    return "warms" if number == 1 else "warm"


def _these(number: int) -> str:
    return "This one heater" if number == 1 else f"These {number} heaters"


def count(number: int, noun: str) -> str:
    """So many of something, in words."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def area(square_metres: float, units: UnitSystem) -> str:
    """An area in the site's units."""
    if units is UnitSystem.IMPERIAL:
        return f"{square_metres / SQUARE_FOOT:.0f} sq ft"
    return f"{square_metres:.1f} m2"
