"""The choices for the rest of a day: the best order, the same order later, and one shot dropped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

import numpy as np

from sunsched.day.model import Shot
from sunsched.day.past import made_ids
from sunsched.errors import DayImpossible
from sunsched.light.fit import IntArray
from sunsched.plan.crew import Crew, crew_figures
from sunsched.plan.plan import Plan, describe_plan
from sunsched.plan.score import score
from sunsched.plan.timetable import Timetable
from sunsched.solver.answer import Answer, timetable_of
from sunsched.solver.bound.branch_and_bound import Start
from sunsched.solver.conflict import collision_text
from sunsched.solver.feasibility import COMPARISONS, is_possible
from sunsched.solver.instance.tables import LOST, whole_points
from sunsched.solver.search.budget import Patience, until
from sunsched.solver.search.progress import Progress
from sunsched.solver.solve import solve
from sunsched.underway.rest import Rest, carried_on, pose_rest, stopped, turned_round
from sunsched.whatif.orders.best_times import (
    Case,
    Ground,
    Times,
    best_timing,
    breach_points,
    first_look,
    make_case,
    make_ground,
)
from sunsched.whatif.orders.subsequence import most_in_order


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One way to go on.

    `plan` is judged on the whole day, what is made included. `turned` counts the pairs of shots
    that it makes the other way round than planned, and `turned_points` is what they cost beside
    the plan's points. `dropped` is the shot that it drops from the push.
    """

    plan: Plan
    crew: Crew
    turned: int
    turned_points: int
    dropped: Shot | None = None

    @property
    def worth(self) -> int:
        """Give the points of the plan, less those for the pairs turned round."""
        return self.plan.points - self.turned_points


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """All ways to go on; one that cannot be had is None."""

    best: Choice
    push: Choice | None
    drop_one: Choice | None


def find_choices(
    rest: Rest,
    *,
    limit_s: float | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Choices:
    """Find the choices for the rest of a day.

    Where what was planned can be kept as it stands and nothing is worth more, it is kept, minute by
    minute; where the push is worth as much as any other order, best is the push.

    Parameters
    ----------
    limit_s, progress : as for `make_plan`

    Raises
    ------
    DayImpossible
        When no plan obeys the rules; the text says which collide.
    Undecided
        When there was not the time to find a plan, or to prove that there is none.
    """
    goes_on, began = until(limit_s), monotonic()
    ground = make_ground(rest.problem, breach_points(rest.problem))
    pushed = _pushed(rest, ground)
    later = None if pushed is None else timetable_of(rest.fit, rest.problem, pushed)
    push = _better(rest, carried_on(rest), later)
    if push is None and not rest.must_go_on:
        push = stopped(rest.day)
    one_less = None if push is None else _one_less(rest, ground, push)
    best, bound = push, LOST
    if rest.can_go_on:
        answer = solve(rest.near, near=pushed, limit_s=limit_s, progress=progress)
        if answer is not None:
            best = _better(rest, best, timetable_of(rest.fit, rest.near, answer))
            bound = whole_points(rest.near, answer.bound)
    if one_less is not None:
        best = _better(rest, best, one_less[1])
    if best is None and rest.problem.grid_min > 1:
        patience = Patience(left=COMPARISONS, goes_on=goes_on)
        if is_possible(rest.day, patience):
            minutely = pose_rest(rest.day, rest.planned, 1)
            left_s = None if limit_s is None else max(0.0, limit_s - (monotonic() - began))
            return find_choices(minutely, limit_s=left_s, progress=progress)
    if best is None:
        raise DayImpossible(collision_text(rest.day, goes_on))
    # One bound for all of them: that the push is the best is known only if nothing is worth more.
    bound = max(bound, _worth(rest, best))
    return Choices(
        best=_choice(rest, best, bound),
        push=None if push is None else _choice(rest, push, bound),
        drop_one=None
        if one_less is None
        else _choice(rest, one_less[1], bound, dropped=one_less[0]),
    )


def _choice(rest: Rest, timetable: Timetable, bound: int, dropped: Shot | None = None) -> Choice:
    """Judge and describe a choice; no plan is worth more than `bound`, turned pairs paid."""
    turned = turned_round(rest, timetable)
    paid = turned * rest.day.costs.turned_round
    plan = describe_plan(rest.fit, timetable, bound + paid, rest.problem.grid_min)
    crew = crew_figures(rest.day, timetable)
    return Choice(plan=plan, crew=crew, turned=turned, turned_points=paid, dropped=dropped)


def _better(rest: Rest, one: Timetable | None, other: Timetable | None) -> Timetable | None:
    """Give the timetable that is worth more, the first of two that are worth the same."""
    if one is None or other is None:
        return other if one is None else one
    return one if _worth(rest, one) >= _worth(rest, other) else other


def _worth(rest: Rest, timetable: Timetable) -> int:
    paid = rest.day.costs.turned_round * turned_round(rest, timetable)
    return score(rest.fit, timetable).total - paid


def _pushed(rest: Rest, ground: Ground) -> Answer | None:
    """Find the plan's own order, later, as the start of a search for the best one."""
    index = {shot_id: k for k, shot_id in enumerate(rest.problem.ids)}
    made = _indices(index, [roll.shot_id for roll in stopped(rest.day).rolls])
    times = most_in_order(ground, made, [index[shot_id] for shot_id in rest.order])
    return None if times is None else _answer(rest, times)


def _one_less(rest: Rest, ground: Ground, push: Timetable) -> tuple[Shot, Timetable] | None:
    """Find the shot without which the rest of the push is worth most, and that rest."""
    index = {shot_id: k for k, shot_id in enumerate(rest.problem.ids)}
    made = made_ids(rest.day.past)
    ids = [roll.shot_id for roll in push.rolls]
    cases: list[tuple[int, str, Case]] = []
    for shot_id in ids:
        if shot_id in made or rest.problem.must[index[shot_id]] or len(ids) == 1:
            continue
        case = make_case(ground, _indices(index, [one for one in ids if one != shot_id]), None)
        bound = first_look(case)[0]
        if bound > LOST:
            cases.append((bound, shot_id, case))
    best: tuple[str, Times] | None = None
    for bound, shot_id, case in sorted(cases, key=lambda one: -one[0]):
        least = LOST if best is None else best[1].value
        if bound > least and (times := best_timing(case, more_than=least)) is not None:
            best = (shot_id, times)
    if best is None:
        return None
    answer = _answer(rest, best[1])
    return rest.day.shot(best[0]), timetable_of(rest.fit, rest.problem, answer)


def _answer(rest: Rest, times: Times) -> Answer:
    """Give times as an answer from which a search can start.

    Most of what was planned still fits, so nothing is charged for a shot to begin with.
    """
    near = rest.near
    n, _, suns = near.drift.shape
    free = np.zeros((n, suns), dtype=np.int64)
    return Answer(
        ids=near.ids,
        sequence=times.sequence,
        starts=times.starts,
        meal=times.meal,
        value=times.value,
        bound=times.value,
        references=np.zeros(int(near.match.max()) + 1, dtype=np.int64),
        start=Start(
            prices=np.zeros(n, dtype=np.int64),
            sun_prices=free,
            are_suns_priced=True,
            sets=((),) * n,
        ),
    )


def _indices(index: dict[str, int], ids: list[str]) -> IntArray:
    return np.array([index[shot_id] for shot_id in ids], dtype=np.int64)
