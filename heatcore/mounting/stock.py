"""What is stocked: every pair of arms that a bracket type can be made up to."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations_with_replacement, product

from heatcore.scene.types import BracketType

_SAME = 6  # decimals of a metre: extensions that add up to the same micrometre are the same length


@dataclass(frozen=True)
class Pair:
    """The two arms of one heater, made up from stock.

    Attributes
    ----------
    bracket : the bracket type
    first, second : the extensions on either arm, the longest first [m]
    """

    bracket: BracketType
    first: tuple[float, ...]
    second: tuple[float, ...]

    @property
    def shortest(self) -> tuple[float, float]:
        """Length of each arm with its fine adjustment at its shortest [m]."""
        return (self.bracket.arm + sum(self.first), self.bracket.arm + sum(self.second))

    @property
    def extensions(self) -> int:
        """How many extensions it takes."""
        return len(self.first) + len(self.second)

    @property
    def unequal(self) -> bool:
        """Whether the arms are made up differently."""
        return self.first != self.second


def pairs(bracket: BracketType) -> tuple[Pair, ...]:
    """Every pair of arms, the shortest first; of equally long stacks, the one of fewest pieces."""
    stacks: dict[float, tuple[float, ...]] = {}
    pieces = sorted(set(bracket.extensions), reverse=True)
    for count in range(bracket.stack + 1):
        for stack in combinations_with_replacement(pieces, count):
            stacks.setdefault(round(sum(stack), _SAME), stack)
    arms = [stacks[length] for length in sorted(stacks)]
    chosen = product(arms, arms) if bracket.unequal else ((arm, arm) for arm in arms)
    return tuple(sorted((Pair(bracket, a, b) for a, b in chosen), key=lambda p: sum(p.shortest)))
