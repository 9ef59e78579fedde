"""What a decision costs on the average day: the best order that obeys it, against the best of all.

Both sides are orders that were found, so the price is one that was found; what the best crew of all
would lose lies between two bounds. If an order that obeys the decision turns out better than the
best one known, and the decision lifts no rule, then it is the best one known of the day itself.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import timedelta
from math import ceil, inf

from sunsched.average.ground import Ground
from sunsched.average.order.forecast import Policy
from sunsched.average.order.search import Ordered
from sunsched.average.plan import AveragePlan
from sunsched.average.solve import look
from sunsched.day.decided import demand_text
from sunsched.day.demand import Decision, RollAfter, RollAt, RollBefore
from sunsched.day.model import Day
from sunsched.errors import Undecided
from sunsched.plan.timetable import Timetable
from sunsched.solver.answer import timetable_of
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.solved import Solved, short_answer
from sunsched.underway.rest import made_scores
from sunsched.whatif.price.decision import set_aside
from sunsched.whatif.price.price import decided as pose_decided
from sunsched.whatif.price.price import refuse_impossible
from sunsched.whatif.price_average.ground import (
    decide,
    order_from_policy,
    order_from_timetable,
)
from sunsched.whatif.price_average.look import (
    Expected,
    best_of,
    expected,
    good_policy,
    improved,
)
from sunsched.whatif.price_average.pays import Pay, pays_of

SAME_SHARE = 0.0005  # of the days: pins that are kept less often by less are kept as often
LOOKS = 300  # how often the solve for an order to start from looks at its best plan and bound


@dataclass(frozen=True, slots=True, kw_only=True)
class AveragePrice:
    """What a decision costs on the average day.

    Attributes
    ----------
    decision, sets_aside : in words; the rules of the day that it lifts
    before, now : what the best orders keep that were found, without the decision and with it
    points_lost : between the two, below 0 for one that wins
    least_lost, most_lost : what the best crew of all would lose by it, at least and at most, if it
        keeps pins as often as these orders; None where there was no time for a bound
    pays : each shot still to come, as the order with the decision has them, then the others
    obeyed : each demand for a roll, in words, with the share of the days on which it is kept
    bound : points that no way of shooting that obeys the decision is worth more than; None where
        there was no time for one
    policy : the order with the decision, and the best way to follow it
    """

    decision: tuple[str, ...]
    sets_aside: tuple[str, ...]
    before: Expected
    now: Expected
    points_lost: int
    least_lost: int | None
    most_lost: int | None
    pays: tuple[Pay, ...]
    obeyed: tuple[tuple[str, float], ...]
    bound: int | None
    policy: Policy = field(compare=False)

    @property
    def light_lost(self) -> float:
        """Give the share of all light that is lost, below 0 where more is kept."""
        return self.before.light_kept - self.now.light_kept

    @property
    def later_min(self) -> int:
        """Give the minutes by which the crew stops later, on half of the days; below 0 earlier."""
        return round((self.now.stop - self.before.stop) / timedelta(minutes=1))

    @property
    def other_lost(self) -> int:
        """Give what is lost by no single shot: moves, rigs, waiting, overtime, matches."""
        return self.points_lost - sum(pay.points_lost for pay in self.pays)


def average_price(
    solved: Solved,
    best: AveragePlan,
    decision: Decision,
    *,
    limit_s: float | None = None,
    progress: Callable[[AveragePrice], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> AveragePrice:
    """Look for the best order that obeys a decision on the average day, and say what it loses.

    Parameters
    ----------
    solved : the day, solved for planned minutes
    best : its plan for the average day, of `average_plan`
    decision : what somebody wants, of `read_decision`
    limit_s : seconds for the search and its bound; None for a fixed amount of work
    progress : called with the price so far, each time that a better one or its bound is known
    is_ended : asked now and then; the search ends when it says so

    Returns
    -------
    AveragePrice
        What is lost in light, in minutes and in points, shot by shot, and between which bounds.

    Raises
    ------
    SunschedError, DayImpossible
        As `price` does: what no plan for planned minutes obeys is not priced.

    Examples
    --------
    >>> import sunsched
    >>> solved = sunsched.solve_day(sunsched.example_day())
    >>> best = sunsched.average_plan(solved)
    >>> asked = sunsched.Asked(shots=["1"], at=["12:00"])
    >>> decision = sunsched.read_decision(solved.fit.day, asked)
    >>> found = sunsched.average_price(solved, best, decision)
    >>> 0 <= found.least_lost <= found.points_lost <= found.most_lost
    True
    """
    refuse_impossible(solved, decision)
    ground = decide(solved.fit, decision)
    starts = [order_from_policy(ground, best.policy)]
    planned = _planned(solved, decision, is_ended)
    if planned is not None:
        starts.append(order_from_timetable(ground, planned))
    told: list[tuple[float, float]] = []

    def tell(orders: Sequence[Ordered], bound: float) -> None:
        found = best_of(orders)
        if progress is not None and (found.worth, bound) not in told:
            told.append((found.worth, bound))
            now = ground.policy(found)
            progress(_against(best, best.policy, now, decision, _bound(found, now, bound)))

    orders, bound = look(ground, starts, limit_s=limit_s, is_ended=is_ended, found=tell)
    found = best_of(orders)
    now = ground.policy(found)
    lifted = set_aside(solved.fit.day, decision)
    before = best.policy if lifted else _taken_over(solved, best.policy, now)
    return _against(best, before, now, decision, _bound(found, now, bound))


def _bound(found: Ordered, now: Policy, bound: float) -> float:
    """Take what is on top for pins out of a bound; it is in the worth of an order too."""
    return inf if bound == inf else bound - (found.worth - now.worth)


def quick_price(best: AveragePlan, decision: Decision, ground: Ground) -> AveragePrice:
    """Look for a good order that obeys a decision, near to the plan, in a fraction of a second.

    What the best crew of all would lose has the day's own bound as its upper end.

    Parameters
    ----------
    best : the day's plan for the average day
    decision : what somebody wants, of `read_decision`
    ground : the day under it, of `decide`
    """
    now = good_policy(ground, [best.policy])
    return _against(best, best.policy, now, decision, inf)


def order_price(best: AveragePlan, now: Policy, decision: Decision = ()) -> AveragePrice:
    """Say what an order loses as it is against the plan of its day; no better one is looked for.

    Parameters
    ----------
    best : the day's plan for the average day
    now : another order of it, maybe under a decision
    """
    return _against(best, best.policy, now, decision, inf)


def _against(
    best: AveragePlan, before: Policy, now: Policy, decision: Decision, bound: float
) -> AveragePrice:
    """Hold two orders against each other.

    Parameters
    ----------
    bound : of the day under the decision; infinite where none is known
    """
    fit, own = best.policy.rest.fit, now.rest.fit
    day, lifted = fit.day, set_aside(fit.day, decision)
    # What a decision changes of what is made already is neither won nor lost by it.
    made, made_now = made_scores(fit, own)
    gone = made_now.total - made.total
    sides = (expected(day, before), expected(day, now))
    points = (round(before.worth), round(now.worth) - gone)
    least, most = -inf, inf
    if best.bound is not None:
        most = max(best.bound, points[0]) - points[1]
    is_within = not lifted and _keeps_pins(sides)
    if is_within and best.bound is not None:
        bound = min(bound, best.bound + gone)
    if bound < inf:
        least = points[0] - max(points[1], ceil(bound) - gone)
        if is_within:
            least = max(least, min(0, points[0] - points[1]))
    return AveragePrice(
        decision=tuple(demand_text(day, demand) for demand in decision),
        sets_aside=lifted,
        before=sides[0],
        now=sides[1],
        points_lost=points[0] - points[1],
        least_lost=None if least == -inf else int(least),
        most_lost=None if most == inf else int(most),
        pays=pays_of(day, sides),
        obeyed=_obeyed(day, decision, sides[1]),
        bound=None if bound == inf else max(points[1] + gone, ceil(bound)),
        policy=now,
    )


def _planned(solved: Solved, decision: Decision, is_ended: Callable[[], bool]) -> Timetable | None:
    """Give a good order for planned minutes that obeys a decision; None where none is found."""
    fit, problem = pose_decided(solved.fit.day, decision, solved.problem.grid_min)
    answer = None
    with suppress(Undecided):
        answer = short_answer(solved, problem, looks=LOOKS, is_ended=is_ended)
    return None if answer is None else timetable_of(fit, problem, answer)


def _taken_over(solved: Solved, best: Policy, now: Policy) -> Policy:
    """Give the best order known without a decision: the one with it is an order too."""
    own = Ground(solved.fit)
    known, other = order_from_policy(own, best), order_from_policy(own, now)
    if best_of([known, other]) is known:
        return best
    return own.policy(improved(own, [known, other]))


def _keeps_pins(sides: tuple[Expected, Expected]) -> bool:
    """Say whether all pins of the day are kept as often with the decision: then none can win."""
    now = {one.shot.id: one.on_pin or 0.0 for one in sides[1].chances}
    return all(
        now.get(one.shot.id, 0.0) >= one.on_pin - SAME_SHARE
        for one in sides[0].chances
        if one.on_pin is not None
    )


def _obeyed(day: Day, decision: Decision, now: Expected) -> tuple[tuple[str, float], ...]:
    """Give the share of the days on which each demand for a roll is kept."""
    chances = {one.shot.id: one for one in now.chances}
    found = []
    for demand in decision:
        if isinstance(demand, RollAt | RollBefore | RollAfter) and demand.shot in chances:
            chance = chances[demand.shot]
            kept = chance.on_pin if isinstance(demand, RollAt) else chance.made
            found.append((demand_text(day, demand), kept or 0.0))
    return tuple(found)
