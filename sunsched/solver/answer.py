"""The solver's answer: a sequence in its slots, and what a solve of a day like it starts from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sunsched.light.fit import DayFit, IntArray
from sunsched.plan.plan import meal_before, place_changeovers
from sunsched.plan.timetable import Timetable
from sunsched.solver.bound.branch_and_bound import Start, first_start
from sunsched.solver.bound.ng_states import Shots
from sunsched.solver.bound.node import balanced
from sunsched.solver.certificate.record import Certificate
from sunsched.solver.instance.problem import Problem
from sunsched.solver.search.incumbent import Incumbent

# States: where more are carried over, each sweep from the first on costs as much as the last ones
# of the other problem, and what is still open is not reached.
CARRIED = 800


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The best sequence found for a problem, timed, with its value and bound in scaled points.

    Neither has anything on top for what must be made. `ids` are the problem's; `references` and
    `start` are what a solve of a day like it starts from.
    """

    ids: tuple[str, ...]
    sequence: IntArray
    starts: IntArray
    meal: int
    value: int
    bound: int
    references: IntArray
    start: Start
    certificate: Certificate | None = None

    @property
    def is_proven(self) -> bool:
        """Whether no plan is worth more."""
        return self.bound <= self.value


def carried(problem: Problem, best: Incumbent, near: Answer) -> Start:
    """Turn what was learnt from another problem into a start for this one, and offer its order."""
    start = first_start(best)
    index = {name: shot for shot, name in enumerate(problem.ids)}
    old = [near.ids.index(name) if name in near.ids else -1 for name in problem.ids]
    known = np.array([shot >= 0 for shot in old])
    now_of = {was: now for now, was in enumerate(old) if was >= 0}
    prices, sun_prices = start.prices.copy(), start.sun_prices.copy()
    prices[known] = near.start.prices[[shot for shot in old if shot >= 0]]
    if near.start.sun_prices.shape[1] == sun_prices.shape[1] and known.all():
        sun_prices = near.start.sun_prices[old]
    sets = tuple(
        tuple(sorted(now_of[other] for other in near.start.sets[was] if other in now_of))
        if was >= 0
        else ()
        for was in old
    )
    order = [index[near.ids[shot]] for shot in near.sequence if near.ids[shot] in index]
    slots = [
        int(slot)
        for shot, slot in zip(near.sequence, near.starts, strict=True)
        if near.ids[shot] in index
    ]
    best.offer_path(np.array([order, slots], dtype=np.int64).T.reshape(-1, 2))
    return Start(
        prices=prices,
        sun_prices=balanced(problem.match, sun_prices),
        are_suns_priced=near.start.are_suns_priced,
        sets=_within(sets),
    )


def _within(sets: tuple[Shots, ...]) -> tuple[Shots, ...]:
    """Take shots out of the largest memories until there are no more states than are carried."""
    most = max(map(len, sets), default=0)
    while most > 0 and sum(1 << len(one) for one in sets) > CARRIED:
        most -= 1
        sets = tuple(one[:most] for one in sets)
    return sets


def timetable_of(fit: DayFit, problem: Problem, answer: Answer) -> Timetable:
    """Put an answer's slots back on the clock."""
    day = fit.day
    rolls = [
        (day.shots[s], fit.time_of(problem.start_minute(s, int(slot))))
        for s, slot in zip(answer.sequence.tolist(), answer.starts, strict=True)
    ]
    meal_start = None if day.past is None else day.past.meal_start
    if answer.meal >= 0:
        meal_start = meal_before(day, rolls, answer.meal)
    return Timetable(rolls=place_changeovers(day, rolls, meal_start), meal_start=meal_start)
