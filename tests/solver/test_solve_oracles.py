"""The solver against outside opinions on random days: brute force and three general solvers.

Brute force tries every order of every choice of up to 6 shots. OR-Tools CP-SAT and didppy go to 12
shots without matches and 8 with; HiGHS, on a time-indexed programme, to 6 without. None of them
shares a line with the solver: all they get is the problem's tables. Each plan passes the judge.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from oracles import cp_sat, mip, programme
from oracles.answer import OracleAnswer, finish_min, in_child, worth
from oracles.brute import best_of_all
from oracles.days import random_day

from sunsched.day.model import Day
from sunsched.errors import DayImpossible
from sunsched.light.fit import fit_day
from sunsched.plan.plan import Plan
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.solver.build import make_problem
from sunsched.solver.instance.problem import Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.solve import make_plan, solve

GRIDS_MIN = (5, 10, 15, 20)
MATCHES = ((), ("keel",), ("keel", "lamp"))
QUICK = range(8)
SMALL = range(8, 30)
# Days that didppy, and often CP-SAT too, finishes in seconds: others take minutes. Few are run,
# as each takes the general solvers seconds: both grids, with one match and with two.
PLAIN = (212, 218, 222, 226, 237)
MATCHED = (207, 214, 219, 222, 232, 236, 239)
FLOWING = (401, 402, 403)
REFERENCE_STEP = 6  # every sixth reference sun: half-hours, so that others can finish too


def small_day(seed: int) -> tuple[Day, int]:
    """Give a day for brute force and its grid in minutes: none, one or two matches."""
    matches = MATCHES[seed % 3]
    grid_min = 20 if len(matches) == 2 else GRIDS_MIN[seed % 4]
    return random_day(seed, 5 + seed % 2, matches), grid_min


def plain_day(seed: int) -> tuple[Day, int]:
    """Give a day of 12 shots without matches, and its grid in minutes."""
    return random_day(seed, 12, room_min=55), 15 if seed % 4 else 5


def matched_day(seed: int) -> tuple[Day, int]:
    """Give a day of 8 shots with a match or two, and its grid in minutes."""
    return random_day(seed, 8, MATCHES[1 + seed % 2], room_min=50), 20 if seed % 3 else 15


def judged(day: Day, grid_min: int) -> Plan:
    """Give the day's plan, judged from scratch."""
    plan = make_plan(day, grid_min=grid_min)
    fit = fit_day(day)
    assert breaches(fit, plan.timetable) == ()
    assert score(fit, plan.timetable).total == plan.points
    return plan


def solved(problem: Problem) -> OracleAnswer | None:
    """Give the solver's answer as the oracles give theirs, its plan added up from the tables."""
    answer = solve(problem)
    if answer is None:
        return None
    sequence = tuple(answer.sequence.tolist())
    starts = tuple(answer.starts.tolist())
    points = whole_points(problem, answer.value)
    assert worth(problem, sequence, starts, answer.meal) == points
    bound = whole_points(problem, answer.bound)
    assert bound >= points
    return OracleAnswer(
        points=points,
        bound=bound,
        is_proven=bound == points,
        sequence=sequence,
        starts=starts,
        meal=answer.meal,
        seconds=0.0,
    )


def agree(own: OracleAnswer | None, other: OracleAnswer) -> None:
    """Check that two opinions on a problem can both be true, and are one where both are proven."""
    if own is None:
        assert other.points is None
        return
    assert own.points is not None
    assert other.bound >= own.points
    if other.points is not None:
        assert own.bound >= other.points
    if other.is_proven:
        assert own.points == other.points


@pytest.mark.parametrize(
    "seed", [*QUICK, *(pytest.param(seed, marks=pytest.mark.slow) for seed in SMALL)]
)
def test_no_order_of_a_small_day_is_worth_more(seed):
    """Points and finish are those of the best of every order, and the solver says proven."""
    day, grid_min = small_day(seed)
    problem = make_problem(fit_day(day), grid_min)
    best = best_of_all(problem)
    own = solved(problem)
    if best is None or own is None or problem.dark:
        assert (best is None) == (own is None)
        with pytest.raises(DayImpossible):
            make_plan(day, grid_min=grid_min)
        return
    assert (own.points, finish_min(problem, own.sequence, own.starts)) == best
    assert own.is_proven
    plan = judged(day, grid_min)
    assert (plan.points, plan.status) == (best[0], "proven")


@pytest.mark.slow
@pytest.mark.parametrize("seed", PLAIN)
def test_general_solvers_agree_on_twelve_shots(seed):
    """Without matches, what two general solvers prove of 12 shots is what the solver found."""
    day, grid_min = plain_day(seed)
    problem = make_problem(fit_day(day), grid_min)
    own = solved(problem)
    agree(own, in_child(cp_sat, problem, 1.5))
    dynamic = in_child(programme, problem, 4.0)
    agree(own, dynamic)
    if own is not None:
        assert judged(day, grid_min).points == own.points
        if dynamic.is_proven:
            assert finish_min(problem, own.sequence, own.starts) == finish_min(
                problem, dynamic.sequence, dynamic.starts
            )


@pytest.mark.slow
@pytest.mark.parametrize("seed", MATCHED)
def test_general_solvers_agree_on_eight_shots_with_matches(seed):
    """With matches, what two general solvers prove of 8 shots is what the solver found."""
    day, grid_min = matched_day(seed)
    full = make_problem(fit_day(day), grid_min)
    problem = replace(full, drift=full.drift[:, :, ::REFERENCE_STEP])
    own = solved(problem)
    agree(own, in_child(cp_sat, problem, 4.0))
    agree(own, in_child(programme, problem, 4.0))
    if own is not None and own.points is not None:
        # The judge sees every reference: none is lost by looking at more.
        assert judged(day, grid_min).bound >= own.points


@pytest.mark.slow
@pytest.mark.parametrize("seed", FLOWING)
def test_time_indexed_programme_agrees(seed):
    """Without matches, what a MILP solver proves of 6 shots is what the solver found."""
    problem = make_problem(fit_day(random_day(seed, 6)), 20)
    agree(solved(problem), in_child(mip, problem, 5.0))


@pytest.mark.parametrize("seed", [0, 25, 38])
def test_a_lone_shot_of_a_match_pays_the_grid(seed):
    """With no drift free, the judge and the bound charge a shot made alone the same."""
    day = random_day(seed, 4, ("keel",))
    day = replace(day, costs=replace(day.costs, match_free_deg=0.0, match=3000))
    plan = judged(day, 20)
    assert plan.bound >= plan.points


def test_days_are_of_every_kind():
    """Among the days are some with every rule and cost there is, and more than forty in all."""
    days = [small_day(seed)[0] for seed in (*QUICK, *SMALL)]
    days += [plain_day(seed)[0] for seed in PLAIN] + [matched_day(seed)[0] for seed in MATCHED]
    shots = [shot for day in days for shot in day.shots]
    problems = [make_problem(fit_day(day), 15) for day in days]
    assert len(days) > 40
    assert any(shot.pin is not None for shot in shots)
    assert any(shot.pin is not None and shot.pin.minute % 5 for shot in shots)
    assert any(shot.hold for shot in shots)
    assert any(shot.after for shot in shots)
    assert any(shot.cast for shot in shots)
    assert any(shot.rig for shot in shots)
    assert any(day.spot("mill").open for day in days)
    assert any(day.hours.wrap < day.hours.hard_wrap for day in days)
    assert any(problem.pair_cost.any() for problem in problems)
    assert any(problem.match.max() == 1 for problem in problems)
    assert any(problem.can_skip_meal.all() for problem in problems)
    assert any(not problem.can_skip_meal.all() for problem in problems)
