"""Orders that are worth the same come out in the order of the list, and none gets worse by it."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from oracles.days import random_day
from seeds import few_first

from sunsched.light.fit import fit_day
from sunsched.solver.answer import Answer
from sunsched.solver.build import make_problem
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import make_tables
from sunsched.solver.solve import solve
from sunsched.solver.timing.references import set_references
from sunsched.solver.timing.sequence import best_times, pair_costs
from sunsched.solver.timing.ties import is_nicer, settle_ties, starts_of


def worth(problem: Problem, answer: Answer, order: tuple[int, ...]) -> tuple[int, int]:
    """Give an order's scaled worth at the references of an answer, and the sum of its starts."""
    tables = make_tables(problem)
    gain = tables.gain.copy()
    set_references(gain, tables.gain, problem.drift, problem.match, answer.references)
    charged = tables._replace(gain=gain)
    sequence = np.array(order, dtype=np.int64)
    value, starts, _ = best_times(charged, sequence, len(sequence))
    paid = int(pair_costs(charged, sequence, len(sequence)))
    return int(value) - paid, int(starts.sum())


@pytest.mark.parametrize("seed", few_first(range(12), 5))
def test_no_two_shots_could_change_places_for_the_better(seed):
    """With any two of them exchanged it is worth less, works later, or leaves the list's order."""
    problem = make_problem(fit_day(random_day(seed, 5, ((), ("keel",))[seed % 2])), 10)
    answer = solve(problem)
    if answer is None:
        return
    made = tuple(answer.sequence.tolist())
    value, begins = worth(problem, answer, made)
    for first in range(len(made)):
        for second in range(first + 1, len(made)):
            swapped = list(made)
            swapped[first], swapped[second] = swapped[second], swapped[first]
            now, then = worth(problem, answer, tuple(swapped))
            comes_first = swapped[first] < made[first]
            assert now < value or then > begins or (then == begins and not comes_first)


@pytest.mark.parametrize("seed", range(4))
def test_like_shots_come_in_their_order_from_wherever_they_start(seed):
    """Four shots that nothing tells apart: each of the 24 orders becomes 0, 1, 2, 3."""
    day = random_day(seed, 4)
    like = [replace(day.shots[0], id=one.id, pin=None, after=(), match="") for one in day.shots]
    problem = make_problem(fit_day(replace(day, shots=tuple(like))), 5)
    tables = make_tables(problem)
    sequence = np.arange(4)
    value, _, _ = best_times(tables, sequence, 4)
    for order in permutations(range(4)):
        sequence = np.array(order, dtype=np.int64)
        settle_ties(tables, sequence, int(value))
        assert sequence.tolist() == [0, 1, 2, 3]


@pytest.mark.parametrize(
    ("then", "tried", "begins", "nicer"),
    [
        (9, [2, 1, 0], 10, True),
        (11, [0, 1, 2], 10, False),
        (-1, [0, 1, 2], 10, False),
        (10, [0, 2, 1], 10, True),
        (10, [2, 0, 1], 10, False),
        (10, [1, 0, 2], 10, False),
    ],
)
def test_earlier_is_nicer_and_then_the_list(then, tried, begins, nicer):
    """Beside 1, 0, 2: an order worth less (-1) never is, nor one that is the same."""
    seq = np.array([1, 0, 2], dtype=np.int64)
    assert is_nicer(then, np.array(tried, dtype=np.int64), begins, seq) == nicer


def test_an_order_worth_less_has_no_starts():
    """One scaled point short is short."""
    tables = make_tables(make_problem(fit_day(random_day(0, 4)), 5))
    sequence = np.arange(4)
    value, starts, _ = best_times(tables, sequence, 4)
    worth_all = int(value) - int(pair_costs(tables, sequence, 4))
    assert starts_of(tables, sequence, worth_all) == starts.sum()
    assert starts_of(tables, sequence, worth_all + 1) == -1
