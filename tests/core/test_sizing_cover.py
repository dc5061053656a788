"""The fewest positions, against trying every choice."""

from itertools import combinations

import numpy as np
import pytest

from heatcore.sizing.cover import ENOUGH, cover


def brute(gives, apart):
    """Most rows that any choice serves, and the fewest positions that serve so many."""
    rows, columns = gives.shape
    best = (0, 0)
    for count in range(columns + 1):
        for chosen in combinations(range(columns), count):
            if apart[np.ix_(chosen, chosen)].any():
                continue
            served = int((gives[:, list(chosen)].sum(axis=1) >= ENOUGH).sum())
            if served > best[0]:
                best = (served, count)
        if best[0] == rows:
            break
    return best


def problem(seed, rows=6, columns=11, near=0.1, least=0.1):
    rng = np.random.default_rng(seed)
    gives = rng.random((rows, columns)) * (rng.random((rows, columns)) < 0.6) + least * 0.3
    apart = rng.random((columns, columns)) < near
    apart = (apart | apart.T) & ~np.eye(columns, dtype=bool)
    return gives, apart


@pytest.mark.parametrize("seed", range(60))
def test_as_few_as_by_trying_every_choice(seed):
    gives, apart = problem(seed)
    served, count = brute(gives, apart)
    found = cover(gives, apart)
    assert int(found.served.sum()) == served
    assert len(found.chosen) == count
    assert found.fewest


@pytest.mark.parametrize("seed", range(40))
def test_where_positions_exclude_each_other(seed):
    gives, apart = problem(seed, near=0.5)
    served, count = brute(gives, apart)
    found = cover(gives, apart)
    assert not apart[np.ix_(found.chosen, found.chosen)].any()
    assert int(found.served.sum()) == served
    # Which rows to serve, where not all can be, is not looked for through every choice.
    assert count <= len(found.chosen) <= count + 1


def test_a_row_that_nothing_serves_costs_nothing():
    gives = np.array([[1.0, 0.2, 0.0], [0.3, 0.3, 0.3]])
    found = cover(gives, np.zeros((3, 3), dtype=bool))
    assert found.chosen == (0,)
    assert found.served.tolist() == [True, False]


def test_what_is_given_adds_up():
    gives = np.full((1, 5), 0.34)
    found = cover(gives, np.zeros((5, 5), dtype=bool))
    assert len(found.chosen) == 3
    assert found.reached[0] == pytest.approx(1.02)
    assert found.fewest


@pytest.mark.parametrize("shape", [(0, 0), (0, 4), (3, 0)])
def test_nobody_or_nowhere(shape):
    found = cover(np.zeros(shape), np.zeros((shape[1], shape[1]), dtype=bool))
    assert found.chosen == ()
    assert not found.served.any()


def test_the_same_every_time_and_bounded():
    gives, apart = problem(7, rows=40, columns=60, least=0.05)
    first, second = cover(gives, apart, effort=200_000), cover(gives, apart, effort=200_000)
    assert first.chosen == second.chosen
    assert first.served.all()
