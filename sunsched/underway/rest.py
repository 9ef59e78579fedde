"""The rest of a day under way, beside the plan that was followed so far."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from sunsched.day.model import Day
from sunsched.day.past import made_ids
from sunsched.folder.check import check_day
from sunsched.light.fit import DayFit, fit_checked
from sunsched.plan.plan import place_changeovers
from sunsched.plan.rules import breaches
from sunsched.plan.score import Score, score
from sunsched.plan.timetable import Roll, Timetable
from sunsched.solver.build import make_problem
from sunsched.solver.instance.changes import near_order
from sunsched.solver.instance.problem import FORBIDDEN, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """The rest of a day posed as a problem.

    Attributes
    ----------
    fit : that of the day with its past
    problem : what is worth most, whatever was planned
    near : the same with the cost of each pair of shots turned round against the plan
    planned : the plan that was followed
    order : ids of its shots that are still to come, in its order
    """

    fit: DayFit
    problem: Problem
    near: Problem
    planned: Timetable
    order: tuple[str, ...]

    @property
    def day(self) -> Day:
        """The day with its past."""
        return self.fit.day

    @property
    def can_go_on(self) -> bool:
        """Whether a shot that is still to come can start at all."""
        return bool((self.problem.gain[:, self._coming] > FORBIDDEN).any())

    @property
    def must_go_on(self) -> bool:
        """Whether a shot that is still to come must be made."""
        return bool(self.problem.must[self._coming].any())

    @property
    def _coming(self) -> list[int]:
        made = made_ids(self.day.past)
        return [k for k, shot_id in enumerate(self.problem.ids) if shot_id not in made]


def pose_rest(day: Day, planned: Timetable, grid_min: int) -> Rest:
    """Pose the rest of a day.

    Parameters
    ----------
    day : with its past
    planned : the plan that was followed; shots that the day does not have any more are ignored
    grid_min : minutes between two possible starts
    """
    check_day(day, grid_min=grid_min)
    fit = fit_checked(day)
    problem = make_problem(fit, grid_min)
    known = {shot.id for shot in day.shots} - day.over_ids
    order = tuple(roll.shot_id for roll in planned.rolls if roll.shot_id in known)
    places = [problem.ids.index(shot_id) for shot_id in order]
    near = near_order(problem, places, day.costs.turned_round)
    return Rest(fit=fit, problem=problem, near=near, planned=planned, order=order)


def turned_round(rest: Rest, timetable: Timetable) -> int:
    """Count the pairs of shots still to come that stand the other way round than planned."""
    place = {shot_id: k for k, shot_id in enumerate(rest.order)}
    places = [place[roll.shot_id] for roll in timetable.rolls if roll.shot_id in place]
    return sum(one > other for one, other in combinations(places, 2))


def stopped(day: Day) -> Timetable:
    """Give the timetable of a day in which nothing more is made."""
    past = day.past
    if past is None:
        return Timetable(rolls=())
    rolls = tuple(
        Roll(
            shot_id=one.shot_id,
            changeover_start=one.changeover_start,
            roll_start=one.roll_start,
        )
        for one in past.made
    )
    return Timetable(rolls=rolls, meal_start=past.meal_start)


def made_scores(before: DayFit, after: DayFit) -> tuple[Score, Score]:
    """Score what is made already by a day, and by the same day under other rules.

    No decision about the rest can win or lose the difference of the two.
    """
    made = stopped(before.day)
    return score(before, made), score(after, made)


def carried_on(rest: Rest) -> Timetable | None:
    """Give what was planned for the rest, at its own times; None where it breaks a rule now."""
    day, stands = rest.day, stopped(rest.day)
    starts = {roll.shot_id: roll.roll_start for roll in rest.planned.rolls}
    rolls = [(day.shot(roll.shot_id), roll.roll_start) for roll in stands.rolls]
    rolls += [(day.shot(shot_id), starts[shot_id]) for shot_id in rest.order]
    meal_start = stands.meal_start
    if meal_start is None and rest.order:
        meal_start = rest.planned.meal_start
    placed = place_changeovers(day, rolls, meal_start)
    timetable = Timetable(rolls=placed, meal_start=meal_start)
    return None if breaches(rest.fit, timetable) else timetable
