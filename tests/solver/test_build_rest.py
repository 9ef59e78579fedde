"""The rest of a day under way: what has happened stands, and the best of the rest is found.

Outside opinions: brute force over the tables, and, knowing nothing of any table, the judge asked
about every order, start and meal of a rest of two shots.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from draws import seeded
from oracles.brute import best_of_all
from oracles.days import random_day
from seeds import few_first
from under_way import by_chance, by_plan, every_rest, minutes

from sunsched.errors import DayImpossible, SunschedError
from sunsched.folder.read import read_day
from sunsched.light.fit import fit_day
from sunsched.plan.plan import Plan, describe_plan
from sunsched.plan.rules import breaches
from sunsched.plan.score import score
from sunsched.solver.build import make_problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.solve import make_plan, plan_of, solve

DATA = Path(__file__).parents[2] / "data"


def planned(seed: int) -> Plan | None:
    """Give the plan of a small random day, None for a day that has none."""
    matches = ((), ("keel",), ("keel", "lamp"))[seed % 3]
    try:
        return make_plan(random_day(seed, 5, matches), grid_min=20)
    except DayImpossible:
        return None


@pytest.mark.parametrize("seed", few_first(range(40), 5))
def test_the_rest_is_what_brute_force_finds(seed: int) -> None:
    """Shots that rolled at any minutes: brute force and judge agree with the solver's points."""
    plan = planned(seed)
    if plan is None or len(plan.shots) < 2:
        return  # a few of the random days are impossible from the start
    day = by_chance(plan, seeded(seed))
    fit = fit_day(day)
    problem = make_problem(fit, 20)
    answer = solve(problem)
    best = best_of_all(problem)
    assert answer is not None
    assert best is not None
    found = plan_of(fit, problem, answer)
    assert found.points == whole_points(problem, answer.value) == best[0]
    assert found.status == "proven"
    assert breaches(fit, found.timetable) == ()
    assert score(fit, found.timetable).total == found.points


@pytest.mark.slow
@pytest.mark.parametrize("seed", few_first([21, 24, *range(14)], 6))
def test_the_rest_is_the_best_that_the_judge_knows(seed: int) -> None:
    """No table is trusted: the judge is asked about everything that could still be done."""
    plan = planned(seed)
    if plan is None or len(plan.day.shots) - len(plan.shots) > 1:
        return
    random = seeded(seed)
    day = by_chance(plan, random)
    while day.past is None or len(day.shots) - len(day.past.made) - len(day.past.cut) > 2:
        day = by_chance(plan, random)
    fit = fit_day(day)
    problem = make_problem(fit, 20)
    answer = solve(problem)
    assert answer is not None
    assert plan_of(fit, problem, answer).points == every_rest(fit, 20)


@pytest.mark.parametrize("name", ["last-lamp", "ferry-light"])
def test_no_delay_changes_nothing(name: str) -> None:
    """Whenever a planned day is looked at again, its rest is worth and ends as it did.

    Orders of one worth and wrap may differ: only next to a saved plan is one better than another.
    """
    plan = make_plan(read_day(DATA / name))
    for made in range(0, len(plan.shots) + 1, 3):
        fit = fit_day(by_plan(plan, made))
        problem = make_problem(fit)
        answer = solve(problem)
        assert answer is not None
        again = plan_of(fit, problem, answer)
        assert (again.points, again.status) == (plan.points, "proven")
        assert again.shots[-1].roll_end == plan.shots[-1].roll_end


def test_what_was_made_stays_and_has_no_last_start() -> None:
    """Made shots keep their times, are said to be made, and can start no later."""
    plan = make_plan(read_day(DATA / "ferry-light"))
    fit = fit_day(by_plan(plan, 4, late_min=50))
    problem = make_problem(fit)
    answer = solve(problem)
    assert answer is not None
    rest = plan_of(fit, problem, answer)
    assert rest.timetable.rolls[:4] == plan.timetable.rolls[:4]
    assert [one.last_start for one in rest.shots[:4]] == [None] * 4
    assert all(one.why.startswith("made") for one in rest.shots[:4])
    assert rest.points < plan.points


def test_a_shot_being_built_needs_not_be_built_again() -> None:
    """The shot whose changeover goes on can roll as planned; without that it rolls later."""
    plan = make_plan(read_day(DATA / "last-lamp"))
    third = plan.shots[3]
    day = by_plan(plan, 3)
    assert day.past is not None
    at = third.roll_start - minutes(2)
    goes_on = replace(
        day.past, at=at, free_at=at, building=third.shot.id, built_since=third.changeover_start
    )
    for behind, kept in ((goes_on, True), (replace(goes_on, building=None), False)):
        fit = fit_day(replace(day, past=behind))
        problem = make_problem(fit)
        answer = solve(problem)
        assert answer is not None
        rolls = {r.shot_id: r for r in plan_of(fit, problem, answer).timetable.rolls}
        assert (rolls[third.shot.id].roll_start == third.roll_start) is kept


def test_a_meal_that_was_had_is_not_had_again() -> None:
    """The meal of the past stays where it was, and a plan with another one is refused."""
    plan = make_plan(read_day(DATA / "last-lamp"))
    assert plan.meal is not None
    made = sum(one.roll_end <= plan.meal.start for one in plan.shots) + 1
    day = by_plan(plan, made)
    assert day.past is not None
    assert day.past.meal_start == plan.meal.start
    fit = fit_day(day)
    assert describe_plan(fit, plan.timetable, plan.bound).points == plan.points
    later = replace(plan.timetable, meal_start=plan.meal.start + minutes(5))
    with pytest.raises(SunschedError, match="the meal that was had is not where it was"):
        describe_plan(fit, later, plan.bound)


def test_a_day_that_is_over_pays_its_overtime_and_owes_no_meal() -> None:
    """When all is made, what is left to decide is nothing; the judge's points are the plan's."""
    plan = make_plan(read_day(DATA / "ferry-light"))
    day = by_plan(plan, len(plan.shots))
    assert day.past is not None
    hours = replace(day.hours, wrap=plan.shots[-1].roll_end - minutes(7))
    meal = replace(day.meal, earliest=hours.crew_call, latest=hours.crew_call)
    day = replace(day, hours=hours, meal=meal, past=replace(day.past, meal_start=None))
    fit = fit_day(day)
    problem = make_problem(fit)
    answer = solve(problem)
    assert answer is not None
    over = plan_of(fit, problem, answer)
    assert over.score.overtime == 7 * day.costs.overtime
    assert over.points == whole_points(problem, answer.value)
    assert over.meal is None
