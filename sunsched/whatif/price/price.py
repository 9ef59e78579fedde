"""What a decision costs: the best plan that obeys it, against the best plan of all."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from sunsched.day.decided import decided_day, demand_text
from sunsched.day.demand import Decision, MealAt, RollAt
from sunsched.day.model import Day
from sunsched.errors import DayImpossible, Undecided
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.crew import Crew, crew_figures
from sunsched.plan.plan import LeftOut, Plan, describe_plan
from sunsched.plan.score import Score, score
from sunsched.plan.timetable import Timetable
from sunsched.solver.answer import Answer, timetable_of
from sunsched.solver.build import make_problem
from sunsched.solver.instance.problem import FORBIDDEN, Problem
from sunsched.solver.instance.tables import whole_points
from sunsched.solver.search.budget import Stopped
from sunsched.solver.search.progress import Progress
from sunsched.solver.solve import solve
from sunsched.solver.solved import Solved
from sunsched.underway.rest import made_scores
from sunsched.whatif.price.decision import (
    check_decision,
    cut_shots,
    decided_problem,
    set_aside,
)
from sunsched.whatif.price.refusal import refusal_text
from sunsched.whatif.starts import is_shut

PROBE_S = 2.0  # seconds after which a search for any plan at all gives up
SHARED = ("waiting", "after_meal", "wide_to_tight", "overtime", "moves", "rig_changes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What a decision costs.

    `sets_aside` names the rules of the day that it lifts, `plan` is the best one that obeys it.
    `points_lost` is below the best plan of all (negative for a decision that lifts a rule and
    wins), exact when `is_proven`, else at least `least_lost`; `light_lost` is a share of all
    weights. `pays` names the shots that lose points (or win them, below 0), the most first,
    `shared` does so for the costs of no single shot; together they are `points_lost`. The overtime
    of both crews is counted from the wrap of the day as it was. On a day under way, what a moved
    wrap saves or costs of what is made already is not counted.
    """

    decision: tuple[str, ...]
    sets_aside: tuple[str, ...]
    plan: Plan
    points_lost: int
    least_lost: int
    light_lost: float
    pays: tuple[tuple[str, int], ...]
    shared: tuple[tuple[str, int], ...]
    crew: Crew
    crew_before: Crew

    @property
    def is_proven(self) -> bool:
        """Whether no plan that obeys the decision loses fewer points."""
        return self.least_lost == self.points_lost


def price(
    solved: Solved,
    decision: Decision,
    *,
    limit_s: float | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Price:
    """Find the best plan that obeys a decision and say what it loses.

    Parameters
    ----------
    solved : the day with its plan, of `solve_day`
    decision : what somebody wants, of `read_decision`
    limit_s, progress : as for `make_plan`

    Returns
    -------
    Price
        The best plan that obeys, and what it loses in points and in light.

    Raises
    ------
    SunschedError
        When it names a shot or cast member that the day does not have.
    DayImpossible
        When no plan obeys it, or none is found; the text says which, and names the nearest
        decision that one obeys.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> day = solved.fit.day
    >>> asked = sunsched.Asked(shots=["1"], at=["12:00"])
    >>> found = sunsched.price(solved, sunsched.read_decision(day, asked))
    >>> print(found.decision, found.points_lost > 0, found.is_proven)
    ('1 rolls at 12:00',) True True
    """
    refuse_impossible(solved, decision)
    day = solved.fit.day
    fit, problem = decided(day, decision, solved.problem.grid_min)
    answer = solve(problem, near=solved.answer, limit_s=limit_s, progress=progress)
    if answer is None:
        look = partial(probe, solved)
        raise DayImpossible(refusal_text(day, decision, look, is_certain=True))
    return _priced(solved, decision, _judged_plan(solved, decision, fit, problem, answer))


def refuse_impossible(solved: Solved, decision: Decision) -> None:
    """Refuse a decision that no plan for planned minutes obeys, or none that is found."""
    day = solved.fit.day
    check_decision(day, decision)
    # Any plan is quickly found where there is one; to prove that there is none may take long.
    look = partial(probe, solved)
    try:
        is_certain = _any_timetable(solved, day, decision, None) is None
    except Undecided:
        raise DayImpossible(refusal_text(day, decision, look, is_certain=False)) from None
    if is_certain:
        raise DayImpossible(refusal_text(day, decision, look, is_certain=True))


def probe(solved: Solved, day: Day, decision: Decision, aim: RollAt | None) -> Timetable | None:
    """Look for any plan of a changed day that obeys a decision; None when none is found.

    Parameters
    ----------
    aim : the roll that it should come as near to as can be
    """
    with suppress(Undecided):
        return _any_timetable(solved, day, decision, aim)
    return None


def _any_timetable(
    solved: Solved, day: Day, decision: Decision, aim: RollAt | None
) -> Timetable | None:
    """Look for any plan as `probe` does; None when it is proven that there is none."""
    fit, problem = decided(day, decision, solved.problem.grid_min)
    if aim is not None:
        problem = _drawn_to(fit, problem, aim)
    if is_shut(problem):
        return None

    def enough(_now: Progress) -> None:
        raise Stopped

    answer = solve(
        problem,
        # Prices of light say nothing where only minutes count.
        near=solved.answer if aim is None else None,
        limit_s=PROBE_S,
        progress=None if aim is not None else enough,
    )
    if answer is None:
        return None
    return timetable_of(fit, problem, answer)


def decided(day: Day, decision: Decision, grid_min: int) -> tuple[DayFit, Problem]:
    """Pose a day under a decision."""
    fit = fit_checked(decided_day(day, decision))
    return fit, decided_problem(fit, make_problem(fit, grid_min), decision)


def _drawn_to(fit: DayFit, problem: Problem, aim: RollAt) -> Problem:
    """Let only the minutes count by which a shot's roll misses the time asked for."""
    gain = np.where(problem.gain > FORBIDDEN, 0, problem.gain)
    shot = problem.ids.index(aim.shot)
    starts = problem.origin + np.arange(problem.slots) * problem.grid_min + problem.offset[shot]
    off = np.abs(starts - fit.minute_of(aim.time))
    gain[:, shot] -= np.where(gain[:, shot] > FORBIDDEN, off, 0)
    return replace(
        problem,
        gain=gain,
        arc_cost=np.zeros_like(problem.arc_cost),
        pair_cost=np.zeros_like(problem.pair_cost),
        after_meal_cost=np.zeros_like(problem.after_meal_cost),
        end_cost=np.zeros_like(problem.end_cost),
        drift=np.zeros_like(problem.drift),
    )


def _judged_plan(
    solved: Solved, decision: Decision, fit: DayFit, problem: Problem, answer: Answer
) -> Plan:
    """Judge an answer; shots that are cut count as left out."""
    timetable = timetable_of(fit, problem, answer)
    meals = [demand.time for demand in decision if isinstance(demand, MealAt)]
    if meals and timetable.meal_start is None:
        timetable = replace(timetable, meal_start=meals[0])  # after the last roll: no cost
    gone = cut_shots(decision)
    gap = whole_points(problem, answer.bound) - whole_points(problem, answer.value)
    bound = score(fit, timetable).total + gap
    plan = describe_plan(fit, timetable, bound, problem.grid_min)
    was_made = {one.shot.id for one in solved.plan.shots}
    left_out = tuple(_left_out(left, gone, was_made) for left in plan.left_out)
    return replace(plan, left_out=left_out)


def _left_out(left: LeftOut, gone: frozenset[str], was_made: set[str]) -> LeftOut:
    """Say why a shot is left out of a decided day: if the best plan makes it, by the decision."""
    if left.shot.id in gone:
        return replace(left, why="the decision cuts it")
    if left.shot.id in was_made:
        weight = f"{left.shot.weight:g} of weight"
        return replace(left, why=f"the decision leaves no place for it that is worth its {weight}")
    return left


def _priced(solved: Solved, decision: Decision, plan: Plan) -> Price:
    day, before = solved.fit.day, solved.plan
    made, made_now = made_scores(solved.fit, plan.fit)
    pays = [
        (shot.id, lost)
        for shot in day.shots
        if (
            lost := _own_lost(before.score, plan.score, shot.id)
            - _own_lost(made, made_now, shot.id)
        )
    ]
    shared = [
        (name, lost)
        for name in SHARED
        if (lost := _paid_more(before.score, plan.score, name) - _paid_more(made, made_now, name))
    ]
    gone = made_now.total - made.total
    return Price(
        decision=tuple(demand_text(day, demand) for demand in decision),
        sets_aside=set_aside(day, decision),
        plan=plan,
        points_lost=before.points - plan.points + gone,
        least_lost=before.points - plan.bound + gone,
        light_lost=before.light_kept - plan.light_kept,
        pays=tuple(sorted(pays, key=lambda pay: -pay[1])),
        shared=tuple(sorted(shared, key=lambda pay: -pay[1])),
        crew=crew_figures(day, plan.timetable),
        crew_before=crew_figures(day, before.timetable),
    )


def _paid_more(before: Score, after: Score, name: str) -> int:
    """Give what is paid more for one of the costs of no single shot."""
    return int(getattr(after, name)) - int(getattr(before, name))


def _own_lost(before: Score, after: Score, shot_id: str) -> int:
    """Give what a shot earns less, its part of the match and the cost of leaving it out paid."""

    def own(worth: Score) -> int:
        earned = worth.light.get(shot_id, 0) - worth.match.get(shot_id, 0)
        return earned - worth.left_out.get(shot_id, 0)

    return own(before) - own(after)
