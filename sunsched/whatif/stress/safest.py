"""The orders that cope best with overruns: those of days with longer minutes, on the real day.

An order found for a day on which everything takes longer leaves room where overruns would hurt.
Each is put on the real day's clock as well as it can be and stressed on the same drawn days.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sunsched.day.model import Day
from sunsched.errors import Undecided
from sunsched.light.fit import fit_checked
from sunsched.plan.timetable import Timetable, meal_place
from sunsched.solver.build import make_problem
from sunsched.solver.solve import timetable_of
from sunsched.solver.solved import Solved, short_answer
from sunsched.whatif.orders.order import Order
from sunsched.whatif.orders.put_on_clock import Desk, put_on_clock
from sunsched.whatif.stress.stress import DAYS, TENTH, Stress, stress

STRETCHES_PERCENT = (10, 20, 30)
LOOKS = 600  # at the best plan and its bound, before the solve of a stretched day ends


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """An order on the real day's clock, stressed.

    `percents` are the stretches whose days have it as their order, 0 for the real day itself.
    """

    percents: tuple[int, ...]
    stress: Stress

    @property
    def left_out_ids(self) -> list[str]:
        """The shots of the day that the order does not have."""
        made = {shot.shot.id for shot in self.stress.shots}
        return [shot.id for shot in self.stress.fit.day.shots if shot.id not in made]


@dataclass(frozen=True, slots=True, kw_only=True)
class Safest:
    """The plan's own order, first, and the others; each order once.

    `not_found` are the stretches, percent, for whose days no order was found.
    """

    candidates: tuple[Candidate, ...]
    not_found: tuple[int, ...]

    @property
    def planned(self) -> Candidate:
        """The plan's own order."""
        return self.candidates[0]

    @property
    def best_mean(self) -> Candidate:
        """The order that keeps the most light on the mean day."""
        return max(self.candidates, key=lambda one: float(one.stress.light_kept.mean()))

    @property
    def best_tenth(self) -> Candidate:
        """The order that keeps the most light in the worst tenth of all days."""
        return max(self.candidates, key=lambda one: one.stress.light_at(TENTH))

    def points_lost(self, candidate: Candidate) -> int:
        """Give what an order is worth less than the plan when nothing overruns."""
        return self.planned.stress.planned_points - candidate.stress.planned_points


def safest(solved: Solved, *, days: int = DAYS, seed: int = 1) -> Safest:
    """Look for the orders that keep the most light under overruns.

    Parameters
    ----------
    solved : the real day with its plan
    days, seed : as for `stress`

    Returns
    -------
    Safest
        The orders that were tried, on the same drawn days.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> found = sunsched.safest(solved, days=100)
    >>> len(found.candidates) > 0
    True
    """
    desk = Desk(fit=solved.fit, grid_min=solved.plan.grid_min, known=solved.plan)
    orders = {_order(solved.plan.timetable): [0]}
    not_found = []
    for percent in STRETCHES_PERCENT:
        order = _stretched_order(solved, percent)
        if order is None:
            not_found.append(percent)
        else:
            orders.setdefault(order, []).append(percent)
    found = []
    for order, percents in orders.items():
        timetable = solved.plan.timetable if 0 in percents else put_on_clock(desk, order).timetable
        tried = stress(solved.fit, timetable, days=days, seed=seed)
        found.append(Candidate(percents=tuple(percents), stress=tried))
    return Safest(candidates=tuple(found), not_found=tuple(not_found))


def stretched(day: Day, percent: int) -> Day:
    """Give the day on which what is still to come takes longer, in minutes rounded up."""
    made = set() if day.past is None else {one.shot_id for one in day.past.made}

    def longer(minutes: int) -> int:
        return -(-minutes * (100 + percent) // 100)

    return replace(
        day,
        shots=tuple(
            replace(
                shot,
                setup_min=longer(shot.setup_min),
                adjust_min=longer(shot.adjust_min),
                shoot_min=shot.shoot_min if shot.id in made else longer(shot.shoot_min),
            )
            for shot in day.shots
        ),
        moves=tuple(replace(move, minutes=longer(move.minutes)) for move in day.moves),
        changeover=replace(
            day.changeover,
            move_min=longer(day.changeover.move_min),
            turnaround_min=longer(day.changeover.turnaround_min),
        ),
    )


def _stretched_order(solved: Solved, percent: int) -> Order | None:
    """Give the best order of a stretched day; None where none is found."""
    fit = fit_checked(stretched(solved.fit.day, percent))
    problem = make_problem(fit, solved.plan.grid_min)
    try:
        answer = short_answer(solved, problem, looks=LOOKS)
    except Undecided:
        return None
    return None if answer is None else _order(timetable_of(fit, problem, answer))


def _order(timetable: Timetable) -> Order:
    ids = tuple(roll.shot_id for roll in timetable.rolls)
    return Order(ids=ids, times=(None,) * len(ids), meal_after=meal_place(timetable))
