"""From a day to its best plan: a good order first, then a bound that says how good it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import numpy as np

from sunsched.day.model import Day
from sunsched.errors import DayImpossible
from sunsched.order.collide import collision_text
from sunsched.order.fit import DayFit, IntArray, fit_day
from sunsched.order.matches import prove_matches
from sunsched.order.plan import Plan, describe_plan, place_changeovers
from sunsched.order.problem import Problem, make_problem
from sunsched.order.search import Found, insert_all, ruin_and_recreate, set_references
from sunsched.order.sequence import best_times
from sunsched.order.tables import LOST, Tables, make_tables, whole_points
from sunsched.order.timetable import Timetable

SEEDS = (1, 2, 3, 4)  # independent searches: one alone misses the best order of some full days
ROUNDS = 1000  # of each: more found nothing better on days of up to 20 shots


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The best sequence found for a problem, timed, with its value and bound in scaled points."""

    sequence: IntArray
    starts: IntArray
    meal: int
    value: int
    bound: int


def make_plan(day: Day, *, grid_min: int = 5) -> Plan:
    """Find the plan that keeps the most light, with a bound on every other (about a second).

    Parameters
    ----------
    grid_min : minutes between two possible starts

    Raises
    ------
    DayImpossible
        When no plan obeys the day's rules, or none gives any shot any light.
    """
    fit = fit_day(day)
    problem = make_problem(fit, grid_min)
    answer = solve(problem)
    if answer is None:
        raise DayImpossible(collision_text(day, is_possible))
    if problem.dark:
        raise DayImpossible(_no_light_text(fit))
    bound = whole_points(problem, answer.bound)
    return describe_plan(fit, _timetable(fit, problem, answer), bound, grid_min)


def solve(problem: Problem) -> Answer | None:
    """Solve a problem; None when nothing that must be made can be made."""
    if problem.shots == 0:
        return None
    tables = make_tables(problem)
    found = _search(tables, problem, SEEDS[:1], ROUNDS)
    if found is None:
        return None
    bound = prove_matches(tables, problem.drift, problem.match, found.value)
    if bound > found.value:
        # Either the order or the bound is not good enough yet: look for an order once more.
        more = _search(tables, problem, SEEDS[1:], ROUNDS)
        if more is not None and more.value > found.value:
            found = more
            bound = min(bound, prove_matches(tables, problem.drift, problem.match, found.value))
    matched = tables._replace(gain=tables.gain.copy())
    set_references(matched.gain, tables.gain, problem.drift, problem.match, found.references)
    _, starts, meal = best_times(matched, found.sequence, len(found.sequence))
    return Answer(
        sequence=found.sequence,
        starts=starts,
        meal=int(meal),
        value=found.value,
        bound=max(bound, found.value),
    )


def is_compiled() -> bool:
    """Say whether compiled functions are kept from an earlier run, so that a solve starts fast."""
    return any(Path(str(insert_all.stats.cache_path)).glob("search.insert_all*.nbi"))


def is_possible(day: Day) -> bool:
    """Say whether the search finds any plan that obeys the day's rules."""
    problem = make_problem(fit_day(day))
    return problem.shots > 0 and _search(make_tables(problem), problem, SEEDS[:1], 200) is not None


def _search(tables: Tables, problem: Problem, seeds: tuple[int, ...], rounds: int) -> Found | None:
    """Give the best of several searches; None when none makes all that must be made."""
    found = max(
        (ruin_and_recreate(tables, problem.drift, problem.match, rounds, seed) for seed in seeds),
        key=lambda one: one.value,
    )
    made = np.isin(np.flatnonzero(problem.must), found.sequence)
    return found if found.value > LOST and bool(made.all()) else None


def _timetable(fit: DayFit, problem: Problem, answer: Answer) -> Timetable:
    """Put an answer's slots back on the clock."""
    day = fit.day
    rolls = [
        (day.shots[s], fit.time_of(problem.start_minute(s, int(slot))))
        for s, slot in zip(answer.sequence.tolist(), answer.starts, strict=True)
    ]
    meal_start = None
    if answer.meal >= 0:
        first_meal = problem.origin + problem.meal_offset
        meal_start = fit.time_of(first_meal + problem.meal_from * problem.grid_min)
        if answer.meal > 0:
            before, start = rolls[answer.meal - 1]
            free = start + timedelta(minutes=before.shoot_min)
            late = -(fit.minute_of(free) - first_meal) % problem.grid_min
            meal_start = max(meal_start, free + timedelta(minutes=late))
    return Timetable(rolls=place_changeovers(day, rolls, meal_start), meal_start=meal_start)


def _no_light_text(fit: DayFit) -> str:
    """Say for each shot which part of its fit fails all through the hours."""
    first = fit.minute_of(fit.day.hours.first_roll)
    last = fit.minute_of(fit.day.hours.hard_wrap)
    lines = ["no shot gets any of its light within the hours"]
    for shot in fit.day.shots:
        parts = fit.shots[shot.id].parts
        worst = min(parts, key=lambda name: float(parts[name][first : last + 1].max()))
        lines.append(f"  {shot.id}: its {worst} is never met while another part is")
    return "\n".join(lines)
