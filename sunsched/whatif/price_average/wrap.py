"""What an earlier or later wrap keeps of the light on the average day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from sunsched.average.order.forecast import Chance
from sunsched.average.plan import AveragePlan
from sunsched.day.demand import WrapAt
from sunsched.solver.machine.halt import is_end_asked
from sunsched.solver.search.progress import Counted
from sunsched.whatif.price.wrap import wraps_of
from sunsched.whatif.price_average.look import Expected, expected, policies_along

SELDOM = 0.5  # the chance below which a shot counts as left out


@dataclass(frozen=True, slots=True, kw_only=True)
class AverageWrapPoint:
    """What the best order found keeps on the average day if nothing rolls past a moment.

    Overtime is not counted as a cost; `kept` has the minutes past the day's own wrap.
    `overtime_points` is what the day charges for them.
    """

    wrap: datetime
    kept: Expected
    overtime_points: int

    @property
    def light_kept(self) -> float:
        """Give the expected share of all light."""
        return self.kept.light_kept

    @property
    def overtime_min(self) -> int:
        """Give the minutes past the day's own wrap that are expected."""
        return round(self.kept.overtime_min)

    @property
    def left_out(self) -> tuple[Chance, ...]:
        """Give the shots that are not made on most of the days."""
        return tuple(one for one in self.kept.chances if one.made < SELDOM)


def average_wrap_curve(
    best: AveragePlan,
    *,
    step_min: int = 15,
    progress: Callable[[Counted], None] | None = None,
    is_ended: Callable[[], bool] = is_end_asked,
) -> tuple[AverageWrapPoint, ...]:
    """Look for the best order for each wrap, from 4 hours before the day's to 1 past its hard one.

    Parameters
    ----------
    best : the plan for the average day, of `average_plan`
    step_min : minutes between two wraps, on the local clock
    progress : called with the looks done and all looks, two at each wrap but the last
    is_ended : asked between two looks; when it says so, wraps not looked at are left out

    Returns
    -------
    tuple[AverageWrapPoint, ...]
        What is kept for each wrap, the earliest first.

    Examples
    --------
    >>> import sunsched
    >>> best = sunsched.average_plan(sunsched.solve_day(sunsched.example_day()))
    >>> curve = sunsched.average_wrap_curve(best, step_min=120)
    >>> all(one.kept.points <= other.kept.points for one, other in zip(curve, curve[1:]))
    True
    """
    day = best.policy.rest.fit.day
    fit, wraps = best.policy.rest.fit, wraps_of(day, step_min)
    policies = policies_along(
        fit, wraps, lambda wrap: (WrapAt(time=wrap),), best.policy, progress, is_ended
    )
    found: list[AverageWrapPoint] = []
    for wrap, policy in policies.items():
        kept = expected(day, policy)
        if kept.light_kept > 0.0:
            cost = round(day.costs.overtime * kept.overtime_min)
            found.append(AverageWrapPoint(wrap=wrap, kept=kept, overtime_points=cost))
    return tuple(found)
