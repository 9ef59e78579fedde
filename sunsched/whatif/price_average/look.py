"""What an order keeps on the average day, and a short search for a better one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from sunsched.average.ground import Ground
from sunsched.average.order.forecast import Chance, Policy, forecast, light_share
from sunsched.average.order.search import Climb, Ordered
from sunsched.day.demand import Decision
from sunsched.day.model import Day
from sunsched.light.fit import DayFit
from sunsched.solver.search.progress import Counted
from sunsched.whatif.price.moments import each_moment
from sunsched.whatif.price_average.ground import decide, order_from_policy

LEAST_WIN = 1e-6  # points; smaller differences are of the arithmetic


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What an order keeps on the average day.

    Attributes
    ----------
    fit : of the day, maybe under a decision
    chances : of each shot still to come, in order
    points : expected, without what keeps pins
    light_kept : expected share of all light
    stop : the moment by which the crew has stopped on half of the days
    overtime_min, overtime_days : minutes past the day's own wrap, expected, and the share of the
        days that have any
    """

    fit: DayFit
    chances: tuple[Chance, ...]
    points: float
    light_kept: float
    stop: datetime
    overtime_min: float
    overtime_days: float


def expected(day: Day, policy: Policy) -> Expected:
    """Describe a policy; the day is the one whose own wrap counts."""
    fit, stop = policy.rest.fit, policy.flow.stop
    middle = min(int(np.searchsorted(np.cumsum(stop), 0.5)), policy.rest.slots - 1)
    over = np.maximum(0, policy.rest.minutes - fit.minute_of(day.hours.wrap))
    return Expected(
        fit=fit,
        chances=forecast(policy),
        points=policy.worth,
        light_kept=light_share(policy),
        stop=fit.time_of(policy.rest.origin + middle),
        overtime_min=float(stop @ over),
        overtime_days=float(stop[over > 0].sum()),
    )


def best_of(found: Sequence[Ordered]) -> Ordered:
    """Give the best of some orders; the first of those worth the same."""
    most = max(one.worth for one in found)
    return next(one for one in found if one.worth >= most - LEAST_WIN)


def improved(ground: Ground, starts: Sequence[Ordered]) -> Ordered:
    """Improve orders on coarse slots while that wins, and give the best."""
    climb = Climb(ground.coarse, ground.drifts)
    climbed = [climb.up(one.order, one.references) for one in starts if len(one.order)]
    judged = [ground.ordered(one.order, one.references) for one in climbed]
    return best_of([*starts, *judged])


def policy_under(fit: DayFit, decision: Decision, known: Sequence[Policy]) -> Policy:
    """Look for the best order under a decision, from orders that are known, repaired to obey it."""
    return good_policy(decide(fit, decision), known)


def good_policy(ground: Ground, known: Sequence[Policy]) -> Policy:
    """Look for the best order of a ground from orders that are known, repaired to obey it."""
    return ground.policy(improved(ground, [order_from_policy(ground, one) for one in known]))


def policies_along(
    fit: DayFit,
    moments: Sequence[datetime],
    decision_at: Callable[[datetime], Decision],
    known: Policy,
    progress: Callable[[Counted], None] | None,
    is_ended: Callable[[], bool],
) -> dict[datetime, Policy]:
    """Look for the best order under a decision at each of some moments that follow one another.

    What is good at one is often good at the next: they are gone through forward, then back, and
    each begins with the order of the one before.

    Parameters
    ----------
    known : an order to begin with at each of them
    progress : called with the looks done and all looks, two at each moment but the last
    is_ended : asked before each; when it says so, what was found so far is given
    """
    found: dict[datetime, Policy] = {}
    before = known
    for moment in each_moment([*moments, *moments[-2::-1]], progress, is_ended):
        is_back = moment in found
        starts = [before] if is_back or before is known else [known, before]
        one = policy_under(fit, decision_at(moment), starts)
        if not is_back or one.worth > found[moment].worth + LEAST_WIN:
            found[moment] = one
        before = found[moment]
    return found
