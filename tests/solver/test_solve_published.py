"""The solver on published scheduling instances whose optima are known, by translation.

The data is not part of the project. It is read from the folder that the environment variable
SUNSCHED_BENCH names, else from `../shared/bench` beside it. Sources: `oracles/published.py`.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from oracles.answer import worth
from oracles.published import (
    best_known,
    earliest_back,
    read_synthetic,
    read_tardiness,
    read_tour,
    shortest_travel,
    soonest,
)

from sunsched.solver.answer import Answer
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.solve import solve

PROJECT = Path(__file__).parents[2]
BENCH = Path(os.environ.get("SUNSCHED_BENCH", PROJECT.parent / "shared" / "bench"))
TOURS = BENCH / "tsptw"
UNIT = 0.5  # what the times of Potvin and Bengio are rounded to, so that a tour fits the slots

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        not TOURS.is_dir(), reason=f"no published instances in {BENCH}; set SUNSCHED_BENCH to them"
    ),
]


def proven(problem: Problem) -> tuple[Answer, int]:
    """Solve a problem and give its points, proven the most and added up from the tables."""
    answer = solve(problem)
    assert answer is not None
    points = whole_points(problem, answer.value)
    sequence, starts = tuple(answer.sequence.tolist()), tuple(answer.starts.tolist())
    assert worth(problem, sequence, starts, answer.meal) == points
    assert whole_points(problem, answer.bound) == points
    return answer, points


@pytest.mark.parametrize(
    "name",
    [
        "r08_s1_g5",
        "r12_s1_g5",
        "r16_s1_g5",
        "r20_s1_g5",
        "s16_s1_g5",
        "r12_s1_g1",
    ],
)
def test_synthetic_day(name):
    """A synthetic shooting day, with its meal, orders and optional shots, is solved and proven."""
    problem, optimum = read_synthetic(BENCH / "synthetic", name)
    assert proven(problem)[1] == optimum


@pytest.mark.parametrize(
    "name",
    [
        "n20w20.002",
        "n20w40.001",
        "n20w60.002",
        "n20w80.003",
        "n20w80.005",
        "n20w100.003",
    ],
)
def test_shortest_travel_through_time_windows(name):
    """A tour's travel time is the proven optimum (Dumas et al. 1995, Operations Research 43(2))."""
    optimum, _ = best_known(TOURS / "best_known_traveltime_Dumas.txt")[name]
    problem = shortest_travel(read_tour(TOURS / "Dumas" / f"{name}.txt"))
    assert -proven(problem)[1] == optimum


@pytest.mark.parametrize("name", ["rc_201.4", "rc_205.1", "rc_205.4", "rc_206.1"])
def test_earliest_back_through_time_windows(name):
    """A tour is back when the best known is (instances of Potvin and Bengio 1996).

    Their times have four decimals. The problem rounds each down to the unit, so its proven optimum
    is a bound for the tour as published, less than a unit an arc below it. The best known tour is
    worth no more in it than the one found, which is back no earlier with the published figures.
    """
    optimum, best = best_known(TOURS / "best_known_makespan_SolomonPotvinBengio.txt")[name]
    tour = read_tour(TOURS / "SolomonPotvinBengio" / f"{name}.txt")
    problem = earliest_back(tour, UNIT)
    answer, points = proven(problem)
    assert optimum - UNIT * len(tour.times) <= -points * UNIT <= optimum + 0.005
    assert tour.back(best) == pytest.approx(optimum, abs=0.005)
    known = tuple(node - 1 for node in best)
    known_points = worth(problem, known, soonest(problem, known), -1)
    assert known_points is not None
    assert known_points <= points
    back = tour.back([shot + 1 for shot in answer.sequence.tolist()])
    assert back is None or back >= optimum - 0.005


@pytest.mark.parametrize("number", [6, 108])
def test_weighted_tardiness(number):
    """The optimum of 40 jobs (OR-Library, Beasley 1990) lies between plan and bound after 5 s.

    Some 1,800 slots are far from a shooting day: these are not proven in that time.
    """
    problem, optimum = read_tardiness(BENCH / "wt40", number)
    answer = solve(problem, limit_s=5)
    assert answer is not None
    points = whole_points(problem, answer.value)
    assert points <= -optimum <= whole_points(problem, answer.bound)
    assert worth(problem, tuple(answer.sequence), tuple(answer.starts), answer.meal) == points
